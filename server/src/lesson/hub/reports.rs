//! The hub's half for reports: it gathers what the kept journals of a class hold, for `evidence` to
//! judge. Nothing of it is kept: deleting the class deletes what every report is made of.

use super::Hub;
use super::classes::trouble;
use crate::deck::Material;
use crate::evidence::{DeckFaces, Played, read};
use crate::game::Entry;
use crate::journal::{Store, StoreError};
use crate::lesson::decks::HeldMaterial;
use crate::lesson::lesson_log::{
    DeckMade, LessonLog, Record, read_line, sheet_stream, table_stream,
};
use crate::lesson::live_lesson::no;
use crate::lesson::own_decks::own_deck;
use crate::limits::lesson::{REPORT_LESSONS_MAX, REPORT_LINES_MAX};
use crate::teacher::TeacherId;
use handround_protocol::face::FaceSheet;
use handround_protocol::id::{ClassId, DeckId, LessonId};
use handround_protocol::join::HttpRefusal;
use handround_protocol::time::Micros;
use std::collections::BTreeMap;
use std::sync::Arc;

/// One lesson's journals as they are kept, before anything is read out of them.
struct KeptLesson {
    record: Record,
    decks: BTreeMap<DeckId, Arc<DeckFaces>>,
    tables: Vec<Vec<Entry>>,
}

/// What a report is made from. Judging it takes a core for a while, so it is done elsewhere.
pub struct Kept {
    /// The class's name.
    pub name: String,
    children: Vec<String>,
    lessons: Vec<KeptLesson>,
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
        let told = self.class(teacher, class).await?;
        let found = gather(self.store(), class, lesson).await.map_err(trouble)?;
        if lesson.is_some() && found.is_empty() {
            return Err(no("No such lesson of this class is kept."));
        }
        let children = told.pupils.into_iter().map(|pupil| pupil.name).collect();
        Ok(Kept { name: told.name, children, lessons: found })
    }
}

async fn gather(
    store: &dyn Store,
    class: ClassId,
    wanted: Option<LessonId>,
) -> Result<Vec<KeptLesson>, StoreError> {
    let records = LessonLog::of_class(store, class).await?;
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
    lessons.reverse();
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
    /// Each child's decisions, oldest first, in the order of the class list. A child is known by its
    /// nickname, which is one of a kind in a class.
    pub fn played(&self) -> Vec<Played> {
        let fresh =
            |name: &String| Played { name: name.clone(), unhurried: false, decisions: Vec::new() };
        let mut all: Vec<Played> = self.children.iter().map(fresh).collect();
        for lesson in &self.lessons {
            let pupils = &lesson.record.pupils;
            for (pupil, support) in &lesson.record.support {
                let name = pupils.get(usize::from(pupil.0)).map(|pupil| &pupil.name);
                all.iter_mut()
                    .filter(|child| support.unhurried && Some(&child.name) == name)
                    .for_each(|child| child.unhurried = true);
            }
            for one in lesson.tables.iter().flat_map(|table| read(table)) {
                let (Some(pupil), Some(deck)) = (one.pupil, lesson.decks.get(&one.deck)) else {
                    continue;
                };
                let Some(pupil) = pupils.get(usize::from(pupil.0)) else { continue };
                if let Some(child) = all.iter_mut().find(|child| child.name == pupil.name) {
                    child.decisions.push((one, deck.clone()));
                }
            }
        }
        for child in &mut all {
            child.decisions.sort_by_key(|(one, _)| one.at);
        }
        all
    }

    /// The lessons by name, with when their tables were last played at.
    pub fn lessons(&self) -> Vec<(LessonId, String, Micros)> {
        let told = |lesson: &KeptLesson| {
            let last = lesson.tables.iter().filter_map(|table| table.last()).map(|entry| entry.at);
            let made = &lesson.record.made;
            (made.lesson, made.name.clone(), last.max().unwrap_or(Micros(0)))
        };
        self.lessons.iter().map(told).collect()
    }

    /// The deck that was made last, with what it can be made from again.
    pub fn latest(&self) -> Option<(Arc<DeckFaces>, HeldMaterial)> {
        let lesson = self.lessons.last()?;
        let made = lesson.record.decks.last()?;
        // An own deck is not suggested anew: its groups are the teacher's own choice.
        let held = HeldMaterial::new(&lesson.record.pupils, None);
        Some((lesson.decks.get(&made.deck)?.clone(), held))
    }
}

/// Whether a deck can be made.
pub fn playable(plan: &handround_protocol::wishes::DeckPlan, material: Material<'_>) -> bool {
    crate::deck::wishes::make(plan, material, [0; 32]).is_ok()
}
