//! Who plays the line of the first passage in both: found by what is played, not by who is said to
//! lead, so that a line that goes under in the second passage is still found.

use super::align::{self, Pair, met};
use super::portrait::Portrait;
use crate::settings::CompareSettings;
use barloom_core::part::PartIdx;
use barloom_core::time::Quarters;
use std::collections::BTreeMap;

/// Parts that play a line, each with semitones above the part that has it in the first passage; who
/// has it comes first.
pub(super) type On = Vec<(PartIdx, i32)>;

/// The line in a pair of bars.
#[derive(Clone, Debug, Default)]
pub(super) struct Carried {
    pub(super) first: On,
    /// Empty if nobody plays it in the second.
    pub(super) second: On,
    /// Who leads in the second passage.
    pub(super) leads: Option<PartIdx>,
    /// Attacks of the line in the first bar and its neighbors, and how many of them are found.
    pub(super) attacks: usize,
    pub(super) found: usize,
    /// The part that has the line in the second plays more notes than the line had.
    pub(super) more_notes: bool,
    /// Whoever leads in the second plays other notes in the same rhythm.
    pub(super) same_rhythm: bool,
}

/// All pairs.
#[derive(Clone, Debug, Default)]
pub(super) struct Carriers {
    /// By pair; `None` where a bar is missing or has no line.
    pub(super) pairs: Vec<Option<Carried>>,
    /// Semitones by which the second passage sounds higher.
    pub(super) transposition: i32,
}

/// The line in all pairs.
pub(super) fn of(
    one: &[Portrait],
    other: &[Portrait],
    pairs: &[Pair],
    shift: usize,
    settings: &CompareSettings,
) -> Carriers {
    let shift = i32::try_from(shift).unwrap_or_default();
    let bars: Vec<Option<(&Portrait, &Portrait)>> =
        pairs.iter().map(|(a, b)| Some((one.get((*a)?)?, other.get((*b)?)?))).collect();
    let mut carried: Vec<Option<Carried>> = Vec::with_capacity(bars.len());
    let mut leader: Option<PartIdx> = None;
    for (nth, bar) in bars.iter().enumerate() {
        let Some((a, b)) = bar else {
            carried.push(None);
            continue;
        };
        leader = leading(a, leader);
        let Some(lead) = leader else {
            carried.push(None);
            continue;
        };
        let window = bars.get(nth.saturating_sub(1)..(nth + 2).min(bars.len()));
        let window: Vec<(&Portrait, &Portrait)> =
            window.unwrap_or_default().iter().flatten().copied().collect();
        carried.push(of_bar((a, b), lead, &window, shift, settings));
    }
    let transposition = transposition(&carried, shift);
    Carriers { pairs: carried, transposition }
}

/// Who has the line: the one of the bar before if it is still among those that have it.
fn leading(bar: &Portrait, before: Option<PartIdx>) -> Option<PartIdx> {
    let goes_on = before.filter(|part| bar.lead.contains(part));
    let highest = || {
        let heights = bar.lines.iter().map(|(part, _)| (bar.height(*part), *part));
        heights.max_by_key(|(height, part)| (*height, std::cmp::Reverse(*part))).map(|(_, p)| p)
    };
    goes_on.or(bar.lead.first().copied()).or_else(highest)
}

fn of_bar(
    (a, b): (&Portrait, &Portrait),
    lead: PartIdx,
    window: &[(&Portrait, &Portrait)],
    shift: i32,
    settings: &CompareSettings,
) -> Option<Carried> {
    let attacks: usize = window.iter().map(|(a, _)| a.line(lead).len()).sum();
    if attacks == 0 {
        return None;
    }
    let first = who(window.iter().map(|(a, _)| (a.line(lead), *a)), attacks, 0, settings);
    let second = who(window.iter().map(|(a, b)| (a.line(lead), *b)), attacks, shift, settings);
    let led = b.lead.iter().find(|part| second.iter().any(|(of, ..)| of == *part)).copied();
    let stays = second.iter().any(|(of, ..)| *of == lead);
    let chosen = match led {
        Some(_) if stays && b.lead.contains(&lead) => Some(lead),
        Some(led) => Some(led),
        None if stays => Some(lead),
        None => {
            let heights = second.iter().map(|(of, ..)| (b.height(*of), *of));
            heights.max_by_key(|(height, of)| (*height, std::cmp::Reverse(*of))).map(|(_, of)| of)
        }
    };
    let leads = leading(b, None);
    let (own, there) = (a.line(lead), b.line(chosen.or(leads).unwrap_or(lead)));
    let found = second.iter().map(|(_, _, found)| *found).max().unwrap_or_default();
    let onsets = |line: &[(Quarters, i32)]| line.iter().map(|(at, _)| *at).collect::<Vec<_>>();
    let more_notes = chosen.is_some() && own.len() >= 2 && there.len() * 4 >= own.len() * 5 + 4;
    let rhythm = align::shared(&onsets(own), &onsets(there));
    Some(Carried {
        first: ordered(first, Some(lead)),
        second: ordered(second, chosen),
        leads,
        attacks,
        found,
        more_notes,
        same_rhythm: own.len() >= 2 && rhythm >= 0.8,
    })
}

/// The parts that play a line in some bars: each with its interval and how many attacks it has of it.
fn who<'a>(
    bars: impl Iterator<Item = (&'a [(Quarters, i32)], &'a Portrait)>,
    attacks: usize,
    shift: i32,
    settings: &CompareSettings,
) -> Vec<(PartIdx, i32, usize)> {
    let mut counts: BTreeMap<PartIdx, BTreeMap<i32, usize>> = BTreeMap::new();
    for (line, bar) in bars {
        for (part, of) in &bar.lines {
            for interval in met(line, of, shift) {
                *counts.entry(*part).or_default().entry(interval).or_default() += 1;
            }
        }
    }
    let enough = |found: usize| found as f32 >= settings.line_share * attacks as f32;
    let row = |(part, intervals): (PartIdx, BTreeMap<i32, usize>)| {
        let found = intervals.values().sum();
        let most = intervals.iter().max_by_key(|(interval, n)| (**n, -interval.abs()))?;
        enough(found).then_some((part, *most.0, found))
    };
    counts.into_iter().filter_map(row).collect()
}

fn ordered(parts: Vec<(PartIdx, i32, usize)>, first: Option<PartIdx>) -> On {
    let mut parts: On = parts.into_iter().map(|(part, interval, _)| (part, interval)).collect();
    // Stable: the others stay in score order.
    parts.sort_by_key(|(part, _)| Some(*part) != first);
    parts
}

/// The interval of the whole passage: of the two directions the one that the line takes more often;
/// without a line the smaller one.
fn transposition(carried: &[Option<Carried>], shift: i32) -> i32 {
    if shift == 0 {
        return 0;
    }
    let intervals =
        carried.iter().flatten().filter_map(|carried| carried.second.first()).map(|(_, i)| *i);
    let (up, down) = intervals.fold((0, 0), |(up, down), interval| match interval {
        0 => (up, down),
        1.. => (up + 1, down),
        _ => (up, down + 1),
    });
    match up.cmp(&down) {
        std::cmp::Ordering::Greater => shift,
        std::cmp::Ordering::Less => shift - 12,
        std::cmp::Ordering::Equal if shift <= 6 => shift,
        std::cmp::Ordering::Equal => shift - 12,
    }
}
