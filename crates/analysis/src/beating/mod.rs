//! A proposed beat pattern for every bar, from meter and tempo, with the reason in words.
//!
//! The rule begins with the notated beat (the dotted one in 6/8, 9/8, 12/8): below a threshold it is
//! divided, above another the next larger beat is taken, else it is kept. Every number is a setting.

mod grouping;
mod ladder;
mod strokes;

pub use strokes::{strokes, strokes_in_bar};

use crate::say;
use crate::settings::Settings;
use crate::tempo::{Origin, TempoTrack};
use barloom_core::bar::Bar;
use barloom_core::meter::MeterTerm;
use barloom_core::pattern::Pattern;
use barloom_core::score::Movement;
use barloom_core::time::Quarters;
use grouping::{Ground, Grouping};
use ladder::{Kind, Ladder};

/// The proposal for one bar.
#[derive(Clone, PartialEq, Debug)]
pub struct Proposal {
    /// The pattern.
    pub pattern: Pattern,
    /// Other patterns worth a thought, best first.
    pub alternatives: Vec<Pattern>,
    /// The groups of the bar in units of the meter's lower figure.
    pub groups: Vec<u8>,
    /// Offsets of the strokes from the start of the bar; an upbeat shorter than a beat has none.
    pub strokes: Vec<Quarters>,
    /// Why, in words.
    pub reason: String,
}

/// A proposal for each bar of a movement.
pub fn propose(movement: &Movement, tempo: &TempoTrack, settings: &Settings) -> Vec<Proposal> {
    let groupings = grouping::of(movement);
    let mut proposals = Vec::with_capacity(movement.bars.len());
    let mut before: Option<Before<'_>> = None;
    let mut ladder_of = LadderCache::default();
    for ((idx, bar), grouping) in movement.bars.iter().zip(&groupings) {
        let ladder = ladder_of.get(bar, grouping.as_ref());
        let rate = tempo.quarters_per_minute(bar.start);
        let kept = before
            .as_ref()
            .filter(|before| before.bar.meter.terms == bar.meter.terms)
            .filter(|before| before.kind == ladder.kind && goes_on(tempo, bar, before.bar))
            .map(|before| before.level);
        let choice = Choice::of(&ladder, rate, kept, settings);
        let taken = ladder.levels.get(choice.level).map(|level| level.pattern.clone());
        let pattern = taken.unwrap_or(Pattern::Beats(1));
        let groups = ladder.groups_at(choice.level);
        let resolution = movement.resolution;
        let strokes = strokes_in_bar(&pattern, 0, &movement.bars, idx, resolution, &groups);
        proposals.push(Proposal {
            alternatives: choice.alternatives(&ladder, rate, grouping.as_ref(), settings),
            reason: reason(&choice, &ladder, rate, grouping.as_ref(), tempo, bar, settings),
            pattern,
            groups,
            strokes,
        });
        before = Some(Before { kind: ladder.kind, bar, level: choice.level });
    }
    proposals
}

/// The bar before, for keeping its pattern.
struct Before<'a> {
    kind: Kind,
    bar: &'a Bar,
    level: usize,
}

/// The ladder of the last bar, which is mostly the ladder of the next.
#[derive(Default)]
struct LadderCache(Option<(Vec<MeterTerm>, Option<Vec<u8>>, Ladder)>);

impl LadderCache {
    fn get(&mut self, bar: &Bar, grouping: Option<&Grouping>) -> Ladder {
        let groups = grouping.map(|grouping| grouping.groups.clone());
        match &self.0 {
            Some((terms, have, ladder)) if *terms == bar.meter.terms && *have == groups => {
                ladder.clone()
            }
            _ => {
                let ladder = Ladder::of(&bar.meter, groups.as_deref());
                self.0 = Some((bar.meter.terms.clone(), groups, ladder.clone()));
                ladder
            }
        }
    }
}

/// Whether the tempo only drifts from the bar before into this one: no mark that is spoken or
/// printed begins between them.
fn goes_on(tempo: &TempoTrack, bar: &Bar, before: &Bar) -> bool {
    let first = tempo.segments.partition_point(|segment| segment.at <= before.start);
    let last = tempo.segments.partition_point(|segment| segment.at <= bar.start);
    let between = tempo.segments.get(first..last).unwrap_or_default();
    between.iter().all(|segment| {
        let reached = segment.origin == Origin::Term && segment.words.is_empty();
        segment.to.is_some() || reached || segment.origin == Origin::Playback
    })
}

/// The level taken and whether it was only kept from the bar before.
struct Choice {
    level: usize,
    /// The level that the rule would give without looking back.
    fresh: usize,
}

impl Choice {
    fn of(ladder: &Ladder, rate: f64, kept: Option<usize>, settings: &Settings) -> Self {
        let fresh = level_at(ladder, rate, settings);
        let share = settings.keep_pattern_share;
        let level = match kept {
            Some(kept) if kept != fresh && kept < ladder.levels.len() => {
                // Coming from the larger beat, the tempo must fall further before it is left, and
                // the other way round.
                let held = if kept < fresh {
                    level_at(ladder, rate * (1.0 + share), settings) <= kept
                } else {
                    level_at(ladder, rate * (1.0 - share), settings) >= kept
                };
                if held { kept } else { fresh }
            }
            _ => fresh,
        };
        Self { level, fresh }
    }

    fn alternatives(
        &self,
        ladder: &Ladder,
        rate: f64,
        grouping: Option<&Grouping>,
        settings: &Settings,
    ) -> Vec<Pattern> {
        let beats_of = |idx: usize| beats_per_minute(ladder, idx, rate);
        let mut found: Vec<usize> = Vec::new();
        let here = beats_of(self.level);
        if self.level != self.fresh {
            found.push(self.fresh);
        }
        let slow = here < settings.offer_divided_below_bpm;
        let from_larger = self.level < ladder.base;
        if (slow || from_larger) && beats_of(self.level + 1) <= settings.merge_above_bpm * 1.25 {
            found.push(self.level + 1);
        }
        let fast = here > settings.offer_merged_above_bpm;
        let from_smaller = self.level > ladder.base;
        // A beat slower than two seconds is no beat.
        if let Some(larger) = self.level.checked_sub(1)
            && (fast || from_smaller)
            && beats_of(larger) >= 30.0
        {
            found.push(larger);
        }
        let pattern = |idx: usize| ladder.levels.get(idx).map(|level| level.pattern.clone());
        let mut patterns: Vec<Pattern> = found.into_iter().filter_map(pattern).collect();
        patterns.extend(in_one(ladder, self.level, here, settings));
        patterns.extend(turned(pattern(self.level).as_ref(), grouping));
        patterns.dedup();
        patterns
    }
}

/// The middle ways of a bar in one ("5.2 Subdividing in 1", open university conducting course), and
/// four bars joined when the bars pass quickly.
fn in_one(
    ladder: &Ladder,
    level: usize,
    bars_per_minute: f64,
    settings: &Settings,
) -> Vec<Pattern> {
    let one = ladder.levels.get(level).is_some_and(|level| level.pattern == Pattern::Beats(1));
    if !one || ladder.base == 0 {
        return Vec::new();
    }
    let n_beats = ladder.levels.get(ladder.base).map_or(0, |level| level.pattern.strokes());
    let middle = match n_beats {
        2 | 4 => Some(Pattern::OneHalf),
        3 => Some(Pattern::OneTwoOfThree),
        _ => None,
    };
    let joined = (bars_per_minute > settings.offer_merged_above_bpm)
        .then_some(Pattern::Joined { bars: 4, beats: 4 });
    middle.into_iter().chain(joined).collect()
}

/// The groups the other way round, where only custom decided.
fn turned(pattern: Option<&Pattern>, grouping: Option<&Grouping>) -> Option<Pattern> {
    let grouping = grouping.filter(|grouping| grouping.ground == Ground::Custom)?;
    let mut groups = grouping.groups.clone();
    groups.reverse();
    let differs = groups != grouping.groups;
    (matches!(pattern, Some(Pattern::Groups(_))) && differs).then_some(Pattern::Groups(groups))
}

fn beats_per_minute(ladder: &Ladder, idx: usize, rate: f64) -> f64 {
    let beat = ladder.levels.get(idx).map_or(0.0, |level| level.beat.as_f64());
    if beat > 0.0 { rate / beat } else { f64::INFINITY }
}

/// The rule: the notated beat, divided or merged by its rate.
fn level_at(ladder: &Ladder, rate: f64, settings: &Settings) -> usize {
    let beats_of = |idx: usize| beats_per_minute(ladder, idx, rate);
    let divide_below = divide_below(ladder, settings);
    if beats_of(ladder.base) < divide_below && ladder.base + 1 < ladder.levels.len() {
        return ladder.base + 1;
    }
    let mut level = ladder.base;
    while level > 0 && beats_of(level) > settings.merge_above_bpm {
        level -= 1;
    }
    level
}

fn divide_below(ladder: &Ladder, settings: &Settings) -> f64 {
    match ladder.kind {
        Kind::Compound => settings.divide_compound_below_bpm,
        _ => settings.divide_below_bpm,
    }
}

fn reason(
    choice: &Choice,
    ladder: &Ladder,
    rate: f64,
    grouping: Option<&Grouping>,
    tempo: &TempoTrack,
    bar: &Bar,
    settings: &Settings,
) -> String {
    if bar.meter.is_unmeasured() {
        return String::from("no meter: one stroke, then free");
    }
    let Some(taken) = ladder.levels.get(choice.level) else { return String::new() };
    let base = ladder.levels.get(ladder.base).map_or(taken.beat, |level| level.beat);
    let beats = beats_per_minute(ladder, ladder.base, rate);
    let side = if choice.level > ladder.base && choice.level == choice.fresh {
        format!(", below {}", say::rate(divide_below(ladder, settings)))
    } else if choice.level < ladder.base && choice.level == choice.fresh {
        format!(", above {}", say::rate(settings.merge_above_bpm))
    } else {
        String::new()
    };
    let mut text =
        format!("{} = {}{side}: {}", say::note_value(base), say::rate(beats), how(&taken.pattern));
    if choice.level != ladder.base && !matches!(taken.pattern, Pattern::Groups(_)) {
        let strokes = say::rate(beats_per_minute(ladder, choice.level, rate));
        text = format!("{text} ({} = {strokes})", say::note_value(taken.beat));
    }
    if let (Some(grouping), Pattern::Groups(_)) = (grouping, &taken.pattern) {
        text = format!("{text}, {}", grouping.ground.words());
    }
    if choice.level != choice.fresh {
        text.push_str(", kept from the bar before");
    }
    if bar.pickup {
        text.push_str("; upbeat of the bar that follows");
    } else if bar.length > bar.nominal {
        text.push_str("; the bar is longer than its meter and goes on in the same beat");
    }
    match tempo.segment_at(bar.start).map(|segment| (segment.origin, segment.to)) {
        Some((_, Some(_))) => text.push_str("; the tempo changes by degrees"),
        Some((Origin::Assumed, _)) => text.push_str("; the tempo is assumed"),
        Some((Origin::Term, _)) => text.push_str("; the tempo rests on a word"),
        _ => {}
    }
    text
}

/// "in four", "in four, divided", "in three, 2+2+3".
fn how(pattern: &Pattern) -> String {
    match pattern {
        Pattern::Beats(beats) => format!("in {}", say::number(usize::from(*beats))),
        Pattern::Divided { beats, by } => {
            let by = say::number(usize::from(*by));
            format!("in {}, each divided in {by}", say::number(usize::from(*beats)))
        }
        Pattern::Groups(groups) => format!("in {}, {pattern}", say::number(groups.len())),
        Pattern::OneHalf | Pattern::OneTwoOfThree => String::from("in one"),
        Pattern::Joined { bars, beats } => {
            let (bars, beats) = (usize::from(*bars), usize::from(*beats));
            format!("{} bars in {}", say::number(bars), say::number(beats))
        }
    }
}

#[cfg(test)]
mod tests;
