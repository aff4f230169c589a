//! Parts that play the same line: in unison, in octaves or in parallel intervals.

use crate::heard::HeardNotes;
use crate::settings::Settings;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// What of a line is doubled.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Extent {
    /// All of it.
    #[default]
    Whole,
    /// Only its first notes.
    FirstNotes,
    /// Only what falls on strong beats.
    StrongBeats,
}

/// Two parts that play one line over a span.
#[derive(Clone, PartialEq, Debug)]
pub struct Doubling {
    /// The part whose line it is, the one that plays more of it; score order where equal.
    pub part: PartIdx,
    /// The part that doubles it.
    pub by: PartIdx,
    /// First attack.
    pub from: Ticks,
    /// End of the last common note.
    pub to: Ticks,
    /// Bar of the first attack.
    pub first_bar: BarIndex,
    /// Bar of the last common attack, inclusive.
    pub last_bar: BarIndex,
    /// Semitones from `part` up to `by`, the most frequent; multiples of 12 for unison and octaves.
    pub interval: i32,
    /// In parallel intervals: steps of the scale, so that the semitones vary (thirds, sixths).
    pub parallel: bool,
    /// Share of the notes of the span that the two have in common, 0 to 1.
    pub share: f32,
    /// Common notes.
    pub n_notes: u32,
    /// What of the line is doubled.
    pub extent: Extent,
}

/// All doublings of a movement by place, then score order.
pub fn of(_movement: &Movement, _heard: &HeardNotes, _settings: &Settings) -> Vec<Doubling> {
    Vec::new()
}
