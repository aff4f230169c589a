//! The ratio of a tuplet.

/// How many notes stand in the time of how many: 3 in the time of 2 for a triplet. Tuplets inside
/// tuplets have their ratios multiplied, not reduced.
///
/// Written value = length x actual / normal.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Tuplet {
    /// So many notes, at least 1,
    pub actual: u8,
    /// in the time of so many, at least 1.
    pub normal: u8,
}

impl Tuplet {
    /// No tuplet.
    pub const NONE: Self = Self { actual: 1, normal: 1 };

    /// A ratio; `None` if a figure is 0 or greater than 255.
    pub fn new(actual: u32, normal: u32) -> Option<Self> {
        let figure = |n: u32| u8::try_from(n).ok().filter(|n| *n > 0);
        Some(Self { actual: figure(actual)?, normal: figure(normal)? })
    }

    /// Whether this is no tuplet.
    pub fn is_none(self) -> bool {
        self == Self::NONE
    }
}

impl Default for Tuplet {
    fn default() -> Self {
        Self::NONE
    }
}
