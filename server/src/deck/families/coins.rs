//! Coins of the United States up to a dollar: two ways to lay an amount, the cent sign, the dollar
//! sign, words. An amount is in play if at most eight coins make it in at least one way; amounts of 1 to
//! 4 cents have one way only and are left out.

use crate::deck::clash::Card;
use crate::deck::error::DeckError;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::phrase::{cent_sign, dollar_sign, money_words};
use crate::deck::shown::{Coin, Shown};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] =
    &[Standard { code: "2.MD.C.8", asks: "quarters, dimes, nickels and pennies, with $ and ¢" }];

/// More coins on a card are counted and no longer seen.
const COINS_MAX: usize = 8;

pub(super) fn family(cents_max: u16, values: bool) -> Result<Family, DeckError> {
    if !(25..=100).contains(&cents_max) {
        let (what, allowed) = ("The largest amount in cents", "25 to 100");
        return Err(DeckError::OutOfRange { what, allowed, asked: cents_max });
    }
    Ok(Family {
        name: format!("Coins to {}", dollar_sign(cents_max)),
        standards: STANDARDS,
        ages: (AgeBand::SevenToEight, AgeBand::SevenToEight),
        likeness: Likeness::Amount,
        accent: Accent::ANY,
        groups: (5..=cents_max).filter_map(|cents| group(cents, values)).collect(),
        starts: Vec::new(),
    })
}

fn group(cents: u16, values: bool) -> Option<MatchGroup> {
    let mut ways = Vec::new();
    lay(cents, &Coin::ALL, &mut Vec::new(), &mut ways);
    if ways.is_empty() {
        return None;
    }
    ways.sort_by_key(Vec::len);
    let coins = |way: &Vec<Coin>| -> Card {
        let laid = way.clone();
        (FaceKind::Coins, if values { Shown::ValuedCoins(laid) } else { Shown::Coins(laid) })
    };
    let print = |kind, text| (kind, Shown::Print(text));
    // The fewest coins make the first place, any other way the second.
    let mut places: Vec<Vec<Card>> = vec![ways[..1].iter().map(coins).collect()];
    if ways.len() > 1 {
        places.push(ways[1..].iter().map(coins).collect());
    }
    places.push(vec![print(FaceKind::CentSign, cent_sign(cents))]);
    let dollars = print(FaceKind::DollarSign, dollar_sign(cents));
    let words = money_words(cents).map(|text| print(FaceKind::MoneyWords, text));
    if ways.len() > 1 {
        places.push(std::iter::once(dollars).chain(words).collect());
    } else {
        places.push(vec![dollars]);
        places.extend(words.map(|words| vec![words]));
    }
    Some(MatchGroup { meaning: Meaning::Amount(cents), places })
}

/// Every way to lay an amount with at most eight coins, the largest first.
fn lay(cents: u16, coins: &[Coin], laid: &mut Vec<Coin>, ways: &mut Vec<Vec<Coin>>) {
    if cents == 0 {
        ways.push(laid.clone());
        return;
    }
    let Some((coin, smaller)) = coins.split_first() else { return };
    if coin.cents() <= cents && laid.len() < COINS_MAX {
        laid.push(*coin);
        lay(cents - coin.cents(), coins, laid, ways);
        laid.pop();
    }
    lay(cents, smaller, laid, ways);
}
