//! Class lists as files come from real desks: what is read, and what is refused with its line.

#![allow(clippy::unwrap_used)]

use super::*;
use handround_protocol::picture::GARDEN_HELPERS;

/// `|` stands for the end of a line.
fn read_text(text: &str) -> Result<Vec<Pupil>, ClassListError> {
    read_list(text).map(|list| list.pupils)
}

fn read_list(text: &str) -> Result<ClassList, ClassListError> {
    read(text.replace('|', "\n").as_bytes())
}

fn names(text: &str) -> String {
    let pupils = read_text(text).unwrap();
    pupils.iter().map(|pupil| pupil.name.as_str()).collect::<Vec<_>>().join(" ")
}

#[test]
fn ordinary_lists_are_read() {
    let table = [
        ("Fern|Moss", "Fern Moss"),
        ("nickname|Fern|Moss", "Fern Moss"),
        ("Nickname,Picture,Readiness|Fern,pear,2|Moss,,", "Fern Moss"),
        ("readiness,nickname|3,Fern|,Moss", "Fern Moss"),
        ("\u{feff}Fern||  |Moss||", "Fern Moss"),
        ("Fern\r|Moss\r|", "Fern Moss"),
        ("Fern\rMoss", "Fern Moss"),
        ("Fern;pear|Moss;plum", "Fern Moss"),
        ("Fern\tpear|Moss\tplum", "Fern Moss"),
        ("\"Fern\",pear|  Moss  ,  PLUM  ", "Fern Moss"),
        ("Zoë,,1|Łukasz,,3|小明", "Zoë Łukasz 小明"),
        ("Fern,pear,,,,|Moss", "Fern Moss"),
    ];
    for (text, expected) in table {
        assert_eq!(names(text), expected, "{text:?}");
    }
}

#[test]
fn columns_are_understood_by_place_or_by_name() {
    let fern = Pupil {
        name: "Fern".to_owned(),
        picture: Picture::Pear,
        readiness: Some(Readiness(2)),
        at_home: false,
    };
    for text in ["Fern,pear,2", "readiness,picture,name|2,pear,Fern"] {
        assert_eq!(read_text(text).unwrap(), std::slice::from_ref(&fern), "{text:?}");
    }
}

#[test]
fn every_refusal_says_what_and_where() {
    let long = "x".repeat(21);
    let sixty_one: String = (0..61).map(|pupil| format!("Pupil {pupil}|")).collect();
    let table: Vec<(String, Option<u32>, &str)> = [
        ("", None, "empty"),
        ("||  |", None, "empty"),
        ("\u{feff}", None, "empty"),
        ("nickname,picture|", None, "empty"),
        ("Fern|Moss|fern", Some(3), "\"fern\" stands on line 1 and again on line 3"),
        ("Fern|| FERN  ", Some(3), "line 1 and again on line 3"),
        ("Big  Fern|big fern", Some(2), "line 1 and again on line 2"),
        (&format!("Fern|{long}"), Some(2), "line 2 is longer than 20 letters"),
        ("Fern|,pear", Some(2), "Line 2 has no nickname"),
        ("Fern|Mo\u{7}ss", Some(2), "line 2 holds a sign"),
        ("Fern|Mo\u{202e}ss", Some(2), "line 2 holds a sign"),
        ("Fern,unicorn", Some(1), "no picture called \"unicorn\" (line 1)"),
        ("Fern,bee", Some(1), "no picture called \"bee\""),
        ("Fern,pear|Moss,plum|Twig,pear", Some(3), "picture \"pear\" stands on line 1"),
        ("Fern,pear,0", Some(1), "readiness on line 1 must be 1, 2 or 3"),
        ("Fern,pear,4", Some(1), "readiness on line 1"),
        ("Fern,pear,sure", Some(1), "readiness on line 1"),
        ("Fern,pear,2.5", Some(1), "readiness on line 1"),
        ("Fern,pear,2,Smith", Some(1), "apart from \"Smith\", but nobody"),
        ("Fern,,,Moss,,,,,Twig|Moss|Twig", Some(1), "more columns"),
        ("Fern|Moss,,,moss", Some(2), "line 2 cannot be kept apart from itself"),
        ("nickname,born|Fern,2019", Some(1), "\"born\""),
        (&sixty_one, Some(61), "Line 61 is one child too many"),
    ]
    .map(|(text, line, words)| (text.to_owned(), line, words))
    .into();
    for (text, line, words) in table {
        let error = read_text(&text).unwrap_err();
        let refusal = HttpRefusal::from(error);
        assert_eq!(refusal.line, line, "{text:?}: {}", refusal.message);
        assert!(refusal.message.contains(words), "{text:?}: {}", refusal.message);
    }
}

#[test]
fn broken_text_and_large_files_are_refused_before_anything_is_read() {
    let broken = read(b"Fern\nMo\xffss\n").unwrap_err();
    assert_eq!(broken, ClassListError::NotText { line: 2 });
    // A list saved as UTF-16, as spreadsheets offer, begins with the bytes FF FE.
    let utf16: Vec<u8> = "\u{feff}Fern\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(read(&utf16).unwrap_err(), ClassListError::NotText { line: 1 });
    let ten_megabytes = vec![b'x'; 10_000_000];
    assert_eq!(read(&ten_megabytes).unwrap_err(), ClassListError::FileTooLarge);
    let just_too_large = vec![b'\n'; CLASS_LIST_BYTES_MAX + 1];
    assert_eq!(read(&just_too_large).unwrap_err(), ClassListError::FileTooLarge);
    assert_eq!(read(&vec![b'\n'; CLASS_LIST_BYTES_MAX]).unwrap_err(), ClassListError::Empty);
}

#[test]
fn pictures_are_given_out_once_and_never_a_garden_helper() {
    let list = |pupils: usize| -> Vec<Pupil> {
        let rows: String = (0..pupils).map(|pupil| format!("Pupil {pupil}|")).collect();
        read_text(&rows).unwrap()
    };
    for pupils in 1..=THINGS.len() {
        let mut pictures: Vec<Picture> = list(pupils).iter().map(|pupil| pupil.picture).collect();
        assert!(pictures.iter().all(|picture| !GARDEN_HELPERS.contains(picture)));
        pictures.sort_unstable();
        pictures.dedup();
        assert_eq!(pictures.len(), pupils);
    }
    // Past the last picture they repeat, but never within reach of one table of six.
    let all = list(PUPILS_MAX);
    for neighbours in all.windows(6) {
        let own = neighbours[0].picture;
        assert!(neighbours[1..].iter().all(|pupil| pupil.picture != own));
    }
}

#[test]
fn a_chosen_picture_is_not_given_to_somebody_else() {
    let pupils = read_text("Fern|Moss,apple|Twig").unwrap();
    assert_eq!(pupils[1].picture, Picture::Apple);
    assert_ne!(pupils[0].picture, Picture::Apple);
    assert_ne!(pupils[2].picture, Picture::Apple);
}

#[test]
fn pairs_are_kept_apart_once_whoever_names_whom() {
    let pairs = |text: &str| -> Vec<[u16; 2]> {
        let list = read_list(text).unwrap();
        list.apart.iter().map(|pair| pair.both().map(|pupil| pupil.0)).collect()
    };
    let table: [(&str, &[[u16; 2]]); 6] = [
        ("Fern|Moss", &[]),
        ("Fern,,,Moss|Moss", &[[0, 1]]),
        ("Fern|Moss,,, FERN ", &[[0, 1]]),
        ("Fern,,,Moss|Moss,,,Fern", &[[0, 1]]),
        ("Fern,,,Twig,Moss|Moss|Twig", &[[0, 1], [0, 2]]),
        ("apart,nickname,apart|,Fern,Twig|Twig,Moss,|,Twig,", &[[0, 2], [1, 2]]),
    ];
    for (text, expected) in table {
        assert_eq!(pairs(text), expected, "{text:?}");
    }
}

#[test]
fn a_list_that_was_written_is_read_as_the_same() {
    for text in [
        "Fern",
        "Fern,pear,2,Moss,Twig|Moss,,1|Twig,,,Moss",
        "\"A, \"\"B\"\"\",,3|=1+1|;|Zoë|\u{5c0f}\u{660e}|Nickname,,,Zoë",
    ] {
        let list = read_list(text).unwrap();
        assert_eq!(read(&write(&list)).unwrap(), list, "{text:?}");
    }
    // Past the last picture they are given out again, so only the names come back for certain.
    let names = |list: ClassList| list.pupils.into_iter().map(|pupil| pupil.name).collect();
    let many: String = (0..PUPILS_MAX).map(|pupil| format!("Pupil {pupil}|")).collect();
    let list = read_list(&many).unwrap();
    let again: Vec<String> = names(read(&write(&list)).unwrap());
    assert_eq!(again, names(list));
}

/// CSV as in RFC 4180: a header, CRLF, fields with commas or quotation marks in quotation marks.
#[test]
fn the_written_file_looks_as_the_standard_says() {
    let list = read_list("Fern,pear,2,\"Moss, M\"|\"Moss, M\",plum").unwrap();
    let expected = "\u{feff}nickname,picture,readiness,apart\r\n\
                    Fern,pear,2,\"Moss, M\"\r\n\"Moss, M\",plum,,\r\n";
    assert_eq!(String::from_utf8(write(&list)).unwrap(), expected);
}

#[test]
fn who_plays_at_home_is_read_written_and_refused_with_its_line() {
    let text = "nickname,home,apart|Fern,yes,|Moss,No,Fern|Twig,,";
    let list = read_list(text).unwrap();
    let at_home = |list: &ClassList| list.pupils.iter().map(|one| one.at_home).collect::<Vec<_>>();
    assert_eq!(at_home(&list), [true, false, false]);
    assert_eq!(read(&write(&list)).unwrap(), list);
    let plain = read_list("Fern|Moss|Twig").unwrap();
    assert!(!String::from_utf8(write(&plain)).unwrap().contains("home"));
    assert_eq!(read_list("name,home|Fern,maybe"), Err(ClassListError::BadHome { line: 2 }));

    // The same list without the column keeps the marks; one that marks anybody is the new word.
    let mut again = read_list("Moss|FERN|Ash").unwrap();
    again.keep_marks_of(&list);
    assert_eq!(at_home(&again), [false, true, false]);
    let mut other = read_list("name,home|Fern,|Moss,yes").unwrap();
    other.keep_marks_of(&list);
    assert_eq!(at_home(&other), [false, true]);
}
