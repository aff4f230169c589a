//! The colors of the string section bar by bar: plucked, muted, at the bridge, over the fingerboard,
//! with the wood, harmonics, tremolo, trills, glissandi; and contradictions between what is written.

use crate::devices::DevicesTrack;
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// A way in which strings sound other than bowed and open.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum StringManner {
    /// Plucked.
    Plucked,
    /// Muted.
    Muted,
    /// At the bridge.
    Bridge,
    /// Over the fingerboard.
    Fingerboard,
    /// With the wood.
    Wood,
    /// Harmonics.
    Harmonics,
    /// Tremolo.
    Tremolo,
    /// Trills.
    Trills,
    /// Glissandi.
    Glissandi,
}

impl StringManner {
    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plucked => "plucked",
            Self::Muted => "muted",
            Self::Bridge => "at the bridge",
            Self::Fingerboard => "over the fingerboard",
            Self::Wood => "with the wood",
            Self::Harmonics => "harmonics",
            Self::Tremolo => "tremolo",
            Self::Trills => "trills",
            Self::Glissandi => "glissandi",
        }
    }
}

/// Bars in which string parts sound in one manner.
#[derive(Clone, PartialEq, Debug)]
pub struct MannerSpan {
    /// The manner.
    pub manner: StringManner,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The string parts, in score order.
    pub parts: Vec<PartIdx>,
    /// Whether all string parts that sound are among them.
    pub all: bool,
}

/// Something written that does not fit together.
#[derive(Clone, PartialEq, Debug)]
pub struct Contradiction {
    /// Where.
    pub at: Ticks,
    /// The parts, in score order.
    pub parts: Vec<PartIdx>,
    /// What does not fit, in words.
    pub what: String,
}

/// The manners of the strings by first bar.
pub fn of(_movement: &Movement, _heard: &HeardNotes, _devices: &DevicesTrack) -> Vec<MannerSpan> {
    Vec::new()
}

/// The contradictions by place.
pub fn contradictions(
    _movement: &Movement,
    _heard: &HeardNotes,
    _dynamics: &DynamicsTrack,
    _devices: &DevicesTrack,
) -> Vec<Contradiction> {
    Vec::new()
}
