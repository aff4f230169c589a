//! How irregular bars divide into twos and threes: by the signature itself, else by the beams, else
//! by accents, bass and the thickness of attacks, else by custom.
//!
//! The grouping comes from the music and not from the figures (Gehrkens, *Essentials in
//! Conducting* p. 27: study the music).

use barloom_core::bar::Bar;
use barloom_core::event::{Manner, Note, NoteTraits};
use barloom_core::meter::{Meter, MeterTerm};
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// More units than this are not searched for groups.
const MOST_UNITS: usize = 24;

/// What a grouping rests on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Ground {
    /// The signature says so.
    Stated,
    /// The beams of this bar.
    Beams,
    /// The beams of the bars around, in the same meter.
    BeamsAround,
    /// Accents, bass and attacks.
    Accents,
    /// Custom; nothing in the music decides.
    Custom,
}

impl Ground {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Stated => "as the signature says",
            Self::Beams => "from the beams",
            Self::BeamsAround => "from the beams of the bars around",
            Self::Accents => "from accents and bass",
            Self::Custom => "by custom, nothing in the bar decides",
        }
    }
}

/// Groups of a bar in units of the meter's lower figure.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Grouping {
    pub(super) groups: Vec<u8>,
    pub(super) ground: Ground,
}

/// For each bar its grouping, `None` where the meter is regular.
pub(super) fn of(movement: &Movement) -> Vec<Option<Grouping>> {
    let bars = movement.bars.as_slice();
    let mut found: Vec<Option<Grouping>> = Vec::with_capacity(bars.len());
    let mut from = 0;
    while let Some(first) = bars.get(from) {
        let run = bars.get(from..).unwrap_or_default();
        let len = run.iter().take_while(|bar| bar.meter.terms == first.meter.terms).count();
        let run = run.get(..len).unwrap_or_default();
        found.extend(of_run(movement, &first.meter, run));
        from += len.max(1);
    }
    found
}

/// The grouping of bars in one meter.
fn of_run(movement: &Movement, meter: &Meter, bars: &[Bar]) -> Vec<Option<Grouping>> {
    let n = meter.beats() as usize;
    if let Some(groups) = stated(meter) {
        return vec![Some(Grouping { groups, ground: Ground::Stated }); bars.len()];
    }
    let mixed = meter.is_compound() && n > 6;
    if !(is_irregular(meter) || mixed) || n > MOST_UNITS {
        return vec![None; bars.len()];
    }
    let candidates = compositions(n);
    let evidence: Vec<Evidence> = bars.iter().map(|bar| Evidence::of(movement, bar, n)).collect();
    if mixed {
        return evidence.iter().map(|bar| mixed_grouping(bar, &candidates, n)).collect();
    }
    let mut around = vec![0.0; n];
    for bar in &evidence {
        around.iter_mut().zip(bar.written()).for_each(|(sum, value)| *sum += value);
    }
    let around = best(&candidates, &around);
    let pick = |bar: &Evidence| {
        let (groups, ground) = match (best(&candidates, &bar.written()), &around) {
            (Some(groups), _) => (groups, Ground::Beams),
            (None, Some(groups)) => (groups.clone(), Ground::BeamsAround),
            (None, None) => match best(&candidates, &bar.accents) {
                Some(groups) => (groups, Ground::Accents),
                None => (custom(n), Ground::Custom),
            },
        };
        Some(Grouping { groups: without_fours(groups), ground })
    };
    evidence.iter().map(pick).collect()
}

/// 9/8 and 12/8 divide into threes unless the beams mix twos and threes and run across the threes.
fn mixed_grouping(bar: &Evidence, candidates: &[Vec<u8>], n: usize) -> Option<Grouping> {
    let groups = without_fours(best(candidates, &bar.beams)?);
    let mixes = groups.contains(&2) && groups.contains(&3);
    let crossed = bar.beams.iter().skip(3).step_by(3).any(|weight| *weight < 0.0);
    let threes = score(&vec![3; n / 3], &bar.beams);
    (mixes && crossed && threes <= 0.0).then_some(Grouping { groups, ground: Ground::Beams })
}

/// The grouping that custom gives to so many units: 3+2, 2+2+3, 3+3+2, 3+2+2+3, 3+3+3+2 (common
/// practice).
pub(super) fn custom(n: usize) -> Vec<u8> {
    match n {
        7 => vec![2, 2, 3],
        10 => vec![3, 2, 2, 3],
        _ => {
            let twos = match n % 3 {
                0 => 0,
                2 => 1,
                _ => 2,
            };
            let threes = n.saturating_sub(2 * twos) / 3;
            [vec![3; threes], vec![2; twos]].concat()
        }
    }
}

/// The groups that the signature states; long ones divided by custom.
fn stated(meter: &Meter) -> Option<Vec<u8>> {
    let unit = meter.unit();
    let several = meter.terms.len() > 1 || meter.terms.iter().any(|term| term.groups.len() > 1);
    if !several || meter.beats() as usize > 200 {
        return None;
    }
    let of_term = |term: &MeterTerm| -> Vec<u8> {
        let scale = (unit / term.unit.max(1)).max(1);
        let group = |group: &u32| match (scale, *group) {
            (1, size @ 1..=6) => vec![size as u8],
            (1, size) => custom(size as usize),
            // A term over a larger note value is beaten in that value: 2/4 in 2/4+3/8 is 2+2.
            (scale, size) => vec![u8::try_from(scale).unwrap_or(u8::MAX); size as usize],
        };
        term.groups.iter().flat_map(group).collect()
    };
    Some(meter.terms.iter().flat_map(of_term).collect())
}

fn is_irregular(meter: &Meter) -> bool {
    let n = meter.beats();
    let regular = n <= 4 || n.is_multiple_of(3) || n == 8 && meter.unit() < 8 || n == 16;
    meter.terms.len() == 1 && !regular
}

/// How strongly each unit of the bar speaks for the beginning of a group.
struct Evidence {
    /// By beams alone.
    beams: Vec<f32>,
    /// By long notes and what follows them.
    lengths: Vec<f32>,
    accents: Vec<f32>,
}

impl Evidence {
    fn of(movement: &Movement, bar: &Bar, n: usize) -> Self {
        let none = || vec![0.0; n];
        let mut evidence = Self { beams: none(), lengths: none(), accents: none() };
        // Shorter and longer bars give no place for the groups.
        if bar.length != bar.nominal {
            return evidence;
        }
        let mut bass: Option<(i32, usize)> = None;
        for music in &movement.music {
            let mut voices: Vec<Last> = Vec::new();
            for note in music.notes_in(bar.start, bar.end()) {
                let further = NoteTraits::GRACE | NoteTraits::CHORD;
                if !note.sounds() || note.traits.any(further) {
                    continue;
                }
                let before = voices.iter().position(|last| last.voice == note.voice);
                let last = before.map(|idx| voices.swap_remove(idx));
                voices.push(Last { voice: note.voice, end: note.end(), beamed: is_beamed(note) });
                let Some(unit) = unit_of(note.onset, bar, n) else { continue };
                evidence.take_beam(note, last, bar, unit);
                evidence.take_accent(note, unit);
                if let Some(pitch) = note.sounding.filter(|_| note.begins_sound() && unit > 0) {
                    let low = (pitch.quarter_tones(), unit);
                    bass = Some(bass.map_or(low, |have| have.min(low)));
                }
            }
        }
        if let Some(slot) = bass.and_then(|(_, unit)| evidence.accents.get_mut(unit)) {
            *slot += 1.0;
        }
        evidence
    }

    /// What beams and lengths say together.
    fn written(&self) -> Vec<f32> {
        self.beams.iter().zip(&self.lengths).map(|(beam, length)| beam + length).collect()
    }

    /// Beams that meet show where a group begins, beams that go on show where none does; so do, more
    /// weakly, long notes and what follows them. A beam after a rest shows nothing.
    fn take_beam(&mut self, note: &Note, last: Option<Last>, bar: &Bar, unit: usize) {
        let n = self.beams.len();
        let follows = last.filter(|last| last.end == note.onset);
        let begins = note.traits.any(NoteTraits::BEAM_BEGINS);
        let units = note.length.0 as f64 * n as f64 / bar.length.0.max(1) as f64;
        let long = units >= 1.5;
        let (beam, length) = if note.traits.any(NoteTraits::BEAM_GOES_ON) {
            (-1.0, 0.0)
        } else if begins && follows.is_some_and(|last| last.beamed) {
            (1.0, 0.0)
        } else if follows.is_some() && (begins || long) {
            (0.0, 0.5)
        } else {
            (0.0, 0.0)
        };
        for (slots, weight) in [(&mut self.beams, beam), (&mut self.lengths, length)] {
            if let Some(slot) = slots.get_mut(unit) {
                *slot += weight;
            }
        }
        if long && units <= 3.0 {
            let inside = unit + 1..unit + units.ceil() as usize;
            for slot in self.lengths.iter_mut().take(inside.end).skip(inside.start) {
                *slot -= 0.5;
            }
        }
    }

    fn take_accent(&mut self, note: &Note, unit: usize) {
        if let Some(weight) = self.accents.get_mut(unit).filter(|_| note.begins_sound()) {
            let accented = note.manner.any(Manner::ACCENT | Manner::MARCATO);
            *weight += if accented { 2.0 } else { 0.25 };
        }
    }
}

/// The note before in the same voice.
#[derive(Clone, Copy)]
struct Last {
    voice: u8,
    end: Ticks,
    beamed: bool,
}

fn is_beamed(note: &Note) -> bool {
    note.traits.any(NoteTraits::BEAM_BEGINS | NoteTraits::BEAM_GOES_ON)
}

/// The unit on which a moment lies, `None` between units.
fn unit_of(at: Ticks, bar: &Bar, n: usize) -> Option<usize> {
    let scaled = at.since(bar.start).0.checked_mul(i64::try_from(n).ok()?)?;
    let length = bar.length.0.max(1);
    (scaled % length == 0).then(|| usize::try_from(scaled / length).ok()).flatten()
}

/// The evidence for the boundaries of a composition.
fn score(groups: &[u8], weight: &[f32]) -> f32 {
    let mut at = 0;
    let starts = groups.iter().map(|group| {
        let start = at;
        at += usize::from(*group);
        start
    });
    // The first group begins with the bar in all of them.
    starts.skip(1).filter_map(|start| weight.get(start)).sum()
}

/// The composition whose boundaries have the most evidence, if there is any and no other is as
/// strong.
fn best(candidates: &[Vec<u8>], weight: &[f32]) -> Option<Vec<u8>> {
    let mut scored: Vec<(f32, &Vec<u8>)> =
        candidates.iter().map(|groups| (score(groups, weight), groups)).collect();
    scored.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    match scored.as_slice() {
        [(first, groups), (second, _), ..] if *first > 0.0 && first - second >= 0.5 => {
            Some((*groups).clone())
        }
        [(first, groups)] if *first > 0.0 => Some((*groups).clone()),
        _ => None,
    }
}

/// All ways to write `n` as twos, threes and fours in order.
fn compositions(n: usize) -> Vec<Vec<u8>> {
    let mut all: Vec<Vec<Vec<u8>>> = vec![vec![Vec::new()]];
    for sum in 1..=n {
        let mut here = Vec::new();
        for part in [2_u8, 3, 4] {
            let Some(rest) = sum.checked_sub(usize::from(part)) else { continue };
            for head in all.get(rest).into_iter().flatten() {
                here.push([head.as_slice(), &[part]].concat());
            }
        }
        all.push(here);
    }
    all.pop().unwrap_or_default()
}

/// Beams over four units stand for two groups of two.
fn without_fours(groups: Vec<u8>) -> Vec<u8> {
    let split = |group: u8| if group == 4 { vec![2, 2] } else { vec![group] };
    groups.into_iter().flat_map(split).collect()
}
