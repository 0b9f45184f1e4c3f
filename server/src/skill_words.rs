//! A deck in plain words on the command line: the skill by name, its settings, ages, size and seed.
//! `print` and `decks` share it. It knows names and options, not how a deck is made.

use anyhow::bail;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, OwnDeckId};
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::LessonPlan;
use handround_server::deck::own::OwnDeck;
use handround_server::deck::{Deck, family_of, from_plan};

/// How a skill's name becomes a skill.
#[derive(Clone, Copy)]
enum Setting {
    /// It has no setting.
    None(Skill),
    /// It goes to a largest number, this one unless said otherwise.
    To(u16, fn(u16) -> Skill),
    /// Its times lie so many minutes apart.
    Minutes(u8),
}

use Setting::{None as Plain, To};

/// Every skill by its word, in the order in which schools come to them.
const SKILLS: &[(&str, Setting)] = &[
    ("numbers", Plain(Skill::Numbers)),
    ("teens", Plain(Skill::TeenNumbers)),
    ("sums", To(10, |max| Skill::SumsWithin { max })),
    ("partners-of-ten", Plain(Skill::PartnersOfTen)),
    ("one-more", To(20, |max| Skill::OneMore { max })),
    ("ten-more", Plain(Skill::TenMore)),
    ("place-value", To(99, |max| Skill::PlaceValue { max })),
    ("arrays", Plain(Skill::Arrays)),
    ("letters", Plain(Skill::Letters)),
    ("first-sounds", Plain(Skill::FirstSounds)),
    ("rhymes", Plain(Skill::Rhymes)),
    ("short-vowels", Plain(Skill::ShortVowelWords)),
    ("word-families", Plain(Skill::WordFamilies)),
    ("sight-words", Plain(Skill::SightWords)),
    ("shapes", Plain(Skill::Shapes)),
    ("equal-shares", Plain(Skill::EqualShares)),
    ("clock", Setting::Minutes(60)),
    ("coins", To(25, |cents_max| Skill::Coins { cents_max })),
    ("last-sounds", Plain(Skill::FinalSounds)),
    ("middle-vowels", Plain(Skill::MiddleVowels)),
    ("digraphs", Plain(Skill::Digraphs)),
    ("blends", Plain(Skill::Blends)),
    ("silent-e", Plain(Skill::SilentE)),
    ("vowel-teams", Plain(Skill::VowelTeams)),
    ("vowels-with-r", Plain(Skill::RVowels)),
    ("claps", Plain(Skill::Syllables)),
    ("short-forms", Plain(Skill::Contractions)),
    ("compounds", Plain(Skill::Compounds)),
    ("before-after", To(20, |max| Skill::BeforeAfter { max })),
    ("solids", Plain(Skill::Solids)),
];

/// A skill as it is named on the command line.
#[derive(Clone, Copy)]
pub struct SkillWord(&'static str, Setting);

impl std::str::FromStr for SkillWord {
    type Err = String;

    fn from_str(text: &str) -> Result<SkillWord, String> {
        let named = SKILLS.iter().find(|(word, _)| *word == text.to_ascii_lowercase());
        named.map(|(word, setting)| SkillWord(word, *setting)).ok_or_else(|| {
            let words: Vec<_> = SKILLS.iter().map(|(word, _)| *word).collect();
            format!("the skills are {}", words.join(", "))
        })
    }
}

/// The options that choose a deck.
#[derive(clap::Args)]
pub struct DeckWords {
    /// What the deck practises, such as numbers, letters, rhymes, clock or coins.
    #[arg(long, value_name = "SKILL", default_value = "numbers")]
    skill: SkillWord,
    /// For whom: 5-6, 6-7 or 7-8; the youngest that the skill suits unless said otherwise.
    #[arg(long, value_name = "YEARS", value_parser = ages)]
    ages: Option<AgeBand>,
    /// The first and the last number of a deck of numbers: 1..10 unless said otherwise.
    #[arg(long, value_name = "FIRST..LAST", value_parser = numbers)]
    numbers: Option<(u16, u16)>,
    /// The largest number of sums, one-more, before-after and place-value; the most cents of coins.
    #[arg(long, value_name = "NUMBER")]
    to: Option<u16>,
    /// Minutes between the times of a clock deck: 60, 30, 15 or 5.
    #[arg(long, value_name = "MINUTES")]
    minutes: Option<u8>,
    /// Match groups in the deck, four cards each; as many as there can be, at most 13, unless said
    /// otherwise.
    #[arg(long, value_name = "COUNT")]
    groups: Option<u8>,
    /// Pairs that children take for each other, such as b and d: avoid, allow or target.
    #[arg(long, value_name = "WHAT", default_value = "allow", value_parser = confusables)]
    confusables: Confusables,
    /// Chooses among the possible decks; the same number gives the same deck.
    #[arg(long, value_name = "NUMBER", default_value_t = 0)]
    seed: u64,
}

/// A skill with its setting as it is said on the command line: `sums --to 10`. `None` for a skill that
/// needs more than words.
pub fn said(skill: Skill) -> Option<String> {
    let same = |other: Skill| std::mem::discriminant(&other) == std::mem::discriminant(&skill);
    let clock = Skill::ClockTimes { step_minutes: 60 };
    let (word, _) = SKILLS.iter().find(|(_, setting)| match setting {
        Plain(plain) => same(*plain),
        To(usual, make) => same(make(*usual)),
        Setting::Minutes(_) => same(clock),
    })?;
    Some(match skill {
        Skill::SumsWithin { max }
        | Skill::OneMore { max }
        | Skill::BeforeAfter { max }
        | Skill::PlaceValue { max } => format!("{word} --to {max}"),
        Skill::Coins { cents_max } => format!("{word} --to {cents_max}"),
        Skill::ClockTimes { step_minutes } => format!("{word} --minutes {step_minutes}"),
        _ => (*word).to_owned(),
    })
}

impl DeckWords {
    /// The plan for a teacher's own deck: ages, size, pairs and seed are as the words say.
    ///
    /// # Errors
    /// A setting that only a skill has.
    pub fn own_plan(&self, own: &OwnDeck) -> anyhow::Result<LessonPlan> {
        let setting = [
            ("--numbers", self.numbers.is_some()),
            ("--to", self.to.is_some()),
            ("--minutes", self.minutes.is_some()),
        ];
        if let Some((name, _)) = setting.iter().find(|(_, said)| *said) {
            bail!("{name} says nothing about a deck of your own");
        }
        let mut plan = LessonPlan::for_ages(self.ages.unwrap_or(AgeBand::FiveToSix));
        plan.skill = Skill::OwnDeck { deck: OwnDeckId([0; 16]) };
        plan.confusables = self.confusables;
        plan.groups = self.groups.unwrap_or_else(|| own.family().groups_max(self.confusables));
        Ok(plan)
    }

    /// The plan that these words make.
    ///
    /// # Errors
    /// A setting that the skill does not have or does not allow, in a sentence.
    pub fn plan(&self) -> anyhow::Result<LessonPlan> {
        let SkillWord(word, setting) = self.skill;
        let mut plan = LessonPlan::for_ages(self.ages.unwrap_or(AgeBand::FiveToSix));
        plan.skill = match (setting, self.to, self.minutes) {
            (Plain(skill), None, None) => skill,
            (To(usual, skill), to, None) => skill(to.unwrap_or(usual)),
            (Setting::Minutes(usual), None, minutes) => {
                Skill::ClockTimes { step_minutes: minutes.unwrap_or(usual) }
            }
            (_, Some(_), _) => bail!("--to says nothing about {word}"),
            (_, _, Some(_)) => bail!("--minutes says nothing about {word}"),
        };
        match self.numbers {
            None => (plan.number_min, plan.number_max) = (1, 10),
            Some(range) if plan.skill == Skill::Numbers => {
                (plan.number_min, plan.number_max) = range
            }
            Some(_) => bail!("--numbers says nothing about {word}"),
        }
        plan.confusables = self.confusables;
        let family = family_of(&plan)?;
        if self.ages.is_none() {
            plan.ages = family.ages.0;
        }
        plan.groups = match self.groups {
            Some(groups) => groups,
            None => family_of(&plan)?.groups_max(plan.confusables),
        };
        Ok(plan)
    }

    /// The deck. It lives in a file or on the terminal alone, so its id names nothing.
    ///
    /// # Errors
    /// As `plan`, and what makes the deck impossible.
    pub fn deck(&self) -> anyhow::Result<Deck> {
        Ok(from_plan(&self.plan()?, DeckId([0; 16]), self.seed())?)
    }

    /// The seed's number.
    pub fn seed_number(&self) -> u64 {
        self.seed
    }

    /// The seed in full.
    pub fn seed(&self) -> [u8; 32] {
        let mut seed = [0; 32];
        seed[..8].copy_from_slice(&self.seed.to_le_bytes());
        seed
    }
}

fn ages(text: &str) -> Result<AgeBand, String> {
    match text {
        "5-6" => Ok(AgeBand::FiveToSix),
        "6-7" => Ok(AgeBand::SixToSeven),
        "7-8" => Ok(AgeBand::SevenToEight),
        _ => Err("the ages are 5-6, 6-7 or 7-8".to_owned()),
    }
}

fn confusables(text: &str) -> Result<Confusables, String> {
    match text {
        "avoid" => Ok(Confusables::Avoid),
        "allow" => Ok(Confusables::Allow),
        "target" => Ok(Confusables::Target),
        _ => Err("such pairs are to avoid, allow or target".to_owned()),
    }
}

fn numbers(text: &str) -> Result<(u16, u16), String> {
    let ends = text
        .split_once("..")
        .and_then(|(first, last)| Some((first.trim().parse().ok()?, last.trim().parse().ok()?)));
    ends.ok_or_else(|| "write the first and the last number, such as 1..10".to_owned())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use clap::Parser;
    use handround_server::deck::families::skills_on_offer;

    #[derive(Parser)]
    struct Line {
        #[command(flatten)]
        deck: DeckWords,
    }

    fn read(words: &str) -> DeckWords {
        Line::try_parse_from(words.split_whitespace()).unwrap().deck
    }

    /// Whatever the workshop offers can be said on the command line too.
    #[test]
    fn every_skill_on_offer_has_a_word() {
        let mut said: Vec<Skill> = Vec::new();
        for (word, setting) in SKILLS {
            assert_eq!(SKILLS.iter().filter(|(other, _)| other == word).count(), 1, "{word}");
            let more: Vec<String> = match setting {
                Plain(_) => vec![String::new()],
                To(..) => (5..=999).map(|to| format!("--to {to}")).collect(),
                Setting::Minutes(_) => [5, 15, 30, 60].map(|m| format!("--minutes {m}")).to_vec(),
            };
            for more in more {
                let words = read(&format!("x --skill {word} --groups 4 {more}"));
                said.extend(words.plan().map(|plan| plan.skill));
            }
            let deck = read(&format!("x --skill {word}")).deck().unwrap();
            assert!(deck.cards.len() >= 12, "{word} makes {} cards", deck.cards.len());
        }
        for offer in skills_on_offer() {
            for setting in offer.settings {
                assert!(said.contains(&setting.skill), "no word for {:?}", setting.skill);
                let words = super::said(setting.skill).unwrap();
                let plan = read(&format!("x --groups 4 --skill {words}")).plan().unwrap();
                assert_eq!(plan.skill, setting.skill, "{words}");
            }
        }
    }

    #[test]
    fn a_setting_of_another_skill_is_refused() {
        for (words, said) in [
            ("x --skill letters --to 5", "--to says nothing about letters"),
            ("x --skill coins --minutes 5", "--minutes says nothing about coins"),
            ("x --skill clock --numbers 1..5", "--numbers says nothing about clock"),
            ("x --skill clock --minutes 7", "60, 30, 15 or 5"),
        ] {
            let no = read(words).plan().unwrap_err().to_string();
            assert!(no.contains(said), "{words}: {no}");
        }
        assert!(Line::try_parse_from(["x", "--skill", "juggling"]).is_err());
    }
}
