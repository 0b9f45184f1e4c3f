//! Decks that teachers make themselves, and the deck of the class's names: what is read, what is
//! refused with which line and reason, and that nothing of a picture's file goes out as it came.
#![allow(clippy::unwrap_used)]

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::picture::{Picture, THINGS};
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::LessonPlan;
use handround_server::deck::families::left_out;
use handround_server::deck::own::{
    Format, OwnDeck, OwnFace, OwnPicture, PictureFault, Pictures, Upload, picture, read,
};
use handround_server::deck::print::{Paper, PrintOptions, sheet_pdf};
use handround_server::deck::shown::Shown;
use handround_server::deck::valid::check;
use handround_server::deck::{
    Classmate, Deck, DeckError, Material, family_with, from_plan, from_plan_with,
};
use handround_tests::paper::{Pdf, poppler};
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::io::Cursor;
use std::sync::LazyLock;

const ID: DeckId = DeckId([0xd0; 16]);
const NONE: Pictures = Pictures::new();

/// The example that the documentation shows, with its pictures.
fn example() -> Pictures {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../deploy/own-decks");
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    files
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, std::fs::read(path).unwrap())
        })
        .collect()
}

static PLANTS: LazyLock<OwnDeck> = LazyLock::new(|| {
    let files = example();
    read(&files["plants.toml"], Format::Toml, &files).unwrap()
});

fn made(deck: &OwnDeck, groups: u8, seed: [u8; 32]) -> Deck {
    deck.family().deck(groups, Confusables::Allow, ID, seed).unwrap()
}

/// A deck of these groups in TOML; line 1 is the name and each group takes three lines from there.
fn toml(groups: &[(&str, &str)]) -> String {
    let mut text = "name = \"Garden\"\n".to_owned();
    for (meaning, faces) in groups {
        writeln!(text, "[[group]]\nmeaning = \"{meaning}\"\nfaces = [{faces}]").unwrap();
    }
    text
}

/// Four groups that are right, the first of them replaced.
fn with_first(meaning: &str, faces: &str) -> String {
    toml(&[
        (meaning, faces),
        ("spade", r#""spade", "SPADE", "Spade", "it digs""#),
        ("rake", r#""rake", "RAKE", "Rake", { picture = "rake" }"#),
        ("wheel", r#""wheel", "WHEEL", "Wheel", "it turns""#),
    ])
}

fn refusal(file: &[u8], format: Format, pictures: &Pictures) -> (Option<u32>, String) {
    let error = read(file, format, pictures).expect_err("accepted");
    (error.line, error.to_string())
}

#[test]
fn the_documented_example_is_one_deck_in_both_formats_and_can_be_played_and_printed() {
    let files = example();
    let deck = PLANTS.clone();
    assert_eq!(deck, read(&files["plants.csv"], Format::Csv, &files).unwrap());
    assert_eq!((deck.name.as_str(), deck.groups.len()), ("Parts of plants", 6));
    assert_eq!(
        (deck.standards, deck.local_codes),
        (vec!["1-LS1-1".to_owned()], vec!["Unit 3".to_owned()])
    );

    let deck = made(&PLANTS, 6, [1; 32]);
    assert_eq!((deck.cards.len(), deck.largest_table()), (24, 4));
    let sheet = deck.sheet();
    assert_eq!(check(&sheet, deck.likeness), Ok(()));
    let pictured = |face: &&handround_protocol::face::Face| face.svg.contains("data:image/png");
    assert_eq!(sheet.faces.iter().filter(pictured).count(), 3);
    // The word of a picture is told after the round and never before.
    let root = sheet.faces.iter().find(|face| face.label_after == "picture, root").unwrap();
    assert_eq!((root.label.as_str(), root.kind), ("picture card", FaceKind::Picture));
    assert!(!root.svg.contains("root"));

    // The same drawings on paper: poppler finds three pictures on the pages of the cards.
    let pdf = Pdf::of(&sheet_pdf(&sheet, &PrintOptions::on(Paper::Letter)).unwrap()).unwrap();
    let list = poppler("pdfimages", &["-list", pdf.path().to_str().unwrap()]).unwrap();
    let list = String::from_utf8(list).unwrap();
    let pages: Vec<&str> = list.lines().skip(2).filter(|line| line.contains("image")).collect();
    assert!(pages.len() >= 3, "{list}");
}

/// The issue's table of bad files, with where and why.
#[test]
fn a_deck_that_cannot_be_played_is_refused_with_line_and_reason() {
    let rows: Vec<(&str, String, Option<u32>, &str)> = vec![
        ("nothing", String::new(), None, "has 0 groups"),
        ("one group", toml(&[("ant", r#""ant", "ANT", "Ant", "ants""#)]), None, "has 1 group."),
        ("3 faces", with_first("hoe", r#""hoe", "HOE", "Hoe""#), Some(2), "`hoe` has 3 faces"),
        ("no faces", with_first("hoe", ""), Some(2), "`hoe` has 0 faces"),
        (
            "13 faces",
            with_first("hoe", &(0..13).map(|n| format!("\"h{n}x\",")).collect::<String>()),
            Some(2),
            "`hoe` has 13 faces",
        ),
        (
            "600 groups",
            {
                let name = |n: usize| format!("w{n}w");
                let groups: Vec<(String, String)> = (0..600)
                    .map(|n| (name(n), format!("\"{0}a\", \"{0}b\", \"{0}c\", \"{0}d\"", name(n))))
                    .collect();
                let groups: Vec<(&str, &str)> =
                    groups.iter().map(|(one, two)| (one.as_str(), two.as_str())).collect();
                toml(&groups)
            },
            None,
            "600 groups. There can be at most 40",
        ),
        (
            "the same face twice",
            with_first("hoe", r#""hoe", "HOE", "Hoe", " hoe ""#),
            Some(4),
            "`hoe` stands twice in the group `hoe`",
        ),
        (
            "the same picture twice",
            with_first("hoe", r#""hoe", "HOE", { picture = "tub" }, { picture = "TUB" }"#),
            Some(4),
            "`picture of tub` stands twice",
        ),
        (
            "a word in two groups",
            with_first("hoe", r#""hoe", "HOE", "Hoe", "Rake""#),
            Some(10),
            "`rake` of the group `rake` and `Rake` of the group `hoe` on line 4",
        ),
        (
            "a word and our picture of it",
            with_first("hoe", r#""hoe", "HOE", "Hoe", { picture = "wheel" }"#),
            Some(13),
            "they match. Put both into one group",
        ),
        (
            "a number in digits, in words and as a sum",
            with_first("seven", r#"7, "seven", "3 + 4", "9 - 2""#).replace("it digs", "6 + 1"),
            Some(7),
            "`6 + 1` of the group `spade` and `7` of the group `seven`",
        ),
        (
            "a picture that sounds like another word",
            with_first("be", r#""be", "BE", "Be", "am""#)
                .replace("\"Wheel\"", "{ picture = \"bee\" }"),
            Some(13),
            "sound alike to some",
        ),
        (
            "a picture's other name",
            with_first("pail", r#""pail", "PAIL", "Pail", "it holds""#)
                .replace("it turns", "tall")
                .replace("\"Wheel\"", "{ picture = \"bucket\" }"),
            Some(13),
            "may be called by the other's name",
        ),
        (
            "O and 0",
            with_first("letter", r#""O", "oh", "a ring", "oval""#).replace("\"it digs\"", "0"),
            Some(7),
            "they look alike",
        ),
        (
            "a letter beside a word that begins with it",
            with_first("letter", r#""w", "W", "double u", "v v""#),
            Some(13),
            "one begins with the other",
        ),
        (
            "meaning twice",
            with_first("Rake", r#""a b", "b c", "c d", "d e""#),
            Some(8),
            "on line 2 already",
        ),
        ("no meaning", with_first(" ", r#""a b", "b c", "c d", "d e""#), Some(2), "has no meaning"),
        ("no name", with_first("hoe", "").replacen("name", "accent", 1), None, "has no name"),
        (
            "long name",
            with_first("hoe", "").replace("Garden", &"n".repeat(61)),
            None,
            "longer than 60",
        ),
        ("turned text", with_first("h\u{202e}oe", "1, 2, 3, 4"), Some(2), "cannot be shown"),
        (
            "long face",
            with_first("hoe", &format!("\"{}\", 1, 2, 3", "a b ".repeat(11))),
            Some(4),
            "too small to read",
        ),
        (
            "long word",
            with_first("hoe", &format!("\"{}\", 1, 2, 3", "a".repeat(21))),
            Some(4),
            "too small to read",
        ),
        ("empty face", with_first("hoe", "\" \", 1, 2, 3"), Some(4), "is empty"),
        ("undrawable", with_first("hoe", "\"h(e\", 1, 2, 3"), Some(4), "The sign `(`"),
        ("large number", with_first("hoe", "1000, 1, 2, 3"), Some(4), "1000 cannot be shown"),
        ("negative number", with_first("hoe", "-1, 1, 2, 3"), Some(4), "-1 cannot be shown"),
        (
            "endless number",
            with_first("hoe", "99999999999999999999999, 1, 2, 3"),
            Some(4),
            "cannot be shown as a number",
        ),
        ("no face", with_first("hoe", "1.5, 1, 2, 3"), Some(4), "A face is a word"),
        ("rude", with_first("hoe", "\"poo\", 1, 2, 3"), Some(4), "for a rude one"),
        (
            "no such picture",
            with_first("hoe", "\"picture: dragon\", 1, 2, 3"),
            Some(4),
            "no picture called `dragon`",
        ),
        (
            "missing file",
            with_first("hoe", "\"hoe.png\", 1, 2, 3"),
            Some(4),
            "`hoe.png` was not sent",
        ),
        (
            "a file elsewhere",
            with_first("hoe", "\"../../etc/hoe.svg\", 1, 2, 3"),
            Some(4),
            "was not sent",
        ),
        (
            "unknown accent",
            with_first("hoe", "").replace("name =", "accent = \"posh\"\nname ="),
            Some(1),
            "`accent` must be",
        ),
        (
            "unknown setting",
            with_first("hoe", "") + "colour = 1\n",
            Some(14),
            "no setting called `colour`",
        ),
        ("unclosed", "name = \"Garden\n".to_owned(), Some(1), "not written as TOML"),
        ("no TOML at all", "root,stem\nleaf,seed\n".to_owned(), Some(1), "not written as TOML"),
        ("deep arrays", format!("name = {}", "[".repeat(100_000)), Some(1), "not written as TOML"),
    ];
    for (what, file, line, reason) in rows {
        let (found, told) = refusal(file.as_bytes(), Format::Toml, &NONE);
        assert!(told.contains(reason), "{what}: {told}");
        assert_eq!(found, line, "{what}: {told}");
        assert!(told.ends_with('.') || told.ends_with('?'), "{what} is no sentence: {told}");
        if let Some(line) = line {
            assert!(told.starts_with(&format!("Line {line}: ")), "{what}: {told}");
        }
    }
    let (line, told) = refusal(b"name = \"x\"\n\xff\xfe", Format::Toml, &NONE);
    assert_eq!((line, told.contains("UTF-8")), (Some(2), true), "{told}");
    let (_, told) = refusal(&vec![b' '; 256 * 1024 + 1], Format::Csv, &NONE);
    assert!(told.contains("larger than 256 KiB"), "{told}");
}

#[test]
fn a_spreadsheet_is_read_with_its_own_separator_and_refused_by_row() {
    let rows = |separator: &str| {
        let row = |cells: [&str; 5]| cells.join(separator);
        [
            row(["Name:", "Sizes", "", "", ""]),
            String::new(),
            row(["ant", "ant", "ANT", "\"a, b; c\"", "7"]),
            row(["bee", "bee", "BEE", "Bee", "picture: bee"]),
            row(["wren", "wren", "WREN", "Wren", "it sings"]),
            row(["toad", "toad", "TOAD", "Toad", "it hops"]),
        ]
        .join("\r\n")
    };
    for separator in [",", ";", "\t"] {
        let text = format!("\u{feff}{}", rows(separator)).replace("a, b; c", "it carries");
        let deck = read(text.as_bytes(), Format::Csv, &NONE).unwrap();
        assert_eq!((deck.name.as_str(), deck.groups.len()), ("Sizes", 4));
        assert_eq!(deck.groups[0].faces[3], OwnFace::Number(7));
        assert_eq!(deck.groups[1].faces[3], OwnFace::Thing("bee".to_owned()));
        // A comma is no sign of the alphabet; it stands in a cell of its own only between quotes.
        let (line, told) = refusal(rows(separator).as_bytes(), Format::Csv, &NONE);
        assert_eq!(line, Some(3), "{told}");
        assert!(told.contains("The sign `,` in `a, b; c`"), "{told}");
    }
    let (line, told) = refusal(b"size:,7\nant,a,b,c,d\n", Format::Csv, &NONE);
    assert_eq!((line, told.contains("`size`")), (Some(1), true), "{told}");
    // A quotation mark that is never closed spoils its own row alone.
    let (line, told) =
        refusal(rows(",").replace("\"a, b; c\"", "\"a").as_bytes(), Format::Csv, &NONE);
    assert_eq!((line, told.contains("3 faces")), (Some(3), true), "{told}");
}

#[test]
fn words_that_could_not_be_checked_and_words_that_sound_alike_are_told_and_kept() {
    let file =
        with_first("meat", r#""meat", "MEAT", "Meat", "frobnicate""#).replace("it digs", "meet");
    let notes = read(file.as_bytes(), Format::Toml, &NONE).unwrap().notes();
    let told = notes.join("\n");
    assert!(told.contains("could not check") && told.contains("frobnicate"), "{told}");
    assert!(!told.contains("wheel,") && !told.contains(", wheel"), "{told}");
    assert!(told.contains("`meat` and `meet` sound alike"), "{told}");
    assert!(told.contains("tables of up to 2"), "{told}");
    // An accent that tells two sounds apart does not warn of them.
    let pair = |accent: &str| {
        let file = with_first("pen", r#""pen", "PEN", "Pen", "ink""#).replace("it digs", "pin");
        let file = format!("accent = \"{accent}\"\n{file}");
        read(file.as_bytes(), Format::Toml, &NONE).unwrap().notes().join("\n")
    };
    assert!(pair("pin is pen").contains("`pen` and `pin` sound alike"));
    assert!(!pair("dictionary").contains("`pen` and `pin`"));
}

/// A deck that was saved comes back the same, pictures and all; one that was tampered with is held to
/// the same rules.
#[test]
fn a_saved_deck_is_read_again_and_checked_again() {
    let deck = &*PLANTS;
    let saved = deck.save().unwrap();
    assert_eq!(&read(&saved, Format::Saved, &NONE).unwrap(), deck);
    let text = String::from_utf8(saved).unwrap();
    let script = BASE64.encode("<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>");
    let OwnFace::Picture(picture) = &deck.groups[0].faces[3] else { panic!("no picture") };
    for (what, changed, reason) in [
        ("a face in two groups", text.replace("LEAF", "ROOT"), "they match"),
        (
            "another accent",
            text.replace("pin_is_pen", "pin_is_pan"),
            "no deck that Handround has saved",
        ),
        ("a script for a picture", text.replace(&picture.png, &script), "holds `script`"),
        (
            "no base64",
            text.replace(&picture.png, "\\\"/><script>"),
            "no deck that Handround has saved",
        ),
        ("an empty picture", text.replace(&picture.png, ""), "neither PNG"),
        (
            "a large number",
            text.replace("\"Words\": \"LEAF\"", "\"Number\": 60000"),
            "60000 cannot",
        ),
        ("no JSON", "{".to_owned(), "no deck that Handround has saved"),
        ("deep JSON", "[".repeat(100_000), "no deck that Handround has saved"),
    ] {
        assert_ne!(changed, text, "{what} changed nothing");
        let (_, told) = refusal(changed.as_bytes(), Format::Saved, &NONE);
        assert!(told.contains(reason), "{what}: {told}");
    }
}

proptest! {
    // Each case draws three pictures or a deck, which takes a while without optimisation.
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Whatever bytes come in, there is a deck or a sentence, and a deck of all its groups can be drawn. They
    /// are fewer if the end of a line is gone and its group stands in another one's.
    #[test]
    fn any_file_is_a_deck_or_a_sentence(
        bytes in proptest::collection::vec(any::<u8>(), 0..600),
        places in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
    ) {
        let files = example();
        for format in [Format::Toml, Format::Csv, Format::Saved] {
            prop_assert!(read(&bytes, format, &NONE).is_err());
        }
        for (name, format) in [("plants.toml", Format::Toml), ("plants.csv", Format::Csv)] {
            let mut spoilt = files[name].clone();
            for (place, byte) in &places {
                let place = place.index(spoilt.len());
                spoilt[place] = *byte;
            }
            match read(&spoilt, format, &files) {
                Ok(deck) => {
                    let groups = u8::try_from(deck.groups.len()).unwrap();
                    let deck = made(&deck, groups, [3; 32]);
                    prop_assert_eq!(deck.cards.len(), usize::from(groups) * 4);
                    prop_assert_eq!(check(&deck.sheet(), deck.likeness), Ok(()));
                }
                Err(error) => prop_assert!(error.to_string().len() > 20),
            }
        }
    }

    /// Every deck made of an own deck is valid, at every size and seed.
    #[test]
    fn every_deck_of_an_own_deck_is_valid(groups in 1_u8..=6, seed in any::<[u8; 32]>()) {
        let deck = made(&PLANTS, groups, seed);
        prop_assert_eq!(deck.cards.len(), usize::from(groups) * 4);
        prop_assert_eq!(check(&deck.sheet(), deck.likeness), Ok(()));
        prop_assert_eq!(deck, made(&PLANTS, groups, seed));
    }
}

// ---- Pictures.

fn png_of(picture: &RgbImage) -> Vec<u8> {
    let mut file = Cursor::new(Vec::new());
    DynamicImage::ImageRgb8(picture.clone()).write_to(&mut file, ImageFormat::Png).unwrap();
    file.into_inner()
}

fn jpeg_of(picture: &RgbImage) -> Vec<u8> {
    let mut file = Cursor::new(Vec::new());
    DynamicImage::ImageRgb8(picture.clone()).write_to(&mut file, ImageFormat::Jpeg).unwrap();
    file.into_inner()
}

/// Red on the left, blue on the right.
fn red_and_blue(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, _| {
        if x < width / 2 { Rgb([200, 30, 30]) } else { Rgb([30, 30, 200]) }
    })
}

/// The pixels of a tame picture, as the image crate reads its file.
fn pixels(picture: &OwnPicture) -> RgbImage {
    let file = picture.bytes().unwrap();
    let read = image::load_from_memory_with_format(&file, ImageFormat::Png).unwrap().into_rgb8();
    assert_eq!((read.width(), read.height()), (picture.width.into(), picture.height.into()));
    read
}

/// An EXIF block (EXIF 2.3, orientation is tag 0x0112) that says how the camera was held, with a secret
/// behind it, put into a JPEG file.
fn with_exif(jpeg: &[u8], orientation: u8) -> Vec<u8> {
    let mut block = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    block.extend([orientation, 0, 0, 0, 0, 0, 0]);
    block.extend(b"SECRET-GARDEN-51.47N");
    let length = u16::try_from(block.len() + 2).unwrap().to_be_bytes();
    [&jpeg[..2], &[0xff, 0xe1], &length, &block, &jpeg[2..]].concat()
}

#[test]
fn a_picture_keeps_its_pixels_and_nothing_of_its_file() {
    // Few colours are kept exactly.
    let flat = red_and_blue(64, 40);
    assert_eq!(pixels(&picture::tame(&png_of(&flat), "flag").unwrap()), flat);
    // A photograph is turned as its camera says: held a quarter to the left, red comes to the top.
    let photograph = with_exif(&jpeg_of(&red_and_blue(640, 480)), 6);
    let tame = picture::tame(&photograph, "bed").unwrap();
    assert_eq!((tame.width, tame.height), (240, 320));
    let seen = pixels(&tame);
    let (top, bottom) = (seen.get_pixel(120, 20).0, seen.get_pixel(120, 300).0);
    assert!(top[0] > 150 && top[2] < 90 && bottom[2] > 150 && bottom[0] < 90, "{top:?} {bottom:?}");
    let file = tame.bytes().unwrap();
    let holds = |needle: &[u8]| file.windows(needle.len()).any(|part| part == needle);
    assert!(!holds(b"SECRET") && !holds(b"Exif"));
    // Taming a tame picture changes nothing.
    assert_eq!(picture::tame(&file, "bed").unwrap(), tame);
    // What is see-through shows the card.
    let clear = br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 5"><path d="M0 0H5V5H0Z"/></svg>"##;
    let seen = pixels(&picture::tame(clear, "half").unwrap());
    assert_eq!(
        (seen.get_pixel(10, 80).0, seen.get_pixel(300, 80).0),
        ([0, 0, 0], [0xfb, 0xf6, 0xea])
    );
    assert_eq!(seen.dimensions(), (320, 160));
}

/// The largest and the noisiest pictures still become small ones.
#[test]
fn every_picture_becomes_small() {
    let mut state = 1_u32;
    let mut noise = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 24) as u8
    };
    let noisy = RgbImage::from_fn(900, 700, |_, _| Rgb([noise(), noise(), noise()]));
    for (what, file) in [
        ("noise", png_of(&noisy)),
        ("noise as JPEG", jpeg_of(&noisy)),
        ("a line", png_of(&red_and_blue(4_000, 2))),
        ("twelve megapixels", jpeg_of(&red_and_blue(4_000, 3_000))),
    ] {
        let tame = picture::tame(&file, "it").unwrap_or_else(|why| panic!("{what}: {why}"));
        let bytes = tame.bytes().unwrap().len();
        assert!(bytes <= 48 * 1024, "{what}: {bytes} bytes");
        assert!(tame.width.max(tame.height) <= 320, "{what}: {} x {}", tame.width, tame.height);
        pixels(&tame);
    }
}

/// A PNG file that says it has so many pixels and has none.
fn empty_png(width: u32, height: u32) -> Vec<u8> {
    let small = png_of(&RgbImage::new(1, 1));
    let mut file = small.clone();
    file[16..20].copy_from_slice(&width.to_be_bytes());
    file[20..24].copy_from_slice(&height.to_be_bytes());
    // The check value of the first chunk: CRC-32 of the PNG specification, annex D.
    let mut crc = u32::MAX;
    for byte in &file[12..29] {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 };
        }
    }
    file[29..33].copy_from_slice(&(!crc).to_be_bytes());
    file
}

fn svg(inner: &str) -> Vec<u8> {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 100 100">{inner}</svg>"#
    )
    .into_bytes()
}

#[test]
fn hostile_pictures_are_refused_by_name_and_reason() {
    let whole = png_of(&red_and_blue(300, 200));
    let rect = r#"<rect width="9" height="9"/>"#;
    let doubled = |depth: usize, link: fn(usize) -> String| {
        let level = |n: usize| format!(r#"<g id="l{n}">{}</g>"#, link(n + 1).repeat(10));
        let levels: String = (0..depth).map(level).collect();
        format!(r##"<defs><path id="l{depth}" d="M0 0H9V9"/>{levels}</defs><use href="#l0"/>"##)
    };
    let laughs = r#"<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg"><desc>&b;</desc></svg>"#;
    let outside = r#"<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg xmlns="http://www.w3.org/2000/svg"><desc>&x;</desc></svg>"#;
    let rows: Vec<(&str, Vec<u8>, &str)> = vec![
        ("nothing", Vec::new(), "neither PNG nor JPEG nor SVG"),
        ("text", b"a picture of a cat".to_vec(), "neither PNG"),
        ("GIF", b"GIF89a\x01\0\x01\0\0\0\0;".to_vec(), "neither PNG"),
        ("a page", b"<html><script>alert(1)</script></html>".to_vec(), "neither PNG"),
        ("half a PNG", whole[..whole.len() / 2].to_vec(), "broken"),
        ("a PNG's first bytes", whole[..8].to_vec(), "broken"),
        ("half a JPEG's head", jpeg_of(&red_and_blue(30, 20))[..40].to_vec(), "broken"),
        ("a PNG of 60,000 x 60,000", empty_png(60_000, 60_000), "larger than 8192 pixels"),
        ("a PNG of 8,000 x 8,000", empty_png(8_000, 8_000), "16 million in all"),
        ("a PNG of no pixels", empty_png(0, 0), "broken"),
        (
            "6 MB and a byte",
            [whole.clone(), vec![0; 6 * 1024 * 1024]].concat(),
            "larger than 6 MiB",
        ),
        ("one colour", png_of(&RgbImage::new(20, 20)), "shows nothing"),
        ("an empty drawing", svg(""), "shows nothing"),
        ("a script", svg("<script>alert(1)</script>"), "holds `script`"),
        ("a handler", svg(r#"<rect width="9" height="9" onclick="alert(1)"/>"#), "holds `onclick`"),
        ("a page inside", svg("<foreignObject><p>hi</p></foreignObject>"), "holds `foreignObject`"),
        ("a link", svg(&format!(r#"<a href="http://x">{rect}</a>"#)), "holds `a`"),
        ("a picture inside", svg(r#"<image href="file:///etc/passwd"/>"#), "holds `image`"),
        ("writing", svg("<text>hi</text>"), "holds `text`"),
        (
            "a moving part",
            svg(r#"<rect width="9" height="9"><animate attributeName="x"/></rect>"#),
            "holds `animate`",
        ),
        ("a use from elsewhere", svg(r#"<use href="http://x/y.svg#z"/>"#), "outside of itself"),
        (
            "an older use from elsewhere",
            svg(r#"<use xlink:href="other.svg#z"/>"#),
            "outside of itself",
        ),
        (
            "paint from elsewhere",
            svg(r#"<rect width="9" height="9" fill="url(http://x#y)"/>"#),
            "outside of itself",
        ),
        ("a style from elsewhere", svg("<style>@import url(http://x)</style>"), "holds `@import`"),
        (
            "a filter",
            svg(r#"<filter id="f"><feGaussianBlur stdDeviation="99"/></filter>"#),
            "holds `filter`",
        ),
        (
            "dashes",
            svg(r#"<path d="M0 0H99" stroke="red" stroke-dasharray="0.0001"/>"#),
            "holds `stroke-dasharray`",
        ),
        (
            "dashes in a style",
            svg(r#"<path d="M0 0H99" style="stroke:red; stroke-dasharray : 1e-9"/>"#),
            "holds `stroke-dasharray`",
        ),
        ("a pattern", svg(r#"<pattern id="p" width="1" height="1"/>"#), "holds `pattern`"),
        ("a billion laughs", laughs.into(), "holds `DOCTYPE`"),
        ("an entity from outside", outside.into(), "holds `DOCTYPE`"),
        ("itself", svg(r##"<g id="a"><use href="#a"/></g>"##), "too deep in each other"),
        (
            "each other",
            svg(r##"<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>"##),
            "too deep",
        ),
        (
            "ten to the ninth",
            svg(&doubled(9, |n| format!(r##"<use href="#l{n}"/>"##))),
            "too many parts",
        ),
        (
            "ten to the ninth by clipping",
            svg(&doubled(9, |n| format!(r#"<g clip-path="url(#l{n})"/>"#))),
            "too many parts",
        ),
        (
            "a deep one",
            svg(&format!("{}{rect}{}", "<g>".repeat(30_000), "</g>".repeat(30_000))),
            "too deep",
        ),
        ("a wide one", svg(&rect.repeat(6_000)), "too many parts"),
        (
            "a long one",
            svg(&format!(r#"<path d="M0 0{}"/>"#, "L1 1".repeat(600_000))),
            "larger than 2 MiB",
        ),
        (
            "the same long one often",
            svg(&format!(
                r##"<path id="l" d="M0 0{}"/>{}"##,
                "L1 1".repeat(200_000),
                r##"<use href="#l"/>"##.repeat(40)
            )),
            "too many parts",
        ),
        (
            "not closed",
            b"<svg xmlns=\"http://www.w3.org/2000/svg\"><g></svg>".to_vec(),
            "no well-formed SVG",
        ),
        ("of no name space", b"<svg><rect/></svg>".to_vec(), "no well-formed SVG"),
        (
            "infinite",
            svg(rect)
                .iter()
                .map(|b| *b as char)
                .collect::<String>()
                .replace("0 0 100 100", "0 0 1e39 1")
                .into(),
            "",
        ),
    ];
    for (what, file, reason) in rows {
        let found = picture::tame(&file, "it");
        let Err(why) = found else {
            assert!(reason.is_empty(), "{what} was accepted");
            continue;
        };
        assert!(why.to_string().contains(reason), "{what}: {why}");
        // The whole deck is refused, with the picture's name and its line.
        let pictures = Pictures::from([("bad.png".to_owned(), file)]);
        let deck = with_first("hoe", "\"hoe\",\n\"bad.png\", 1, 2");
        let (line, told) = refusal(deck.as_bytes(), Format::Toml, &pictures);
        assert_eq!(line, Some(5), "{what}: {told}");
        assert!(told.contains("`bad.png`") && told.contains(&why.to_string()), "{what}: {told}");
    }
}

/// What drawing programs write is read: a document type without declarations, name spaces of their
/// own, gradients, masks, `use` both ways, and dashes that are none.
#[test]
fn plain_drawings_of_drawing_programs_are_read() {
    let drawing = r##"<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!-- made by hand -->
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:tool="urn:tool" width="20mm" height="40mm" viewBox="0 0 20 40">
<tool:view zoom="2"><tool:guide/></tool:view><metadata><a xmlns="urn:x">me</a></metadata>
<defs><linearGradient id="g"><stop offset="0" stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>
<linearGradient id="h" xlink:href="#g"/><mask id="m"><rect width="20" height="40" fill="white"/></mask></defs>
<style>.a { fill: url(#h); stroke-dasharray: none }</style>
<rect class="a" id="r" width="10" height="40" style="stroke:none;stroke-dasharray:none;filter:none" mask="url(#m)"/>
<use href="#r" x="5"/><use xlink:href="#r" x="10"/></svg>"##;
    let tame = picture::tame(drawing.as_bytes(), "post").unwrap();
    assert_eq!((tame.width, tame.height), (160, 320));
    let seen = pixels(&tame);
    let (left, right) = (seen.get_pixel(2, 100).0, seen.get_pixel(157, 100).0);
    assert!(left[0] > 200 && right[2] > 200, "{left:?} {right:?}");
}

/// 50 MB are refused with the piece that is too many, long before they are all here.
#[test]
fn an_upload_is_refused_while_it_comes_in() {
    let mut upload = Upload::default();
    let piece = vec![0x89; 64 * 1024];
    let taken = (0..50 * 16).take_while(|_| upload.push(&piece).is_ok()).count();
    assert_eq!(taken * piece.len(), 6 * 1024 * 1024);
    assert_eq!(upload.push(&[0; 6 * 1024 * 1024 + 1]), Err(PictureFault::TooLarge));
    // What was refused has left nothing behind.
    assert!(upload.into_bytes().is_empty());
}

// ---- Our class.

fn class(names: &[&str]) -> Vec<Classmate> {
    let child =
        |(name, picture): (&&str, Picture)| Classmate { nickname: (*name).to_owned(), picture };
    names.iter().zip(THINGS.into_iter().cycle()).map(child).collect()
}

fn class_plan(groups: u8) -> LessonPlan {
    let plan = LessonPlan::for_ages(AgeBand::FiveToSix);
    LessonPlan { skill: Skill::OurClass, groups, ..plan }
}

/// Invented names of an invented class, as many children as a full room.
const NAMES: [&str; 26] = [
    "Fern", "Flora", "Pebble", "Clover", "Twig", "Moss", "Puddle", "Acorn", "Breeze", "Sprout",
    "Thistle", "Daisy", "Hazel", "Ivy", "Juniper", "Kestrel", "Lark", "Nettle", "Olive", "Quill",
    "Rowan", "Sage", "Tansy", "Umber", "Vetch", "Willow",
];

#[test]
fn every_deck_of_the_class_has_each_initial_once_and_four_faces_a_child() {
    let class = class(&NAMES);
    let material = Material { class: &class, own: None };
    let family = family_with(&class_plan(8), material).unwrap();
    assert_eq!(family.groups.len(), NAMES.len());
    let most = family.groups_max(Confusables::Allow);
    assert_eq!(most, 13);
    for seed in 0..12 {
        let deck = from_plan_with(&class_plan(13), material, ID, [seed; 32]).unwrap();
        assert_eq!(check(&deck.sheet(), deck.likeness), Ok(()), "seed {seed}");
        let initials: Vec<String> = deck
            .cards
            .iter()
            .filter(|card| card.face == FaceKind::Capital)
            .map(|card| match &card.shown {
                Shown::Print(text) => text.clone(),
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!((initials.len(), initials.iter().collect::<BTreeSet<_>>().len()), (13, 13));
        for card in deck.cards.iter().filter(|card| card.face == FaceKind::Picture) {
            let Shown::Thing(name) = &card.shown else { panic!("{card:?}") };
            let own: BTreeSet<_> = deck
                .cards
                .iter()
                .filter(|other| other.group == card.group)
                .map(|c| &c.shown)
                .collect();
            let initial = Shown::Print(name[..1].to_uppercase());
            assert!(
                !initials.contains(&name[..1].to_uppercase()) || own.contains(&initial),
                "{name}"
            );
        }
    }
}

#[test]
fn a_class_without_names_or_with_one_initial_is_told_so() {
    let none = from_plan(&class_plan(6), ID, [1; 32]).unwrap_err();
    assert_eq!(none, DeckError::NoClass);
    let alike = class(&["Fern", "Flora", "Fig", "Fir", "Flint", "Foxglove", "Finch"]);
    let material = Material { class: &alike, own: None };
    let refused = from_plan_with(&class_plan(6), material, ID, [1; 32]).unwrap_err();
    assert_eq!(refused, DeckError::TooManyGroups { groups: 6, at_most: 1 });
    // A nickname that is all capitals looks another way in book print; one of a single letter, or in
    // letters that the alphabet lacks, is left out and told.
    let odd = class(&["TJ", "J", "名前", "O'Neil", "Zara-Lena", "Mary Lou"]);
    assert_eq!(left_out(&odd), ["J", "名前"]);
    let odd = family_with(&class_plan(6), Material { class: &odd, own: None }).unwrap();
    let deck = odd.deck(4, Confusables::Allow, ID, [1; 32]).unwrap();
    assert_eq!(check(&deck.sheet(), deck.likeness), Ok(()));
    let own = Skill::OwnDeck { deck: handround_protocol::id::OwnDeckId([1; 16]) };
    let gone = from_plan(&LessonPlan { skill: own, ..class_plan(6) }, ID, [1; 32]).unwrap_err();
    assert_eq!(gone, DeckError::NoOwnDeck);
}
