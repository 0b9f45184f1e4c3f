//! Which child's place a card, home link or tablet leads to, over all kept classes: an index in memory, so
//! that a request of a tablet reads no store and tries no class after the other. It holds what the store
//! holds: whoever keeps or forgets a class, or lets a lesson begin, grow or end, says so here. Pure.
//!
//! Codes are known by their digests, which reveal nothing by the order in which they are found.

use super::class_list::{Pupil, spoken};
use super::classes::KeptClass;
use super::lesson_log::TokenDigest;
use handround_protocol::door::Way;
use handround_protocol::id::{ClassId, LessonId, Token};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Where a code leads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leads {
    /// The child's class.
    pub class: ClassId,
    /// The child, by its nickname as spoken.
    pub child: String,
    /// A card or a home link.
    pub way: Way,
}

/// The index.
#[derive(Debug, Default)]
pub struct WayIndex {
    classes: BTreeMap<ClassId, Arc<KeptClass>>,
    /// Children of lessons that go on, as spoken: whoever came late has a card for as long.
    seated: BTreeMap<ClassId, BTreeMap<LessonId, BTreeSet<String>>>,
    codes: BTreeMap<TokenDigest, Leads>,
    codes_of: BTreeMap<ClassId, Vec<TokenDigest>>,
    /// A cart that classes share is kept by each of them.
    tablets: BTreeMap<TokenDigest, BTreeSet<ClassId>>,
}

impl WayIndex {
    /// A class is kept as it is now.
    pub fn know(&mut self, kept: &KeptClass) {
        self.forget_tablets(kept.class);
        for digest in kept.ways.tablets() {
            self.tablets.entry(digest).or_default().insert(kept.class);
        }
        self.classes.insert(kept.class, Arc::new(kept.clone()));
        self.renew_codes(kept.class);
    }

    /// A class is gone.
    pub fn forget(&mut self, class: ClassId) {
        self.forget_tablets(class);
        self.classes.remove(&class);
        self.renew_codes(class);
    }

    /// These children have places in a lesson that goes on; nobody leaves its list.
    pub fn seat(&mut self, class: ClassId, lesson: LessonId, children: &[Pupil]) {
        let known = self.seated.entry(class).or_default().entry(lesson).or_default();
        known.extend(children.iter().map(|child| spoken(&child.name)));
        self.renew_codes(class);
    }

    /// A lesson is over.
    pub fn end(&mut self, class: ClassId, lesson: LessonId) {
        let Some(lessons) = self.seated.get_mut(&class) else { return };
        lessons.remove(&lesson);
        if lessons.is_empty() {
            self.seated.remove(&class);
        }
        self.renew_codes(class);
    }

    /// Where a card or home link leads.
    pub fn code(&self, code: Token) -> Option<Leads> {
        self.codes.get(&TokenDigest::of(code)).cloned()
    }

    /// The classes that keep a tablet, by name.
    pub fn tablet(&self, tablet: Token) -> Vec<Arc<KeptClass>> {
        let classes = self.tablets.get(&TokenDigest::of(tablet)).into_iter().flatten();
        let mut found: Vec<_> =
            classes.filter_map(|class| self.classes.get(class).cloned()).collect();
        found.sort_by(|one, other| (&one.name, one.class).cmp(&(&other.name, other.class)));
        found
    }

    fn forget_tablets(&mut self, class: ClassId) {
        let Some(kept) = self.classes.get(&class) else { return };
        for digest in kept.ways.tablets() {
            if let Some(classes) = self.tablets.get_mut(&digest) {
                classes.remove(&class);
                if classes.is_empty() {
                    self.tablets.remove(&digest);
                }
            }
        }
    }

    /// A class has sixty children at the most, so all its codes are made anew with each change.
    fn renew_codes(&mut self, class: ClassId) {
        for digest in self.codes_of.remove(&class).unwrap_or_default() {
            self.codes.remove(&digest);
        }
        let Some(kept) = self.classes.get(&class) else { return };
        let listed = kept.list.pupils.iter().map(|pupil| spoken(&pupil.name));
        let seated = self.seated.get(&class).into_iter().flat_map(BTreeMap::values).flatten();
        let children: BTreeSet<String> = listed.chain(seated.cloned()).collect();
        let mut digests = Vec::new();
        for child in children {
            for way in [Way::Card, Way::Home] {
                let Some(code) = kept.ways.code(&child, way) else { continue };
                let digest = TokenDigest::of(code);
                self.codes.insert(digest, Leads { class, child: child.clone(), way });
                digests.push(digest);
            }
        }
        if !digests.is_empty() {
            self.codes_of.insert(class, digests);
        }
    }
}
