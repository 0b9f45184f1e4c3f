//! A file as it comes in over a slow network: collected piece by piece and refused at the first piece
//! too many, so that 50 MB never stand in memory.

use super::picture::PictureFault;
use crate::limits::own::PICTURE_BYTES_MAX;

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
