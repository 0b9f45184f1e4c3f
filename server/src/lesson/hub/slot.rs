//! The hub's half of the slot for playing: the lesson that an address names.

use super::Hub;
use crate::lesson::live_lesson::{Forecast, ToSimulate};
use crate::teacher::TeacherId;
use handround_protocol::id::LessonId;
use handround_protocol::join::HttpRefusal;
use handround_protocol::workshop::SlotTold;

impl Hub {
    /// Begins a slot that ends in so many minutes, or takes it back.
    ///
    /// # Errors
    /// No such lesson, minutes out of range, or the store's trouble.
    pub async fn choose_slot(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        minutes: Option<u16>,
    ) -> Result<(), HttpRefusal> {
        self.known_lesson(teacher, lesson)?.choose_slot(minutes).await
    }

    /// What has to be simulated before the slot can be told; `None` if nothing has.
    ///
    /// # Errors
    /// No such lesson, or the store's trouble.
    pub async fn slot_to_simulate(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<Option<ToSimulate>, HttpRefusal> {
        self.known_lesson(teacher, lesson)?.slot_to_simulate().await
    }

    /// Keeps a forecast; a lesson that has ended meanwhile needs none.
    pub fn keep_forecast(&self, teacher: TeacherId, lesson: LessonId, forecast: Forecast) {
        if let Some(live) = self.own(teacher, lesson) {
            live.keep_forecast(forecast);
        }
    }

    /// The slot as it runs.
    ///
    /// # Errors
    /// No such lesson.
    pub async fn slot(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<SlotTold, HttpRefusal> {
        Ok(self.known_lesson(teacher, lesson)?.slot_told().await)
    }
}
