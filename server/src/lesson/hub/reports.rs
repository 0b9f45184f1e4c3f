//! The hub's half for reports: it gathers what the kept journals of a class hold, for `evidence` to
//! judge. Nothing of it is kept: deleting the class deletes what every report is made of.

use super::Hub;
use super::classes::trouble;
use crate::evidence::{
    ChildReport, ClassReport, DeckFaces, Lesson, LessonPlayed, Played, read, suggest,
};
use crate::game::{Entry, Event};
use crate::journal::{Store, StoreError};
use crate::lesson::class_list::{ClassList, Pupil};
use crate::lesson::decks::HeldMaterial;
use crate::lesson::grouping;
use crate::lesson::lesson_log::{
    DeckMade, LessonLog, Record, read_line, sheet_stream, table_stream,
};
use crate::lesson::live_lesson::no;
use crate::lesson::own_decks::own_deck;
use crate::limits::lesson::{REPORT_LESSONS_MAX, REPORT_LINES_MAX};
use crate::teacher::TeacherId;
use handround_protocol::classes::{
    GroupWay, GroupsAsked, GroupsTold, NextGroup, NextTold, SuggestedDeck,
};
use handround_protocol::face::FaceSheet;
use handround_protocol::id::{ClassId, DeckId, LessonId, PupilIndex};
use handround_protocol::join::HttpRefusal;
use handround_protocol::skill::Skill;
use handround_protocol::time::Micros;
use handround_protocol::wishes::DeckPlan;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// One lesson's journals as they are kept, before anything is read out of them.
struct KeptLesson {
    record: Record,
    decks: BTreeMap<DeckId, Arc<DeckFaces>>,
    tables: Vec<Vec<Entry>>,
}

impl KeptLesson {
    /// When the first cards were dealt; a lesson may have been made the evening before.
    fn began(&self) -> Micros {
        let dealt = |table: &Vec<Entry>| {
            table
                .iter()
                .find(|entry| matches!(entry.event, Event::Dealt { .. }))
                .map(|entry| entry.at)
        };
        let first = self.tables.iter().filter_map(dealt).min();
        let laid =
            || self.tables.iter().filter_map(|table| table.first()).map(|entry| entry.at).min();
        first.or_else(laid).unwrap_or(Micros(0))
    }
}

/// What a report is made from. Judging it takes a core for a while, so it is done elsewhere.
pub struct Kept {
    /// The class's name.
    pub name: String,
    list: ClassList,
    lessons: Vec<KeptLesson>,
    /// Nicknames of children whose speed is not shown, whichever lessons are asked for.
    unhurried: BTreeSet<String>,
    /// What the decks that were played can be made from again, by their skill.
    held: Vec<(Skill, HeldMaterial)>,
}

impl Hub {
    /// What the kept journals say of a class: of one lesson, or of all of them.
    ///
    /// # Errors
    /// There is no such class or lesson, or the store's trouble.
    pub async fn kept_evidence(
        &self,
        teacher: TeacherId,
        class: ClassId,
        lesson: Option<LessonId>,
    ) -> Result<Kept, HttpRefusal> {
        let told = self.kept(teacher, class).await?;
        let records = LessonLog::of_class(self.store(), class).await.map_err(trouble)?;
        let unhurried = records.iter().flat_map(unhurried).collect();
        let found = gather(self.store(), records, lesson).await.map_err(trouble)?;
        if lesson.is_some() && found.is_empty() {
            return Err(no("No such lesson of this class is kept."));
        }
        let mut held: Vec<(Skill, HeldMaterial)> = Vec::new();
        for made in found.iter().flat_map(|lesson| &lesson.record.decks) {
            let skill = made.plan.skill;
            if held.iter().all(|(known, _)| *known != skill) {
                let own = own_deck(self.store(), teacher, skill).await.map_err(trouble)?;
                held.push((skill, HeldMaterial::new(&told.list.pupils, own)));
            }
        }
        Ok(Kept { name: told.name, list: told.list, lessons: found, unhurried, held })
    }
}

/// The deck that any of these children played last.
fn latest_deck<'a>(children: &[&'a ChildReport]) -> Option<&'a DeckFaces> {
    let played = children.iter().filter_map(|child| child.latest.as_ref());
    played.max_by_key(|(at, _)| *at).map(|(_, deck)| &**deck)
}

/// The children of a lesson whose speed is not shown.
fn unhurried(record: &Record) -> Vec<String> {
    let hidden = record.support.iter().filter(|(_, support)| support.hides_speed());
    let pupil = |(pupil, _): (&PupilIndex, _)| record.pupils.get(usize::from(pupil.0));
    hidden.filter_map(pupil).map(|pupil| pupil.name.clone()).collect()
}

async fn gather(
    store: &dyn Store,
    records: Vec<Record>,
    wanted: Option<LessonId>,
) -> Result<Vec<KeptLesson>, StoreError> {
    let asked = |record: &Record| wanted.is_none_or(|wanted| record.made.lesson == wanted);
    // The latest lessons first, in case that not all of them can be read.
    let latest = records.into_iter().rev().filter(asked).take(REPORT_LESSONS_MAX);
    let (mut lessons, mut lines_read) = (Vec::new(), 0);
    for record in latest {
        if lines_read > REPORT_LINES_MAX {
            break;
        }
        let mut tables = Vec::new();
        for table in &record.tables {
            let stream = table_stream(table.table);
            let lines = store.read(stream.clone()).await?;
            lines_read += lines.len();
            let entries = lines.iter().map(|line| read_line(&stream, line));
            tables.push(entries.collect::<Result<Vec<Entry>, _>>()?);
        }
        let mut decks = BTreeMap::new();
        for made in &record.decks {
            if let Some(faces) = faces(store, &record, made).await? {
                decks.insert(made.deck, Arc::new(faces));
            }
        }
        lessons.push(KeptLesson { record, decks, tables });
    }
    // By the day they were played, not by the last line written: a lesson may be ended weeks later.
    lessons.sort_by_key(KeptLesson::began);
    Ok(lessons)
}

/// The deck made again, or as its sheet tells it; `None` if neither can be had.
async fn faces(
    store: &dyn Store,
    record: &Record,
    made: &DeckMade,
) -> Result<Option<DeckFaces>, StoreError> {
    let own = own_deck(store, record.made.owner, made.plan.skill).await?;
    let held = HeldMaterial::new(&record.pupils, own);
    let again = DeckFaces::made_again(&made.plan, held.lend(), made.deck, made.seed, &made.groups);
    if let Ok(faces) = again {
        return Ok(Some(faces));
    }
    let stream = sheet_stream(made.deck);
    let lines = store.read(stream.clone()).await?;
    let sheet: Option<FaceSheet> =
        lines.first().map(|line| read_line(&stream, line)).transpose()?;
    Ok(sheet.map(|sheet| DeckFaces::of_sheet(&sheet, &made.plan)))
}

impl Kept {
    /// What was played, lesson by lesson. A child is known by its nickname, which is one of a kind in a
    /// class.
    pub fn played(&self) -> Vec<LessonPlayed> {
        self.lessons.iter().map(|lesson| self.played_in(lesson)).collect()
    }

    fn played_in(&self, lesson: &KeptLesson) -> LessonPlayed {
        let fresh = |pupil: &Pupil| Played {
            name: pupil.name.clone(),
            unhurried: self.unhurried.contains(&pupil.name),
            decisions: Vec::new(),
        };
        let mut children: Vec<Played> = self.list.pupils.iter().map(fresh).collect();
        let pupils = &lesson.record.pupils;
        for one in lesson.tables.iter().flat_map(|table| read(table)) {
            let (Some(pupil), Some(deck)) = (one.pupil, lesson.decks.get(&one.deck)) else {
                continue;
            };
            let Some(pupil) = pupils.get(usize::from(pupil.0)) else { continue };
            if let Some(child) = children.iter_mut().find(|child| child.name == pupil.name) {
                child.decisions.push((one, deck.clone()));
            }
        }
        for child in &mut children {
            child.decisions.sort_by_key(|(one, _)| one.at);
        }
        let lesson = Lesson {
            lesson: lesson.record.made.lesson,
            name: lesson.record.made.name.clone(),
            at: lesson.began(),
        };
        LessonPlayed { lesson, children }
    }

    /// The children's nicknames and their pictures' words.
    pub fn children(&self) -> impl Iterator<Item = (String, String)> {
        self.list.pupils.iter().map(|pupil| (pupil.name.clone(), pupil.picture.name()))
    }

    /// How many lessons this is about.
    pub fn lessons(&self) -> usize {
        self.lessons.len()
    }

    /// The only lesson's name and beginning, if it is only one.
    pub fn only(&self) -> Option<(&str, Micros)> {
        match self.lessons.as_slice() {
            [only] => Some((&only.record.made.name, only.began())),
            _ => None,
        }
    }

    /// Groups as the teacher's page asks for them, with what play showed, and a deck for each.
    ///
    /// # Errors
    /// One plain sentence.
    pub fn groups(
        &self,
        found: &ClassReport,
        asked: &GroupsAsked,
    ) -> Result<GroupsTold, HttpRefusal> {
        let told = grouping::answer(&self.list, asked, &found.children);
        let mut told = told.map_err(|error| no(error.to_string()))?;
        for table in &mut told.tables {
            let children = grouping::of(&table.pupils, &found.children);
            let (deck, why) = self.deck_for(&children, found);
            match deck {
                Some((deck, name)) => table.deck = Some(SuggestedDeck { name, deck, why }),
                None => table.why.extend(why),
            }
        }
        Ok(told)
    }

    /// The deck for a group with its name, and why; it follows the deck that these children played last.
    fn deck_for(
        &self,
        children: &[&ChildReport],
        found: &ClassReport,
    ) -> (Option<(DeckPlan, String)>, Vec<String>) {
        let all: Vec<&ChildReport> = found.children.iter().collect();
        let latest = latest_deck(children).or_else(|| latest_deck(&all));
        suggest(children, latest, |plan| {
            let of_skill = |(skill, _): &&(Skill, HeldMaterial)| *skill == plan.skill;
            let (_, held) = self.held.iter().find(of_skill)?;
            crate::deck::wishes::make(plan, held.lend(), [0; 32]).ok().map(|deck| deck.name)
        })
    }

    /// What could come next: groups of everybody on the list, each with a deck and why.
    pub fn next(&self, found: &ClassReport) -> NextTold {
        let everybody = 0..u16::try_from(self.list.pupils.len()).unwrap_or(u16::MAX);
        let here = everybody.map(PupilIndex).collect();
        let asked = GroupsAsked::Choose { here, way: GroupWay::FromPlay, draw: 0 };
        let Ok(told) = self.groups(found, &asked) else {
            return NextTold { groups: Vec::new(), apart: None };
        };
        let group = |table: handround_protocol::classes::GroupTold| {
            let children = grouping::of(&table.pupils, &found.children);
            let names = children.iter().map(|child| child.name.clone()).collect();
            let (deck, because) = table.deck.map(|own| (own.deck, own.why)).unzip();
            let why = table.why.into_iter().chain(because.unwrap_or_default()).collect();
            NextGroup { pupils: table.pupils, names, deck, why }
        };
        NextTold { groups: told.tables.into_iter().map(group).collect(), apart: told.apart }
    }
}
