//! The ways a meter can be beaten, from the largest beat to the smallest, apart from any tempo.

use barloom_core::meter::Meter;
use barloom_core::pattern::Pattern;
use barloom_core::time::Quarters;

/// One way: a pattern and the (mean) length of its stroke.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Level {
    pub(super) pattern: Pattern,
    /// The mean length when the strokes are unequal.
    pub(super) beat: Quarters,
}

/// What kind of beat a meter has.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    /// Beats that divide in two.
    Simple,
    /// Beats that divide in three.
    Compound,
    /// Groups of two and three.
    Grouped,
    /// No measure, or more beats than any pattern has.
    Free,
}

/// All ways for one meter.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Ladder {
    pub(super) kind: Kind,
    /// Largest beat first, at least one.
    pub(super) levels: Vec<Level>,
    /// The level of the notated beat.
    pub(super) base: usize,
    /// The groups of the bar in units of the lower figure, at the notated beat.
    pub(super) groups: Vec<u8>,
}

impl Ladder {
    /// The ways to beat a meter; with the groups found for it when it is irregular.
    pub(super) fn of(meter: &Meter, groups: Option<&[u8]>) -> Self {
        let n = meter.beats();
        if meter.is_unmeasured() || n == 0 || n > 200 {
            return Self::free();
        }
        let unit = Quarters::new(4, i64::from(meter.unit().max(1))).unwrap_or(Quarters::ONE);
        match groups {
            Some([first, rest @ ..]) if !rest.is_empty() && rest.iter().all(|g| g == first) => {
                Self::equal(n, u32::from(*first), unit)
            }
            Some(groups) if groups.len() > 1 => Self::grouped(n, groups, unit),
            _ if threes(meter) => Self::equal(n, 3, unit),
            _ => Self::simple(n, unit, meter.unit()),
        }
    }

    fn free() -> Self {
        let levels = vec![Level { pattern: Pattern::Beats(1), beat: Quarters::ONE }];
        Self { kind: Kind::Free, levels, base: 0, groups: vec![1] }
    }

    /// Equal groups: 6/8, 9/8, 12/8, and what is written as 3+3/8.
    fn equal(n: u32, size: u32, unit: Quarters) -> Self {
        let beats = n / size.max(1);
        let beat = times(unit, size);
        let mut levels = Vec::new();
        if beats == 4 {
            push(&mut levels, Pattern::Beats(2), times(beat, 2));
        } else if (2..=3).contains(&beats) {
            push(&mut levels, Pattern::Beats(1), times(beat, beats));
        }
        let base = levels.len();
        push(&mut levels, Pattern::Beats(small(beats)), beat);
        let divided = Pattern::Divided { beats: small(beats), by: small(size) };
        // Six, nine and twelve are patterns of their own; anything else is a divided one.
        let fine = if n <= 12 { Pattern::Beats(small(n)) } else { divided };
        push(&mut levels, fine, unit);
        let kind = if size == 3 { Kind::Compound } else { Kind::Simple };
        Self { kind, levels, base, groups: vec![small(size); beats as usize] }.valid()
    }

    /// Groups of two and three: fast, one stroke to a group; slow, one to each unit (Mann,
    /// "Asymmetric and Subdivided Meters", *Music in Motion* ch. 9).
    fn grouped(n: u32, groups: &[u8], unit: Quarters) -> Self {
        let mut levels = Vec::new();
        let bar = times(unit, n);
        push(&mut levels, Pattern::Beats(1), bar);
        let mean = bar.scaled(1, groups.len() as i64).unwrap_or(unit);
        push(&mut levels, Pattern::Groups(groups.to_vec()), mean);
        push(&mut levels, Pattern::Beats(small(n)), unit);
        // With more units than any pattern has beats, the groups are the beat.
        let base = levels.len() - 1;
        if n <= 6 {
            push(&mut levels, Pattern::Divided { beats: small(n), by: 2 }, half(unit));
        }
        Self { kind: Kind::Grouped, levels, base, groups: groups.to_vec() }.valid()
    }

    fn simple(n: u32, unit: Quarters, lower: u32) -> Self {
        let mut levels = Vec::new();
        if n > 1 && n <= 4 {
            push(&mut levels, Pattern::Beats(1), times(unit, n));
        }
        if n > 2 && n.is_multiple_of(2) {
            push(&mut levels, Pattern::Beats(small(n / 2)), times(unit, 2));
        }
        let base = levels.len();
        push(&mut levels, Pattern::Beats(small(n)), unit);
        // A slow 2/2 becomes a pattern of four ("5.1 Subdividing", open university course).
        let fine = if n == 2 && lower == 2 {
            Pattern::Beats(4)
        } else {
            Pattern::Divided { beats: small(n), by: 2 }
        };
        push(&mut levels, fine, half(unit));
        Self { kind: Kind::Simple, levels, base, groups: vec![1; n as usize] }.valid()
    }

    /// Leaves out what no pattern can show and keeps the base in place.
    fn valid(mut self) -> Self {
        let base = self.levels.get(self.base).map(|level| level.pattern.clone());
        self.levels.retain(|level| level.pattern.is_valid());
        if self.levels.is_empty() {
            return Self::free();
        }
        let found = self.levels.iter().position(|level| Some(&level.pattern) == base.as_ref());
        self.base = found.unwrap_or(self.levels.len() - 1);
        self
    }

    /// The groups that a level shows, in units of the lower figure.
    pub(super) fn groups_at(&self, idx: usize) -> Vec<u8> {
        let sum: u32 = self.groups.iter().map(|group| u32::from(*group)).sum();
        match self.levels.get(idx).map(|level| &level.pattern) {
            Some(Pattern::Beats(1)) if idx < self.base => vec![small(sum)],
            Some(Pattern::Beats(n)) if idx < self.base && sum.is_multiple_of(u32::from(*n)) => {
                vec![small(sum / u32::from(*n)); usize::from(*n)]
            }
            _ => self.groups.clone(),
        }
    }
}

/// Whether the upper figure divides into threes, over halves as well: 6/8, 9/8, 12/8, 6/4, 6/2.
fn threes(meter: &Meter) -> bool {
    let n = meter.beats();
    meter.is_compound() || meter.terms.len() == 1 && n > 3 && n.is_multiple_of(3)
}

fn push(levels: &mut Vec<Level>, pattern: Pattern, beat: Quarters) {
    levels.push(Level { pattern, beat });
}

fn times(length: Quarters, n: u32) -> Quarters {
    length.scaled(i64::from(n), 1).unwrap_or(length)
}

fn half(length: Quarters) -> Quarters {
    length.scaled(1, 2).unwrap_or(length)
}

fn small(n: u32) -> u8 {
    u8::try_from(n).unwrap_or(u8::MAX)
}
