//! What stays with a child from lesson to lesson: the support that its teacher gave it. It is read out of
//! the journals of the class's earlier lessons, so that nothing more is kept, and what deletes the
//! class deletes it.

use super::Hub;
use super::classes::trouble;
use crate::journal::{Store, StoreError};
use crate::lesson::lesson_log::LessonLog;
use crate::teacher::TeacherId;
use handround_protocol::id::{ClassId, LessonId, PupilIndex};
use handround_protocol::join::HttpRefusal;
use handround_protocol::message::BoardSays;
use handround_protocol::support::Support;
use std::collections::BTreeMap;

impl Hub {
    /// Support of the class's children by nickname, as the latest lessons left it.
    pub(super) async fn support_before(
        &self,
        class: ClassId,
    ) -> Result<BTreeMap<String, Support>, HttpRefusal> {
        support_before(self.store(), class).await.map_err(trouble)
    }

    /// Gives it again in a new lesson. A child that sits nowhere yet gets it from its teacher.
    pub(super) async fn carry_support(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        children: &[String],
        before: &BTreeMap<String, Support>,
    ) -> Result<(), HttpRefusal> {
        let live = self.known_lesson(teacher, lesson)?;
        for (pupil, name) in (0..).map(PupilIndex).zip(children) {
            if let Some(support) = before.get(name).filter(|one| **one != Support::default()) {
                let says = BoardSays::Support { pupil, support: support.clone() };
                if let Err(refusal) = live.says(says).await {
                    tracing::warn!(?refusal, "a child's support was not carried over");
                }
            }
        }
        Ok(())
    }
}

async fn support_before(
    store: &dyn Store,
    class: ClassId,
) -> Result<BTreeMap<String, Support>, StoreError> {
    let mut support = BTreeMap::new();
    // A later lesson's word counts, also where it took support away.
    for record in LessonLog::of_class(store, class).await? {
        for (pupil, given) in record.support {
            if let Some(child) = record.pupils.get(usize::from(pupil.0)) {
                support.insert(child.name.clone(), given);
            }
        }
    }
    Ok(support)
}
