//! Long stretches in which a wind player finds no place to breathe or has no bar of rest.

use crate::heard::HeardNotes;
use crate::settings::Settings;
use crate::tempo::TempoTrack;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;

/// What is long about a stretch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum StretchKind {
    /// No breath: no rest, breath mark or end of a slur.
    Breath,
    /// No bar of rest.
    Rest,
}

/// A long stretch of one part.
#[derive(Clone, PartialEq, Debug)]
pub struct LongStretch {
    /// The part.
    pub part: PartIdx,
    /// What is long.
    pub kind: StretchKind,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// How long, at the tempo in force.
    pub seconds: f64,
}

/// The long stretches, longest first.
pub fn of(
    _movement: &Movement,
    _heard: &HeardNotes,
    _tempo: &TempoTrack,
    _settings: &Settings,
) -> Vec<LongStretch> {
    Vec::new()
}
