//! `handround decks` from outside: every skill listed, decks and deck files checked, rounds simulated;
//! answers in words and as JSON, refusals in one sentence with an exit code.
#![allow(clippy::unwrap_used)]

use handround_server::deck::families::skills_on_offer;
use handround_server::deck::own::{Format, Pictures, read};
use handround_tests::program::handround;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn decks(words: &[&str]) -> Output {
    Command::new(handround()).arg("decks").args(words).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The JSON on stdout, which holds nothing else.
fn answer(words: &[&str]) -> Value {
    let output = decks(&[words, &["--json"]].concat());
    assert!(output.status.success(), "{words:?}: {}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// What stderr says of words that are refused; stdout stays empty.
fn refusal(words: &[&str]) -> String {
    let output = decks(words);
    assert!(!output.status.success(), "{words:?} was not refused");
    assert!(output.stdout.is_empty(), "{words:?} printed something");
    text(&output.stderr)
}

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().join("deploy/own-decks")
}

#[test]
fn every_setting_on_offer_is_listed_with_standards_faces_and_groups_and_can_be_checked() {
    let listed = answer(&["list"]);
    let listed = listed.as_array().unwrap();
    let offered: usize = skills_on_offer().iter().map(|offer| offer.settings.len()).sum();
    assert_eq!(listed.len(), offered);
    for line in listed {
        let skill = line["skill"].as_str().unwrap();
        assert!(!line["standards"].as_array().unwrap().is_empty(), "{skill} serves no standard");
        assert!(!line["kinds"].as_array().unwrap().is_empty(), "{skill} has no faces");
        let most = line["groups_max"].as_u64().unwrap();
        assert!((1..=13).contains(&most), "{skill}: {most} groups");
        let words: Vec<&str> = ["check", "--skill"].into_iter().chain(skill.split(' ')).collect();
        let checked = answer(&words);
        assert_eq!(checked["valid"], true);
        assert_eq!(checked["cards"].as_u64().unwrap(), 4 * checked["groups"].as_u64().unwrap());
    }
    let words = text(&decks(&["list"]).stdout);
    // Common Core State Standards (2010), from memory: counting objects, and telling time.
    for code in ["K.CC.B.5", "1.MD.B.3"] {
        assert!(words.contains(code), "{code} is not listed");
    }
}

#[test]
fn the_example_decks_are_checked_in_every_format() {
    let folder = examples();
    let toml = folder.join("plants.toml");
    let csv = folder.join("plants.csv");
    let pictures: Pictures = ["root", "stem", "seed"]
        .map(|name| format!("{name}.svg"))
        .into_iter()
        .map(|name| (name.clone(), fs::read(folder.join(name)).unwrap()))
        .collect();
    let saved = tempfile::Builder::new().suffix(".json").tempfile().unwrap();
    let deck = read(&fs::read(&toml).unwrap(), Format::Toml, &pictures).unwrap();
    fs::write(saved.path(), deck.save().unwrap()).unwrap();
    for path in [toml.as_path(), csv.as_path(), saved.path()] {
        let checked = answer(&["check", path.to_str().unwrap()]);
        assert_eq!(checked["groups"].as_u64().unwrap(), deck.groups.len() as u64, "{path:?}");
        assert!(checked["name"].as_str().unwrap().contains("lants"), "{path:?}");
    }
}

#[test]
fn a_deck_file_of_the_workshop_is_checked_too() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shared.json");
    let write = |text: &str| fs::write(&path, text).unwrap();
    write(
        r#"{"handround_deck": 1, "name": "Monday", "deck": {"ages": "FiveToSix", "skill": "Numbers",
            "confusables": "Avoid", "number_min": 1, "number_max": 9, "groups": 6}}"#,
    );
    let path = path.to_str().unwrap();
    assert_eq!(answer(&["check", path])["groups"], 6);
    write(
        r#"{"handround_deck": 1, "name": "Monday", "deck": {"ages": "FiveToSix", "skill": "Numbers",
            "confusables": "Avoid", "number_min": 1, "number_max": 4, "groups": 9}}"#,
    );
    assert!(refusal(&["check", path]).contains("groups"), "too few numbers for nine groups");
    write(r#"{"handround_deck": 7, "name": "Monday", "deck": {}}"#);
    assert!(refusal(&["check", path]).contains("deck file"), "a later version");
}

#[test]
fn a_simulation_says_what_it_assumed_and_gives_the_same_again() {
    let words = ["simulate", "--skill", "numbers", "--groups", "7", "--rounds", "20"];
    let first = answer(&words);
    assert_eq!(first, answer(&words), "the same seed gives the same games");
    let expected = &first["expected"];
    let span = |what: &str, which: &str| expected[what][which].as_u64().unwrap();
    for what in ["round", "game"] {
        assert!(span(what, "median_s") > 0);
        assert!(span(what, "median_s") <= span(what, "slow_tenth_s"), "{what}");
    }
    assert!(span("round", "median_s") < span("game", "median_s"));
    assert!(expected["rounds"].as_u64().unwrap() >= 20);
    let groups = expected["proposal"]["groups"].as_u64().unwrap();
    assert!((6..=13).contains(&groups), "a table of four needs (4 + 2) x 4 cards: {groups}");

    let output = decks(&words);
    assert!(text(&output.stderr).contains("round 20 of 20"), "progress goes to stderr");
    let said = text(&output.stdout);
    assert!(said.contains("Assumed: ") && said.contains("seed 0"), "{said}");

    let slow = answer(&[&words[..], &["--pace", "12", "--mistakes", "40"]].concat());
    let slow = slow["expected"]["round"]["median_s"].as_u64().unwrap();
    assert!(slow > span("round", "median_s"), "a slow and unsure table takes longer");
}

#[test]
fn what_cannot_be_done_is_refused_in_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let plants = fs::read_to_string(examples().join("plants.toml")).unwrap();
    // Its pictures do not lie beside it here.
    let lonely = put("lonely.toml", plants.as_bytes());
    let outside = put("outside.toml", plants.replace("root.svg", "../root.svg").as_bytes());
    fs::write(folder.path().join("stem.svg"), "<svg").unwrap();
    let clash = "name:,Twice\na,1,one,ONE,x\nb,2,two,TWO,one\nc,3,three,THREE,y\nd,4,four,FOUR,z\n";
    let clash = put("clash.csv", clash.as_bytes());
    let huge = put("huge.json", &vec![b' '; 12 * 1024 * 1024]);
    let other = put("deck.txt", b"");
    for (words, said) in [
        (vec!["check", &lonely], "was not sent along"),
        (vec!["check", &outside], "was not sent along"),
        (vec!["check", &clash], "ine 3"),
        (vec!["check", &huge], "larger than"),
        (vec!["check", &other], "neither .toml nor .csv"),
        (vec!["check", "nowhere.toml"], "cannot be read"),
        (vec!["check", &lonely, "--skill", "coins"], "cannot be used with"),
        (vec!["check", "--skill", "coins", "--to", "7"], "7"),
        (vec!["simulate", "--seats", "7"], "2 to 6 players"),
        (vec!["simulate", "--groups", "4"], "use more groups"),
        (vec!["simulate", "--rounds", "0"], "1 to 20000 rounds"),
        (vec!["simulate", "--pace", "nan"], "0.5 to 30 seconds"),
        (vec!["simulate", "--mistakes=-1"], "mistakes"),
    ] {
        let no = refusal(&words);
        assert!(no.contains(said), "{words:?}: {no}");
    }
}
