//! A file as it comes in over a slow network: collected piece by piece and refused at the first piece
//! too many, so that 50 MB never stand in memory.

use super::Pictures;
use super::draft::shortened;
use super::error::OwnFault;
use super::picture::PictureFault;
use crate::limits::own::{PICTURE_BYTES_MAX, PICTURES_BYTES_MAX, PICTURES_MAX};

/// The picture that is coming in.
#[derive(Debug, Default)]
pub struct Upload {
    bytes: Vec<u8>,
}

impl Upload {
    /// Takes the next piece.
    ///
    /// # Errors
    /// `TooLarge` once there would be more than a picture may have; what came before is forgotten.
    pub fn push(&mut self, piece: &[u8]) -> Result<(), PictureFault> {
        if self.bytes.len().saturating_add(piece.len()) > PICTURE_BYTES_MAX {
            self.bytes = Vec::new();
            return Err(PictureFault::TooLarge);
        }
        self.bytes.extend_from_slice(piece);
        Ok(())
    }

    /// The whole file.
    pub fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }
}

/// The pictures of one deck as they come in, one after the other, with a bound on all of them
/// together.
#[derive(Debug, Default)]
pub struct Uploads {
    whole: Pictures,
    bytes: usize,
    coming: Option<(String, Upload)>,
}

impl Uploads {
    /// The next picture begins.
    ///
    /// # Errors
    /// `TooManyPictures`.
    pub fn begin(&mut self, name: &str) -> Result<(), OwnFault> {
        self.finish();
        if self.whole.len() >= PICTURES_MAX {
            return Err(OwnFault::TooManyPictures);
        }
        self.coming = Some((name.to_owned(), Upload::default()));
        Ok(())
    }

    /// Takes the next piece of it.
    ///
    /// # Errors
    /// `Picture` with `TooLarge`, or `PicturesTooLarge`; everything that came before is forgotten.
    pub fn push(&mut self, piece: &[u8]) -> Result<(), OwnFault> {
        let Some((name, upload)) = &mut self.coming else { return Ok(()) };
        self.bytes = self.bytes.saturating_add(piece.len());
        let taken = if self.bytes > PICTURES_BYTES_MAX {
            Err(OwnFault::PicturesTooLarge)
        } else {
            let file = shortened(name);
            upload.push(piece).map_err(|why| OwnFault::Picture { file, why })
        };
        if taken.is_err() {
            *self = Uploads::default();
        }
        taken
    }

    fn finish(&mut self) {
        if let Some((name, upload)) = self.coming.take() {
            self.whole.insert(name, upload.into_bytes());
        }
    }

    /// All that have come.
    pub fn into_pictures(mut self) -> Pictures {
        self.finish();
        self.whole
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn pictures_that_are_small_enough_one_by_one_may_be_too_large_together() {
        let mut uploads = Uploads::default();
        let piece = vec![0; PICTURE_BYTES_MAX];
        let most = PICTURES_BYTES_MAX / PICTURE_BYTES_MAX;
        for picture in 0..most {
            uploads.begin(&format!("{picture}.png")).unwrap();
            uploads.push(&piece).unwrap();
        }
        uploads.begin("last.png").unwrap();
        assert_eq!(uploads.push(&piece), Err(OwnFault::PicturesTooLarge));
        assert!(uploads.into_pictures().is_empty(), "nothing stays behind");
    }

    #[test]
    fn one_that_is_too_large_is_named_and_pieces_come_together_again() {
        let mut uploads = Uploads::default();
        uploads.begin("a.png").unwrap();
        uploads.push(b"one ").unwrap();
        uploads.push(b"two").unwrap();
        uploads.begin("b.png").unwrap();
        let pictures = uploads.into_pictures();
        assert_eq!(pictures["a.png"], b"one two");
        assert_eq!(pictures["b.png"], b"");
        let mut uploads = Uploads::default();
        uploads.begin("a.png").unwrap();
        let no = uploads.push(&vec![0; PICTURE_BYTES_MAX + 1]).unwrap_err();
        assert!(no.to_string().contains("`a.png`"), "{no}");
    }
}
