//! Every threshold of the reports in one place, each with its reason. Issue 6 gives some of them; the
//! others are our choice. EVIDENCE.md tells what was measured with them.

use handround_protocol::time::Micros;

/// Under this a tap is too quick to be a look. Issue 6 fixes it; no source.
pub const TOO_QUICK_BELOW: Micros = Micros::from_ms(700);
/// Over this the child was doing something else. Issue 6 fixes it; no source.
pub const TOO_SLOW_ABOVE: Micros = Micros::from_s(20);
/// So many moves in a row by one same button, each quicker than `RUN_QUICK_BELOW`, are tapping and
/// not looking. Most passes are right, so a run of passes alone says nothing: pace decides. Our choice.
pub const RUN_MIN: usize = 6;
/// See `RUN_MIN`.
pub const RUN_QUICK_BELOW: Micros = Micros::from_ms(1_500);
/// Three false taps within this span are excited, the earlier ones too (design, section 3, rule 7).
pub const EXCITED_SPAN: Micros = Micros::from_s(2);
/// Four alike held shorter than this at the end of a round were not missed: a child needs a moment to
/// see them. Our choice.
pub const MISSED_AFTER: Micros = Micros::from_s(3);

/// A figure rests on at least so many chances to match, moves or cards; issue 6 fixes it for items.
pub const CHANCES_MIN: usize = 8;
/// `Often` asks that at least this share be plausible at the low end: more often kept than not, whatever
/// chance did. Our choice; with tracing's bound seven of eight pass, six of eight do not.
pub const OFTEN_LEAST: f64 = 0.5;
/// `Often` asks that tracing be so sure that the item is known by now. Our choice.
pub const OFTEN_KNOWN: f64 = 0.9;
/// Tracing below this says `lately seldom`: unknown is then the better guess. Our choice.
pub const HALF_KNOWN: f64 = 0.5;
/// Cards are told apart well from a d' of 1 on: somebody without a leaning is then right in 69 of 100
/// cases (the normal distribution at half of it). Our choice.
pub const WELL_LEAST: f64 = 1.0;
/// A leaning smaller than this is not worth a word, however sure it is. Our choice.
pub const LEANING_LEAST: f64 = 0.3;
/// Fours noticed before the time that it takes is told: a median of two is none. Our choice.
pub const FOURS_MIN: usize = 3;

/// Different hands or cards that a confusion needs at least. Issue 6 fixes it.
pub const TIMES_MIN: usize = 2;
/// How seldom chance alone may make a pair look confused: in fewer than 2 of 1,000 cases. Chosen on
/// simulated children whom the test does not play again, so that over a dozen lessons fewer than 5 of 100
/// children ever have something untrue said of them; a larger one finds hardly more (EVIDENCE.md).
pub const CHANCE_BELOW: f64 = 0.002;
/// Decisions from which on nine of ten confusions of the simulated child were found (EVIDENCE.md). Below
/// it a page says that others may not show yet.
pub const DECISIONS_FOR_NINE_OF_TEN: usize = 600;

/// Groups of a suggested deck that may be shaky ones; the rest is firm or left to chance, so that
/// every child has something that goes well. Common practice, no source; the share is our choice.
pub const SHAKY_OF_THREE: usize = 2;
/// Items that a reason names at most, so that it stays a sentence.
pub const NAMED_MAX: usize = 3;
