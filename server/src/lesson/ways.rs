//! Ways to one child's place that last from lesson to lesson: place cards, home links, tablets of the
//! cart. Part of a kept class's document, so they are forgotten with it. Pure: secrets are arguments.
//!
//! Codes are not kept one by one: each follows from the class's own secret, the child and how often
//! its ways were revoked, so that a card can be printed again. Of a tablet only the digest is kept.

use super::class_list::spoken;
use super::lesson_log::TokenDigest;
use crate::limits::lesson::TABLETS_MAX;
use handround_protocol::door::Way;
use handround_protocol::id::Token;
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;

/// The ways of one class.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ways {
    /// What all codes follow from; `None` until the first is asked for.
    secret: Option<Token>,
    /// How often a child's ways were revoked, by its nickname as spoken.
    revoked: BTreeMap<String, u32>,
    /// Tablets that are kept for a child.
    tablets: Vec<Tablet>,
}

/// A tablet of the cart.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tablet {
    /// The number on its back, from 1.
    pub number: u16,
    digest: TokenDigest,
    /// Whose it is: the nickname as spoken.
    pub child: String,
}

impl Ways {
    /// Begins anew: every code of before leads nowhere, and tablets are nobody's.
    pub fn renew(&mut self, secret: Token) {
        *self = Ways { secret: Some(secret), ..Ways::default() };
    }

    /// The first secret, if there is none; tablets that are kept already stay.
    pub fn begin(&mut self, secret: Token) {
        self.secret.get_or_insert(secret);
    }

    /// The code of a child's card or home link; `None` before there is a secret.
    pub fn code(&self, child: &str, way: Way) -> Option<Token> {
        let kind: &[u8] = match way {
            Way::Card => b"card",
            Way::Home => b"home",
            Way::Picture | Way::Tablet => return None,
        };
        let child = spoken(child);
        let revoked = self.revoked.get(&child).copied().unwrap_or(0);
        let mut hash = Sha256::new();
        hash.update(self.secret?.0);
        hash.update(kind);
        hash.update(revoked.to_be_bytes());
        hash.update(child.as_bytes());
        let digest: [u8; 32] = hash.finalize().into();
        digest.first_chunk().copied().map(Token)
    }

    /// The child of these, and the way, that a code belongs to: the plain search, to which the tests hold
    /// the index of all classes (`way_index`).
    #[cfg(test)]
    pub fn find<'a>(&self, children: &[&'a str], code: Token) -> Option<(&'a str, Way)> {
        let wanted = TokenDigest::of(code);
        let both = |child: &&'a str| [(*child, Way::Card), (*child, Way::Home)];
        children.iter().flat_map(both).find(|(child, way)| {
            self.code(child, *way).is_some_and(|known| TokenDigest::of(known) == wanted)
        })
    }

    /// A child's card, link and tablet lead nowhere any more.
    pub fn revoke(&mut self, child: &str) {
        let child = spoken(child);
        self.tablets.retain(|tablet| tablet.child != child);
        *self.revoked.entry(child).or_default() += 1;
    }

    /// Keeps a tablet for a child: one tablet a child, one child a tablet. It keeps its number.
    ///
    /// # Errors
    /// The cart is larger than any.
    pub fn keep_tablet(&mut self, tablet: TokenDigest, child: &str) -> Result<u16, CartFull> {
        let child = spoken(child);
        let known = self.tablets.iter().find(|one| one.digest == tablet).map(|one| one.number);
        self.tablets.retain(|one| one.digest != tablet && one.child != child);
        if self.tablets.len() >= TABLETS_MAX {
            return Err(CartFull);
        }
        let free = |number: &u16| self.tablets.iter().all(|one| one.number != *number);
        let number = known.or_else(|| (1..=u16::MAX).find(free)).ok_or(CartFull)?;
        self.tablets.push(Tablet { number, digest: tablet, child });
        Ok(number)
    }

    /// The tablet with this secret.
    pub fn tablet(&self, tablet: Token) -> Option<&Tablet> {
        let digest = TokenDigest::of(tablet);
        self.tablets.iter().find(|one| one.digest == digest)
    }

    /// The secrets of all tablets that are kept, as digests.
    pub fn tablets(&self) -> impl Iterator<Item = TokenDigest> {
        self.tablets.iter().map(|one| one.digest)
    }

    /// The number of a child's tablet.
    pub fn tablet_of(&self, child: &str) -> Option<u16> {
        let child = spoken(child);
        self.tablets.iter().find(|one| one.child == child).map(|one| one.number)
    }

    /// The tablet is nobody's again.
    pub fn forget_tablet(&mut self, number: u16) {
        self.tablets.retain(|one| one.number != number);
    }
}

/// The cart is larger than any.
#[derive(Debug, PartialEq, Eq)]
pub struct CartFull;

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn ways() -> Ways {
        let mut ways = Ways::default();
        ways.renew(Token([7; 16]));
        ways
    }

    #[test]
    fn every_child_and_way_has_a_code_of_its_own_that_leads_back() {
        let (ways, children) = (ways(), ["Ada", "Bo", "ada b"]);
        for child in children {
            for way in [Way::Card, Way::Home] {
                let code = ways.code(child, way).unwrap();
                assert_eq!(ways.find(&children, code), Some((child, way)));
            }
            assert_eq!(ways.code(child, Way::Picture), None);
        }
        assert_eq!(ways.find(&children, Token([0; 16])), None);
        assert_eq!(Ways::default().code("Ada", Way::Card), None);
    }

    #[test]
    fn a_revoked_child_loses_its_ways_and_nobody_else_does() {
        let mut ways = ways();
        let children = ["Ada", "Bo"];
        let [ada, bo] = children.map(|child| ways.code(child, Way::Card).unwrap());
        ways.keep_tablet(TokenDigest::of(Token([1; 16])), "Ada").unwrap();
        ways.revoke(" ADA ");
        assert_eq!(ways.find(&children, ada), None);
        assert_eq!(ways.find(&children, bo), Some(("Bo", Way::Card)));
        assert_eq!(ways.tablet_of("Ada"), None);
        ways.renew(Token([8; 16]));
        assert_eq!(ways.find(&children, bo), None);
    }

    #[test]
    fn a_tablet_keeps_its_number_and_a_child_has_one_tablet() {
        let mut ways = ways();
        let tablet = |number: u8| Token([number; 16]);
        let keep = |ways: &mut Ways, number, child| {
            ways.keep_tablet(TokenDigest::of(tablet(number)), child).unwrap()
        };
        assert_eq!(keep(&mut ways, 1, "Ada"), 1);
        assert_eq!(keep(&mut ways, 2, "Bo"), 2);
        assert_eq!(keep(&mut ways, 2, "Ada"), 2);
        assert_eq!(ways.tablet(tablet(1)), None, "Ada has the second one now");
        assert_eq!(ways.tablet_of("Bo"), None);
        ways.forget_tablet(2);
        assert_eq!(ways.tablet(tablet(2)), None);
    }
}
