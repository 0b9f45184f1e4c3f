//! The hub's half for kept classes: keeping, changing, grouping, deleting with everything that was
//! made from them, and forgetting when their time is over.

use super::{Hub, lock};
use crate::journal::StoreError;
use crate::lesson::class_list::{self, ClassList, spoken};
use crate::lesson::classes::{self, KeptClass};
use crate::lesson::decks::{self, HeldMaterial};
use crate::lesson::grouping;
use crate::lesson::groups::seat;
use crate::lesson::lesson_log::{LessonLog, lesson_stream, sheet_stream, table_stream};
use crate::lesson::live_lesson::{PlanNo, check_plan, no};
use crate::lesson::make::Plan;
use crate::lesson::own_decks::own_deck;
use crate::limits::lesson::{CLASS_LOOK_GAP, CLASSES_EACH_MAX, CLASSES_MAX};
use crate::teacher::TeacherId;
use handround_protocol::classes::{
    ClassLine, ClassTold, GroupsAsked, GroupsTold, HomeAsked, LessonAsked, PictureAsked,
};
use handround_protocol::id::{ClassId, DeckId, PupilIndex};
use handround_protocol::join::{HttpRefusal, LessonMade};
use handround_protocol::view::LessonPlan;
use handround_protocol::wishes::DeckPlan;

pub(super) fn trouble(error: StoreError) -> HttpRefusal {
    tracing::error!(%error, "a class could not be read or written");
    no("The server could not read or write this class. Try again in a moment.")
}

impl Hub {
    /// The classes that a teacher keeps, by name.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn classes(&self, teacher: TeacherId) -> Result<Vec<ClassLine>, HttpRefusal> {
        let all = self.all_kept().await?;
        Ok(all.iter().filter(|kept| kept.owner == teacher).map(KeptClass::line).collect())
    }

    /// One of them.
    ///
    /// # Errors
    /// There is no such class.
    pub async fn class(
        &self,
        teacher: TeacherId,
        class: ClassId,
    ) -> Result<ClassTold, HttpRefusal> {
        self.kept(teacher, class).await.map(|kept| kept.told())
    }

    /// Keeps a class from its list file. The same children under the same name are the same class.
    ///
    /// # Errors
    /// One plain sentence, with the line it is about.
    pub async fn keep_class(
        &self,
        teacher: TeacherId,
        name: &str,
        file: &[u8],
    ) -> Result<ClassTold, HttpRefusal> {
        let list = class_list::read(file)?;
        let _one_after_the_other = self.inner.making.lock().await;
        self.keep(teacher, name, list).await.map(|kept| kept.told())
    }

    /// Changes a class's list.
    ///
    /// # Errors
    /// There is no such class, or one plain sentence with the line it is about.
    pub async fn change_class(
        &self,
        teacher: TeacherId,
        class: ClassId,
        file: &[u8],
    ) -> Result<ClassTold, HttpRefusal> {
        let mut list = class_list::read(file)?;
        self.change(teacher, class, |kept| {
            list.keep_marks_of(&kept.list);
            kept.list = list;
            Ok(())
        })
        .await
        .map(|kept| kept.told())
    }

    /// Gives a child another picture, for the lessons to come.
    ///
    /// # Errors
    /// There is no such class or child.
    pub async fn choose_picture(
        &self,
        teacher: TeacherId,
        class: ClassId,
        PictureAsked { pupil, picture }: PictureAsked,
    ) -> Result<ClassTold, HttpRefusal> {
        self.change(teacher, class, |kept| {
            let done = kept.choose_picture(pupil, picture);
            done.map_err(|_| no("Nobody on the list has that place."))
        })
        .await
        .map(|kept| kept.told())
    }

    /// Notes that a child plays at home, or in the room, for the groups to come.
    ///
    /// # Errors
    /// There is no such class or child.
    pub async fn choose_home(
        &self,
        teacher: TeacherId,
        class: ClassId,
        HomeAsked { pupil, at_home }: HomeAsked,
    ) -> Result<ClassTold, HttpRefusal> {
        self.change(teacher, class, |kept| {
            let child = kept.list.pupils.get_mut(usize::from(pupil.0));
            child.ok_or_else(|| no("Nobody on the list has that place."))?.at_home = at_home;
            Ok(())
        })
        .await
        .map(|kept| kept.told())
    }

    /// The class list as a file, with everything that is kept about the children.
    ///
    /// # Errors
    /// There is no such class.
    pub async fn export_class(
        &self,
        teacher: TeacherId,
        class: ClassId,
    ) -> Result<Vec<u8>, HttpRefusal> {
        self.kept(teacher, class).await.map(|kept| class_list::write(&kept.list))
    }

    /// Groups for a class, before anybody sits down; those from play come from `Kept::groups`. Nothing is
    /// kept of them.
    ///
    /// # Errors
    /// One plain sentence.
    pub async fn groups(
        &self,
        teacher: TeacherId,
        class: ClassId,
        asked: &GroupsAsked,
    ) -> Result<GroupsTold, HttpRefusal> {
        let kept = self.kept(teacher, class).await?;
        grouping::answer(&kept.list, asked, &[]).map_err(|error| no(error.to_string()))
    }

    /// Makes a lesson of a kept class with the tables that the teacher saw.
    ///
    /// # Errors
    /// One plain sentence.
    pub async fn make_lesson_of(
        &self,
        teacher: TeacherId,
        class: ClassId,
        asked: &LessonAsked,
    ) -> Result<LessonMade, HttpRefusal> {
        let _one_after_the_other = self.inner.making.lock().await;
        let mut kept = self.kept(teacher, class).await?;
        let tables = grouping::check(&kept.list, &asked.tables);
        let tables = tables.map_err(|error| no(error.to_string()))?;
        let plan = LessonPlan::for_ages(asked.ages);
        // Empty tables were left out, and their decks with them.
        let laid = asked.tables.iter().enumerate().filter(|(_, pupils)| !pupils.is_empty());
        let decks: Vec<Option<DeckPlan>> =
            laid.map(|(place, _)| asked.decks.get(place).cloned().flatten()).collect();
        let seats = seat(&tables).tables.into_iter().map(|sitters| sitters.len());
        let laid: Vec<(usize, &DeckPlan)> =
            seats.zip(&decks).filter_map(|(seats, deck)| Some((seats, deck.as_ref()?))).collect();
        self.check_decks(&kept, &plan, &laid).await?;
        let made = self.make_of(&kept, &asked.name, tables, plan).await?;
        self.known_lesson(teacher, made.lesson)?.lay_decks(decks).await.map_err(PlanNo::told)?;
        kept.used = self.now();
        self.write_class(&kept).await?;
        Ok(made)
    }

    /// Makes a lesson from a class list file, seats the class and lays the tables. The class is
    /// kept too, so that everything the server holds about a child can be deleted in one place.
    ///
    /// # Errors
    /// One plain sentence, with the line it is about.
    pub async fn make_lesson(
        &self,
        teacher: TeacherId,
        name: &str,
        file: &[u8],
        plan: LessonPlan,
    ) -> Result<LessonMade, HttpRefusal> {
        let list = class_list::read(file)?;
        let _one_after_the_other = self.inner.making.lock().await;
        let kept = self.keep(teacher, name, list).await?;
        self.make_of(&kept, name, grouping::without_being_asked(&kept.list), plan).await
    }

    /// Whether these decks can be made for the class and serve tables of so many seats, so that a lesson is made with all or not at all.
    async fn check_decks(
        &self,
        kept: &KeptClass,
        plan: &LessonPlan,
        laid: &[(usize, &DeckPlan)],
    ) -> Result<(), HttpRefusal> {
        for &(seats, deck) in laid {
            let own = own_deck(self.store(), kept.owner, deck.skill).await.map_err(trouble)?;
            let material = HeldMaterial::new(&kept.list.pupils, own);
            let plan = plan.clone().with_deck(deck.clone());
            let (nowhere, any) = (DeckId([0; 16]), self.inner.randomness.bytes());
            let made = decks::make(&plan, material.lend(), nowhere, any);
            let (made, _) = made.map_err(|error| no(error.to_string()))?;
            check_plan(&plan, &made, seats).map_err(|refusal| PlanNo::from(refusal).told())?;
        }
        Ok(())
    }

    async fn make_of(
        &self,
        kept: &KeptClass,
        name: &str,
        tables: Vec<Vec<PupilIndex>>,
        plan: LessonPlan,
    ) -> Result<LessonMade, HttpRefusal> {
        let mut plan = Plan::of_class(name, kept.list.clone(), &tables, plan);
        plan.class = Some(kept.class);
        plan.owner = kept.owner;
        let before = self.support_before(kept.class).await?;
        let made = self.make(plan).await?;
        let children: Vec<String> = kept.list.pupils.iter().map(|one| one.name.clone()).collect();
        self.carry_support(kept.owner, made.lesson, &children, &before).await?;
        Ok(made)
    }

    /// Deletes a class, and the journals and decks of all lessons that were made from it.
    ///
    /// # Errors
    /// There is no such class, or one of its lessons still goes on.
    pub async fn delete_class(
        &self,
        teacher: TeacherId,
        class: ClassId,
    ) -> Result<(), HttpRefusal> {
        let _one_after_the_other = self.inner.making.lock().await;
        self.kept(teacher, class).await?;
        self.delete_unless_played(class).await
    }

    /// The caller holds `making`.
    pub(super) async fn delete_unless_played(&self, class: ClassId) -> Result<(), HttpRefusal> {
        if self.all_lessons().iter().any(|lesson| lesson.class() == Some(class)) {
            return Err(no(
                "A lesson of this class still goes on. End it on its board, then delete the class.",
            ));
        }
        self.wipe(class).await.map_err(trouble)
    }

    /// The class's own document goes last, so that a crash in between leaves a class that can be
    /// deleted once more.
    async fn wipe(&self, class: ClassId) -> Result<(), StoreError> {
        let store = &*self.inner.store;
        for record in LessonLog::of_class(store, class).await? {
            for table in &record.made.tables {
                store.delete(table_stream(table.table)).await?;
            }
            for deck in &record.decks {
                store.delete(sheet_stream(deck.deck)).await?;
                lock(&self.inner.sheets).remove(&deck.deck);
            }
            store.delete(lesson_stream(record.made.lesson)).await?;
        }
        classes::forget(store, class).await?;
        lock(&self.inner.ways).forget(class);
        Ok(())
    }

    /// Forgets the classes whose time is over, for as long as the server runs, and what an account left
    /// that was removed while no server ran. A class whose lesson still goes on waits for its end.
    pub async fn forget_old_classes(self) {
        loop {
            self.forget_those_gone().await;
            self.forget_those_over().await;
            tokio::time::sleep(CLASS_LOOK_GAP).await;
        }
    }

    /// One look for classes whose time is over.
    pub async fn forget_those_over(&self) {
        let kept = classes::read_all(&*self.inner.store).await.unwrap_or_default();
        let now = self.today();
        let over = kept.iter().filter(|kept| kept.kept_until() <= now);
        let mut forgotten = 0;
        for kept in over {
            let _one_after_the_other = self.inner.making.lock().await;
            forgotten += usize::from(self.delete_unless_played(kept.class).await.is_ok());
        }
        if forgotten > 0 {
            tracing::info!(forgotten, "classes were forgotten at their date");
        }
    }

    pub(super) async fn all_kept(&self) -> Result<Vec<KeptClass>, HttpRefusal> {
        classes::read_all(&*self.inner.store).await.map_err(trouble)
    }

    /// A teacher's own class; another's is none.
    pub(super) async fn kept(
        &self,
        teacher: TeacherId,
        class: ClassId,
    ) -> Result<KeptClass, HttpRefusal> {
        let kept = classes::read(&*self.inner.store, class).await.map_err(trouble)?;
        kept.filter(|kept| kept.owner == teacher)
            .ok_or_else(|| no("This class is not kept here any more."))
    }

    /// Keeps a list under a name. The caller holds `making`.
    pub(super) async fn keep(
        &self,
        teacher: TeacherId,
        name: &str,
        mut list: ClassList,
    ) -> Result<KeptClass, HttpRefusal> {
        let name = name.trim();
        let all = self.all_kept().await?;
        let own = || all.iter().filter(|kept| kept.owner == teacher);
        let same = own().find(|kept| kept.name == name && same_children(&kept.list, &list));
        if same.is_none() && own().count() >= CLASSES_EACH_MAX {
            return Err(no("You keep as many classes as there is room for. Delete one first."));
        }
        if same.is_none() && all.len() >= CLASSES_MAX {
            return Err(no("This server keeps as many classes as it can. Ask who looks after it."));
        }
        let class = same.map_or_else(|| ClassId(self.inner.randomness.uuid()), |same| same.class);
        same.into_iter().for_each(|same| list.keep_marks_of(&same.list));
        let ways = same.map(|same| same.ways.clone()).unwrap_or_default();
        let name = name.to_owned();
        let kept = KeptClass { class, owner: teacher, name, list, used: self.now(), ways };
        self.write_class(&kept).await?;
        Ok(kept)
    }

    /// Keeps a class, and what leads to its children. A store that fails may have written nevertheless,
    /// so that what it holds is read back.
    async fn write_class(&self, kept: &KeptClass) -> Result<(), HttpRefusal> {
        let store = &*self.inner.store;
        if let Err(error) = classes::keep(store, kept).await {
            if let Ok(Some(held)) = classes::read(store, kept.class).await {
                lock(&self.inner.ways).know(&held);
            }
            return Err(trouble(error));
        }
        lock(&self.inner.ways).know(kept);
        Ok(())
    }

    pub(super) async fn change(
        &self,
        teacher: TeacherId,
        class: ClassId,
        change: impl FnOnce(&mut KeptClass) -> Result<(), HttpRefusal>,
    ) -> Result<KeptClass, HttpRefusal> {
        let _one_after_the_other = self.inner.making.lock().await;
        let mut kept = self.kept(teacher, class).await?;
        change(&mut kept)?;
        kept.used = self.now();
        self.write_class(&kept).await?;
        Ok(kept)
    }
}

fn same_children(one: &ClassList, other: &ClassList) -> bool {
    let names = |list: &ClassList| {
        let mut names: Vec<String> = list.pupils.iter().map(|pupil| spoken(&pupil.name)).collect();
        names.sort_unstable();
        names
    };
    names(one) == names(other)
}
