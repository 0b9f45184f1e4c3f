//! Simulated and recorded races through the very code that rules at a table, beside four plainer
//! rules, so that anybody can see with numbers what each of them does to a child on a slow link.
//!
//! Pure: seeds are arguments. Floats are welcome here; records and rulings hold none. It simulates
//! links, frames and reactions, not pages: what a browser really does is measured elsewhere.

mod acknowledging;
mod chart;
mod curves;
mod network;
mod profiles;
mod recorded;
mod rivals;
mod run;
mod score;
mod table;
#[cfg(test)]
mod tests;
mod world;

pub use chart::{curve_svg, table_svg};
pub use curves::{CurvePoint, HoldPoint, curve, hold_curve};
pub use profiles::{Profile, TARGET_SHARE, Target, all as profiles, by_name, replica};
pub use recorded::{Recorded, records, tell};
pub use run::{PARTS, part, whole};
pub use score::{Held, Row, Score};
pub use table::{csv, curve_text, hold_text, text};
