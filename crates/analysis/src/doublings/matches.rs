//! The moments at which two parts begin the same pitch class, or a third or sixth, together.

use super::steps::Steps;
use barloom_core::time::Ticks;

/// Two parts begin something alike.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Match {
    /// Step of the part that stands higher in the score.
    pub(super) a: u32,
    /// Step of the other.
    pub(super) b: u32,
    /// Quarter tones from a pitch of `a` up to one of `b`, the smallest that fits.
    pub(super) interval: i16,
    /// What else would fit, for parts with several voices; equal to `interval` if nothing does.
    pub(super) other: i16,
}

/// What makes pitches alike.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Likeness {
    /// The same pitch class.
    Octaves,
    /// Thirds, tenths.
    Thirds,
    /// Sixths.
    Sixths,
}

/// An octave in quarter tones.
pub(super) const OCTAVE: i16 = 24;

impl Likeness {
    /// What an interval makes of two pitches; `None` for other intervals. Thirds and sixths are
    /// counted from the lower pitch up, so that a line under another is told from one over it.
    fn of(interval: i16) -> Option<Self> {
        match interval.rem_euclid(OCTAVE) {
            0 => Some(Self::Octaves),
            6 | 8 => Some(Self::Thirds),
            16 | 18 => Some(Self::Sixths),
            _ => None,
        }
    }
}

/// The matches of all pairs of parts.
#[derive(Debug, Default)]
pub(super) struct Pairs {
    n_parts: usize,
    octaves: Vec<Vec<Match>>,
    parallel: Vec<Vec<Match>>,
}

impl Pairs {
    /// Compares what begins together, moment by moment.
    pub(super) fn of(parts: &[Steps]) -> Self {
        let n_parts = parts.len();
        let n_pairs = n_parts * n_parts.saturating_sub(1) / 2;
        let mut pairs = Self {
            n_parts,
            octaves: vec![Vec::new(); n_pairs],
            parallel: vec![Vec::new(); n_pairs],
        };
        let mut all: Vec<(Ticks, usize, u32)> = Vec::new();
        for (part, steps) in parts.iter().enumerate() {
            let of_part = steps.steps.iter().enumerate();
            all.extend(of_part.map(|(nth, step)| (step.at, part, nth as u32)));
        }
        all.sort_unstable();
        for together in all.chunk_by(|x, y| x.0 == y.0) {
            for (nth, (_, a, step_a)) in together.iter().enumerate() {
                for (_, b, step_b) in together.get(nth + 1..).unwrap_or_default() {
                    pairs.compare(parts, (*a, *step_a), (*b, *step_b));
                }
            }
        }
        pairs
    }

    fn compare(&mut self, parts: &[Steps], a: (usize, u32), b: (usize, u32)) {
        let step = |(part, nth): (usize, u32)| parts.get(part)?.steps.get(nth as usize);
        let (Some(step_a), Some(step_b)) = (step(a), step(b)) else { return };
        let mut octave: Option<(i16, i16)> = None;
        let mut parallel: Option<i16> = None;
        for low in step_a.chord.pitches() {
            for high in step_b.chord.pitches() {
                let interval = high - low;
                match Likeness::of(interval) {
                    Some(Likeness::Octaves) => {
                        octave = Some(octave.map_or((interval, interval), |(near, _)| {
                            if interval.abs() < near.abs() {
                                (interval, near)
                            } else {
                                (near, interval)
                            }
                        }));
                    }
                    Some(_) => parallel = parallel.or(Some(interval)),
                    None => {}
                }
            }
        }
        let Some(pair) = self.pair(a.0, b.0) else { return };
        if let Some((interval, other)) = octave
            && let Some(matches) = self.octaves.get_mut(pair)
        {
            matches.push(Match { a: a.1, b: b.1, interval, other });
        } else if let Some(interval) = parallel
            && let Some(matches) = self.parallel.get_mut(pair)
        {
            matches.push(Match { a: a.1, b: b.1, interval, other: interval });
        }
    }

    fn pair(&self, a: usize, b: usize) -> Option<usize> {
        // Row a of the triangle begins after the rows of all parts above it.
        let row = a * (2 * self.n_parts).checked_sub(a + 1)? / 2;
        Some(row + b.checked_sub(a + 1)?)
    }

    /// Moments of the same pitch class, in order.
    pub(super) fn octaves(&self, a: usize, b: usize) -> &[Match] {
        let pair = self.pair(a, b).and_then(|pair| self.octaves.get(pair));
        pair.map(Vec::as_slice).unwrap_or_default()
    }

    /// Moments of thirds and sixths, in order.
    pub(super) fn parallel(&self, a: usize, b: usize) -> &[Match] {
        let pair = self.pair(a, b).and_then(|pair| self.parallel.get(pair));
        pair.map(Vec::as_slice).unwrap_or_default()
    }
}

/// The likeness of a match.
pub(super) fn likeness(found: &Match) -> Option<Likeness> {
    Likeness::of(found.interval)
}
