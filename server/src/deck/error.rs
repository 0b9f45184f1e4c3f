//! Why a deck cannot be made; each is a sentence for the teacher.

use super::wishes::WishError;

/// Why a deck cannot be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DeckError {
    /// The smallest number is above the largest.
    #[error("There is no number from {min} to {max}: the first must not be the larger one.")]
    RangeEmpty {
        /// Smallest number asked for.
        min: u16,
        /// Largest number asked for.
        max: u16,
    },
    /// A number has fewer than four kinds of picture.
    #[error(
        "There are not enough ways to show {number}: it has {kinds} and a match group needs 4."
    )]
    TooFewKinds {
        /// The number.
        number: u16,
        /// Kinds that can show it.
        kinds: usize,
    },
    /// Nothing to play with.
    #[error("A deck needs at least one match group.")]
    NoGroups,
    /// More groups than numbers, or than a deck holds.
    #[error("{groups} match groups are too many: there can be at most {at_most}.")]
    TooManyGroups {
        /// Groups asked for.
        groups: u8,
        /// Groups that are possible.
        at_most: u8,
    },
    /// Confusable pairs were asked for, and the family has none.
    #[error("There are no pairs here that children take for each other: allow them instead.")]
    NoConfusables,
    /// A setting lies outside what the family can show.
    #[error("{what} can be {allowed}, not {asked}.")]
    OutOfRange {
        /// What was set.
        what: &'static str,
        /// What is possible, in words.
        allowed: &'static str,
        /// What was asked for.
        asked: u16,
    },
    /// The class's names were not given.
    #[error("A deck of the class's names needs the class list of a lesson.")]
    NoClass,
    /// The own deck was not given, or is not there any more.
    #[error("That deck of your own is not kept here any more. Choose another, or send it again.")]
    NoOwnDeck,
    /// The teacher's wishes cannot be fulfilled.
    #[error(transparent)]
    Wish(#[from] WishError),
}
