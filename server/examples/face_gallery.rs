//! Writes drawings into one HTML page, to be looked at: one deck of every family, or every drawing of
//! one kind of number, the alphabets, faces with helpers, or the short vowel words' pictures as children
//! name them: `cargo run -p handround-server --example face_gallery -- faces.html
//! [Family | Kind | Alphabet | Helped | Named]`.

use anyhow::Context as _;
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::LessonPlan;
use handround_server::deck::alphabet::{Hand, specimen};
use handround_server::deck::difficulty::difficulty;
use handround_server::deck::shown::Shown;
use handround_server::deck::{face, family_of};
use std::fmt::Write as _;

/// Every skill with the settings that show it best.
const SKILLS: [Skill; 30] = [
    Skill::Numbers,
    Skill::TeenNumbers,
    Skill::SumsWithin { max: 20 },
    Skill::PartnersOfTen,
    Skill::OneMore { max: 20 },
    Skill::TenMore,
    Skill::Arrays,
    Skill::PlaceValue { max: 99 },
    Skill::PlaceValue { max: 999 },
    Skill::Letters,
    Skill::FirstSounds,
    Skill::ShortVowelWords,
    Skill::WordFamilies,
    Skill::Rhymes,
    Skill::SightWords,
    Skill::ClockTimes { step_minutes: 15 },
    Skill::Coins { cents_max: 100 },
    Skill::EqualShares,
    Skill::FinalSounds,
    Skill::MiddleVowels,
    Skill::Digraphs,
    Skill::Blends,
    Skill::SilentE,
    Skill::VowelTeams,
    Skill::RVowels,
    Skill::Syllables,
    Skill::Contractions,
    Skill::Compounds,
    Skill::BeforeAfter { max: 20 },
    Skill::Solids,
];

fn main() -> anyhow::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().context("give the path of the page to write")?;
    let wanted = arguments.next();
    let is_wanted = |name: &str| wanted.as_ref().is_none_or(|wanted| name.starts_with(wanted));
    let mut page = String::from(
        "<!doctype html><meta charset=utf-8><title>Faces</title><style>body{background:#cfd8c4;\
         font:16px sans-serif}div{display:flex;flex-wrap:wrap;gap:12px}div svg{width:160px}body>svg{display:block;background:#fbf6ea}</style>",
    );
    if is_wanted("Alphabet") {
        let lines = ["abcdefghijklm", "nopqrstuvwxyz", "ABCDEFGHIJKLM", "NOPQRSTUVWXYZ"];
        let books = lines.iter().map(|line| (Hand::Book, *line));
        let ours = lines.iter().chain(&["0123456789", "+−=:.’¢$-"]);
        for (hand, text) in ours.map(|line| (Hand::Manuscript, *line)).chain(books) {
            let svg = specimen(hand, text).context("the alphabet lacks a letter")?;
            page.push_str(&svg.replacen("<svg", "<svg height=120", 1));
        }
    }
    for skill in SKILLS.into_iter().chain([Skill::Shapes]) {
        if !is_wanted(&format!("{skill:?}")) {
            continue;
        }
        let plan =
            LessonPlan { skill, number_max: 20, ..LessonPlan::for_ages(AgeBand::SixToSeven) };
        let family = family_of(&plan)?;
        let groups = family.groups_max(Confusables::Allow);
        let deck = family.deck(groups, Confusables::Allow, DeckId([1; 16]), [5; 32])?;
        write!(
            page,
            "<h2>{}: {} groups, difficulty {}</h2><div>",
            family.name,
            groups,
            difficulty(&deck).score()
        )?;
        let mut faces = deck.sheet().faces;
        faces.sort_by_key(|face| (face.group, face.kind));
        faces.iter().for_each(|face| page.push_str(&face.svg));
        page.push_str("</div>");
    }
    if wanted.as_deref() == Some("Helped") {
        for skill in SKILLS.into_iter().chain([Skill::Shapes]) {
            let plan =
                LessonPlan { skill, number_max: 20, ..LessonPlan::for_ages(AgeBand::SixToSeven) };
            let family = family_of(&plan)?;
            let groups = family.groups_max(Confusables::Allow);
            let deck = family.deck(groups, Confusables::Allow, DeckId([1; 16]), [5; 32])?;
            let sheet = deck.sheet();
            let size =
                |svgs: &mut dyn Iterator<Item = &String>| svgs.map(String::len).sum::<usize>();
            let (faces, helped) = (
                size(&mut sheet.faces.iter().map(|face| &face.svg)),
                size(&mut sheet.with_helper.iter().map(|face| &face.svg)),
            );
            write!(page, "<h2>{}: {faces} bytes, helped {helped} bytes</h2>", family.name)?;
            for helper in face::HELPERS {
                write!(page, "<p>{helper:?}</p><div>")?;
                let own = sheet.with_helper.iter().filter(|face| face.helper == helper);
                own.take(20).for_each(|face| page.push_str(&face.svg));
                page.push_str("</div>");
            }
        }
    }
    if wanted.as_deref() == Some("Named") {
        let plan = LessonPlan {
            skill: Skill::ShortVowelWords,
            ..LessonPlan::for_ages(AgeBand::FiveToSix)
        };
        let family = family_of(&plan)?;
        for vowel in "aeiou".chars() {
            write!(page, "<h2>short {vowel}</h2><div>")?;
            let cards = family.groups.iter().flat_map(|group| group.cards());
            for (kind, shown) in cards {
                let Shown::Thing(word) = shown else { continue };
                if word.chars().nth(1) == Some(vowel) {
                    page.push_str(&face::draw_named(*kind, word).context(word.clone())?);
                }
            }
            page.push_str("</div>");
        }
    }
    for kind in face::KINDS {
        if wanted.as_ref().is_some_and(|wanted| *wanted == format!("{kind:?}")) {
            write!(page, "<h2>{kind:?}</h2><div>")?;
            for svg in face::values(kind).filter_map(|value| face::draw_number(kind, value)) {
                page.push_str(&svg);
            }
            page.push_str("</div>");
        }
    }
    std::fs::write(&path, page).with_context(|| format!("cannot write {path}"))
}
