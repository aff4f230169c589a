//! Which bars answer each other, and by what interval the second passage is moved.

use super::portrait::{self, Portrait};
use barloom_core::part::PartIdx;
use barloom_core::time::Quarters;

/// Indices into the two passages.
pub(super) type Pair = (Option<usize>, Option<usize>);

/// Passages whose product of bars is above this are paired without looking at single lines.
const MOST_PAIRS_BY_LINE: usize = 20_000;

/// What a bar that nothing answers counts; a pair that is less alike than twice this falls apart.
const ALONE: f32 = 0.1;

/// The shares of the likeness of two bars: line, pitch classes, moments of attack.
const BY_LINE: f32 = 0.5;
const BY_CLASSES: f32 = 0.35;
const BY_ONSETS: f32 = 0.15;

/// The bars that answer each other, and the semitones, 0 to 11, from the first passage up to the second.
pub(super) fn pairs(one: &[Portrait], other: &[Portrait]) -> (Vec<Pair>, usize) {
    let by_line = one.len() * other.len() <= MOST_PAIRS_BY_LINE || one.len() == other.len();
    let sight = Sight { one: sides(one), other: sides(other), by_line };
    let mut best: Option<(f32, Vec<Pair>, usize)> = None;
    for shift in 0..12 {
        let (sum, pairs) = if one.len() == other.len() {
            let straight: Vec<Pair> = (0..one.len()).map(|nth| (Some(nth), Some(nth))).collect();
            let sum = (0..one.len()).map(|nth| sight.likeness(nth, nth, shift)).sum();
            (sum, straight)
        } else {
            sight.by_content(shift)
        };
        // Equal within a hundredth, the smaller interval is meant.
        if best.as_ref().is_none_or(|(most, ..)| sum > most * 1.01) {
            best = Some((sum, pairs, shift));
        }
    }
    best.map(|(_, pairs, shift)| (pairs, shift)).unwrap_or_default()
}

/// How alike two bars sound when the second is moved by `shift`, 0 to 1.
pub(super) fn likeness(one: &Portrait, other: &Portrait, shift: usize) -> f32 {
    let (a, b) = (std::slice::from_ref(one), std::slice::from_ref(other));
    Sight { one: sides(a), other: sides(b), by_line: true }.likeness(0, 0, shift)
}

/// A bar with the moments at which anyone attacks.
struct Side<'a> {
    bar: &'a Portrait,
    onsets: Vec<Quarters>,
}

struct Sight<'a> {
    one: Vec<Side<'a>>,
    other: Vec<Side<'a>>,
    by_line: bool,
}

fn sides(bars: &[Portrait]) -> Vec<Side<'_>> {
    bars.iter().map(side).collect()
}

fn side(bar: &Portrait) -> Side<'_> {
    let of_line =
        |(_, line): &(PartIdx, portrait::Line)| line.iter().map(|(at, _)| *at).collect::<Vec<_>>();
    let mut onsets: Vec<Quarters> = bar.lines.iter().flat_map(of_line).collect();
    onsets.sort_unstable();
    onsets.dedup();
    Side { bar, onsets }
}

impl Sight<'_> {
    fn likeness(&self, a: usize, b: usize, shift: usize) -> f32 {
        let (Some(one), Some(other)) = (self.one.get(a), self.other.get(b)) else { return 0.0 };
        let silent = one.bar.sounding.is_empty() && other.bar.sounding.is_empty();
        if silent {
            return 1.0;
        }
        let classes = portrait::common(&one.bar.classes, &other.bar.classes, shift);
        let onsets = shared(&one.onsets, &other.onsets);
        let line = self.by_line.then(|| lines(one.bar, other.bar, shift)).flatten();
        match line {
            Some(line) => BY_LINE * line + BY_CLASSES * classes + BY_ONSETS * onsets,
            None => {
                let rest = BY_CLASSES + BY_ONSETS;
                (BY_CLASSES * classes + BY_ONSETS * onsets) / rest
            }
        }
    }

    /// Pairs the bars so that the sum of their likeness is greatest.
    fn by_content(&self, shift: usize) -> (f32, Vec<Pair>) {
        let (rows, columns) = (self.one.len() + 1, self.other.len() + 1);
        let mut sums = vec![0.0_f32; rows * columns];
        // 0 both, 1 the first alone, 2 the second alone.
        let mut ways = vec![0_u8; rows * columns];
        let at = |a: usize, b: usize| a * columns + b;
        for a in 0..rows {
            for b in 0..columns {
                let sum = |a: usize, b: usize| sums.get(at(a, b)).copied().unwrap_or_default();
                let mut best = (f32::MIN, 0);
                if let (Some(before), Some(above)) = (a.checked_sub(1), b.checked_sub(1)) {
                    let alike = self.likeness(before, above, shift);
                    best = (sum(before, above) + alike, 0);
                }
                if let Some(before) = a.checked_sub(1) {
                    best = better(best, (sum(before, b) + ALONE, 1));
                }
                if let Some(above) = b.checked_sub(1) {
                    best = better(best, (sum(a, above) + ALONE, 2));
                }
                if a + b == 0 {
                    best = (0.0, 0);
                }
                if let (Some(sum), Some(way)) = (sums.get_mut(at(a, b)), ways.get_mut(at(a, b))) {
                    (*sum, *way) = best;
                }
            }
        }
        let (mut a, mut b) = (self.one.len(), self.other.len());
        let total = sums.last().copied().unwrap_or_default();
        let mut pairs = Vec::new();
        while a + b > 0 {
            let way = ways.get(at(a, b)).copied().unwrap_or_default();
            let (left, up) = (a > 0 && way != 2 || b == 0, b > 0 && way != 1 || a == 0);
            a -= usize::from(left);
            b -= usize::from(up);
            pairs.push((left.then_some(a), up.then_some(b)));
        }
        pairs.reverse();
        (total, pairs)
    }
}

fn better(best: (f32, u8), other: (f32, u8)) -> (f32, u8) {
    if other.0 > best.0 { other } else { best }
}

/// Moments in both as a share of those in either; 1 where neither has any.
pub(super) fn shared(one: &[Quarters], other: &[Quarters]) -> f32 {
    let both = one.iter().filter(|at| other.binary_search(at).is_ok()).count();
    let either = one.len() + other.len() - both;
    if either == 0 { 1.0 } else { both as f32 / either as f32 }
}

/// How much of the leading line of each bar is played by some part of the other; `None` without lines.
fn lines(one: &Portrait, other: &Portrait, shift: usize) -> Option<f32> {
    let shift = i32::try_from(shift).unwrap_or_default();
    let found = |from: &Portrait, to: &Portrait, shift: i32| {
        let line = from.line(*from.lead.first()?);
        let n = line.len();
        let shares = to.lines.iter().map(|(_, of)| met(line, of, shift).count() as f32 / n as f32);
        (n > 0).then(|| shares.fold(0.0, f32::max))
    };
    match (found(one, other, shift), found(other, one, -shift)) {
        (Some(a), Some(b)) => Some((a + b) / 2.0),
        (a, b) => a.or(b),
    }
}

/// The attacks of a line that another part makes at the same place on the same pitch class, moved by
/// `shift` semitones; each with the semitones from the line up to the part.
pub(super) fn met<'a>(
    line: &'a [(Quarters, i32)],
    other: &'a [(Quarters, i32)],
    shift: i32,
) -> impl Iterator<Item = i32> + 'a {
    line.iter().filter_map(move |(at, pitch)| {
        let nth = other.binary_search_by_key(at, |(at, _)| *at).ok()?;
        let (_, there) = other.get(nth)?;
        let difference = there - pitch;
        ((difference - 2 * shift).rem_euclid(24) == 0).then_some(difference.div_euclid(2))
    })
}
