//! How many attempts an address and the whole server may make. A class shares one address, so the
//! numbers in `limits` are made for thirty children who begin together.

use crate::limits::web::{
    ADDRESSES_MAX, JOINS_BURST, JOINS_PER_SECOND, KEYS_BURST, KEYS_PER_SECOND, ROWS_BURST,
    ROWS_BURST_ALL, ROWS_PER_SECOND_ALL, ROWS_SECONDS_EACH, SIGN_INS_BURST, SIGN_INS_NAME_BURST,
    SIGN_INS_NAME_SECONDS_EACH, SIGN_INS_SECONDS_EACH,
};
use crate::limits::workshop::{DRAWINGS_BURST, DRAWINGS_PER_SECOND};
use governor::clock::Clock;
use governor::middleware::NoOpMiddleware;
use governor::state::keyed::DefaultKeyedStateStore;
use governor::state::{InMemoryState, NotKeyed};
use governor::{Quota, RateLimiter};
use sha2::{Digest, Sha256};
use std::hash::Hash;
use std::net::IpAddr;
use std::time::{Duration, Instant};

/// The runtime's clock, by which everything else here goes: a rate is one in simulated time as well.
#[derive(Clone, Debug)]
pub struct RuntimeClock;

impl Clock for RuntimeClock {
    type Instant = Instant;

    fn now(&self) -> Instant {
        tokio::time::Instant::now().into_std()
    }
}

type Limiter<K, S> = RateLimiter<K, S, RuntimeClock, NoOpMiddleware<Instant>>;
/// One allowance for all.
pub type Rate = Limiter<NotKeyed, InMemoryState>;
/// One for each of whatever is counted.
type KeyedRate<K> = Limiter<K, DefaultKeyedStateStore<K>>;
/// One for each address.
type AddressRate = KeyedRate<IpAddr>;

/// An allowance that nobody has used yet.
pub fn rate(quota: Quota) -> Rate {
    RateLimiter::direct_with_clock(quota, RuntimeClock)
}

fn keyed<K: Clone + Eq + Hash>(quota: Quota) -> KeyedRate<K> {
    RateLimiter::new(quota, DefaultKeyedStateStore::default(), RuntimeClock)
}

/// All limits on attempts.
pub struct Rates {
    rows: AddressRate,
    rows_all: Rate,
    joins: AddressRate,
    keys: AddressRate,
    sign_ins: AddressRate,
    /// By the digest of the name as it was tried, which is of one size.
    names: KeyedRate<[u8; 32]>,
    drawings: Rate,
}

impl Rates {
    /// Nobody has tried anything.
    pub fn new() -> Rates {
        let each = |seconds, burst| {
            let span = Quota::with_period(Duration::from_secs(seconds));
            span.expect("a span above zero").allow_burst(burst)
        };
        Rates {
            rows: keyed(each(ROWS_SECONDS_EACH, ROWS_BURST)),
            sign_ins: keyed(each(SIGN_INS_SECONDS_EACH, SIGN_INS_BURST)),
            names: keyed(each(SIGN_INS_NAME_SECONDS_EACH, SIGN_INS_NAME_BURST)),
            rows_all: rate(Quota::per_second(ROWS_PER_SECOND_ALL).allow_burst(ROWS_BURST_ALL)),
            joins: keyed(Quota::per_second(JOINS_PER_SECOND).allow_burst(JOINS_BURST)),
            keys: keyed(Quota::per_second(KEYS_PER_SECOND).allow_burst(KEYS_BURST)),
            drawings: rate(Quota::per_second(DRAWINGS_PER_SECOND).allow_burst(DRAWINGS_BURST)),
        }
    }

    /// May this address try a row of pictures? Its own allowance is asked first, so that one
    /// address that asks in vain does not use up everybody's.
    pub fn may_try_row(&self, address: IpAddr) -> bool {
        admits(&self.rows, address) && self.rows_all.check().is_ok()
    }

    /// May this address open a link or take a place?
    pub fn may_join(&self, address: IpAddr) -> bool {
        admits(&self.joins, address)
    }

    /// May a teacher have another deck drawn?
    pub fn may_draw(&self) -> bool {
        self.drawings.check().is_ok()
    }

    /// May this address try a password for this name? Its own allowance is asked first.
    pub fn may_sign_in(&self, address: IpAddr, name: &str) -> bool {
        let name = Sha256::digest(name.trim().to_lowercase()).into();
        admits(&self.sign_ins, address) && admits(&self.names, name)
    }

    /// May this address try a teacher's key?
    pub fn may_try_key(&self, address: IpAddr) -> bool {
        admits(&self.keys, address)
    }
}

/// Asks the allowance of one address or name and forgets settled ones once there are many.
fn admits<K: Clone + Eq + Hash>(limiter: &KeyedRate<K>, key: K) -> bool {
    if limiter.len() > ADDRESSES_MAX {
        limiter.retain_recent();
    }
    limiter.check_key(&key).is_ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_class_behind_one_address_is_admitted_and_a_guesser_is_not() {
        let rates = Rates::new();
        let class: IpAddr = "192.0.2.1".parse().unwrap();
        let tries = (0..1000).filter(|_| rates.may_try_row(class)).count();
        let burst = ROWS_BURST.get() as usize;
        // The test itself may take some seconds on a busy machine.
        assert!((burst..burst + 60).contains(&tries), "{tries} rows of 1000");
        let neighbour: IpAddr = "192.0.2.2".parse().unwrap();
        assert!(rates.may_try_row(neighbour), "another class is not held back");
    }

    #[test]
    fn one_address_is_soon_slow_and_keeps_nobody_from_a_name() {
        let rates = Rates::new();
        let hammers: IpAddr = "192.0.2.1".parse().unwrap();
        let tries = (0..1000).filter(|_| rates.may_sign_in(hammers, "Ms Fern")).count();
        let burst = SIGN_INS_BURST.get() as usize;
        // The test itself may take some seconds on a busy machine.
        assert!((burst..burst + 10).contains(&tries), "{tries} tries of 1000");
        assert!(!rates.may_sign_in(hammers, "Moss"), "the address waits, whatever the name");
        let others = |third: usize| format!("192.0.3.{third}").parse::<IpAddr>().unwrap();
        assert!(rates.may_sign_in(others(1), "Ms Fern"));
        // From many addresses a name is tried no more often than it may be.
        let tries = (0..250).filter(|third| rates.may_sign_in(others(*third), " MS FERN ")).count();
        let rest = SIGN_INS_NAME_BURST.get() as usize - burst;
        assert!(tries < rest + 20, "{tries} tries");
    }
}
