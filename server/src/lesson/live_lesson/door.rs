//! The door of a lesson: taking places, waiting for the teacher's answer, taking a place back. All ways
//! in end here.

use super::super::doorway::{Answer, Doorway, Waiting};
use super::super::lesson_log::{LessonEvent, SeatGiven, TokenDigest};
use super::{Book, LiveLesson, no, trouble};
use crate::game::{By, SeatPlan};
use crate::journal::StoreError;
use crate::limits::lesson::SHARED_HANDS_MAX;
use handround_protocol::door::{Admit, DoorChild, DoorView, DoorWait, DoorWaiting, Way};
use handround_protocol::id::{PupilIndex, SeatIndex, TableId, Token};
use handround_protocol::join::{HttpRefusal, JoinPlace, Joined};
use std::sync::{MutexGuard as StdGuard, PoisonError};
use tokio::sync::MutexGuard;

const CLOSED: &str = "The room is closed. Ask your teacher.";

/// What a device at the door gets.
#[derive(Clone, Debug)]
pub enum Entered {
    /// The place.
    In(Joined),
    /// The teacher's answer comes first.
    Waits(DoorWait),
}

impl LiveLesson {
    /// Holds whole values that no panic leaves half changed. Never held over a wait.
    fn doorway(&self) -> StdGuard<'_, Doorway> {
        self.doorway.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The places, for a child who joins.
    ///
    /// # Errors
    /// The room is closed.
    pub async fn places(&self) -> Result<(String, Vec<JoinPlace>), HttpRefusal> {
        let book = self.book.lock().await;
        if !book.record.open || book.record.ended {
            return Err(no(CLOSED));
        }
        let place = |(pupil, line): (PupilIndex, &super::super::class_list::Pupil)| JoinPlace {
            pupil,
            name: line.name.clone(),
            picture: line.picture,
            taken: book.record.taken.contains_key(&pupil),
        };
        // Whoever is not here today has no seat and is not shown.
        let pupils = (0..).map(PupilIndex).zip(&book.record.pupils);
        let here = pupils.filter(|(pupil, _)| book.record.seat_of(*pupil).is_some());
        let places = here.map(place).collect();
        Ok((self.name.clone(), places))
    }

    /// Gives a pupil's place to a program that cannot wait for the teacher.
    ///
    /// # Errors
    /// The room is closed, the place is taken, nobody has that number, or the teacher lets everybody
    /// in herself.
    pub async fn take_place(&self, pupil: PupilIndex) -> Result<Joined, HttpRefusal> {
        let mut book = self.book.lock().await;
        self.check_place(&book, pupil)?;
        if book.record.taken.contains_key(&pupil) {
            return Err(no("Somebody sits there already. Ask your teacher."));
        }
        if book.record.admit == Admit::Everybody {
            return Err(no("Your teacher lets everybody in. Open this page again."));
        }
        self.sit(&mut book, pupil, By::Child, None).await
    }

    /// A device at the door: in at once, or behind the teacher's answer. A place that another device
    /// holds needs her answer, unless the child's own card, link or tablet comes and the other device
    /// is gone. A device that holds the place already keeps it, also behind a closed door.
    ///
    /// # Errors
    /// The room is closed, or nobody has that number.
    pub async fn enter(
        &self,
        pupil: PupilIndex,
        way: Way,
        (tablet, held): (Option<TokenDigest>, Option<Token>),
    ) -> Result<Entered, HttpRefusal> {
        let mut book = self.book.lock().await;
        let own = held.filter(|held| {
            book.record.taken.get(&pupil) == Some(&TokenDigest::of(*held)) && !book.record.ended
        });
        if let (Some(token), Some(line)) = (own, book.record.pupils.get(usize::from(pupil.0))) {
            let (name, picture) = (line.name.clone(), line.picture);
            return Ok(Entered::In(Joined { token, name, picture }));
        }
        let at = self.check_place(&book, pupil)?;
        let now = self.surroundings.clock.now();
        let second = book.record.taken.contains_key(&pupil)
            && (way == Way::Picture || self.is_here(at) || self.doorway().is_fresh(pupil, now));
        let admit = match book.record.admit {
            Admit::Nobody => false,
            Admit::FromHome => way == Way::Home,
            Admit::Everybody => true,
        };
        if !second && !admit {
            return self.sit(&mut book, pupil, by(way), tablet).await.map(Entered::In);
        }
        let wait = Token(self.surroundings.randomness.id());
        self.doorway().wait(wait, (pupil, way), tablet, now);
        let line = &book.record.pupils[usize::from(pupil.0)];
        let (name, picture) = (line.name.clone(), Some(line.picture));
        Ok(Entered::Waits(DoorWait { wait, name, picture }))
    }

    /// Whether a device with this name waits here.
    pub fn knows_waiting(&self, wait: Token) -> bool {
        self.doorway().knows(wait)
    }

    /// A device asks for the teacher's answer; `Ok(None)` if there is none yet.
    ///
    /// # Errors
    /// She said no, or the device is not known any more.
    pub fn ask_answer(&self, wait: Token) -> Result<Option<Joined>, HttpRefusal> {
        match self.doorway().ask(wait, self.surroundings.clock.now()) {
            Some(Answer::In(joined)) => Ok(Some(joined)),
            Some(Answer::None) => Ok(None),
            Some(Answer::No) => Err(no("Not now. Your teacher will tell you why.")),
            None => Err(no("That took a while. Try once more.")),
        }
    }

    /// The teacher's answer to a device that waits. Until then whoever holds the place plays on.
    ///
    /// # Errors
    /// Nobody waits there any more, the room is closed, or the store's trouble.
    pub async fn answer(&self, number: u32, admit: bool) -> Result<(), HttpRefusal> {
        let mut book = self.book.lock().await;
        let now = self.surroundings.clock.now();
        let found = self.doorway().unanswered(now).into_iter().find(|one| one.number == number);
        let Some(Waiting { pupil, way, tablet, .. }) = found else {
            return Err(no("Nobody waits there any more."));
        };
        let answer = if admit {
            self.check_place(&book, pupil)?;
            Answer::In(self.sit(&mut book, pupil, by(way), tablet).await?)
        } else {
            Answer::No
        };
        self.doorway().answer(number, answer, now);
        Ok(())
    }

    /// The child says within 10 s that it was the wrong picture.
    ///
    /// # Errors
    /// `None` if the secret is no place's here; otherwise it came too late.
    pub async fn undo_place(&self, token: Token) -> Result<(), Option<HttpRefusal>> {
        let mut book = self.book.lock().await;
        let digest = TokenDigest::of(token);
        let held = book.record.taken.iter().find(|(_, held)| **held == digest);
        let pupil = *held.ok_or(None)?.0;
        if !self.doorway().is_fresh(pupil, self.surroundings.clock.now()) {
            return Err(Some(no("That was a while ago. Your teacher can free the place.")));
        }
        self.give_back(&mut book, pupil).await.map_err(Some)
    }

    /// The teacher frees a place.
    ///
    /// # Errors
    /// Nobody has that number, or the store's trouble.
    pub async fn free(&self, pupil: PupilIndex) -> Result<(), HttpRefusal> {
        let mut book = self.book.lock().await;
        self.give_back(&mut book, pupil).await
    }

    /// Whom the teacher lets in herself.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn choose_admit(&self, admit: Admit) -> Result<(), HttpRefusal> {
        let mut book = self.book.lock().await;
        let chosen = vec![LessonEvent::AdmitChosen { admit }];
        self.write(&mut book, chosen).await.map_err(|error| trouble(&error))
    }

    /// Places for children who play at the teacher's own tablet. Their moves are marked, since one
    /// screen shows several children's cards.
    ///
    /// # Errors
    /// Too few or too many, or one of them sits at an own device.
    pub async fn share(&self, pupils: &[PupilIndex]) -> Result<Vec<Joined>, HttpRefusal> {
        if !(1..=SHARED_HANDS_MAX).contains(&pupils.len()) {
            return Err(no("Choose one to four children for this tablet."));
        }
        let mut book = self.book.lock().await;
        for pupil in pupils {
            let Some((table, seat)) = book.record.seat_of(*pupil) else {
                return Err(no("One of these children has no seat."));
            };
            let line = &book.record.pupils[usize::from(pupil.0)];
            let shared =
                plan_of(&book, table, seat).is_some_and(|plan| plan.by == By::SharedDevice);
            if book.record.taken.contains_key(pupil) && !shared {
                let name = &line.name;
                return Err(no(format!("{name} sits at another tablet. Free that place first.")));
            }
        }
        let mut places = Vec::new();
        for pupil in pupils {
            places.push(self.sit(&mut book, *pupil, By::SharedDevice, None).await?);
        }
        Ok(places)
    }

    /// What the teacher sees of the door, but for what the kept class adds.
    pub async fn door(&self) -> DoorView {
        let book = self.book.lock().await;
        let record = &book.record;
        let now = self.surroundings.clock.now();
        let mut doorway = self.doorway();
        let waiting = doorway.unanswered(now).into_iter().filter_map(|one| {
            let line = record.pupils.get(usize::from(one.pupil.0))?;
            Some(DoorWaiting {
                number: one.number,
                pupil: one.pupil,
                name: line.name.clone(),
                picture: line.picture,
                way: one.way,
                second: record.taken.contains_key(&one.pupil),
            })
        });
        let waiting = waiting.collect();
        let children = (0..).map(PupilIndex).zip(&record.pupils).filter_map(|(pupil, line)| {
            let (table, seat) = record.seat_of(pupil)?;
            let taken = record.taken.contains_key(&pupil);
            Some(DoorChild {
                pupil,
                name: line.name.clone(),
                picture: line.picture,
                taken,
                fresh: taken && doorway.is_fresh(pupil, now),
                shared: plan_of(&book, table, seat).is_some_and(|p| p.by == By::SharedDevice),
                tablet: None,
                tablet_here: doorway.tablet(pupil).is_some(),
                home_url: None,
                at_home: line.at_home,
            })
        });
        let children = children.collect();
        DoorView { admit: record.admit, waiting, children, kept: false }
    }

    /// The tablet of the cart at which a child sits.
    pub fn tablet_at(&self, pupil: PupilIndex) -> Option<TokenDigest> {
        self.doorway().tablet(pupil)
    }

    /// A seated child by its nickname as spoken, if children may join now.
    pub async fn seated(&self, spoken_name: &str) -> Option<(PupilIndex, bool)> {
        let book = self.book.lock().await;
        let mut all = (0..).map(PupilIndex).zip(&book.record.pupils);
        let (pupil, _) =
            all.find(|(_, line)| super::super::class_list::spoken(&line.name) == spoken_name)?;
        book.record.seat_of(pupil)?;
        Some((pupil, book.record.open && !book.record.ended))
    }

    fn check_place(
        &self,
        book: &MutexGuard<'_, Book>,
        pupil: PupilIndex,
    ) -> Result<(TableId, SeatIndex), HttpRefusal> {
        if !book.record.open || book.record.ended {
            return Err(no(CLOSED));
        }
        let listed = usize::from(pupil.0) < book.record.pupils.len();
        let seat = book.record.seat_of(pupil).filter(|_| listed);
        seat.ok_or_else(|| no("Nobody on the list has that place."))
    }

    fn is_here(&self, (table, seat): (TableId, SeatIndex)) -> bool {
        let board = self.board.borrow();
        let table = board.tables.iter().find(|one| one.table == table);
        table.and_then(|one| one.seats.get(usize::from(seat.0))).is_some_and(|seat| seat.here)
    }

    /// Gives the place to a device; whoever held it before leaves.
    async fn sit(
        &self,
        book: &mut MutexGuard<'_, Book>,
        pupil: PupilIndex,
        by: By,
        tablet: Option<TokenDigest>,
    ) -> Result<Joined, HttpRefusal> {
        let (table, seat) = book.record.seat_of(pupil).ok_or_else(|| no("There is no seat."))?;
        let before = book.record.taken.get(&pupil).copied();
        let token = Token(self.surroundings.randomness.id());
        let digest = TokenDigest::of(token);
        let mut events = vec![LessonEvent::PlaceTaken { pupil, digest }];
        let changed = plan_of(book, table, seat).filter(|plan| plan.by != by).cloned();
        if changed.is_some() {
            events.push(LessonEvent::PlaysFrom { pupil, by });
        }
        self.write(book, events).await.map_err(|error| trouble(&error))?;
        if let Some(before) = before {
            self.secrets.withdraw(before);
        }
        if let Some(handle) = self.table(table) {
            if before.is_some() {
                handle.withdraw(seat).await;
            }
            if let Some(plan) = changed {
                // The mark stands in every move from here on.
                let given = SeatGiven { table, seat, plan: SeatPlan { by, ..plan } };
                book.untold.push(given);
                self.tell_tables(book).await;
            }
            self.secrets.open(digest, handle.clone(), seat);
        }
        self.doorway().sat_down(pupil, digest, tablet, self.surroundings.clock.now());
        let line = &book.record.pupils[usize::from(pupil.0)];
        Ok(Joined { token, name: line.name.clone(), picture: line.picture })
    }

    async fn give_back(
        &self,
        book: &mut MutexGuard<'_, Book>,
        pupil: PupilIndex,
    ) -> Result<(), HttpRefusal> {
        let at = book.record.seat_of(pupil);
        let at = at.ok_or_else(|| no("Nobody on the list has that place."))?;
        self.give_up(book, pupil, at).await.map_err(|error| trouble(&error))
    }

    /// Whoever holds the place leaves it; nothing to do where nobody does.
    pub(super) async fn give_up(
        &self,
        book: &mut MutexGuard<'_, Book>,
        pupil: PupilIndex,
        (table, seat): (TableId, SeatIndex),
    ) -> Result<(), StoreError> {
        let Some(digest) = book.record.taken.get(&pupil).copied() else { return Ok(()) };
        self.write(book, vec![LessonEvent::PlaceFreed { pupil }]).await?;
        self.secrets.withdraw(digest);
        self.doorway().left(pupil);
        if let Some(handle) = self.table(table) {
            handle.withdraw(seat).await;
        }
        Ok(())
    }
}

fn by(way: Way) -> By {
    if way == Way::Home { By::Home } else { By::Child }
}

fn plan_of<'a>(
    book: &'a MutexGuard<'_, Book>,
    table: TableId,
    seat: SeatIndex,
) -> Option<&'a SeatPlan> {
    let laid = book.record.tables.iter().find(|laid| laid.table == table)?;
    laid.seats.get(usize::from(seat.0))
}
