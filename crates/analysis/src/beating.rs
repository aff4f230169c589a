//! A proposed beat pattern for every bar, from meter and tempo, with the reason in words.

use crate::settings::Settings;
use crate::tempo::TempoTrack;
use barloom_core::pattern::Pattern;
use barloom_core::score::Movement;
use barloom_core::time::Quarters;

/// The proposal for one bar.
#[derive(Clone, PartialEq, Debug)]
pub struct Proposal {
    /// The pattern.
    pub pattern: Pattern,
    /// Other patterns worth a thought, best first.
    pub alternatives: Vec<Pattern>,
    /// The groups of the bar in units of the meter's lower figure.
    pub groups: Vec<u8>,
    /// Offsets of the strokes from the start of the bar.
    pub strokes: Vec<Quarters>,
    /// Why, in words.
    pub reason: String,
}

/// A proposal for each bar of a movement.
pub fn propose(_movement: &Movement, _tempo: &TempoTrack, _settings: &Settings) -> Vec<Proposal> {
    Vec::new()
}

/// Offsets of the strokes of any pattern in a bar of the given meter and length; for a joined
/// pattern the strokes that fall into its `nth` bar.
pub fn strokes(
    _pattern: &Pattern,
    _nth: u8,
    _meter: &barloom_core::meter::Meter,
    _length: Quarters,
) -> Vec<Quarters> {
    Vec::new()
}
