//! Parts that play one line together, as a group: what the pairs amount to over common bars.

use super::{Doubling, Extent};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;

/// Parts on one line over a span of bars.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Group {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The parts in score order, each with semitones above the first of them.
    pub parts: Vec<(PartIdx, i32)>,
    /// The least share that one of its pairs has, 0 to 1.
    pub share: f32,
}

/// The groups of unison and octave doublings, by first bar, then score order. A part that plays along
/// for a while only makes a group of its own for that while.
pub fn groups(doublings: &[Doubling]) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for bar_runs in by_bar(doublings) {
        for group in bar_runs {
            let alike =
                |open: &&mut Group| open.to.0 + 1 == group.from.0 && open.parts == group.parts;
            match groups.iter_mut().rev().take(64).find(alike) {
                Some(open) => {
                    open.to = group.to;
                    open.share = open.share.min(group.share);
                }
                None => groups.push(group),
            }
        }
    }
    groups.sort_by(|a, b| (a.from, &a.parts).cmp(&(b.from, &b.parts)));
    groups
}

/// For each bar in order the groups in it.
fn by_bar(doublings: &[Doubling]) -> impl Iterator<Item = Vec<Group>> {
    let whole = |doubling: &&Doubling| !doubling.parallel && doubling.extent == Extent::Whole;
    let mut pairs: Vec<&Doubling> = doublings.iter().filter(whole).collect();
    pairs.sort_by_key(|doubling| doubling.first_bar);
    let last = pairs.iter().map(|doubling| doubling.last_bar).max();
    let mut open: Vec<&Doubling> = Vec::new();
    let mut next = 0;
    let bars = last.map_or(0, |last| last.0 + 1);
    (0..bars).map(BarIndex).map(move |bar| {
        open.retain(|doubling| doubling.last_bar >= bar);
        while let Some(doubling) = pairs.get(next).filter(|d| d.first_bar <= bar) {
            open.push(doubling);
            next += 1;
        }
        joined(&open, bar)
    })
}

/// Joins pairs that share a part into groups of one bar.
fn joined(pairs: &[&Doubling], bar: BarIndex) -> Vec<Group> {
    let mut groups: Vec<Vec<(PartIdx, i32)>> = Vec::new();
    let mut shares: Vec<f32> = Vec::new();
    for pair in pairs {
        let place = |groups: &[Vec<(PartIdx, i32)>], part: PartIdx| {
            let holds = |group: &Vec<(PartIdx, i32)>| group.iter().position(|(of, _)| *of == part);
            groups.iter().enumerate().find_map(|(nth, group)| Some((nth, holds(group)?)))
        };
        let height = |groups: &[Vec<(PartIdx, i32)>], (nth, at): (usize, usize)| {
            groups.get(nth).and_then(|group| group.get(at)).map_or(0, |(_, height)| *height)
        };
        match (place(&groups, pair.part), place(&groups, pair.by)) {
            (None, None) => {
                groups.push(vec![(pair.part, 0), (pair.by, pair.interval)]);
                shares.push(pair.share);
            }
            (Some(known), None) => {
                let at = height(&groups, known) + pair.interval;
                push(&mut groups, &mut shares, known.0, (pair.by, at), pair.share);
            }
            (None, Some(known)) => {
                let at = height(&groups, known) - pair.interval;
                push(&mut groups, &mut shares, known.0, (pair.part, at), pair.share);
            }
            (Some(one), Some(other)) if one.0 != other.0 => {
                let shift = height(&groups, one) + pair.interval - height(&groups, other);
                let moved = groups.get_mut(other.0).map(std::mem::take).unwrap_or_default();
                if let Some(group) = groups.get_mut(one.0) {
                    group.extend(moved.into_iter().map(|(part, at)| (part, at + shift)));
                }
                let share = shares.get(other.0).copied().unwrap_or(1.0).min(pair.share);
                if let Some(known) = shares.get_mut(one.0) {
                    *known = known.min(share);
                }
            }
            _ => {}
        }
    }
    let group = |(mut parts, share): (Vec<(PartIdx, i32)>, f32)| {
        parts.sort_unstable();
        let base = parts.first()?.1;
        parts.iter_mut().for_each(|(_, height)| *height -= base);
        Some(Group { from: bar, to: bar, parts, share })
    };
    groups.into_iter().zip(shares).filter_map(group).collect()
}

fn push(
    groups: &mut [Vec<(PartIdx, i32)>],
    shares: &mut [f32],
    nth: usize,
    member: (PartIdx, i32),
    share: f32,
) {
    if let Some(group) = groups.get_mut(nth) {
        group.push(member);
    }
    if let Some(known) = shares.get_mut(nth) {
        *known = known.min(share);
    }
}
