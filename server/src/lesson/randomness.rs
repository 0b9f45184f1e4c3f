//! Where secrets, ids and the tables' seeds come from. The operating system's generator in life;
//! a test brings its own, so that a game can be played again.

use crate::game::Seed;
use rand_core::{OsRng, TryRngCore};

/// Fresh bytes that nobody can guess.
pub trait Randomness: Send + Sync + 'static {
    /// 32 of them.
    fn bytes(&self) -> [u8; 32];

    /// A table's seed for one command.
    fn seed(&self) -> Seed {
        Seed(self.bytes())
    }

    /// The name of a lesson, a table or a deck: a random UUID, RFC 9562 version 4.
    fn uuid(&self) -> [u8; 16] {
        uuid::Builder::from_random_bytes(self.id()).into_uuid().into_bytes()
    }

    /// The bytes of a secret: 128 bits.
    fn id(&self) -> [u8; 16] {
        let mut id = [0; 16];
        id.copy_from_slice(&self.bytes()[..16]);
        id
    }

    /// A number below a small bound, for choices in which a bias of 2^-56 is nothing.
    fn below(&self, bound: usize) -> usize {
        let mut number = [0; 8];
        number.copy_from_slice(&self.bytes()[..8]);
        let number = u64::from_le_bytes(number);
        usize::try_from(number % (bound.max(1) as u64)).unwrap_or(0)
    }
}

/// The operating system's generator.
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemRandomness;

impl Randomness for SystemRandomness {
    /// # Panics
    /// If the operating system has no randomness: nothing that we deal or hand out would be safe.
    fn bytes(&self) -> [u8; 32] {
        let mut bytes = [0; 32];
        OsRng.try_fill_bytes(&mut bytes).expect("the operating system gives random bytes");
        bytes
    }
}
