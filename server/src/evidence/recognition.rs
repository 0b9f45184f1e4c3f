//! How often matches were kept, and cards that match nothing: the figures, and what they allow to say.

use super::bounds::{CHANCES_MIN, LEANING_LEAST, OFTEN_LEAST, WELL_LEAST};
use super::judge::Judged;
use super::stats::{Interval, SignalDetection, signal_detection, wilson};
use serde::Serialize;

/// What is said of an item, a skill or a kind of face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Steadiness {
    /// Recognised often in this game.
    Often,
    /// Not yet steady.
    NotYetSteady,
    /// Too little to say.
    TooLittle,
    /// Not seen.
    NotSeen,
}

/// How well cards that match are told from cards that do not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Tells {
    /// Well: a d' of less than 1 is not plausible.
    Well,
    /// Not yet: one of more than 1 is not plausible.
    NotYet,
    /// Neither is ruled out.
    Open,
}

/// What a child tends to do with a new card, whether it matches or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Leaning {
    /// Keeps it.
    Keeps,
    /// Passes it.
    Passes,
}

/// How often matches were kept, and cards that match nothing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Recognition {
    /// Chances to match that were taken.
    pub kept: usize,
    /// Chances to match.
    pub chances: usize,
    /// Of `kept` in `chances`, 95 %.
    pub interval: Option<Interval>,
    /// Cards that matched nothing and were kept all the same: no error by itself.
    pub kept_unmatched: usize,
    /// Cards that matched nothing.
    pub unmatched: usize,
    /// Sensitivity; missing where either count is too small.
    pub d_prime: Option<f64>,
    /// Bias; below 0 for a child that keeps much, match or not.
    pub bias: Option<f64>,
    /// What the sensitivity allows to say.
    pub tells: Option<Tells>,
    /// What the bias allows to say; missing for a child without a leaning.
    pub leaning: Option<Leaning>,
    /// In words.
    pub says: Option<Steadiness>,
}

impl Recognition {
    pub(super) fn count(&mut self, judged: &Judged) {
        match judged {
            Judged::Chance { kept, .. } => {
                self.chances += 1;
                self.kept += usize::from(*kept);
            }
            Judged::NoMatch { kept } => {
                self.unmatched += 1;
                self.kept_unmatched += usize::from(*kept);
            }
            _ => {}
        }
    }

    pub(super) fn finish(mut self) -> Recognition {
        let interval = wilson(self.kept, self.chances);
        self.says = Some(match self.chances {
            0 => Steadiness::NotSeen,
            few if few < CHANCES_MIN => Steadiness::TooLittle,
            _ if interval.least >= OFTEN_LEAST => Steadiness::Often,
            _ => Steadiness::NotYetSteady,
        });
        if self.chances >= CHANCES_MIN {
            self.interval = Some(interval);
            if self.unmatched >= CHANCES_MIN {
                let counts = (self.kept, self.chances, self.kept_unmatched, self.unmatched);
                self.say(signal_detection(counts));
            }
        }
        self
    }

    fn say(&mut self, found: SignalDetection) {
        (self.d_prime, self.bias) = (Some(found.d_prime), Some(found.bias));
        let least = found.d_prime - found.d_prime_off;
        let greatest = found.d_prime + found.d_prime_off;
        self.tells = Some(match () {
            () if least >= WELL_LEAST => Tells::Well,
            () if greatest < WELL_LEAST => Tells::NotYet,
            () => Tells::Open,
        });
        let sure = found.bias.abs() > found.bias_off.max(LEANING_LEAST);
        let leaning = if found.bias < 0.0 { Leaning::Keeps } else { Leaning::Passes };
        self.leaning = sure.then_some(leaning);
    }
}
