//! The hub's half of the slot for playing: the lesson that an address or a substitute's link names.

use super::Hub;
use crate::lesson::live_lesson::{Forecast, LiveLesson, ToSimulate};
use crate::teacher::TeacherId;
use handround_protocol::id::LessonId;
use handround_protocol::join::HttpRefusal;
use handround_protocol::workshop::SlotTold;
use std::sync::Arc;

/// The slot of one lesson, for whoever may ask for it.
pub struct SlotAt(Arc<LiveLesson>);

impl SlotAt {
    pub(super) fn new(lesson: Arc<LiveLesson>) -> SlotAt {
        SlotAt(lesson)
    }

    /// Begins a slot that ends in so many minutes, or takes it back.
    ///
    /// # Errors
    /// Minutes out of range, or the store's trouble.
    pub async fn choose(&self, minutes: Option<u16>) -> Result<(), HttpRefusal> {
        self.0.choose_slot(minutes).await
    }

    /// What has to be simulated before the slot can be told; `None` if nothing has.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn to_simulate(&self) -> Result<Option<ToSimulate>, HttpRefusal> {
        self.0.slot_to_simulate().await
    }

    /// Keeps a forecast for the next looks.
    pub fn keep_forecast(&self, forecast: Forecast) {
        self.0.keep_forecast(forecast);
    }

    /// The slot as it runs.
    pub async fn told(&self) -> SlotTold {
        self.0.slot_told().await
    }
}

impl Hub {
    /// The slot of a teacher's lesson.
    ///
    /// # Errors
    /// No such lesson.
    pub fn slot(&self, teacher: TeacherId, lesson: LessonId) -> Result<SlotAt, HttpRefusal> {
        self.known_lesson(teacher, lesson).map(SlotAt)
    }
}
