//! Where in the bar the strokes of a pattern fall.

use super::grouping;
use barloom_core::bar::{Bar, BarIndex, BarTable};
use barloom_core::meter::Meter;
use barloom_core::pattern::Pattern;
use barloom_core::time::{Quarters, Resolution, Ticks};

/// More strokes than this are never made in one bar, however long it is.
const MOST_STROKES: usize = 400;

/// Offsets of the strokes of any pattern in a bar of the given meter and length; for a joined
/// pattern the strokes that fall into its `nth` bar (0-based).
///
/// A bar shorter than its meter has the strokes that come before its end; a longer one goes on in
/// the same beat. Beats that do not divide the meter evenly fall on its groups when there are as
/// many of them (3 beats in 7/8: 2+2+3), else they are even.
pub fn strokes(pattern: &Pattern, nth: u8, meter: &Meter, length: Quarters) -> Vec<Quarters> {
    grouped_strokes(pattern, nth, meter, length, &[])
}

/// The same in a bar of a movement: an upbeat has the last strokes of its meter, the second half of
/// a split bar goes on where the first stopped.
///
/// `groups` are those of the proposal, in units of the lower figure; empty if unknown.
pub fn strokes_in_bar(
    pattern: &Pattern,
    nth: u8,
    bars: &BarTable,
    bar: BarIndex,
    resolution: Resolution,
    groups: &[u8],
) -> Vec<Quarters> {
    let Some(row) = bars.get(bar) else { return Vec::new() };
    let skip = resolution.quarters(skipped(bars, bar, row));
    let length = resolution.quarters(row.length);
    let whole = skip.checked_add(length).unwrap_or(length);
    grouped_strokes(pattern, nth, &row.meter, whole, groups)
        .into_iter()
        .filter(|at| *at >= skip)
        .filter_map(|at| at.checked_sub(skip))
        .collect()
}

/// How much of the full bar lies before the one that is written.
fn skipped(bars: &BarTable, bar: BarIndex, row: &Bar) -> Ticks {
    if row.continues {
        let earlier = bars.as_slice().get(..bar.idx()).unwrap_or_default();
        let mut sum = Ticks::ZERO;
        for before in earlier.iter().rev() {
            sum += before.length;
            if !before.continues {
                break;
            }
        }
        sum
    } else if row.pickup {
        row.nominal.since(row.length)
    } else {
        Ticks::ZERO
    }
}

fn grouped_strokes(
    pattern: &Pattern,
    nth: u8,
    meter: &Meter,
    length: Quarters,
    groups: &[u8],
) -> Vec<Quarters> {
    let full = meter.bar_length().unwrap_or(length);
    let mut at = match pattern {
        Pattern::Beats(beats) => beats_in(*beats, meter, full, groups),
        Pattern::Divided { beats, by } => even(full, u32::from(*beats) * u32::from(*by)),
        Pattern::Groups(groups) => by_groups(groups, meter),
        Pattern::OneHalf => even(full, 2),
        Pattern::OneTwoOfThree => even(full, 3).into_iter().take(2).collect(),
        Pattern::Joined { bars, beats } => {
            let Some(sum) = full.scaled(i64::from(*bars), 1) else { return Vec::new() };
            let from = full.scaled(i64::from(nth), 1).unwrap_or(sum);
            let inside = |at: Quarters| at.checked_sub(from).filter(|at| *at >= Quarters::ZERO);
            even(sum, u32::from(*beats)).into_iter().filter_map(inside).collect()
        }
    };
    if !matches!(pattern, Pattern::Joined { .. }) {
        go_on(&mut at, full, length);
    }
    at.retain(|at| *at < length);
    at
}

/// Strokes beyond the end of the meter, in a bar that is longer: spaced as the first ones.
fn go_on(at: &mut Vec<Quarters>, full: Quarters, length: Quarters) {
    let spacing = match at.as_slice() {
        [first, second, ..] => second.checked_sub(*first),
        _ => Some(full),
    };
    let Some(spacing) = spacing.filter(|spacing| *spacing > Quarters::ZERO) else { return };
    let mut next = Some(full);
    while let Some(place) = next.filter(|place| *place < length && at.len() < MOST_STROKES) {
        at.push(place);
        next = place.checked_add(spacing);
    }
}

fn beats_in(beats: u8, meter: &Meter, full: Quarters, groups: &[u8]) -> Vec<Quarters> {
    let n = meter.beats();
    if n == 0 || n.is_multiple_of(u32::from(beats.max(1))) || u32::from(beats) > n {
        return even(full, u32::from(beats));
    }
    let stated: Vec<u8> =
        meter.stated_groups().iter().map(|group| u8::try_from(*group).unwrap_or(u8::MAX)).collect();
    let custom = grouping::custom(n as usize);
    let fitting = [groups, &stated, &custom].into_iter().find(|groups| {
        let sum: u32 = groups.iter().map(|group| u32::from(*group)).sum();
        groups.len() == usize::from(beats) && sum == n
    });
    fitting.map_or_else(|| even(full, u32::from(beats)), |groups| by_groups(groups, meter))
}

fn by_groups(groups: &[u8], meter: &Meter) -> Vec<Quarters> {
    let unit = i64::from(meter.unit().max(1));
    let mut sum = 0;
    let starts = groups.iter().filter_map(|group| {
        let start = Quarters::new(sum * 4, unit);
        sum += i64::from(*group);
        start
    });
    starts.collect()
}

fn even(full: Quarters, n: u32) -> Vec<Quarters> {
    let n = i64::from(n.max(1));
    (0..n).filter_map(|idx| full.scaled(idx, n)).collect()
}
