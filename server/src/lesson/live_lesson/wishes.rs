//! What the teacher wishes from her board: games, places, the end.

use super::super::board::wall_seats;
use super::super::lesson_log::LessonEvent;
use super::super::table_task::{GameStart, TableHandle};
use super::plans::PlanNo;
use super::{LiveLesson, no};
use crate::game::{Command, Rules};
use crate::limits::lesson::{DEMO_REMATCH_PAUSE, WALL_RACE_FOR};
use handround_protocol::id::{PupilIndex, SeatIndex, TableId};
use handround_protocol::join::{HttpRefusal, RaceTold};
use handround_protocol::message::BoardSays;
use handround_protocol::refusal::Refusal;
use handround_protocol::support::Support;
use handround_protocol::view::{BoardTable, HandTold, Phase, WallRace};
use std::collections::BTreeMap;
use std::sync::Weak;
use std::sync::atomic::Ordering;

impl LiveLesson {
    /// A teacher's wish.
    ///
    /// # Errors
    /// The friendly no, for her page.
    pub async fn says(&self, says: BoardSays) -> Result<(), Refusal> {
        match says {
            BoardSays::Start { table } => {
                self.start(table).await?;
                self.desk.play_begins();
                Ok(())
            }
            BoardSays::Pause { table } => self.wish(table, Command::Pause).await,
            BoardSays::Resume { table } => self.wish(table, Command::Resume).await,
            BoardSays::End { table } => self.wish(table, Command::End).await,
            BoardSays::Plan(plan) => self.change_plan(plan).await.map_err(PlanNo::refusal),
            BoardSays::Open { open } => {
                let mut book = self.book.lock().await;
                let opened = LessonEvent::Opened { open };
                self.write(&mut book, vec![opened]).await.map_err(|_| Refusal::ServerTrouble)
            }
            BoardSays::FreePlace { pupil } => self.free_place(pupil).await,
            BoardSays::EndLesson => self.end().await,
            BoardSays::Nudge { table, seat } => {
                self.wish(Some(table), Command::Nudge { seat }).await
            }
            BoardSays::HelpGiven { table, seat } => {
                self.wish(Some(table), Command::HelpGiven { seat }).await
            }
            BoardSays::HandOver { table, seat, partner } => {
                self.wish(Some(table), Command::HandOver { seat, partner }).await
            }
            BoardSays::ShowRace { table } => self.show_race(table).await,
            BoardSays::Wall(says) => self.wall_says(says).await,
            BoardSays::MovePupil { pupil, table } => self.wish_move(pupil, table).await,
            BoardSays::AddPupil { name, table } => self.add_pupil(&name, table).await,
            BoardSays::Bell { table, ring } => self.wish(table, Command::Bell { ring }).await,
            BoardSays::Support { pupil, support } => self.give_support(pupil, support).await,
        }
    }

    /// The last race of a table.
    ///
    /// # Errors
    /// One plain sentence: no such table, or no race yet.
    pub async fn last_race(&self, table: TableId) -> Result<RaceTold, HttpRefusal> {
        let handle = self.known_table(table)?;
        let race = handle.last_race().await;
        race.map(|race| race.told).ok_or_else(|| no("There was no race at this table yet."))
    }

    /// Puts the last race of a table on the wall, for as long as a calm replay takes.
    async fn show_race(&self, table: TableId) -> Result<(), Refusal> {
        let handle = self.table(table).ok_or(Refusal::NoSuchTable)?;
        let race = handle.last_race().await.ok_or(Refusal::NoRace)?;
        let moments = race.moments.ok_or(Refusal::NoRace)?;
        let board = self.board.borrow().clone();
        let face = board.tables.iter().find(|face| face.table == table);
        let face = face.ok_or(Refusal::NoSuchTable)?;
        let number = self.races_shown.fetch_add(1, Ordering::Relaxed) + 1;
        let (table, seats) = (face.name.clone(), wall_seats(face));
        self.wall_race.send_replace(Some(WallRace { number, table, seats, moments }));
        let wall = self.wall_race.clone();
        tokio::spawn(async move {
            tokio::time::sleep(WALL_RACE_FOR).await;
            // A wall that is opened later does not begin with it, and a newer one stays.
            wall.send_if_modified(|race| race.take_if(|race| race.number == number).is_some());
        });
        Ok(())
    }

    /// One seat's cards, opened deliberately.
    ///
    /// # Errors
    /// One plain sentence: no such table or seat.
    pub async fn hand(&self, table: TableId, seat: SeatIndex) -> Result<HandTold, HttpRefusal> {
        let handle = self.known_table(table)?;
        handle.hand(seat).await.ok_or_else(|| no(Refusal::NoSuchSeat.to_string()))
    }

    fn known_table(&self, table: TableId) -> Result<&TableHandle, HttpRefusal> {
        self.table(table).ok_or_else(|| no(Refusal::NoSuchTable.to_string()))
    }

    fn chosen(&self, table: Option<TableId>) -> Result<Vec<&(TableId, TableHandle)>, Refusal> {
        let all = self.tables.iter();
        let chosen: Vec<_> = all.filter(|(id, _)| table.is_none_or(|one| one == *id)).collect();
        if chosen.is_empty() && table.is_some() { Err(Refusal::NoSuchTable) } else { Ok(chosen) }
    }

    /// What one child gets from the next deal on. It stays with the child in this lesson's class
    /// list, and each game starts with it.
    async fn give_support(&self, pupil: PupilIndex, support: Support) -> Result<(), Refusal> {
        if !support.is_possible() {
            return Err(Refusal::RuleNotPlayable);
        }
        let mut book = self.book.lock().await;
        let (table, seat) = book.record.seat_of(pupil).ok_or(Refusal::NoSuchSeat)?;
        let given = LessonEvent::SupportGiven { pupil, support: support.clone() };
        self.write(&mut book, vec![given]).await.map_err(|_| Refusal::ServerTrouble)?;
        let handle = self.table(table).ok_or(Refusal::NoSuchTable)?;
        handle.teacher(Command::Support { seat, support }).await
    }

    async fn start(&self, table: Option<TableId>) -> Result<(), Refusal> {
        let (rules, naming_walk, decks, mut support) = {
            let book = self.book.lock().await;
            let record = &book.record;
            let deck_of = |(table, _): &(TableId, TableHandle)| {
                let deck = record.next_deck_of(*table)?;
                Some((*table, self.surroundings.shelf.get(deck)?))
            };
            let decks: BTreeMap<_, _> = self.tables.iter().filter_map(deck_of).collect();
            let mut support: BTreeMap<TableId, Vec<(SeatIndex, Support)>> = BTreeMap::new();
            for (pupil, own) in &record.support {
                if let Some((table, seat)) = record.seat_of(*pupil) {
                    support.entry(table).or_default().push((seat, own.clone()));
                }
            }
            (Rules::from_plan(&record.plan), record.plan.naming_walk, decks, support)
        };
        let mut answers = Vec::new();
        for (id, handle) in self.chosen(table)? {
            let game = GameStart {
                rules: rules.clone(),
                deck: decks.get(id).cloned().ok_or(Refusal::ServerTrouble)?,
                naming_walk,
                support: support.remove(id).unwrap_or_default(),
            };
            answers.push(handle.start(game).await);
        }
        sum_up(&answers)
    }

    /// Starts a game at every table that waits for nobody: one whose pupils' places are all taken.
    /// Tables at which a game is being played go on with it. For the demo, where no teacher starts.
    pub async fn start_where_all_have_come(&self) {
        let waits_for_nobody: Vec<TableId> = {
            let book = self.book.lock().await;
            let record = &book.record;
            let came = |pupil: &PupilIndex| record.taken.contains_key(pupil);
            let tables = record.tables.iter();
            tables
                .filter(|table| table.seats.iter().filter_map(|seat| seat.pupil.as_ref()).all(came))
                .map(|table| table.table)
                .collect()
        };
        for table in waits_for_nobody {
            // A running game refuses to start, and that is right.
            let _ = self.start(Some(table)).await;
        }
    }

    /// Starts a rematch wherever a game has been over for a while and a child is there. It ends
    /// with the lesson. For the demo, where no teacher starts.
    pub async fn rematch_by_itself(lesson: Weak<LiveLesson>) {
        let Some(mut board) = lesson.upgrade().map(|lesson| lesson.board()) else { return };
        while board.changed().await.is_ok() {
            let over = |table: &BoardTable| {
                let here = table.seats.iter().any(|seat| seat.pupil.is_some() && seat.here);
                here && table.view.phase == Phase::GameOver
            };
            let over: Vec<TableId> =
                board.borrow().tables.iter().filter(|table| over(table)).map(|t| t.table).collect();
            if over.is_empty() {
                continue;
            }
            tokio::time::sleep(DEMO_REMATCH_PAUSE).await;
            let Some(lesson) = lesson.upgrade() else { return };
            for table in over {
                let _ = lesson.start(Some(table)).await;
            }
        }
    }

    async fn wish(&self, table: Option<TableId>, command: Command) -> Result<(), Refusal> {
        let mut answers = Vec::new();
        for (_, handle) in self.chosen(table)? {
            answers.push(handle.teacher(command.clone()).await);
        }
        sum_up(&answers)
    }

    async fn free_place(&self, pupil: PupilIndex) -> Result<(), Refusal> {
        let mut book = self.book.lock().await;
        let at = book.record.seat_of(pupil).ok_or(Refusal::NoSuchSeat)?;
        self.give_up(&mut book, pupil, at).await.map_err(|_| Refusal::ServerTrouble)
    }

    /// Ends the lesson for good: tables end, devices are told, secrets open nothing any more.
    async fn end(&self) -> Result<(), Refusal> {
        let mut book = self.book.lock().await;
        if book.record.ended {
            return Ok(());
        }
        self.write(&mut book, vec![LessonEvent::Ended])
            .await
            .map_err(|_| Refusal::ServerTrouble)?;
        let record = &book.record;
        let digests = record.taken.values().chain(record.partners.values());
        digests.for_each(|digest| self.secrets.over(*digest));
        for (_, handle) in &self.tables {
            handle.lesson_over().await;
        }
        Ok(())
    }
}

/// One answer for a wish to several tables. A table for which the wish changes nothing, such as
/// one that plays already when all are to start, is no reason to say no while others follow.
fn sum_up(answers: &[Result<(), Refusal>]) -> Result<(), Refusal> {
    let serious = |refusal: &&Refusal| {
        !matches!(refusal, Refusal::GameRunning | Refusal::NoGame | Refusal::Paused)
    };
    let refusals: Vec<&Refusal> =
        answers.iter().filter_map(|answer| answer.as_ref().err()).collect();
    if let Some(refusal) = refusals.iter().copied().find(serious) {
        return Err(*refusal);
    }
    match refusals.first() {
        Some(refusal) if refusals.len() == answers.len() => Err(**refusal),
        _ => Ok(()),
    }
}
