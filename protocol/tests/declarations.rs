//! Holds the pages' TypeScript declarations to the wire's types. It knows nothing of the pages: it
//! writes all declarations into one text and compares it with the committed one.
//!
//! After a change of the wire: `HANDROUND_UPDATE=1 cargo test -p handround-protocol --test declarations`.
#![allow(clippy::unwrap_used)]

use handround_protocol::{
    classes, close::Close, door, face::FaceSheet, join, message, substitute, view::HandTold,
    workshop,
};
use std::collections::BTreeMap;
use std::{env, fs, path::Path};
use ts_rs::{Config, TS};

/// Adds a root and every type it reaches; one declaration a type, without imports, since all of
/// them stand in one file.
fn add<T: TS + 'static>(config: &Config, declarations: &mut BTreeMap<String, String>) {
    T::export_all(config).unwrap();
    for entry in fs::read_dir(config.out_dir()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(path).unwrap();
        let lines =
            text.lines().filter(|line| !line.starts_with("// ") && !line.starts_with("import "));
        let body = lines.map(str::trim_end).collect::<Vec<_>>().join("\n");
        declarations.insert(name, body.trim().to_owned());
    }
}

#[test]
fn the_pages_declarations_are_those_of_the_wire() {
    let folder = env::temp_dir().join(format!("handround-declarations-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    // Numbers on the wire stay below 2^53, so that `number` holds them; `bigint` is never needed.
    let config = Config::new().with_out_dir(&folder).with_large_int("number");
    let mut declarations = BTreeMap::new();
    add::<message::ToServer>(&config, &mut declarations);
    add::<message::ToClient>(&config, &mut declarations);
    add::<Close>(&config, &mut declarations);
    add::<FaceSheet>(&config, &mut declarations);
    add::<join::JoinRow>(&config, &mut declarations);
    add::<join::JoinLink>(&config, &mut declarations);
    add::<join::JoinPlaces>(&config, &mut declarations);
    add::<join::JoinPick>(&config, &mut declarations);
    add::<join::Joined>(&config, &mut declarations);
    add::<join::HttpRefusal>(&config, &mut declarations);
    add::<join::LessonMade>(&config, &mut declarations);
    add::<join::LessonLine>(&config, &mut declarations);
    add::<join::RaceTold>(&config, &mut declarations);
    add::<door::DoorPick>(&config, &mut declarations);
    add::<door::DoorCard>(&config, &mut declarations);
    add::<door::DoorTablet>(&config, &mut declarations);
    add::<door::TabletTold>(&config, &mut declarations);
    add::<door::DoorWait>(&config, &mut declarations);
    add::<door::DoorUndo>(&config, &mut declarations);
    add::<door::DoorView>(&config, &mut declarations);
    add::<door::DoorSays>(&config, &mut declarations);
    add::<door::SharedAsked>(&config, &mut declarations);
    add::<substitute::SubstituteDay>(&config, &mut declarations);
    add::<substitute::SubstituteLink>(&config, &mut declarations);
    add::<substitute::SubstituteAsk>(&config, &mut declarations);
    add::<substitute::SubstituteSlotAsk>(&config, &mut declarations);
    add::<substitute::SubstituteDoor>(&config, &mut declarations);
    add::<classes::ClassLine>(&config, &mut declarations);
    add::<classes::ClassTold>(&config, &mut declarations);
    add::<classes::PictureAsked>(&config, &mut declarations);
    add::<classes::HomeAsked>(&config, &mut declarations);
    add::<classes::GroupsAsked>(&config, &mut declarations);
    add::<classes::GroupsTold>(&config, &mut declarations);
    add::<classes::SuggestedDeck>(&config, &mut declarations);
    add::<classes::NextTold>(&config, &mut declarations);
    add::<classes::LessonAsked>(&config, &mut declarations);
    add::<HandTold>(&config, &mut declarations);
    add::<workshop::SkillOffer>(&config, &mut declarations);
    add::<workshop::PreviewAsk>(&config, &mut declarations);
    add::<workshop::DeckPreview>(&config, &mut declarations);
    add::<workshop::PrintAsk>(&config, &mut declarations);
    add::<workshop::LengthAsk>(&config, &mut declarations);
    add::<workshop::DeckLength>(&config, &mut declarations);
    add::<workshop::SlotAsked>(&config, &mut declarations);
    add::<workshop::SlotTold>(&config, &mut declarations);
    add::<workshop::OwnDeckSent>(&config, &mut declarations);
    add::<workshop::OwnDeckLine>(&config, &mut declarations);
    add::<workshop::UseDeck>(&config, &mut declarations);
    add::<workshop::KeptDeck>(&config, &mut declarations);
    fs::remove_dir_all(&folder).unwrap();

    let head = "// The wire's types for the pages, generated from `protocol` by ts-rs. Do not edit:\n\
                // HANDROUND_UPDATE=1 cargo test -p handround-protocol --test declarations\n\n";
    let bodies = declarations.into_values().collect::<Vec<_>>().join("\n\n");
    let fresh = format!("{head}{bodies}\n");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../server/pages/types/wire.d.ts");
    if env::var_os("HANDROUND_UPDATE").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, &fresh).unwrap();
    }
    let committed = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        committed == fresh,
        "server/pages/types/wire.d.ts is stale: run HANDROUND_UPDATE=1 cargo test -p handround-protocol --test declarations"
    );
}
