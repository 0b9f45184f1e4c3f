//! Making a lesson: who sits where, under which secrets, with which first deck. All of it is
//! durable before anybody hears of it; the lesson's own journal is written last, so that a crash in
//! between leaves streams that nothing names and no half a lesson.

use super::class_list::{ClassList, Pupil};
use super::decks;
use super::groups::{Sitter, in_list_order, seat};
use super::lesson_log::{
    LessonEvent, LessonLog, Made, Record, TableMade, table_stream, write_line,
};
use super::live_lesson::{PlanNo, Reading, check_plan, no, write_sheet};
use super::live_table::Surroundings;
use crate::game::{By, Entry, SeatPlan, Table};
use crate::journal::{StoreError, Urgency};
use crate::teacher::TeacherId;
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{ClassId, DeckId, LessonId, PupilIndex, TableId, Token};
use handround_protocol::join::HttpRefusal;
use handround_protocol::limits::JOIN_ROW_PICTURES;
use handround_protocol::picture::{GARDEN_HELPERS, Picture, ROW_THINGS};
use handround_protocol::view::{LessonPlan, SeatKind};
use std::collections::BTreeMap;

/// A lesson to be made.
pub struct Plan {
    name: String,
    /// The class list.
    pub list: ClassList,
    tables: Vec<Vec<SeatPlan>>,
    seating: String,
    plan: LessonPlan,
    demo: bool,
    /// The kept class that it is made from.
    pub class: Option<ClassId>,
    /// The teacher whose lesson it will be.
    pub owner: TeacherId,
}

/// The demo's invented class: names of garden things, none of them a child's. The last one is the
/// pupil whose place is free, so that the table of three waits for the newcomer.
const DEMO_NAMES: [&str; 11] = [
    "Fern", "Pebble", "Clover", "Twig", "Moss", "Puddle", "Acorn", "Breeze", "Sprout", "Thistle",
    "Daisy",
];
/// What it is called.
pub const DEMO_CLASS: &str = "Garden class";
const DEMO_TABLES: [usize; 3] = [4, 4, 3];

impl Plan {
    /// Seats a class at these tables. The deck grows where a table would be too large for it, such
    /// as a table of five or six, since the teacher has not chosen anything yet.
    pub fn of_class(
        name: &str,
        list: ClassList,
        tables: &[Vec<PupilIndex>],
        plan: LessonPlan,
    ) -> Plan {
        let seating = seat(tables);
        let mut helpers = GARDEN_HELPERS.into_iter().cycle();
        let mut place = |sitter: &Sitter| match sitter {
            Sitter::Pupil(index) => {
                list.pupils.get(usize::from(index.0)).map(|pupil| pupil_seat(*index, pupil))
            }
            Sitter::Partner => helpers.next().map(|helper| partner_seat(&title(helper), helper)),
        };
        let tables = seating
            .tables
            .iter()
            .map(|table| table.iter().filter_map(&mut place).collect())
            .collect();
        // A deck needs (seats + 2) x 4 cards, and a match group has at least four.
        let largest = seating.tables.iter().map(Vec::len).max().unwrap_or(0);
        let groups_min = u8::try_from(largest + 2).unwrap_or(u8::MAX);
        let plan = LessonPlan { groups: plan.groups.max(groups_min), ..plan };
        Plan {
            name: name.trim().to_owned(),
            tables,
            seating: seating.sentence,
            plan,
            list,
            demo: false,
            class: None,
            owner: TeacherId::THIS_MACHINE,
        }
    }

    /// The demo's class.
    pub fn demo() -> Plan {
        let pupil = Pupil {
            name: DEMO_NAMES[10].to_owned(),
            picture: Picture::Flower,
            readiness: None,
            at_home: false,
        };
        let helpers = GARDEN_HELPERS.into_iter().cycle();
        let partners =
            DEMO_NAMES.iter().zip(helpers).map(|(name, helper)| partner_seat(name, helper));
        let mut seats: Vec<SeatPlan> = partners.collect();
        seats[10] = pupil_seat(PupilIndex(0), &pupil);
        let mut rest = seats.into_iter();
        let tables = DEMO_TABLES.map(|count| rest.by_ref().take(count).collect()).to_vec();
        Plan {
            name: DEMO_CLASS.to_owned(),
            list: ClassList { pupils: vec![pupil], apart: Vec::new() },
            tables,
            seating: in_list_order(11).sentence,
            plan: demo_plan(),
            demo: true,
            class: None,
            owner: TeacherId::THIS_MACHINE,
        }
    }
}

/// Quick enough for a grown-up who tries it, kind enough for a child who watches.
fn demo_plan() -> LessonPlan {
    LessonPlan {
        house: HouseRule::Out { shield: true },
        number_max: 10,
        ..LessonPlan::for_ages(AgeBand::SixToSeven)
    }
}

/// A pupil on a seat.
pub fn pupil_seat(index: PupilIndex, pupil: &Pupil) -> SeatPlan {
    SeatPlan {
        name: pupil.name.clone(),
        picture: pupil.picture,
        kind: SeatKind::Pupil,
        pupil: Some(index),
        by: By::Child,
    }
}

fn partner_seat(name: &str, helper: Picture) -> SeatPlan {
    SeatPlan {
        name: name.to_owned(),
        picture: helper,
        kind: SeatKind::Partner,
        pupil: None,
        by: By::Partner,
    }
}

/// A practice partner that does not sit there yet.
pub fn partner_for(seats: &[SeatPlan]) -> SeatPlan {
    let free = |helper: &&Picture| seats.iter().all(|seat| seat.picture != **helper);
    let helper = *GARDEN_HELPERS.iter().find(free).unwrap_or(&GARDEN_HELPERS[0]);
    partner_seat(&title(helper), helper)
}

/// `bee` as a name: `Bee`.
fn title(helper: Picture) -> String {
    let name = helper.name();
    let (first, rest) = name.split_at(1);
    first.to_uppercase() + rest
}

/// Makes the lesson durable. `row_taken` says whether another lesson has a row already.
///
/// # Errors
/// One plain sentence: a plan that cannot be played, or a store in trouble.
pub async fn make(
    surroundings: &Surroundings,
    plan: Plan,
    row_taken: impl Fn(&[Picture]) -> bool,
) -> Result<Reading, HttpRefusal> {
    let randomness = &*surroundings.randomness;
    let deck = DeckId(randomness.uuid());
    let largest = plan.tables.iter().map(Vec::len).max().unwrap_or(0);
    // A lesson begins with a deck of its ages; the teacher chooses another once it is there.
    let material = decks::HeldMaterial::new(&plan.list.pupils, None);
    let (deck, sheet) = decks::make(&plan.plan, material.lend(), deck, randomness.bytes())
        .map_err(|error| no(error.to_string()))?;
    check_plan(&plan.plan, &deck, largest).map_err(|refusal| PlanNo::from(refusal).told())?;
    let tables = (1..).zip(plan.tables).map(|(number, seats)| TableMade {
        table: TableId(randomness.uuid()),
        name: format!("Table {number}"),
        seats,
    });
    let made = Made {
        lesson: LessonId(randomness.uuid()),
        name: plan.name,
        pupils: plan.list.pupils,
        tables: tables.collect(),
        seating: plan.seating,
        plan: plan.plan,
        row: free_row(surroundings, row_taken).to_vec(),
        link: Token(randomness.id()),
        wall: Token(randomness.id()),
        demo: plan.demo,
        apart: plan.list.apart,
        class: plan.class,
        owner: plan.owner,
    };
    let written = async {
        write_sheet(surroundings, &sheet).await?;
        let mut tables = BTreeMap::new();
        for table in &made.tables {
            tables.insert(table.table, lay(surroundings, table).await?);
        }
        let mut log = LessonLog::new(made.lesson);
        let events = [LessonEvent::Made(made.clone()), LessonEvent::DeckMade(deck.clone())];
        let now = surroundings.clock.now();
        log.append(&*surroundings.store, now, &events).await?;
        let mut record = Record::new(made, now);
        record.decks.push(deck);
        Ok::<Reading, StoreError>(Reading { record, log, tables })
    };
    written.await.map_err(|error| {
        tracing::error!(%error, "a lesson could not be made");
        no("The server could not write this down. Try again in a moment.")
    })
}

/// Begins a table's journal.
async fn lay(surroundings: &Surroundings, table: &TableMade) -> Result<Vec<Entry>, StoreError> {
    let event = Table::seat(table.seats.clone())
        .map_err(|refusal| StoreError::Failed(refusal.to_string()))?;
    let entry = Entry { at: surroundings.clock.now(), event };
    let lines = vec![write_line(&entry)?];
    surroundings.store.append(table_stream(table.table), 0, lines, Urgency::Group).await?;
    Ok(vec![entry])
}

/// A row that no other lesson has. Far fewer lessons than rows can exist, so one is soon found.
pub fn free_row(
    surroundings: &Surroundings,
    taken: impl Fn(&[Picture]) -> bool,
) -> [Picture; JOIN_ROW_PICTURES] {
    loop {
        let randomness = &surroundings.randomness;
        let row = std::array::from_fn(|_| ROW_THINGS[randomness.below(ROW_THINGS.len())]);
        if !taken(&row) {
            return row;
        }
    }
}
