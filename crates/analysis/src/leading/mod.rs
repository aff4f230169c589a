//! Who carries the line: the leading part or parts of each bar, and where the line goes from hand to
//! hand.
//!
//! A proposal from register, activity, level, doubling and novelty, the evidence that conductors and
//! orchestration books go by (common practice); the weights are settings without a published source.
//! The leader of a bar is chosen over all bars at once, with a cost for changing it, so that a line
//! does not flicker from part to part.

mod path;
mod runs;
mod said;
mod weigh;

pub use runs::{LeadRun, run_at, runs};

use crate::doublings::{Doubling, Extent};
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::melody::BarLines;
use crate::settings::Settings;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use weigh::Weighed;

/// Bars in which the same parts lead.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Lead {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The leading part first, then those that double it in unison or octaves, in score order.
    pub parts: Vec<PartIdx>,
    /// How far ahead of the next line it is, 0 (as good as equal) to 1.
    pub lead: f32,
    /// What speaks for it, strongest first: "highest", "moves most", "marked solo".
    pub reasons: Vec<String>,
}

/// The line goes from some parts to others.
#[derive(Clone, PartialEq, Debug)]
pub struct HandOff {
    /// The first bar of the parts that take over.
    pub bar: BarIndex,
    /// Who had it.
    pub from: Vec<PartIdx>,
    /// Who takes it.
    pub to: Vec<PartIdx>,
}

/// Leading parts by bar; bars without pitched sound are in no span.
pub fn of(
    movement: &Movement,
    heard: &HeardNotes,
    dynamics: &DynamicsTrack,
    doublings: &[Doubling],
    settings: &Settings,
) -> Vec<Lead> {
    let lines = BarLines::of(movement, heard);
    of_lines(movement, &lines, dynamics, doublings, settings)
}

/// The same for lines that are known already.
pub(crate) fn of_lines(
    movement: &Movement,
    lines: &BarLines,
    dynamics: &DynamicsTrack,
    doublings: &[Doubling],
    settings: &Settings,
) -> Vec<Lead> {
    let together = Together::of(movement, lines.n_parts(), doublings);
    let weighed = weigh::all(movement, lines, dynamics, &together, &settings.leading);
    let leaders = path::best(&weighed, &together, &settings.leading);
    let mut leads: Vec<Lead> = Vec::new();
    for (bar, leader) in leaders.into_iter().enumerate() {
        let Some(leader) = leader else { continue };
        let Some(here) = lead(bar, leader, &weighed, &together) else { continue };
        match leads.last_mut() {
            Some(open) if open.to.0 + 1 == here.from.0 && same(&open.parts, &here.parts) => {
                open.to = here.to;
                open.lead = open.lead.max(here.lead);
                for reason in here.reasons {
                    if !open.reasons.contains(&reason) {
                        open.reasons.push(reason);
                    }
                }
            }
            _ => leads.push(here),
        }
    }
    leads
}

/// Whether the same parts are meant, in whatever order.
fn same(one: &[PartIdx], other: &[PartIdx]) -> bool {
    one.len() == other.len() && one.iter().all(|part| other.contains(part))
}

fn lead(bar: usize, leader: usize, weighed: &Weighed, together: &Together) -> Option<Lead> {
    let own = weighed.at(bar, leader)?;
    let with: Vec<usize> = together.with(bar, leader).collect();
    let others = weighed.in_bar(bar).filter(|(part, _)| *part != leader && !with.contains(part));
    let next = others.map(|(_, weight)| weight.sum).fold(f32::MIN, f32::max);
    let ahead = if next == f32::MIN { 1.0 } else { (own.sum - next).clamp(0.0, 1.0) };
    let mut parts = vec![BarLines::part(leader)?];
    parts.extend(with.into_iter().filter_map(BarLines::part));
    let from = BarIndex(u32::try_from(bar).ok()?);
    Some(Lead { from, to: from, parts, lead: ahead, reasons: own.reasons() })
}

/// Which parts play one line in which bar.
#[derive(Debug, Default)]
pub(super) struct Together {
    n_parts: usize,
    /// For each bar the pairs of parts, both ways, sorted.
    pairs: Vec<Vec<(u16, u16)>>,
}

impl Together {
    fn of(movement: &Movement, n_parts: usize, doublings: &[Doubling]) -> Self {
        let mut pairs = vec![Vec::new(); movement.bars.len()];
        let whole = |doubling: &&Doubling| !doubling.parallel && doubling.extent == Extent::Whole;
        for doubling in doublings.iter().filter(whole) {
            for bar in doubling.first_bar.idx()..=doubling.last_bar.idx() {
                if let Some(pairs) = pairs.get_mut(bar) {
                    pairs.push((doubling.part.0, doubling.by.0));
                    pairs.push((doubling.by.0, doubling.part.0));
                }
            }
        }
        for pairs in &mut pairs {
            pairs.sort_unstable();
            pairs.dedup();
        }
        Self { n_parts, pairs }
    }

    /// The parts that play along with one in a bar, in score order.
    pub(super) fn with(&self, bar: usize, part: usize) -> impl Iterator<Item = usize> {
        let pairs = self.pairs.get(bar).map(Vec::as_slice).unwrap_or_default();
        let of = |pair: &(u16, u16)| usize::from(pair.0);
        let first = pairs.partition_point(|pair| of(pair) < part);
        let last = pairs.partition_point(|pair| of(pair) <= part);
        let with = pairs.get(first..last).unwrap_or_default();
        with.iter().map(|pair| usize::from(pair.1)).filter(|other| *other < self.n_parts)
    }

    /// Whether two parts play one line in a bar.
    pub(super) fn are(&self, bar: usize, one: usize, other: usize) -> bool {
        one == other || self.with(bar, one).any(|with| with == other)
    }
}

/// The hand-offs that the spans tell of, in order: where the line goes on at once in other parts.
/// Parts that only join or leave a line that goes on make none.
pub fn hand_offs(leads: &[Lead]) -> Vec<HandOff> {
    let mut hand_offs = Vec::new();
    for pair in leads.windows(2) {
        let [before, after] = pair else { continue };
        let follows = before.to.0 + 1 == after.from.0;
        if follows && !after.parts.iter().any(|part| before.parts.contains(part)) {
            let (from, to) = (before.parts.clone(), after.parts.clone());
            hand_offs.push(HandOff { bar: after.from, from, to });
        }
    }
    hand_offs
}

#[cfg(test)]
mod tests;
