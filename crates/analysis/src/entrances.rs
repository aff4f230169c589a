//! Entrances: a part's first sounding note after a rest, with the rest before it, and what speaks
//! for a cue.

use crate::playing::PlayingTrack;
use crate::tempo::TempoTrack;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::{Quarters, Ticks};

/// A part begins to play after at least one bar of rest, or for the first time.
#[derive(Clone, PartialEq, Debug)]
pub struct Entrance {
    /// The part.
    pub part: PartIdx,
    /// Where the first note begins.
    pub at: Ticks,
    /// The bar.
    pub bar: BarIndex,
    /// Offset inside the bar.
    pub offset: Quarters,
    /// Whole silent bars before, a bar split in two counted once.
    pub rest_bars: u32,
    /// Exact length of the silence.
    pub rest_quarters: Quarters,
    /// The same in seconds.
    pub rest_seconds: f64,
    /// The part's first entrance in the movement.
    pub first: bool,
    /// Need of a cue in points; 0 means none.
    pub need: u32,
    /// What the points stand for, in words, strongest first.
    pub reasons: Vec<String>,
}

/// The entrances of a movement in order of place, then score order.
pub fn of(_movement: &Movement, _playing: &PlayingTrack, _tempo: &TempoTrack) -> Vec<Entrance> {
    Vec::new()
}
