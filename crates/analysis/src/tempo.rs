//! Tempo with its origin, the seconds of every bar, and the performing order.
//!
//! Seconds follow the written order; fermatas and pauses add nothing to them. The played times
//! follow the performing order and add the pauses of the plan.

use crate::settings::Settings;
use barloom_core::bar::{BarIndex, BarTable};
use barloom_core::basis::MovementPlan;
use barloom_core::score::Movement;
use barloom_core::time::{Quarters, Resolution, Ticks};
use std::fmt;

/// Where a tempo comes from.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Origin {
    /// A printed metronome mark.
    Printed,
    /// An equation between note values.
    Equation,
    /// The file's playback tempo.
    Playback,
    /// A tempo word.
    Term,
    /// Nothing in the score: assumed.
    Assumed,
    /// The conductor's plan.
    Plan,
}

impl Origin {
    /// Lower case, as in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Printed => "printed",
            Self::Equation => "equation",
            Self::Playback => "playback",
            Self::Term => "term",
            Self::Assumed => "assumed",
            Self::Plan => "plan",
        }
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A stretch in one tempo, or with a steady change of it. Segments are contiguous from tick 0.
#[derive(Clone, PartialEq, Debug)]
pub struct Segment {
    /// From where.
    pub at: Ticks,
    /// Quarters a minute at its start, greater than 0.
    pub quarters_per_minute: f64,
    /// Quarters a minute at its end when it changes by degrees (linear in score time).
    pub to: Option<f64>,
    /// Where it comes from.
    pub origin: Origin,
    /// The note value that the mark counts, if it is a metronome mark or an equation.
    pub unit: Option<Quarters>,
    /// The words behind it, as written; empty if none.
    pub words: String,
    /// Why this value, in words: "printed half = 60", "Andante taken as 84", ...
    pub why: String,
    /// Line in the source file, 0 when there is none.
    pub line: u32,
}

/// Tempo and time of one movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct TempoTrack {
    /// At least one for a movement with bars.
    pub segments: Vec<Segment>,
    /// Seconds from the start of the movement to the start of each bar, in written order, with one
    /// more value for the end.
    pub bar_seconds: Vec<f64>,
    /// The bars in performing order, inclusive spans.
    pub played: Vec<(BarIndex, BarIndex)>,
    /// Seconds in performing order, pauses of the plan added.
    pub played_seconds: f64,
    /// Quarters in performing order.
    pub played_quarters: Quarters,
    /// Conflicts and oddities in words (a printed mark that its playback contradicts, a jump that
    /// leads nowhere), with the position they belong to.
    pub problems: Vec<(Ticks, String)>,
    resolution: Resolution,
}

impl TempoTrack {
    /// Tempo and time of a movement under a plan.
    pub fn of(_movement: &Movement, _plan: &MovementPlan, _settings: &Settings) -> Self {
        Self::default()
    }

    /// Seconds from the start of the movement, in written order.
    pub fn seconds_at(&self, _at: Ticks) -> f64 {
        0.0
    }

    /// Seconds of the whole movement, in written order.
    pub fn seconds(&self) -> f64 {
        self.bar_seconds.last().copied().unwrap_or(0.0)
    }

    /// Seconds of one bar, 0 past the end.
    pub fn bar_length(&self, bar: BarIndex) -> f64 {
        let at = |idx: usize| self.bar_seconds.get(idx).copied();
        at(bar.idx() + 1).zip(at(bar.idx())).map_or(0.0, |(end, start)| end - start)
    }

    /// The segment in force at a position.
    pub fn segment_at(&self, at: Ticks) -> Option<&Segment> {
        let after = self.segments.partition_point(|segment| segment.at <= at);
        self.segments.get(after.max(1) - 1)
    }

    /// Quarters a minute at a position, inside a change by degrees too.
    pub fn quarters_per_minute(&self, _at: Ticks) -> f64 {
        0.0
    }

    /// The bar that sounds so many seconds after the start, in written order.
    pub fn bar_at_seconds(&self, seconds: f64, bars: &BarTable) -> Option<BarIndex> {
        let after = self.bar_seconds.partition_point(|start| *start <= seconds);
        Some(BarIndex::from(after.saturating_sub(1)).min(bars.last_index()?))
    }
}
