//! The hub's half of the door: ways that last from lesson to lesson stand in the kept class, so a code
//! or a tablet is looked up in their index first and then led to the class's lesson of today.

use super::classes::trouble;
use super::{Hub, lock};
use crate::lesson::class_list::{Pupil, spoken};
use crate::lesson::classes::{self, KeptClass};
use crate::lesson::lesson_log::TokenDigest;
use crate::lesson::live_lesson::{Entered, LiveLesson, no};
use crate::lesson::way_index::Leads;
use crate::lesson::ways::Tablet;
use crate::teacher::TeacherId;
use handround_protocol::door::{DoorPick, DoorSays, DoorView, TabletTold, Way};
use handround_protocol::id::{ClassId, LessonId, PupilIndex, Token};
use handround_protocol::join::{HttpRefusal, Joined};
use std::sync::Arc;

/// Why a card, link or tablet leads nowhere just now.
#[derive(Debug)]
pub enum DoorNo {
    /// It never will again, or it was none of ours.
    Gone(HttpRefusal),
    /// Not now: no lesson, a closed room, somebody else sits there.
    NotNow(HttpRefusal),
}

/// One place's card as it is printed.
#[derive(Clone, Debug)]
pub struct PlaceToPrint {
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: handround_protocol::picture::Picture,
    /// The address of the child's own place.
    pub address: String,
}

fn gone() -> DoorNo {
    DoorNo::Gone(no("This card is not used any more. Your place is safe. Ask for a new card."))
}

impl Hub {
    /// A child tapped the own picture, on a page that can wait for the teacher.
    ///
    /// # Errors
    /// The ticket is old, the room is closed, or nobody has that place.
    pub async fn enter_by_picture(&self, pick: &DoorPick) -> Result<Entered, HttpRefusal> {
        let lesson = self.lesson_by_ticket(pick.ticket)?;
        let tablet = pick.tablet.map(TokenDigest::of);
        let entered = lesson.enter(pick.pupil, Way::Picture, (tablet, None)).await?;
        if matches!(entered, Entered::In(_)) {
            lock(&self.inner.tickets).take_back(pick.ticket);
        }
        self.demo_goes_on(&lesson).await;
        Ok(entered)
    }

    /// A place card or a home link was opened.
    ///
    /// # Errors
    /// It was revoked, or it leads nowhere just now.
    pub async fn enter_by_code(&self, code: Token, held: Option<Token>) -> Result<Entered, DoorNo> {
        let Leads { class, child, way } = self.led_by_code(code).ok_or_else(gone)?;
        let (lesson, pupil) = self.lesson_of(class, &child).await?;
        let entered = lesson.enter(pupil, way, (None, held)).await.map_err(DoorNo::NotNow)?;
        self.demo_goes_on(&lesson).await;
        Ok(entered)
    }

    /// Where a place card or a home link leads, if anywhere.
    pub(in crate::lesson) fn led_by_code(&self, code: Token) -> Option<Leads> {
        lock(&self.inner.ways).code(code)
    }

    /// The classes that keep a tablet, by name.
    pub(in crate::lesson) fn kept_with_tablet(&self, tablet: Token) -> Vec<Arc<KeptClass>> {
        lock(&self.inner.ways).tablet(tablet)
    }

    /// The class that keeps a tablet, and its child. A cart that two classes share, or a class that was
    /// loaded again, keeps it twice: the class that has a lesson now comes first.
    async fn class_of_tablet(&self, tablet: Token) -> Option<(Arc<KeptClass>, Tablet)> {
        let mut first = None;
        for kept in self.kept_with_tablet(tablet) {
            let Some(known) = kept.ways.tablet(tablet).cloned() else { continue };
            if self.lesson_of(kept.class, &known.child).await.is_ok() {
                return Some((kept, known));
            }
            first.get_or_insert((kept, known));
        }
        first
    }

    /// Whose a tablet is.
    pub async fn whose_tablet(&self, tablet: Token) -> TabletTold {
        let nobody = TabletTold { number: 0, name: String::new(), picture: None };
        let Some((kept, known)) = self.class_of_tablet(tablet).await else { return nobody };
        let child = kept.list.pupils.iter().find(|one| spoken(&one.name) == known.child);
        child.map_or(nobody, |child| TabletTold {
            number: known.number,
            name: child.name.clone(),
            picture: Some(child.picture),
        })
    }

    /// A tablet of the cart sits down at its child's place.
    ///
    /// # Errors
    /// It is nobody's, or leads nowhere just now.
    pub async fn enter_by_tablet(
        &self,
        tablet: Token,
        held: Option<Token>,
    ) -> Result<Entered, DoorNo> {
        let found = self.class_of_tablet(tablet).await;
        let (kept, known) = found.ok_or_else(|| {
            DoorNo::Gone(no("This tablet is nobody's yet. Tap the four pictures."))
        })?;
        let (lesson, pupil) = self.lesson_of(kept.class, &known.child).await?;
        let tablet = (Some(TokenDigest::of(tablet)), held);
        let entered = lesson.enter(pupil, Way::Tablet, tablet).await.map_err(DoorNo::NotNow)?;
        self.demo_goes_on(&lesson).await;
        Ok(entered)
    }

    /// A device asks for the teacher's answer.
    ///
    /// # Errors
    /// She said no, or nobody waits by that name.
    pub fn ask_answer(&self, wait: Token) -> Result<Option<Joined>, HttpRefusal> {
        let lesson = self.all_lessons().into_iter().find(|lesson| lesson.knows_waiting(wait));
        lesson.ok_or_else(|| no("That took a while. Try once more."))?.ask_answer(wait)
    }

    /// It was the wrong picture.
    ///
    /// # Errors
    /// Too late, or no such place.
    pub async fn undo_place(&self, token: Token) -> Result<(), HttpRefusal> {
        for lesson in self.all_lessons() {
            match lesson.undo_place(token).await {
                Ok(()) => return Ok(()),
                Err(Some(refusal)) => return Err(refusal),
                Err(None) => {}
            }
        }
        Err(no("This place is free already."))
    }

    /// The door as the teacher sees it.
    ///
    /// # Errors
    /// No such lesson, or the store's trouble.
    pub async fn door(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<DoorView, HttpRefusal> {
        let live = self.known_lesson(teacher, lesson)?;
        let mut view = live.door().await;
        let Some(kept) = self.kept_of(&live).await? else { return Ok(view) };
        view.kept = true;
        for child in &mut view.children {
            child.tablet = kept.ways.tablet_of(&child.name);
            let code = kept.ways.code(&child.name, Way::Home);
            child.home_url = code.map(|code| format!("{}/h#{code}", self.inner.public_url));
        }
        Ok(view)
    }

    /// What a teacher wishes of the door.
    ///
    /// # Errors
    /// One plain sentence.
    pub async fn door_says(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        says: DoorSays,
    ) -> Result<(), HttpRefusal> {
        let live = self.known_lesson(teacher, lesson)?;
        match says {
            DoorSays::Admit(admit) => live.choose_admit(admit).await,
            DoorSays::Answer { number, admit } => live.answer(number, admit).await,
            DoorSays::Free(pupil) => live.free(pupil).await,
            DoorSays::KeepTablet(pupil) => {
                let tablet = live.tablet_at(pupil);
                let tablet = tablet.ok_or_else(|| {
                    no("This child does not sit at a tablet of the cart: open /tablet on it first.")
                })?;
                let name = self.name_of(&live, pupil).await?;
                self.change_ways(&live, |kept| {
                    if !knows(kept, &name) {
                        return Err(no("Put this child on the class list first."));
                    }
                    let kept = kept.ways.keep_tablet(tablet, &name).map(|_| ());
                    kept.map_err(|_| no("The cart is full. Forget a tablet first."))
                })
                .await
                .map(drop)
            }
            DoorSays::ForgetTablet(number) => self
                .change_ways(&live, |kept| {
                    kept.ways.forget_tablet(number);
                    Ok(())
                })
                .await
                .map(drop),
            DoorSays::Revoke(Some(pupil)) => {
                let name = self.name_of(&live, pupil).await?;
                self.change_ways(&live, |kept| {
                    kept.ways.revoke(&name);
                    Ok(())
                })
                .await
                .map(drop)
            }
            DoorSays::Revoke(None) => {
                let secret = Token(self.inner.randomness.id());
                self.change_ways(&live, |kept| {
                    kept.ways.renew(secret);
                    Ok(())
                })
                .await
                .map(drop)
            }
        }
    }

    /// The place cards of a lesson's children, or of one of them, with codes that are made now if there
    /// were none. Who came late has one too, good for as long as this lesson goes on.
    ///
    /// # Errors
    /// No such lesson or child, or a lesson without a kept class.
    pub async fn place_cards(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        only: Option<PupilIndex>,
    ) -> Result<(String, Vec<PlaceToPrint>), HttpRefusal> {
        let live = self.known_lesson(teacher, lesson)?;
        let kept = self.kept_with_secret(&live).await?;
        let children = match only {
            Some(pupil) => {
                let child = live.pupils().await.into_iter().nth(usize::from(pupil.0));
                vec![child.ok_or_else(|| no("Nobody has that place."))?]
            }
            None => with_late_comers(&kept, live.pupils().await),
        };
        let url = &self.inner.public_url;
        let card = |child: Pupil| {
            let code = kept.ways.code(&child.name, Way::Card)?;
            let address = format!("{url}/p#{code}");
            Some(PlaceToPrint { name: child.name, picture: child.picture, address })
        };
        Ok((kept.name.clone(), children.into_iter().filter_map(card).collect()))
    }

    /// Home links begin with the first wish for them.
    ///
    /// # Errors
    /// No such lesson, or one without a kept class.
    pub async fn begin_home_links(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<(), HttpRefusal> {
        let live = self.known_lesson(teacher, lesson)?;
        self.kept_with_secret(&live).await.map(|_| ())
    }

    /// Places for children who play at the teacher's own tablet.
    ///
    /// # Errors
    /// One plain sentence.
    pub async fn share(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        pupils: &[PupilIndex],
    ) -> Result<Vec<Joined>, HttpRefusal> {
        self.known_lesson(teacher, lesson)?.share(pupils).await
    }

    pub(super) fn lesson_by_ticket(&self, ticket: Token) -> Result<Arc<LiveLesson>, HttpRefusal> {
        let found = lock(&self.inner.tickets).found(ticket, self.now());
        let lesson = found
            .and_then(|(lesson, by)| self.lesson(lesson).filter(|lesson| lesson.leads_still(by)));
        lesson.ok_or_else(|| no("That took a while. Tap the pictures again."))
    }

    pub(super) async fn demo_goes_on(&self, lesson: &LiveLesson) {
        if lesson.is_demo() {
            // Nobody stands by to start a rematch for the newcomer. A running game goes on.
            lesson.start_where_all_have_come().await;
        }
    }

    async fn name_of(&self, live: &LiveLesson, pupil: PupilIndex) -> Result<String, HttpRefusal> {
        let pupils = live.pupils().await;
        let child = pupils.get(usize::from(pupil.0));
        child.map(|child| child.name.clone()).ok_or_else(|| no("Nobody has that place."))
    }

    async fn kept_of(&self, live: &LiveLesson) -> Result<Option<KeptClass>, HttpRefusal> {
        let Some(class) = live.class() else { return Ok(None) };
        classes::read(&*self.inner.store, class).await.map_err(trouble)
    }

    async fn kept_with_secret(&self, live: &LiveLesson) -> Result<KeptClass, HttpRefusal> {
        let secret = Token(self.inner.randomness.id());
        self.change_ways(live, |kept| {
            kept.ways.begin(secret);
            Ok(())
        })
        .await
    }

    async fn change_ways(
        &self,
        live: &LiveLesson,
        change: impl FnOnce(&mut KeptClass) -> Result<(), HttpRefusal>,
    ) -> Result<KeptClass, HttpRefusal> {
        let class = live.class();
        let class = class.ok_or_else(|| no("The demo's class has no cards, links or tablets."))?;
        self.change(live.owner(), class, change).await
    }

    /// The class's lesson in which the child has a seat; one whose room is open comes first.
    async fn lesson_of(
        &self,
        class: ClassId,
        child: &str,
    ) -> Result<(Arc<LiveLesson>, PupilIndex), DoorNo> {
        let mut found = None;
        for lesson in self.all_lessons() {
            if lesson.class() != Some(class) {
                continue;
            }
            match lesson.seated(child).await {
                Some((pupil, true)) => return Ok((lesson, pupil)),
                Some((pupil, false)) => found = Some((lesson, pupil)),
                None => {}
            }
        }
        let early = || DoorNo::NotNow(no("The lesson has not begun yet. Wait a little."));
        found.ok_or_else(early)
    }
}

/// The class list, then the children of a lesson that it does not name.
fn with_late_comers(kept: &KeptClass, of_lesson: Vec<Pupil>) -> Vec<Pupil> {
    let late = of_lesson.into_iter().filter(|one| !knows(kept, &one.name));
    kept.list.pupils.iter().cloned().chain(late).collect()
}

fn knows(kept: &KeptClass, name: &str) -> bool {
    kept.list.pupils.iter().any(|one| spoken(&one.name) == spoken(name))
}
