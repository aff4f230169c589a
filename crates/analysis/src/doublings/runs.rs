//! Stretches in which two parts have nearly all they play in common, found as the best scored runs of
//! matches: a match counts for the run, a move that only one part makes against it, and a run ends
//! where it has lost more than a few moves since its best place.

use super::matches::Match;
use super::steps::Steps;
use barloom_core::time::Ticks;

/// A stretch of matches, inclusive.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Run {
    /// Index of the first match.
    pub(super) first: usize,
    /// Index of the last match.
    pub(super) last: usize,
    /// Moves of the first part that the other does not make.
    pub(super) only_a: u32,
    /// Moves of the other that the first does not make.
    pub(super) only_b: u32,
    /// Matches at which both move on to another pitch.
    pub(super) moves: u32,
}

impl Run {
    /// How many matches it holds.
    pub(super) fn n_matches(&self) -> u32 {
        (self.last - self.first + 1) as u32
    }

    /// Share of the notes that are common, 0 to 1; of the part with fewer of its own if `sparse`.
    pub(super) fn share(&self, sparse: bool) -> f32 {
        let n = self.n_matches() as f32;
        let own = if sparse { self.only_a.min(self.only_b) } else { self.only_a.max(self.only_b) };
        n / (n + own as f32)
    }
}

/// What a run may lose before it is over.
pub(super) struct Patience {
    /// Moves of one part alone since the best place.
    pub(super) moves: f32,
    /// Silence or other music between two matches.
    pub(super) gap: Ticks,
    /// Whether only the moves of the part with fewer notes count against a run.
    pub(super) sparse: bool,
}

/// The runs of two parts, in order, none overlapping.
pub(super) fn of(a: &Steps, b: &Steps, matches: &[Match], patience: &Patience) -> Vec<Run> {
    let mut runs = Vec::new();
    let mut from = 0;
    while from < matches.len() {
        let (run, next) = one(a, b, matches, from, patience);
        runs.push(run);
        from = next.max(from + 1);
    }
    runs
}

/// What a move that one part makes alone takes from a run; a match gives 1. More than that, so that
/// a run does not live on every other note.
const LOSS: f32 = 1.5;

/// The best run among those from a match on, and where to look for the next.
fn one(a: &Steps, b: &Steps, matches: &[Match], from: usize, patience: &Patience) -> (Run, usize) {
    let empty = |at: usize| Run { first: at, last: at, only_a: 0, only_b: 0, moves: 0 };
    let (mut here, mut best) = (empty(from), empty(from));
    let (mut score, mut best_score) = (1.0_f32, 1.0_f32);
    for (nth, pair) in matches.windows(2).enumerate().skip(from) {
        let [before, now] = pair else { break };
        let between = Between::of(a, b, before, now);
        if between.gap > patience.gap {
            break;
        }
        let lost = if patience.sparse {
            between.only_a.min(between.only_b)
        } else {
            between.only_a.max(between.only_b)
        };
        // What has nothing to show for itself is better begun anew here.
        let kept = score - LOSS * lost as f32;
        if kept <= 0.0 && best.first == here.first && best.last == here.last {
            (here, score) = (empty(nth + 1), 1.0);
            (best, best_score) = (here, score);
            continue;
        }
        score = kept + 1.0;
        here = Run {
            first: here.first,
            last: nth + 1,
            only_a: here.only_a + between.only_a,
            only_b: here.only_b + between.only_b,
            moves: here.moves + u32::from(between.moves),
        };
        if score >= best_score {
            (best, best_score) = (here, score);
        } else if best_score - score > patience.moves {
            break;
        }
    }
    (best, best.last + 1)
}

/// What lies between two matches.
struct Between {
    only_a: u32,
    only_b: u32,
    moves: bool,
    gap: Ticks,
}

impl Between {
    fn of(a: &Steps, b: &Steps, before: &Match, now: &Match) -> Self {
        let (a0, a1) = (before.a as usize, now.a as usize);
        let (b0, b1) = (before.b as usize, now.b as usize);
        let step = |steps: &Steps, idx: usize| steps.steps.get(idx).copied();
        let (old, new) = (step(a, a0), step(a, a1));
        let moves = old.zip(new).is_some_and(|(old, new)| old.chord != new.chord);
        // From where both have ended to where they begin together again.
        let end = old.map(|old| old.end).max(step(b, b0).map(|old| old.end));
        let gap = new.zip(end).map_or(Ticks::ZERO, |(new, end)| new.at - end);
        Self {
            only_a: a.moves_between(a0, a1),
            only_b: b.moves_between(b0, b1),
            moves,
            gap: gap.max(Ticks::ZERO),
        }
    }
}
