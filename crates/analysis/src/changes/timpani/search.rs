//! The search for the plan: the tunings of all drums are a state, every stroke leads from each state
//! to those that can play it, and of the ways to one state the cheapest is kept.

use super::{Drum, Retuning, Stroke, TimpaniPlan, has, haste, key_name, reach};
use crate::changes::Clock;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// Most states that are carried on; real parts need a few dozen.
const MOST_STATES: usize = 256;

/// What each drum is tuned to.
type Tuned = Vec<Option<u8>>;

/// The cheapest way to a state.
#[derive(Clone)]
struct Way {
    cost: u32,
    /// When each drum is free.
    free: Vec<Option<Ticks>>,
    /// The last step of the way, in the list of all steps.
    last: Option<usize>,
}

/// A drum is tuned, and what was before it on the way.
struct Step {
    drum: usize,
    from: Option<u8>,
    to: u8,
    free_from: Ticks,
    at: Ticks,
    before: Option<usize>,
}

/// A state that is being built for one stroke.
struct Candidate {
    tuned: Tuned,
    way: Way,
    used: Vec<bool>,
}

pub(super) fn best(
    clock: &Clock<'_>,
    part: PartIdx,
    drums: Vec<Drum>,
    strokes: &[Stroke],
) -> TimpaniPlan {
    let mut impossible = Vec::new();
    let mut steps: Vec<Step> = Vec::new();
    let start = Way { cost: 0, free: vec![None; drums.len()], last: None };
    let mut states: BTreeMap<Tuned, Way> = BTreeMap::from([(vec![None; drums.len()], start)]);
    for (at, end, keys) in strokes {
        let mut playable: Vec<u8> = Vec::new();
        for key in keys {
            if drums.iter().any(|drum| has(drum, *key)) {
                playable.push(*key);
            } else {
                let (low, high) = reach(&drums);
                let (key, low, high) = (key_name(*key), key_name(low), key_name(high));
                impossible.push((*at, format!("{key} lies outside the drums, {low} to {high}")));
            }
        }
        let next = after(clock, &drums, &states, (*at, *end), &playable, &mut steps);
        if next.is_empty() {
            let n = playable.len();
            let what = format!("{n} pitches at once, which these drums do not have together");
            impossible.push((*at, what));
        } else {
            states = next;
        }
    }
    let cheapest = states.values().min_by_key(|way| way.cost);
    let mut on_way = Vec::new();
    let mut at = cheapest.and_then(|way| way.last);
    while let Some(step) = at.and_then(|idx| steps.get(idx)) {
        on_way.push(step);
        at = step.before;
    }
    let mut initial = vec![None; drums.len()];
    let mut retunings = Vec::new();
    for step in on_way.into_iter().rev() {
        match (step.from, initial.get_mut(step.drum)) {
            (None, Some(slot)) => *slot = Some(step.to),
            (Some(from), _) => retunings.push(Retuning {
                drum: step.drum,
                from,
                to: step.to,
                free_from: step.free_from,
                at: step.at,
            }),
            (None, None) => {}
        }
    }
    TimpaniPlan { part, drums, initial, retunings, impossible }
}

/// The states after a stroke; none if it cannot be played from any.
fn after(
    clock: &Clock<'_>,
    drums: &[Drum],
    states: &BTreeMap<Tuned, Way>,
    (at, end): (Ticks, Ticks),
    keys: &[u8],
    steps: &mut Vec<Step>,
) -> BTreeMap<Tuned, Way> {
    let mut next: BTreeMap<Tuned, Way> = BTreeMap::new();
    for (tuned, way) in states {
        let used = vec![false; drums.len()];
        let mut open = vec![Candidate { tuned: tuned.clone(), way: way.clone(), used }];
        for key in keys {
            let mut placed = Vec::new();
            for candidate in &open {
                place(clock, drums, candidate, *key, at, steps, &mut placed);
            }
            open = placed;
        }
        for mut candidate in open {
            for (free, used) in candidate.way.free.iter_mut().zip(&candidate.used) {
                if *used {
                    *free = (*free).max(Some(end));
                }
            }
            let known = next.get(&candidate.tuned);
            if known.is_none_or(|known| candidate.way.cost < known.cost) {
                next.insert(candidate.tuned, candidate.way);
            }
        }
    }
    if next.len() > MOST_STATES {
        let mut costs: Vec<u32> = next.values().map(|way| way.cost).collect();
        costs.sort_unstable();
        let limit = costs.get(MOST_STATES).copied().unwrap_or(u32::MAX);
        next.retain(|_, way| way.cost < limit);
    }
    next
}

/// Puts one key on every drum that can have it; on a drum that has it already if there is one.
fn place(
    clock: &Clock<'_>,
    drums: &[Drum],
    from: &Candidate,
    key: u8,
    at: Ticks,
    steps: &mut Vec<Step>,
    placed: &mut Vec<Candidate>,
) {
    let unused = |idx: usize| from.used.get(idx) == Some(&false);
    let ready =
        (0..drums.len()).find(|idx| unused(*idx) && from.tuned.get(*idx) == Some(&Some(key)));
    if let Some(ready) = ready {
        let mut used = from.used.clone();
        if let Some(slot) = used.get_mut(ready) {
            *slot = true;
        }
        placed.push(Candidate { tuned: from.tuned.clone(), way: from.way.clone(), used });
        return;
    }
    for (idx, drum) in drums.iter().enumerate() {
        if !unused(idx) || !has(drum, key) {
            continue;
        }
        let (mut tuned, mut way, mut used) =
            (from.tuned.clone(), from.way.clone(), from.used.clone());
        let (Some(slot), Some(in_use)) = (tuned.get_mut(idx), used.get_mut(idx)) else { continue };
        let free_from = way.free.get(idx).copied().flatten().unwrap_or(Ticks::ZERO);
        if slot.is_some() {
            way.cost += 4 + haste(clock.between(free_from, at), clock.settings);
        }
        // Of two drums the one whose range has the key in its middle sounds better.
        let middle = (i32::from(drum.low) + i32::from(drum.high)) / 2;
        way.cost += u32::from((i32::from(key) - middle).abs() > 3);
        let before = way.last;
        steps.push(Step { drum: idx, from: *slot, to: key, free_from, at, before });
        way.last = Some(steps.len() - 1);
        *slot = Some(key);
        *in_use = true;
        placed.push(Candidate { tuned, way, used });
    }
}
