//! The index of cards, home links and tablets against the plain search through the store, which is what the
//! server did at every request before: the same answer after whatever a teacher, the calendar or a restart
//! does to classes and lessons.

use super::kit::{ME, Seeded, URL, memory};
use crate::journal::Store;
use crate::lesson::class_list::spoken;
use crate::lesson::classes::{self, KeptClass};
use crate::lesson::hub::{Hub, time_of_day};
use crate::lesson::way_index::Leads;
use crate::limits::lesson::CLASS_KEPT_FOR;
use handround_protocol::classes::LessonAsked;
use handround_protocol::door::{DoorPick, DoorSays};
use handround_protocol::house::AgeBand;
use handround_protocol::id::{ClassId, LessonId, PupilIndex, Token};
use handround_protocol::message::BoardSays;
use handround_protocol::time::Micros;
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use std::collections::BTreeSet;
use std::sync::Arc;

const NAMES: [&str; 7] = ["Ada", "Bo", "Cleo", "Dora", "Emil", "Finn", "Gus"];
const TABLETS: usize = 3;

/// A school that a story is told about, and all codes that were ever handed out in it.
struct School {
    store: Arc<dyn Store>,
    hub: Hub,
    random: ChaCha20Rng,
    lessons: Vec<(ClassId, LessonId)>,
    codes: BTreeSet<[u8; 16]>,
    time_of_day: Micros,
    starts: u64,
}

impl School {
    async fn found(seed: u64) -> School {
        let (store, time_of_day) = (memory(), time_of_day());
        School {
            hub: hub(&store, seed, time_of_day).await,
            store,
            random: ChaCha20Rng::seed_from_u64(seed),
            lessons: Vec::new(),
            // A forged one.
            codes: [[0; 16]].into(),
            time_of_day,
            starts: seed,
        }
    }

    fn below(&mut self, bound: usize) -> usize {
        (self.random.next_u64() % bound.max(1) as u64) as usize
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> Option<T> {
        let place = self.below(all.len());
        all.get(place).copied()
    }

    /// Four of the names, so that classes share some; the same class comes again now and then.
    fn list(&mut self) -> String {
        let first = self.below(4);
        NAMES[first..first + 4].iter().map(|name| format!("{name}\n")).collect()
    }

    async fn restart(&mut self) {
        self.starts += 100;
        self.hub = hub(&self.store, self.starts, self.time_of_day).await;
    }

    /// What happens next. Refusals are part of the story.
    async fn step(&mut self) -> &'static str {
        let kept = classes::read_all(&*self.store).await.unwrap();
        let class_ids: Vec<ClassId> = kept.iter().map(|kept| kept.class).collect();
        let class = self.one_of(&class_ids);
        let lesson = self.one_of(&self.lessons.clone()).map(|(_, lesson)| lesson);
        let pupil = PupilIndex(self.below(5) as u16);
        match (self.below(16), class, lesson) {
            (0, ..) => {
                let (name, list) = (["Oak", "Elm"][self.below(2)], self.list());
                self.hub.keep_class(ME, name, list.as_bytes()).await.unwrap();
                "a class is kept"
            }
            (1, Some(class), _) => {
                let list = self.list();
                self.hub.change_class(ME, class, list.as_bytes()).await.unwrap();
                "another list"
            }
            (2, Some(class), _) => {
                let _ = self.hub.delete_class(ME, class).await;
                "a class is deleted, unless its lesson goes on"
            }
            (3 | 4, Some(class), _) if self.lessons.len() < 3 => {
                let tables = vec![(0..4).map(PupilIndex).collect()];
                let (name, ages) = ("Now".into(), AgeBand::FiveToSix);
                let asked = LessonAsked { name, ages, tables, decks: Vec::new() };
                let made = self.hub.make_lesson_of(ME, class, &asked).await.unwrap();
                self.lessons.push((class, made.lesson));
                "a lesson begins"
            }
            (5, _, Some(lesson)) => {
                self.hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
                self.lessons.retain(|(_, one)| *one != lesson);
                "a lesson ends"
            }
            (6, _, Some(lesson)) => {
                let mut board = self.hub.board(ME, lesson).await.unwrap();
                let board = board.wait_for(|board| !board.tables.is_empty()).await.unwrap().clone();
                let name = NAMES[self.below(NAMES.len())].to_lowercase();
                let late = BoardSays::AddPupil { name, table: board.tables[0].table };
                let _ = self.hub.board_says(ME, lesson, late).await;
                "a child comes late"
            }
            (7..=9, _, Some(lesson)) => {
                self.hub.place_cards(ME, lesson, None).await.unwrap();
                "cards are printed"
            }
            (10, _, Some(lesson)) => {
                let _ = self.hub.door_says(ME, lesson, DoorSays::Revoke(Some(pupil))).await;
                "a child's ways are revoked"
            }
            (11, _, Some(lesson)) => {
                self.hub.door_says(ME, lesson, DoorSays::Revoke(None)).await.unwrap();
                "all are revoked"
            }
            (12 | 13, _, Some(lesson)) => {
                let tablet = Some(tablet(self.below(TABLETS)));
                let _ = self.hub.door_says(ME, lesson, DoorSays::Free(pupil)).await;
                let row = self.hub.board(ME, lesson).await.unwrap().borrow().row.clone();
                let ticket = self.hub.places_by_row(&row).await.unwrap().ticket;
                let _ = self.hub.enter_by_picture(&DoorPick { ticket, pupil, tablet }).await;
                let _ = self.hub.door_says(ME, lesson, DoorSays::KeepTablet(pupil)).await;
                "a tablet is kept for a child"
            }
            (14, _, Some(lesson)) => {
                let number = 1 + self.below(TABLETS) as u16;
                self.hub.door_says(ME, lesson, DoorSays::ForgetTablet(number)).await.unwrap();
                "a tablet is forgotten"
            }
            (15, ..) => {
                if self.below(3) == 0 {
                    self.time_of_day = self.time_of_day.plus(CLASS_KEPT_FOR);
                }
                self.restart().await;
                self.hub.forget_those_over().await;
                "a restart, perhaps a term later"
            }
            _ => "nothing",
        }
    }

    /// All children that a class has: those of its list, then those of its lessons.
    async fn children(&self, kept: &KeptClass) -> Vec<String> {
        let mut names: Vec<String> =
            kept.list.pupils.iter().map(|pupil| pupil.name.clone()).collect();
        for (_, lesson) in self.lessons.iter().filter(|(class, _)| *class == kept.class) {
            names.extend(self.hub.pupils(ME, *lesson).await.into_iter().map(|pupil| pupil.name));
        }
        names
    }

    /// Compares every code and tablet that there ever was. How many lead somewhere.
    async fn compare(&mut self, story: &[&str]) -> (usize, usize) {
        let all = classes::read_all(&*self.store).await.unwrap();
        let mut children = Vec::new();
        for kept in &all {
            let names = self.children(kept).await;
            for child in &names {
                for way in
                    [handround_protocol::door::Way::Card, handround_protocol::door::Way::Home]
                {
                    self.codes.extend(kept.ways.code(child, way).map(|code| code.0));
                }
            }
            children.push(names);
        }
        let mut led = (0, 0);
        for code in self.codes.iter().copied().map(Token) {
            let plain = all.iter().zip(&children).find_map(|(kept, names)| {
                let names: Vec<&str> = names.iter().map(String::as_str).collect();
                let (name, way) = kept.ways.find(&names, code)?;
                Some(Leads { class: kept.class, child: spoken(name), way })
            });
            led.0 += usize::from(plain.is_some());
            assert_eq!(self.hub.led_by_code(code), plain, "after {story:?}");
        }
        for tablet in (0..TABLETS).map(tablet) {
            let plain: Vec<&KeptClass> =
                all.iter().filter(|kept| kept.ways.tablet(tablet).is_some()).collect();
            led.1 += plain.len();
            let found = self.hub.kept_with_tablet(tablet);
            assert_eq!(found.iter().map(|kept| &**kept).collect::<Vec<_>>(), plain, "{story:?}");
        }
        led
    }
}

async fn hub(store: &Arc<dyn Store>, seed: u64, time_of_day: Micros) -> Hub {
    Hub::restore_with(store.clone(), URL.to_owned(), Seeded::new(seed), time_of_day).await.unwrap()
}

fn tablet(number: usize) -> Token {
    Token([number as u8 + 1; 16])
}

#[tokio::test(start_paused = true)]
async fn the_index_of_ways_answers_as_the_plain_search_does() {
    for seed in 1..=2 {
        println!("seed {seed}");
        let mut school = School::found(seed).await;
        let (mut story, mut led) = (Vec::new(), (0, 0));
        for _ in 0..110 {
            story.push(school.step().await);
            let (codes, tablets) = school.compare(&story).await;
            led = (led.0 + codes, led.1 + tablets);
        }
        // The story was about something.
        assert!(led.0 > 100 && led.1 > 10, "{led:?} in {story:?}");
        assert!(school.codes.len() > 50, "{} codes", school.codes.len());
    }
}
