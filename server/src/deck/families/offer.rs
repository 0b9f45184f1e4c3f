//! Every skill as a teacher chooses it: its name, its settings, whom it suits, the standards it serves.

use super::family_of;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Skill;
use handround_protocol::view::LessonPlan;
use handround_protocol::workshop::{SkillOffer, SkillSetting, StandardLine};

/// Name, subject, settings with their words.
type Line = (&'static str, &'static str, Vec<(Skill, String)>);

/// All skills, in the order in which schools come to them.
pub fn skills_on_offer() -> Vec<SkillOffer> {
    lines().into_iter().filter_map(offer).collect()
}

fn lines() -> Vec<Line> {
    let to = |numbers: &[u16], skill: fn(u16) -> Skill| {
        numbers.iter().map(|max| (skill(*max), format!("to {max}"))).collect::<Vec<_>>()
    };
    let one = |skill| vec![(skill, String::new())];
    let clock = [(60, "hours"), (30, "half hours"), (15, "quarter hours"), (5, "five minutes")];
    let clock = clock
        .map(|(step_minutes, words)| (Skill::ClockTimes { step_minutes }, words.to_owned()))
        .to_vec();
    let coins = [25, 50, 100].map(|cents_max| {
        let words =
            if cents_max == 100 { "to a dollar".into() } else { format!("to {cents_max}¢") };
        (Skill::Coins { cents_max }, words)
    });
    vec![
        ("Numbers and quantities", "Numbers", one(Skill::Numbers)),
        ("Teen numbers as ten and ones", "Numbers", one(Skill::TeenNumbers)),
        ("Addition and subtraction", "Numbers", to(&[5, 10, 20], |max| Skill::SumsWithin { max })),
        ("Partners of ten", "Numbers", one(Skill::PartnersOfTen)),
        (
            "One more, one less",
            "Numbers",
            to(&[10, 20, 50, 100, 120], |max| Skill::OneMore { max }),
        ),
        (
            "Just before, just after",
            "Numbers",
            to(&[10, 20, 50, 100, 120], |max| Skill::BeforeAfter { max }),
        ),
        ("Ten more, ten less", "Numbers", one(Skill::TenMore)),
        ("Place value", "Numbers", to(&[99, 999], |max| Skill::PlaceValue { max })),
        ("Rows and equal groups", "Numbers", one(Skill::Arrays)),
        ("Letters", "Reading", one(Skill::Letters)),
        ("First sounds", "Reading", one(Skill::FirstSounds)),
        ("Last sounds", "Reading", one(Skill::FinalSounds)),
        ("Middle vowels", "Reading", one(Skill::MiddleVowels)),
        ("Parts to clap", "Reading", one(Skill::Syllables)),
        ("Rhymes", "Reading", one(Skill::Rhymes)),
        ("Short vowel words", "Reading", one(Skill::ShortVowelWords)),
        ("Word families", "Reading", one(Skill::WordFamilies)),
        ("Two letters, one sound", "Reading", one(Skill::Digraphs)),
        ("Two consonants at the beginning", "Reading", one(Skill::Blends)),
        ("Silent e", "Reading", one(Skill::SilentE)),
        ("Vowel teams", "Reading", one(Skill::VowelTeams)),
        ("Vowels with r", "Reading", one(Skill::RVowels)),
        ("Sight words", "Reading", one(Skill::SightWords)),
        ("Short forms", "Reading", one(Skill::Contractions)),
        ("Words made of two", "Reading", one(Skill::Compounds)),
        ("Flat shapes", "Shapes and measures", one(Skill::Shapes)),
        ("Solids", "Shapes and measures", one(Skill::Solids)),
        ("Equal shares", "Shapes and measures", one(Skill::EqualShares)),
        ("Clock times", "Shapes and measures", clock),
        ("Coins", "Shapes and measures", coins.to_vec()),
    ]
}

fn offer((name, subject, settings): Line) -> Option<SkillOffer> {
    let (first, _) = settings.first()?;
    let plan = LessonPlan { skill: *first, ..LessonPlan::for_ages(AgeBand::FiveToSix) };
    let family = family_of(&plan).ok()?;
    let standard = |line: &crate::deck::family::Standard| StandardLine {
        code: line.code.to_owned(),
        asks: line.asks.to_owned(),
    };
    Some(SkillOffer {
        name: name.to_owned(),
        subject: subject.to_owned(),
        takes_numbers: *first == Skill::Numbers,
        settings: settings
            .into_iter()
            .map(|(skill, words)| SkillSetting { skill, words })
            .collect(),
        ages: family.ages,
        standards: family.standards.iter().map(standard).collect(),
    })
}
