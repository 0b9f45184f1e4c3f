//! Classes that this server keeps from lesson to lesson. Each is one document in the store and no
//! history: what a teacher takes back, such as a readiness, is gone for good, and so is a class
//! that she deletes. It knows neither lessons nor HTTP.

use super::class_list::ClassList;
use super::lesson_log::{read_line, write_line};
use super::ways::Ways;
use crate::journal::{Store, StoreError, StreamName};
use crate::limits::lesson::CLASS_KEPT_FOR;
use crate::teacher::TeacherId;
use handround_protocol::classes::{ClassLine, ClassPupil, ClassTold};
use handround_protocol::id::{ClassId, PupilIndex};
use handround_protocol::picture::Picture;
use handround_protocol::time::Micros;
use serde::{Deserialize, Serialize};

/// A class as it is kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptClass {
    /// The class.
    pub class: ClassId,
    /// Whose it is.
    #[serde(default)]
    pub owner: TeacherId,
    /// Its name.
    pub name: String,
    /// Its list.
    pub list: ClassList,
    /// When it was kept, changed or last used for a lesson.
    pub used: Micros,
    /// Cards, home links and tablets that lead to its children's places.
    #[serde(default)]
    pub ways: Ways,
}

fn count(number: usize) -> u16 {
    u16::try_from(number).unwrap_or(u16::MAX)
}

impl KeptClass {
    /// When it is forgotten.
    pub fn kept_until(&self) -> Micros {
        self.used.plus(CLASS_KEPT_FOR)
    }

    /// For the teacher's list of classes.
    pub fn line(&self) -> ClassLine {
        ClassLine {
            class: self.class,
            name: self.name.clone(),
            pupils: count(self.list.pupils.len()),
            kept_until: self.kept_until(),
        }
    }

    /// For the teacher's page. It counts what is sensitive and does not tell it.
    pub fn told(&self) -> ClassTold {
        let pupils = &self.list.pupils;
        let told = pupils.iter().map(|pupil| ClassPupil {
            name: pupil.name.clone(),
            picture: pupil.picture,
            at_home: pupil.at_home,
        });
        ClassTold {
            class: self.class,
            name: self.name.clone(),
            pupils: told.collect(),
            with_readiness: count(pupils.iter().filter(|pupil| pupil.readiness.is_some()).count()),
            pairs_apart: count(self.list.apart.len()),
            kept_until: self.kept_until(),
        }
    }

    /// Gives a child another picture, and the child's old one to whoever had that.
    ///
    /// # Errors
    /// Nobody has that number.
    pub fn choose_picture(
        &mut self,
        pupil: PupilIndex,
        picture: Picture,
    ) -> Result<(), NoSuchPupil> {
        let pupils = &mut self.list.pupils;
        let place = usize::from(pupil.0);
        let old = pupils.get(place).ok_or(NoSuchPupil)?.picture;
        pupils
            .iter_mut()
            .filter(|other| other.picture == picture)
            .for_each(|other| other.picture = old);
        pupils[place].picture = picture;
        Ok(())
    }
}

/// Nobody of the list has that number.
#[derive(Debug)]
pub struct NoSuchPupil;

/// The prefix of every class's stream.
const CLASSES: &str = "class/";

fn class_stream(class: ClassId) -> StreamName {
    StreamName(format!("{CLASSES}{class}"))
}

/// All kept classes, by name. One that cannot be read is left out, and logged.
///
/// # Errors
/// The store's.
pub async fn read_all(store: &dyn Store) -> Result<Vec<KeptClass>, StoreError> {
    let mut classes = Vec::new();
    for stream in store.streams(CLASSES).await? {
        match read_from(store, stream).await {
            Ok(class) => classes.extend(class),
            Err(error) => tracing::error!(%error, "a class cannot be read"),
        }
    }
    classes.sort_by(|one, other| (&one.name, one.class).cmp(&(&other.name, other.class)));
    Ok(classes)
}

/// One kept class.
///
/// # Errors
/// The store's, or a line that cannot be read.
pub async fn read(store: &dyn Store, class: ClassId) -> Result<Option<KeptClass>, StoreError> {
    read_from(store, class_stream(class)).await
}

async fn read_from(store: &dyn Store, stream: StreamName) -> Result<Option<KeptClass>, StoreError> {
    let lines = store.read(stream.clone()).await?;
    lines.last().map(|line| read_line(&stream, line)).transpose()
}

/// Keeps a class as it is now; what it was before is gone.
///
/// # Errors
/// The store's.
pub async fn keep(store: &dyn Store, class: &KeptClass) -> Result<(), StoreError> {
    store.replace(class_stream(class.class), vec![write_line(class)?]).await
}

/// Forgets a class.
///
/// # Errors
/// The store's.
pub async fn forget(store: &dyn Store, class: ClassId) -> Result<(), StoreError> {
    store.delete(class_stream(class)).await
}
