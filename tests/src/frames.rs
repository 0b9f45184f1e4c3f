//! Finds WebSocket control frames in a stream of bytes (RFC 6455 section 5.2), for those who only
//! look on: the proxy, which must not change what passes.

/// RFC 6455 section 11.8.
pub const OPCODE_PING: u8 = 0x9;
/// Likewise.
pub const OPCODE_PONG: u8 = 0xA;

/// The bytes of one direction, as far as they have come. The head of the HTTP upgrade stands before
/// the first frame.
#[derive(Debug, Default)]
pub struct Frames {
    bytes: Vec<u8>,
    upgraded: bool,
}

impl Frames {
    /// Whether frames have begun. The head of an ordinary answer over HTTP counts as none.
    pub fn is_upgraded(&self) -> bool {
        self.upgraded
    }

    /// Takes in the next bytes; answers with the payloads of those control frames of this kind that
    /// they complete and that are 16 bytes long.
    pub fn control(&mut self, bytes: &[u8], opcode: u8) -> Vec<[u8; 16]> {
        self.bytes.extend_from_slice(bytes);
        if !self.upgraded {
            let Some(head) = self.bytes.windows(4).position(|four| four == b"\r\n\r\n") else {
                return Vec::new();
            };
            // A request has no status; its answer decides for itself.
            self.upgraded = !self.bytes.starts_with(b"HTTP/1.1 2");
            self.bytes.drain(..head + 4);
            if !self.upgraded {
                return Vec::new();
            }
        }
        let mut found = Vec::new();
        while let Some((kind, payload, length)) = frame(&self.bytes) {
            if kind == opcode {
                found.extend(<[u8; 16]>::try_from(payload));
            }
            self.bytes.drain(..length);
        }
        found
    }
}

/// The first frame: its opcode, its unmasked payload and its whole length, if it is all there.
fn frame(bytes: &[u8]) -> Option<(u8, Vec<u8>, usize)> {
    let (first, second) = (*bytes.first()?, *bytes.get(1)?);
    let (length, mut at) = match second & 0x7F {
        126 => (usize::from(u16::from_be_bytes(bytes.get(2..4)?.try_into().ok()?)), 4),
        127 => (usize::try_from(u64::from_be_bytes(bytes.get(2..10)?.try_into().ok()?)).ok()?, 10),
        short => (usize::from(short), 2),
    };
    let mask: [u8; 4] = if second & 0x80 == 0 {
        [0; 4]
    } else {
        at += 4;
        bytes.get(at - 4..at)?.try_into().ok()?
    };
    let payload = bytes.get(at..at.checked_add(length)?)?;
    let payload = payload.iter().zip(mask.iter().cycle()).map(|(byte, mask)| byte ^ mask).collect();
    Some((first & 0x0F, payload, at + length))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples of RFC 6455 section 5.7, behind an HTTP head, in pieces of every size.
    #[test]
    fn the_examples_of_the_standard_are_read() {
        let head = b"HTTP/1.1 101 Switching Protocols\r\n\r\n";
        let hello = [0x81, 0x05, 0x48, 0x65, 0x6c, 0x6c, 0x6f];
        let masked = [0x8a, 0x85, 0x37, 0xfa, 0x21, 0x3d, 0x7f, 0x9f, 0x4d, 0x51, 0x58];
        assert_eq!(frame(&hello), Some((1, b"Hello".to_vec(), 7)));
        assert_eq!(frame(&masked), Some((OPCODE_PONG, b"Hello".to_vec(), 11)));
        let long = [&[0x82, 0x7E, 0x01, 0x00][..], &[7; 256]].concat();
        let ping = [&[0x89, 0x10][..], &[3; 16]].concat();
        let all = [&head[..], &hello, &long, &ping, &masked, &ping].concat();
        for size in 1..all.len() {
            let mut frames = Frames::default();
            let found: Vec<[u8; 16]> =
                all.chunks(size).flat_map(|piece| frames.control(piece, OPCODE_PING)).collect();
            assert_eq!(found, [[3; 16], [3; 16]], "pieces of {size}");
        }
    }
}
