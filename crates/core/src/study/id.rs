//! Permanent ids of entries, unique across machines, seedable in tests.

use std::collections::hash_map::RandomState;
use std::fmt;
use std::hash::{BuildHasher, Hasher};
use std::str::FromStr;

/// A permanent id: 60 bits printed as twelve letters and digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct EntryId(u64);

/// Digits without those that are easily mistaken for each other (0 o 1 l i u).
const DIGITS: &[u8; 32] = b"23456789abcdefghjkmnpqrstvwxyzAB";
const LEN: usize = 12;

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for place in (0..LEN).rev() {
            let digit = DIGITS[(self.0 >> (place * 5) & 31) as usize];
            write!(f, "{}", char::from(digit))?;
        }
        Ok(())
    }
}

/// A text that is no id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not the id of an entry")]
pub struct IdError(String);

impl FromStr for EntryId {
    type Err = IdError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let fail = || IdError(text.to_owned());
        if text.len() != LEN {
            return Err(fail());
        }
        let digit = |byte: u8| DIGITS.iter().position(|d| *d == byte).map(|d| d as u64);
        let push = |value: u64, byte: u8| digit(byte).map(|d| value << 5 | d);
        text.bytes().try_fold(0, push).map(Self).ok_or_else(fail)
    }
}

/// Makes new ids.
#[derive(Clone, Debug)]
pub struct IdMaker(u64);

impl IdMaker {
    /// Ids that nobody else makes: seeded by the system's randomness.
    pub fn new() -> Self {
        Self(RandomState::new().build_hasher().finish())
    }

    /// The same ids in every run, for tests and examples.
    pub const fn seeded(seed: u64) -> Self {
        Self(seed)
    }

    /// The next id (SplitMix64, Steele, Lea and Flood 2014, cut to 60 bits).
    pub fn next_id(&mut self) -> EntryId {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        EntryId((z ^ (z >> 31)) >> 4)
    }
}

impl Default for IdMaker {
    fn default() -> Self {
        Self::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_read_as_they_are_printed() {
        let mut maker = IdMaker::seeded(7);
        for _ in 0..1000 {
            let id = maker.next_id();
            assert_eq!(id.to_string().parse(), Ok(id));
        }
        assert!("short".parse::<EntryId>().is_err());
        assert!("o23456789abc".parse::<EntryId>().is_err());
    }
}
