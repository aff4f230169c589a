//! Damage: files changed by chance, on the level of bytes, of lines and words, of elements, and of
//! archives. The same seed always gives the same damage.
//!
//! Used by the test that nothing a user opens can break the program, and by the fuzzing workspace,
//! which takes these files in by path. So nothing here knows anything but the standard library.

pub mod archive;
pub mod bytes;
pub mod samples;
pub mod scraps;
pub mod text;
pub mod xml;

/// Where chance comes from: Steele, Lea and Flood's SplitMix64. Tests need the same numbers every
/// time and on every machine, not good randomness.
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// The chance of a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number.
    pub fn number(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to and without `end`; 0 if `end` is 0.
    pub fn below(&mut self, end: usize) -> usize {
        (self.number() % end.max(1) as u64) as usize
    }

    /// Whether something happens that happens once in `n` times.
    pub fn once_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    /// One of several; `None` if there are none.
    pub fn pick<'a, T>(&mut self, items: &'a [T]) -> Option<&'a T> {
        items.get(self.below(items.len()))
    }

    /// A text at the edge of what a number may be, or none at all.
    pub fn extreme(&mut self) -> &'static str {
        self.pick(EXTREMES).copied().unwrap_or_default()
    }
}

/// Values on which reckoning goes wrong: the edges of the machine's integers, fractions, signs,
/// things that are almost numbers, and words that attributes take.
const EXTREMES: &[&str] = &[
    "0",
    "-1",
    "1",
    "2",
    "3",
    "7",
    "16",
    "60",
    "100",
    "101",
    "127",
    "128",
    "255",
    "256",
    "1000",
    "32767",
    "-32768",
    "65535",
    "65536",
    "99999",
    "1000000",
    "2147483647",
    "2147483648",
    "-2147483648",
    "4294967295",
    "4294967296",
    "999999999999",
    "9223372036854775807",
    "-9223372036854775808",
    "18446744073709551616",
    "0.5",
    "1.5",
    "-0.25",
    "0.333333333",
    "0.0000000001",
    "1e9",
    "1e308",
    "-1e308",
    "NaN",
    "inf",
    "1/0",
    "3/8",
    "4+4",
    "3+2+3",
    "-0",
    "0007",
    "1,2",
    "1-100",
    "",
    " ",
    "x",
    "yes",
    "no",
    "start",
    "stop",
    "continue",
    "discontinue",
    "none",
    "both",
    "\u{1d11e}",
    "\u{feff}",
    "\u{202e}12",
];

/// Puts `with` in the place of a span of bytes; a span outside the bytes changes nothing.
pub(crate) fn splice(bytes: &[u8], span: std::ops::Range<usize>, with: &[u8]) -> Vec<u8> {
    let (Some(before), Some(after)) = (bytes.get(..span.start), bytes.get(span.end..)) else {
        return bytes.to_vec();
    };
    [before, with, after].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_always_gives_the_same_numbers() {
        // The first two numbers of SplitMix64 from seed 0, as published with it.
        let mut chance = Chance::new(0);
        assert_eq!(chance.number(), 0xe220_a839_7b1d_cdaf);
        assert_eq!(chance.number(), 0x6e78_9e6a_a1b9_65f4);
        assert_eq!(Chance::new(1).below(0), 0);
        assert_eq!(splice(b"abc", 1..2, b"xy"), b"axyc");
        assert_eq!(splice(b"abc", 2..9, b"xy"), b"abc");
    }
}
