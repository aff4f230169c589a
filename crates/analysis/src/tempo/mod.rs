//! Tempo with its origin, the seconds of every bar, and the performing order.
//!
//! Seconds follow the written order; fermatas and pauses add nothing to them. The played times
//! follow the performing order and add the pauses of the plan.

mod build;
mod degrees;
mod marks;
pub mod order;
pub mod swing;
pub mod terms;
mod value;

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
    /// No clock holds here (rubato, colla parte, senza misura): the tempo only says what was before.
    pub free: bool,
    /// What of a change by degrees is not written and was assumed.
    pub assumed: Assumed,
}

/// What of a change by degrees the score does not say.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Assumed {
    /// Where it ends.
    pub end: bool,
    /// At what tempo it ends.
    pub goal: bool,
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
    /// Where pairs of notes begin to swing, or are even again.
    pub swing: Vec<swing::SwingChange>,
    /// Seconds in performing order, pauses of the plan added.
    pub played_seconds: f64,
    /// Quarters in performing order.
    pub played_quarters: Quarters,
    /// Conflicts and oddities in words (a printed mark that its playback contradicts, a jump that
    /// leads nowhere), with the position they belong to.
    pub problems: Vec<(Ticks, String)>,
    resolution: Resolution,
    /// Seconds from the start to the start of each segment.
    segment_seconds: Vec<f64>,
    /// The end of the movement.
    end: Ticks,
}

impl TempoTrack {
    /// Tempo and time of a movement under a plan.
    ///
    /// At one place the plan counts before a printed mark, that before an equation, playback, a
    /// tempo word. Where nothing says anything a tempo is assumed, and said to be assumed.
    pub fn of(movement: &Movement, plan: &MovementPlan, settings: &Settings) -> Self {
        if movement.bars.is_empty() {
            return Self::default();
        }
        let (segments, problems) = build::segments(movement, plan, settings);
        let mut track = Self {
            segments,
            problems,
            swing: swing::changes(movement),
            resolution: movement.resolution,
            end: movement.bars.end(),
            ..Self::default()
        };
        track.sum_segments();
        let starts = movement.bars.iter().map(|(_, bar)| bar.start);
        track.bar_seconds =
            starts.chain([movement.bars.end()]).map(|at| track.seconds_at(at)).collect();
        track.set_played(movement, plan);
        track
    }

    fn sum_segments(&mut self) {
        let mut sum = 0.0;
        let mut starts = Vec::with_capacity(self.segments.len());
        for (idx, segment) in self.segments.iter().enumerate() {
            starts.push(sum);
            let end = self.segment_end(idx);
            sum += segment_time(segment, self.resolution, end, end);
        }
        self.segment_seconds = starts;
    }

    fn set_played(&mut self, movement: &Movement, plan: &MovementPlan) {
        let (played, problems) = order::played(movement, plan);
        self.problems.extend(problems);
        self.problems.sort_by_key(|(at, _)| *at);
        let pause_after = |bar: BarIndex| {
            let pauses = plan.pauses.iter().filter(|(after, _)| *after == bar);
            pauses.map(|(_, seconds)| seconds).sum::<f64>()
        };
        let (mut ticks, mut seconds) = (Ticks::ZERO, 0.0);
        for (from, to) in &played {
            for idx in from.idx()..=to.idx() {
                let bar = BarIndex::from(idx);
                ticks += movement.bars.get(bar).map_or(Ticks::ZERO, |bar| bar.length);
                seconds += self.bar_length(bar) + pause_after(bar);
            }
        }
        self.played = played;
        self.played_quarters = movement.resolution.quarters(ticks);
        self.played_seconds = seconds;
    }

    /// Where a segment ends, exclusive.
    pub fn segment_end(&self, idx: usize) -> Ticks {
        self.segments.get(idx + 1).map_or(self.end, |next| next.at)
    }

    /// Seconds from the start of the movement, in written order. Positions past the end count as
    /// the end.
    pub fn seconds_at(&self, at: Ticks) -> f64 {
        let at = at.min(self.end);
        let idx = self.segments.partition_point(|segment| segment.at <= at).max(1) - 1;
        let (Some(segment), Some(start)) = (self.segments.get(idx), self.segment_seconds.get(idx))
        else {
            return 0.0;
        };
        start + segment_time(segment, self.resolution, self.segment_end(idx), at)
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

    /// Quarters a minute at a position, inside a change by degrees too; 0 in an empty movement.
    pub fn quarters_per_minute(&self, at: Ticks) -> f64 {
        let idx = self.segments.partition_point(|segment| segment.at <= at).max(1) - 1;
        let Some(segment) = self.segments.get(idx) else { return 0.0 };
        let Some(to) = segment.to else { return segment.quarters_per_minute };
        let whole = self.resolution.as_f64(self.segment_end(idx).since(segment.at));
        if whole <= 0.0 {
            return segment.quarters_per_minute;
        }
        let share = (self.resolution.as_f64(at.since(segment.at)) / whole).min(1.0);
        segment.quarters_per_minute + (to - segment.quarters_per_minute) * share
    }

    /// The bar that sounds so many seconds after the start, in written order.
    pub fn bar_at_seconds(&self, seconds: f64, bars: &BarTable) -> Option<BarIndex> {
        let after = self.bar_seconds.partition_point(|start| *start <= seconds);
        Some(BarIndex::from(after.saturating_sub(1)).min(bars.last_index()?))
    }
}

/// Seconds from the start of a segment that ends at `end` to `at` inside it.
///
/// A steady tempo v takes 60 q / v seconds for q quarters (MusicXML 4.0: `sound tempo` counts
/// quarters a minute). With v growing evenly in score time from a to b over L quarters the integral
/// of 60 / v is 60 L / (b - a) ln(v / a).
fn segment_time(segment: &Segment, resolution: Resolution, end: Ticks, at: Ticks) -> f64 {
    let from = segment.quarters_per_minute;
    let quarters = resolution.as_f64(at.since(segment.at));
    let whole = resolution.as_f64(end.since(segment.at));
    if from <= 0.0 {
        return 0.0;
    }
    let slope = segment.to.filter(|_| whole > 0.0).map_or(0.0, |to| (to - from) / whole);
    let growth = slope * quarters / from;
    if growth.abs() < 1e-9 { 60.0 * quarters / from } else { 60.0 / slope * growth.ln_1p() }
}

#[cfg(test)]
mod tests;
