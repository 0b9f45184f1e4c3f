//! What can still be found in the files of a directory, byte for byte, as somebody would look who has the
//! disk: whatever the file, whatever stands around it, in small letters or capitals.

use std::collections::{BTreeSet, HashSet};
use std::path::Path;

/// As long as a piece of a line is. Shorter ones, such as `"seat":1`, would stand in every journal.
const PIECE_BYTES: usize = 48;

/// All files of a directory, as they are at one moment.
pub struct Files(Vec<Vec<u8>>);

impl Files {
    /// Reads them.
    ///
    /// # Panics
    /// If the directory cannot be read.
    pub fn of(directory: &Path) -> Files {
        let entries = std::fs::read_dir(directory).expect("a directory");
        let file = |entry: std::io::Result<std::fs::DirEntry>| {
            std::fs::read(entry.expect("an entry").path()).expect("a file").to_ascii_lowercase()
        };
        Files(entries.map(file).collect())
    }

    /// Whether any of them has these bytes.
    pub fn hold(&self, bytes: impl AsRef<[u8]>) -> bool {
        let bytes = bytes.as_ref().to_ascii_lowercase();
        self.0.iter().any(|file| file.windows(bytes.len()).any(|window| window == bytes))
    }

    /// Those pieces that any of them has. One that a file splits between two of its pages is not found.
    pub fn left(&self, pieces: &HashSet<Vec<u8>>) -> BTreeSet<String> {
        let windows = self.0.iter().flat_map(|file| file.windows(PIECE_BYTES));
        let found = windows.filter(|window| pieces.contains(*window));
        found.map(|window| String::from_utf8_lossy(window).into_owned()).collect()
    }
}

/// The pieces of these lines that stand in none of those: what nobody but these can have written.
pub fn pieces(lines: &[String], others: &[String]) -> HashSet<Vec<u8>> {
    let small = |lines: &[String]| -> Vec<String> {
        lines.iter().map(|one| one.to_ascii_lowercase()).collect()
    };
    let (lines, others) = (small(lines), small(others));
    let elsewhere: HashSet<&[u8]> =
        others.iter().flat_map(|line| line.as_bytes().windows(PIECE_BYTES)).collect();
    let all = lines.iter().flat_map(|line| line.as_bytes().chunks_exact(PIECE_BYTES));
    all.filter(|piece| !elsewhere.contains(piece)).map(<[u8]>::to_vec).collect()
}

/// Whether any file of a directory holds a text at this moment.
///
/// # Panics
/// If the directory cannot be read.
pub fn holds(directory: &Path, text: &str) -> bool {
    Files::of(directory).hold(text)
}
