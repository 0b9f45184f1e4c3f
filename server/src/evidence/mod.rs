//! What play says about a skill: a table's journal in, small honest statements out. Pure; knows no
//! socket, database, runtime, clock or global randomness. `EVIDENCE.md` in this folder tells the
//! model in plain words.
//!
//! It deliberately knows no score of a child's worth, keeps nothing, and compares no children: a
//! report is computed afresh from the kept journals each time, so that deleting those deletes it.

mod bounds;
mod cards;
mod confusion;
mod decision;
mod judge;
mod next;
mod reading;
mod recognition;
mod report;
mod stats;
pub mod telling;
#[cfg(test)]
mod tests;
mod trend;
mod words;

pub use cards::{CardFace, DeckFaces};
pub use confusion::{Confusion, confusions};
pub use decision::{Act, Decision, Exclusion};
pub use judge::{Judged, judge};
pub use next::{suggest, together_why, unlike};
pub use reading::read;
pub use recognition::{Leaning, Recognition, Steadiness, Tells};
pub use report::{
    ChildReport, ClassReport, Excluded, Fours, ItemLine, KindLine, Played, RollUp, Shared,
    SkillLine, child, report,
};
pub use stats::{
    Acts, Interval, SignalDetection, Tracing, chance_of_so_much, clustered, d_prime, quartiles,
    signal_detection, wilson,
};
pub use trend::{ClassLook, ClassSkill, Lesson, LessonPlayed, Look};
pub use words::{CAUTIONS, QUESTIONS, questions};
