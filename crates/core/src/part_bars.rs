//! What a part has of its own along the bars of a movement: meters that differ from those of the bar
//! table, and signs that stand for music written elsewhere. It knows no notes.

use crate::bar::BarIndex;
use crate::meter::Meter;

/// A part's, or a staff's, own meter over some bars where the bar table has another one.
///
/// The barlines are those of the table; the meter says how the part counts between them.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OwnMeter {
    /// The first bar.
    pub from: BarIndex,
    /// The last bar, inclusive.
    pub to: BarIndex,
    /// The 1-based staff it is for; `None` for all staves of the part.
    pub staff: Option<u8>,
    /// The meter.
    pub meter: Meter,
}

impl OwnMeter {
    /// Whether it holds for a staff in a bar.
    pub fn holds(&self, bar: BarIndex, staff: u8) -> bool {
        (self.from..=self.to).contains(&bar) && self.staff.is_none_or(|own| own == staff)
    }
}

/// A bar of a part in which a sign stands for music.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct RepeatedBar {
    /// The bar.
    pub bar: BarIndex,
    /// The 1-based staff it is for; `None` for all staves of the part.
    pub staff: Option<u8>,
    /// What is printed.
    pub sign: RepeatSign,
    /// The bar whose music is heard again here, always one that is written out; `None` for slashes
    /// and beats, and where nothing stands before the sign.
    pub source: Option<BarIndex>,
}

/// A sign that stands for music.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum RepeatSign {
    /// The bars before are repeated: so many as one pattern, at least 1.
    Bars(u8),
    /// The beat before is repeated.
    Beat,
    /// Slashes: play as is the custom, in the rhythm of the stems if there are any.
    Slashes {
        /// The slashes have stems, so that the rhythm is stated.
        stems: bool,
    },
}

impl RepeatSign {
    /// What a copyist calls it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bars(_) => "bar repeat",
            Self::Beat => "beat repeat",
            Self::Slashes { stems: false } => "slashes",
            Self::Slashes { stems: true } => "slashes with stems",
        }
    }
}
