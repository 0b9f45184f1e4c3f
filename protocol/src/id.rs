//! Names for things on the wire, one type each, so that two of them can never be mixed up.
//! Random ids are hex strings in JSON and plain bytes in bincode.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};
use std::fmt;
use ts_rs::TS;

/// Defines a random id of a fixed number of bytes that is a hex string wherever people read it.
macro_rules! hex_id {
    ($(#[$doc:meta])* $name:ident, $bytes:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, TS)]
        #[ts(export, type = "string")]
        pub struct $name(pub [u8; $bytes]);

        impl $name {
            /// Reads exactly two lower- or upper-case hex digits a byte; anything else is `None`.
            pub fn from_hex(text: &str) -> Option<Self> {
                if text.len() != 2 * $bytes || !text.is_ascii() {
                    return None;
                }
                let mut bytes = [0; $bytes];
                for (index, byte) in bytes.iter_mut().enumerate() {
                    *byte = u8::from_str_radix(&text[2 * index..2 * index + 2], 16).ok()?;
                }
                text.bytes().all(|digit| digit.is_ascii_hexdigit()).then_some(Self(bytes))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}({self})", stringify!($name))
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                if serializer.is_human_readable() {
                    serializer.collect_str(self)
                } else {
                    self.0.serialize(serializer)
                }
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                if deserializer.is_human_readable() {
                    let text = String::deserialize(deserializer)?;
                    Self::from_hex(&text).ok_or_else(|| {
                        D::Error::custom(concat!(stringify!($name), " must be ", $bytes, " bytes in hex"))
                    })
                } else {
                    <[u8; $bytes]>::deserialize(deserializer).map(Self)
                }
            }
        }
    };
}

hex_id!(
    /// One lesson.
    LessonId, 16
);
hex_id!(
    /// One table of a lesson.
    TableId, 16
);
hex_id!(
    /// One deck; its face sheet never changes, so pages may cache it.
    DeckId, 16
);
hex_id!(
    /// One of the decks that teachers made themselves; what it names may be changed by its teacher.
    OwnDeckId, 16
);
hex_id!(
    /// A deck that a teacher keeps under a name.
    KeptDeckId, 16
);
hex_id!(
    /// One class that the server keeps.
    ClassId, 16
);
hex_id!(
    /// The secret by which a device returns to its seat, its wall display or its board.
    Token, 16
);
hex_id!(
    /// An unguessable number that goes out once, with one seat's cue.
    Nonce, 16
);
hex_id!(
    /// One card in one deal. Drawn afresh each deal; encodes nothing.
    CardId, 8
);

/// Defines a small number with a meaning of its own.
macro_rules! number {
    ($(#[$doc:meta])* $name:ident, $inner:ty) => {
        $(#[$doc])*
        #[derive(
            Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize,
            Deserialize, TS,
        )]
        #[ts(export)]
        pub struct $name(pub $inner);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    };
}

number!(
    /// A seat at its table, counted from 0 in the order of play.
    SeatIndex, u8
);
number!(
    /// A pupil's line in the class list, counted from 0.
    PupilIndex, u16
);
number!(
    /// A face in its deck's face sheet, counted from 0. Its position tells nothing of its group.
    FaceIndex, u16
);
number!(
    /// A match group of a deck, counted from 0.
    GroupIndex, u16
);
number!(
    /// A game at a table, counted from 1; a rematch is the next game.
    GameNumber, u32
);
number!(
    /// A round of a table, counted from 1 and never reused, not even in a rematch.
    RoundNumber, u32
);
number!(
    /// A seat's own count of numbered messages, without gaps. A snapshot may carry any number: that
    /// of the last message that it contains.
    SeatNumber, u32
);
number!(
    /// A device's own count of what it asked, echoed in a refusal. Free choice of the device.
    Ask, u32
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hex_is_read_strictly_and_written_in_lower_case() {
        let id = CardId([0x00, 0x01, 0x0a, 0x7f, 0x80, 0xab, 0xf0, 0xff]);
        assert_eq!(id.to_string(), "00010a7f80abf0ff");
        assert_eq!(CardId::from_hex("00010A7f80abF0ff"), Some(id));
        for wrong in [
            "",
            "00010a7f80abf0f",
            "00010a7f80abf0ff0",
            "00010a7f80abf0fg",
            "+0010a7f80abf0ff",
            "0x010a7f80abf0ff",
            " 0010a7f80abf0ff",
            "00010a7f80abf0é",
        ] {
            assert_eq!(CardId::from_hex(wrong), None, "{wrong:?}");
        }
    }

    /// An id in a log names its kind and is the hex that people see elsewhere.
    #[test]
    fn debug_names_the_kind() {
        assert_eq!(format!("{:?}", CardId([0xab; 8])), "CardId(abababababababab)");
        assert_eq!(format!("{:?}", SeatIndex(3)), "SeatIndex(3)");
        assert_eq!(SeatIndex(3).to_string(), "3");
    }
}
