//! One child's decisions put together, and the class's. Every figure stands beside the evidence that
//! it rests on; where that is too little, the figure is missing and not small.

use super::bounds::{CHANCES_MIN, FOURS_MIN, OFTEN_KNOWN, OFTEN_LEAST};
use super::cards::{CardFace, DeckFaces};
use super::confusion::{Confusion, confusions};
use super::decision::{Act, Decision, Exclusion};
use super::judge::{Judged, judge};
use super::recognition::{Recognition, Steadiness};
use super::stats::{Interval, Tracing, quartiles, wilson};
use super::trend::{ClassLook, LessonPlayed, Look, class_trend, trend, whole};
use super::words::CAUTIONS;
use crate::deck::face::kind_name;
use handround_protocol::face::FaceKind;
use handround_protocol::time::Micros;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What a child played, oldest first, of one lesson or of weeks.
#[derive(Clone, Debug)]
pub struct Played {
    /// The nickname.
    pub name: String,
    /// It has a support of pace or movement, so that its speed is nobody's business.
    pub unhurried: bool,
    /// Its decisions beside the deck in play.
    pub decisions: Vec<(Decision, Arc<DeckFaces>)>,
}

/// A skill, by the deck's name.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SkillLine {
    /// The deck's name.
    pub skill: String,
    /// Of all its items.
    pub recognition: Recognition,
}

/// A kind of face, as the new card.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KindLine {
    /// The kind.
    pub kind: FaceKind,
    /// Its name.
    pub name: String,
    /// Of new cards of this kind.
    pub recognition: Recognition,
    /// Seconds to decide: first quartile, median, third quartile; missing below eight moves, and
    /// where speed is not shown.
    pub seconds: Option<[f64; 3]>,
    /// Moves that this rests on.
    pub moves: usize,
}

/// Chances to match of one pair of kinds and one range.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RollUp {
    /// Names of the kinds.
    pub kinds: (String, String),
    /// Such as `6 to 10`.
    pub range: String,
    /// Taken.
    pub kept: usize,
    /// Of so many.
    pub chances: usize,
    /// 95 %; missing below eight chances.
    pub interval: Option<Interval>,
}

/// One item.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ItemLine {
    /// Its stored name.
    pub key: String,
    /// What a teacher calls it.
    pub title: String,
    /// The deck's name.
    pub skill: String,
    /// The skill as plans name it, which stays the same whatever its decks are called.
    #[serde(skip)]
    pub of_skill: String,
    /// Chances to match.
    pub chances: usize,
    /// Taken; hidden below eight chances.
    pub kept: Option<usize>,
    /// 95 %; hidden likewise.
    pub interval: Option<Interval>,
    /// How sure tracing is; hidden likewise.
    pub known: Option<f64>,
    /// In words.
    pub says: Steadiness,
}

/// The own four alike.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Fours {
    /// Noticed, with nobody's help.
    pub noticed: usize,
    /// Held three seconds or more when the round ended.
    pub missed: usize,
    /// Broken up.
    pub broken: usize,
    /// Seconds to notice: quartiles; missing below three, and where speed is not shown.
    pub seconds: Option<[f64; 3]>,
}

/// Decisions that did not count, and why. One decision may have several reasons.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Excluded {
    /// The reason.
    pub why: Exclusion,
    /// In words.
    pub words: &'static str,
    /// Decisions.
    pub count: usize,
}

/// One child.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChildReport {
    /// The nickname.
    pub name: String,
    /// Decisions that count.
    pub decisions: usize,
    /// Those that do not.
    pub excluded: Vec<Excluded>,
    /// By skill.
    pub skills: Vec<SkillLine>,
    /// By kind of face.
    pub kinds: Vec<KindLine>,
    /// By pair of kinds and range.
    pub pairs: Vec<RollUp>,
    /// By item, with those that the decks had and the child had no chance at.
    pub items: Vec<ItemLine>,
    /// The own four alike.
    pub fours: Fours,
    /// False grabs of any hand; most are no confusion.
    pub false_grabs: usize,
    /// What was taken for each other.
    pub confusions: Vec<Confusion>,
    /// Speed is not shown, since the child has a support of pace.
    pub speed_hidden: bool,
    /// The kind of face that took longest, where speed is shown.
    pub slowest_kind: Option<String>,
    /// Lesson by lesson, oldest first.
    pub trend: Vec<Look>,
    /// The deck that it played last, and when; the next one is suggested from it.
    #[serde(skip)]
    pub latest: Option<(Micros, Arc<DeckFaces>)>,
}

/// A confusion that several children share.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shared {
    /// The two items.
    pub items: (String, String),
    /// The children, in the order of the list.
    pub children: Vec<String>,
}

/// The class.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassReport {
    /// What every page says.
    pub cautions: [&'static str; 2],
    /// In the order of the list.
    pub children: Vec<ChildReport>,
    /// Confusions of two children or more.
    pub shared: Vec<Shared>,
    /// The class lesson by lesson, oldest first.
    pub trend: Vec<ClassLook>,
}

/// The report of a class over these lessons, oldest first.
pub fn report(lessons: &[LessonPlayed]) -> ClassReport {
    let mut children: Vec<ChildReport> = whole(lessons).iter().map(child).collect();
    for (place, one) in children.iter_mut().enumerate() {
        one.trend = trend(lessons, place);
    }
    let mut by_pair: BTreeMap<(String, String), Vec<String>> = BTreeMap::new();
    for one in &children {
        for found in &one.confusions {
            by_pair.entry(found.items.clone()).or_default().push(one.name.clone());
        }
    }
    let shared = by_pair
        .into_iter()
        .filter(|(_, children)| children.len() >= 2)
        .map(|(items, children)| Shared { items, children })
        .collect();
    ClassReport { cautions: CAUTIONS, children, shared, trend: class_trend(lessons) }
}

#[derive(Default)]
struct Item {
    title: String,
    skill: String,
    chances: Vec<bool>,
}

/// What one child's report is gathered in.
#[derive(Default)]
struct Gathered {
    skills: BTreeMap<String, Recognition>,
    kinds: BTreeMap<FaceKind, (Recognition, Vec<f64>)>,
    pairs: BTreeMap<(FaceKind, FaceKind, String), (usize, usize)>,
    items: BTreeMap<(String, String), Item>,
    fours: Fours,
    notice: Vec<f64>,
    excluded: BTreeMap<Exclusion, usize>,
    decks: BTreeSet<[u8; 16]>,
    counted: usize,
    false_grabs: usize,
}

fn seconds(micros: Micros) -> f64 {
    micros.0 as f64 / 1e6
}

impl Gathered {
    fn take(&mut self, one: &Decision, deck: &DeckFaces) {
        if self.decks.insert(deck.id.0) {
            for card in &deck.cards {
                self.item(card, deck);
            }
        }
        // How often a hint was needed is a finding by itself; the four is then neither here nor there.
        if !one.counts() {
            one.excluded.iter().collect::<BTreeSet<_>>().into_iter().for_each(|why| {
                *self.excluded.entry(*why).or_default() += 1;
            });
            return;
        }
        let Some(judged) = judge(one, deck) else { return };
        self.counted += 1;
        match one.act {
            Act::FourNoticed => {
                self.fours.noticed += 1;
                self.notice.push(seconds(one.taken));
            }
            Act::FourMissed => self.fours.missed += 1,
            Act::FalseGrab => self.false_grabs += 1,
            Act::Kept { .. } | Act::Passed => {}
        }
        self.fours.broken += usize::from(judged == Judged::FourBroken);
        let moved = matches!(one.act, Act::Kept { .. } | Act::Passed);
        let Some(new) = one.incoming.and_then(|card| deck.card(card)).filter(|_| moved) else {
            return;
        };
        self.skills.entry(deck.name.clone()).or_default().count(&judged);
        let (recognition, taken) = self.kinds.entry(new.kind).or_default();
        recognition.count(&judged);
        taken.push(seconds(one.taken));
        let Judged::Chance { kept, with } = judged else { return };
        self.item(new, deck).chances.push(kept);
        if let Some(with) = with {
            let kinds = (new.kind.min(with.kind), new.kind.max(with.kind));
            let (taken, of) = self.pairs.entry((kinds.0, kinds.1, new.range.clone())).or_default();
            *taken += usize::from(kept);
            *of += 1;
        }
    }

    /// An item is one within its skill, whichever decks it was in.
    fn item(&mut self, card: &CardFace, deck: &DeckFaces) -> &mut Item {
        let item = self.items.entry((deck.skill_name(), card.item.clone())).or_default();
        item.title.clone_from(&card.title);
        item.skill.clone_from(&deck.name);
        item
    }
}

fn item_line((of_skill, key): (String, String), item: Item) -> ItemLine {
    let chances = item.chances.len();
    let kept = item.chances.iter().filter(|kept| **kept).count();
    let known = Tracing::OURS.after(item.chances);
    let interval = wilson(kept, chances);
    let enough = chances >= CHANCES_MIN;
    let says = match chances {
        0 => Steadiness::NotSeen,
        _ if !enough => Steadiness::TooLittle,
        _ if interval.least >= OFTEN_LEAST && known >= OFTEN_KNOWN => Steadiness::Often,
        _ => Steadiness::NotYetSteady,
    };
    ItemLine {
        key,
        title: item.title,
        skill: item.skill,
        of_skill,
        chances,
        kept: enough.then_some(kept),
        interval: enough.then_some(interval),
        known: enough.then_some(known),
        says,
    }
}

/// How one child's matching went, skill by skill.
pub(super) fn skills(played: &Played) -> Vec<SkillLine> {
    let mut all = Gathered::default();
    for (one, deck) in &played.decisions {
        all.take(one, deck);
    }
    skill_lines(all.skills)
}

fn skill_lines(skills: BTreeMap<String, Recognition>) -> Vec<SkillLine> {
    let line = |(skill, own): (String, Recognition)| SkillLine { skill, recognition: own.finish() };
    skills.into_iter().map(line).collect()
}

/// The report of one child, without its trend.
pub fn child(played: &Played) -> ChildReport {
    let mut all = Gathered::default();
    for (one, deck) in &played.decisions {
        all.take(one, deck);
    }
    let speed_hidden = played.unhurried;
    let shown = |times: &[f64], least: usize| {
        if speed_hidden || times.len() < least { None } else { quartiles(times) }
    };
    let kinds: Vec<KindLine> = all
        .kinds
        .into_iter()
        .map(|(kind, (recognition, taken))| KindLine {
            kind,
            name: kind_name(kind).to_owned(),
            recognition: recognition.finish(),
            seconds: shown(&taken, CHANCES_MIN),
            moves: taken.len(),
        })
        .collect();
    let median = |line: &KindLine| line.seconds.map_or(0.0, |[_, median, _]| median);
    let slowest = kinds.iter().filter(|line| line.seconds.is_some());
    let slowest = slowest.max_by(|one, other| median(one).total_cmp(&median(other)));
    let pairs = all.pairs.into_iter().map(|((one, other, range), (kept, chances))| RollUp {
        kinds: (kind_name(one).to_owned(), kind_name(other).to_owned()),
        range,
        kept,
        chances,
        interval: (chances >= CHANCES_MIN).then(|| wilson(kept, chances)),
    });
    let decisions: Vec<(&Decision, &DeckFaces)> =
        played.decisions.iter().map(|(one, deck)| (one, &**deck)).collect();
    let items = all.items.into_iter().map(|(key, item)| item_line(key, item));
    ChildReport {
        name: played.name.clone(),
        decisions: all.counted,
        excluded: all
            .excluded
            .into_iter()
            .map(|(why, count)| Excluded { why, words: why.words(), count })
            .collect(),
        skills: skill_lines(all.skills),
        slowest_kind: slowest.map(|line| line.name.clone()),
        kinds,
        pairs: pairs.collect(),
        items: items.collect(),
        fours: Fours { seconds: shown(&all.notice, FOURS_MIN), ..all.fours },
        false_grabs: all.false_grabs,
        confusions: confusions(&decisions),
        speed_hidden,
        trend: Vec::new(),
        latest: played.decisions.last().map(|(one, deck)| (one.at, deck.clone())),
    }
}
