//! Parts that play the same line: in unison, in octaves or in parallel intervals.
//!
//! What counts is what begins together in sounding pitch. A repeated note matches a held one, a rest
//! or a few notes of its own do not end a doubling, and the octave may change on the way. Chance
//! meetings of parts in one chord are told from doublings by how many moves to other pitches they
//! make together.

mod groups;
mod matches;
mod runs;
mod shared;
mod steps;

pub use groups::{Group, groups};
pub use shared::{Shared, on_one_line, shared};

use crate::heard::HeardNotes;
use crate::settings::{DoublingSettings, Settings};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::{Quarters, Ticks};
use matches::{Likeness, Match, OCTAVE, Pairs};
use runs::{Patience, Run};
use std::collections::BTreeMap;
use steps::Steps;

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
    /// Only some of its notes.
    SomeNotes,
}

impl Extent {
    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::FirstNotes => "first notes",
            Self::StrongBeats => "strong beats",
            Self::SomeNotes => "some notes",
        }
    }
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
    /// Share of the notes of the span that the two have in common, 0 to 1; where only some of the line
    /// is doubled, the share of the notes of `by`.
    pub share: f32,
    /// Common notes.
    pub n_notes: u32,
    /// What of the line is doubled.
    pub extent: Extent,
}

/// All doublings of a movement by place, then score order.
pub fn of(movement: &Movement, heard: &HeardNotes, settings: &Settings) -> Vec<Doubling> {
    let search = Search::new(movement, heard, &settings.doublings);
    let mut found = Vec::new();
    for a in 0..search.parts.len() {
        for b in a + 1..search.parts.len() {
            search.pair(a, b, &mut found);
        }
    }
    found.sort_by_key(|doubling| (doubling.from, doubling.part, doubling.by));
    found
}

struct Search<'a> {
    movement: &'a Movement,
    settings: &'a DoublingSettings,
    parts: Vec<Steps>,
    pairs: Pairs,
}

impl<'a> Search<'a> {
    fn new(movement: &'a Movement, heard: &HeardNotes, settings: &'a DoublingSettings) -> Self {
        let rest = ticks(movement, settings.phrase_rest_quarters).max(Ticks(1));
        let parts: Vec<Steps> = heard.parts().map(|part| Steps::of(heard, part, rest)).collect();
        let pairs = Pairs::of(&parts);
        Self { movement, settings, parts, pairs }
    }

    fn pair(&self, a: usize, b: usize, found: &mut Vec<Doubling>) {
        let settings = self.settings;
        let gap = ticks(self.movement, settings.gap_quarters);
        let patience = Patience { moves: settings.patience_moves, gap, sparse: false };
        let matches = self.pairs.octaves(a, b);
        let before = found.len();
        if matches.len() >= 2 {
            let (Some(of_a), Some(of_b)) = (self.parts.get(a), self.parts.get(b)) else { return };
            for run in runs::of(of_a, of_b, matches, &patience) {
                if self.is_doubling(a, b, matches, &run) {
                    let whole = Extent::Whole;
                    found.extend(self.doubling(a, b, matches, &run, whole));
                }
            }
            let sparse = Patience { sparse: true, ..patience };
            let mut partial = Vec::new();
            for run in runs::of(of_a, of_b, matches, &sparse) {
                let extent = self.partial(a, b, matches, &run);
                partial
                    .extend(extent.and_then(|extent| self.doubling(a, b, matches, &run, extent)));
            }
            let whole = found.get(before..).unwrap_or_default();
            partial.retain(|partial| !whole.iter().any(|whole| overlap(whole, partial)));
            found.extend(partial);
        }
        self.parallel(a, b, before, found);
    }

    /// Whether a run is more than chance: enough notes and moves in common, or a short phrase that
    /// both play from its first note to its last.
    fn is_doubling(&self, a: usize, b: usize, matches: &[Match], run: &Run) -> bool {
        let settings = self.settings;
        if run.share(false) < settings.least_share {
            return false;
        }
        let n = run.n_matches();
        if n >= settings.least_notes && run.moves + 1 >= settings.least_notes.min(4) {
            return true;
        }
        // Long stretches of one rhythm on few pitches, as old horns, trumpets and drums have them.
        if run.moves >= 1 && n >= 2 * settings.least_notes && run.only_a + run.only_b == 0 {
            return true;
        }
        let phrase = self.is_phrase(a, b, matches, run);
        phrase && n >= settings.least_phrase_notes && run.moves + 1 >= settings.least_phrase_notes
    }

    /// Whether both begin a phrase at the start of the run and end one at its end.
    fn is_phrase(&self, a: usize, b: usize, matches: &[Match], run: &Run) -> bool {
        let (Some(first), Some(last)) = (matches.get(run.first), matches.get(run.last)) else {
            return false;
        };
        let of = |part: usize, first: u32, last: u32| {
            self.parts.get(part).is_some_and(|steps| {
                steps.begins_phrase(first as usize) && steps.ends_phrase(last as usize)
            })
        };
        of(a, first.a, last.a) && of(b, first.b, last.b)
    }

    /// What of a line the part with fewer notes plays along with the other; `None` if it has too much
    /// of its own, if nearly all is common, or if it may be chance.
    fn partial(&self, a: usize, b: usize, matches: &[Match], run: &Run) -> Option<Extent> {
        let settings = self.settings;
        let (more, fewer) = (run.only_a.max(run.only_b), run.only_a.min(run.only_b));
        let n = run.n_matches();
        let whole_phrase = self.sparse_phrase(a, b, matches, run);
        // The part with fewer notes has none but common ones, and the other not far too many.
        if fewer > 0 || run.moves + 1 < settings.least_phrase_notes || more > 4 * n {
            return None;
        }
        if whole_phrase && more == 0 && n <= 4 && self.line_goes_on(a, b, matches, run) {
            return Some(Extent::FirstNotes);
        }
        let enough = run.moves + 1 >= settings.least_partial_notes;
        if !enough || run.share(false) >= settings.least_share {
            return None;
        }
        Some(if self.on_beats(a, matches, run) { Extent::StrongBeats } else { Extent::SomeNotes })
    }

    /// Whether one of the two rests before and after the run.
    fn sparse_phrase(&self, a: usize, b: usize, matches: &[Match], run: &Run) -> bool {
        let (Some(first), Some(last)) = (matches.get(run.first), matches.get(run.last)) else {
            return false;
        };
        let alone = |part: usize, first: u32, last: u32| {
            self.parts.get(part).is_some_and(|steps| {
                steps.begins_phrase(first as usize) && steps.ends_phrase(last as usize)
            })
        };
        alone(a, first.a, last.a) || alone(b, first.b, last.b)
    }

    /// Whether the run lies at the start of a phrase of one part that goes on after it.
    fn line_goes_on(&self, a: usize, b: usize, matches: &[Match], run: &Run) -> bool {
        let (Some(first), Some(last)) = (matches.get(run.first), matches.get(run.last)) else {
            return false;
        };
        let goes_on = |part: usize, first: u32, last: u32| {
            self.parts.get(part).is_some_and(|steps| {
                let (first, last) = (first as usize, last as usize);
                let further = (last..last + 3).all(|idx| !steps.ends_phrase(idx));
                steps.begins_phrase(first) && further
            })
        };
        goes_on(a, first.a, last.a) || goes_on(b, first.b, last.b)
    }

    /// Whether nearly all matches fall on notated beats.
    fn on_beats(&self, a: usize, matches: &[Match], run: &Run) -> bool {
        let Some(steps) = self.parts.get(a) else { return false };
        let here = matches.get(run.first..=run.last).unwrap_or_default();
        let ats = here.iter().filter_map(|found| steps.steps.get(found.a as usize));
        let on = ats.filter(|step| is_on_beat(self.movement, step.at)).count();
        on * 10 >= here.len() * 9
    }

    /// Parallel thirds and sixths: one kind at a time, in one rhythm.
    fn parallel(&self, a: usize, b: usize, before: usize, found: &mut Vec<Doubling>) {
        let settings = self.settings;
        let matches = self.pairs.parallel(a, b);
        if (matches.len() as u32) < settings.least_parallel_notes {
            return;
        }
        let (Some(of_a), Some(of_b)) = (self.parts.get(a), self.parts.get(b)) else { return };
        let gap = ticks(self.movement, settings.gap_quarters);
        let patience = Patience { moves: 1.0, gap, sparse: false };
        let mut here = Vec::new();
        for kind in [Likeness::Thirds, Likeness::Sixths] {
            let of_kind: Vec<Match> = matches
                .iter()
                .filter(|found| matches::likeness(found) == Some(kind))
                .copied()
                .collect();
            for run in runs::of(of_a, of_b, &of_kind, &patience) {
                let enough = run.moves + 1 >= settings.least_parallel_notes;
                if enough && run.share(false) >= settings.least_share {
                    let extent = Extent::Whole;
                    here.extend(
                        self.doubling(a, b, &of_kind, &run, extent)
                            .map(|doubling| Doubling { parallel: true, ..doubling }),
                    );
                }
            }
        }
        let octaves = found.get(before..).unwrap_or_default();
        here.retain(|parallel| !octaves.iter().any(|octave| overlap(octave, parallel)));
        found.extend(here);
    }

    fn doubling(
        &self,
        a: usize,
        b: usize,
        matches: &[Match],
        run: &Run,
        extent: Extent,
    ) -> Option<Doubling> {
        let here = matches.get(run.first..=run.last)?;
        let (first, last) = (here.first()?, here.last()?);
        let step = |part: usize, nth: u32| self.parts.get(part)?.steps.get(nth as usize);
        let (from, end) = (step(a, first.a)?, step(a, last.a)?);
        let to = end.end.max(step(b, last.b)?.end);
        // Up from a to b; turned round when b has more of the line.
        let interval = i32::from(frequent(here)) / 2;
        let (a, b) = (PartIdx(u16::try_from(a).ok()?), PartIdx(u16::try_from(b).ok()?));
        let turned = run.only_b > run.only_a;
        let (part, by, interval) = if turned { (b, a, -interval) } else { (a, b, interval) };
        let bars = &self.movement.bars;
        Some(Doubling {
            part,
            by,
            from: from.at,
            to,
            first_bar: bars.bar_at(from.at)?,
            last_bar: bars.bar_at(end.at)?,
            interval,
            parallel: false,
            share: run.share(extent != Extent::Whole),
            n_notes: run.n_matches(),
            extent,
        })
    }
}

/// The most frequent interval of matches in quarter tones; of equally frequent ones the smallest.
fn frequent(matches: &[Match]) -> i16 {
    let mut counts: BTreeMap<(i16, i16), usize> = BTreeMap::new();
    for found in matches {
        *counts.entry((found.interval.abs(), found.interval)).or_default() += 1;
        if found.other != found.interval {
            *counts.entry((found.other.abs(), found.other)).or_default() += 1;
        }
    }
    let most = counts.iter().max_by_key(|((size, _), count)| (**count, std::cmp::Reverse(*size)));
    most.map_or(0, |((_, interval), _)| *interval)
}

/// Whether most of the shorter span lies in the other.
fn overlap(one: &Doubling, other: &Doubling) -> bool {
    let common = one.to.min(other.to) - one.from.max(other.from);
    let shorter = (one.to - one.from).min(other.to - other.from);
    common.0 * 2 > shorter.0
}

fn is_on_beat(movement: &Movement, at: Ticks) -> bool {
    let (bar, offset) = movement.place(at);
    movement.beat(bar, offset).is_some_and(|beat| beat.denominator() == 1)
}

fn ticks(movement: &Movement, quarters: Quarters) -> Ticks {
    movement.resolution.ticks_floor(quarters).unwrap_or(Ticks::ZERO)
}

/// The interval of a doubling in the trade's words: "in unison with", "an octave above".
pub fn interval_words(interval: i32, parallel: bool) -> String {
    if parallel {
        let what = match interval.unsigned_abs() % 12 {
            3 | 4 => "thirds",
            8 | 9 => "sixths",
            _ => "one interval",
        };
        let side = if interval < 0 { "below" } else { "above" };
        return format!("in parallel {what} {side}");
    }
    let octaves = interval.unsigned_abs() / (OCTAVE as u32 / 2);
    let side = if interval < 0 { "below" } else { "above" };
    match octaves {
        0 => String::from("in unison"),
        1 => format!("an octave {side}"),
        2 => format!("two octaves {side}"),
        3 => format!("three octaves {side}"),
        n => format!("{n} octaves {side}"),
    }
}

#[cfg(test)]
mod tests;
