//! Every picture that the protocol can name has its drawing, and every drawing fits the pages:
//! small, without words, and with nothing that a strict content policy would refuse or that
//! could clash when several are put into one page. How a drawing looks is for eyes to judge.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use handround_protocol::picture::{GARDEN_HELPERS, Picture, THINGS};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// A class list shows all pictures at once; at this size they stay under 300 kB together.
const SIZE_MAX_BYTES: usize = 4096;

/// Inline style and script break the content policy, ids clash, `href` loads from elsewhere, and
/// words exclude those who cannot read yet.
const UNWANTED: [&str; 6] = ["style=", "<style", "<script", "<text", "href", "id="];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../server/pages/pictures")
}

/// Name and content of every drawing in the folder, by name.
fn drawings() -> Vec<(String, String)> {
    let mut drawings: Vec<(String, String)> = fs::read_dir(folder())
        .expect("the folder of drawings")
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "svg"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            (name, fs::read_to_string(&path).unwrap())
        })
        .collect();
    drawings.sort();
    drawings
}

/// Things on cards that are no everyday picture but are drawn alike (`server/src/deck/face/thing.rs`).
const ON_CARDS_ALONE: [&str; 2] = ["basket", "ear"];

/// Pages look drawings up by these names alone, so that another one is never shown.
#[test]
fn every_picture_is_drawn_and_nothing_else() {
    let drawn: BTreeSet<String> = drawings().into_iter().map(|(name, _)| name).collect();
    let named = THINGS.into_iter().chain(GARDEN_HELPERS).map(Picture::name);
    let wanted = named.chain(ON_CARDS_ALONE.map(str::to_owned));
    assert_eq!(drawn, wanted.collect::<BTreeSet<String>>());
}

#[test]
fn no_two_drawings_are_the_same() {
    let drawings = drawings();
    let different: BTreeSet<&str> = drawings.iter().map(|(_, svg)| svg.as_str()).collect();
    assert_eq!(different.len(), drawings.len());
}

#[test]
fn drawings_are_small_and_fit_a_strict_page() {
    for (name, svg) in drawings() {
        let size = svg.len();
        assert!(size < SIZE_MAX_BYTES, "{name} has {size} bytes");
        assert!(
            svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 "),
            "{name} is not a plain drawing"
        );
        for unwanted in UNWANTED {
            assert!(!svg.contains(unwanted), "{name} contains {unwanted}");
        }
    }
}
