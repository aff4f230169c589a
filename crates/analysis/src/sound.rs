//! An index of what sounds when: for each part its attacks and the reach of its notes, built once
//! and asked by several analyses. An attack is a moment at which a part begins at least one sound;
//! a chord or two voices together are one attack. Cue notes are not heard of; what a bar repeat
//! stands for is heard like any other music.

use barloom_core::bar::BarTable;
use barloom_core::event::{Manner, NoteTraits};
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// How an attack is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Attack {
    /// When.
    pub(crate) at: Ticks,
    /// Begins, goes on or ends under a slur.
    pub(crate) slurred: bool,
    /// Staccato or shorter.
    pub(crate) short: bool,
    /// Accent or marcato.
    pub(crate) accented: bool,
}

/// Attacks and sound of one part.
#[derive(Clone, Debug, Default, PartialEq)]
struct PartSound {
    /// Sorted, one for each moment.
    attacks: Vec<Attack>,
    /// Onsets of all sounding heads, sorted, with the latest end of all heads up to there.
    reach: Vec<(Ticks, Ticks)>,
}

impl PartSound {
    fn of(music: &PartMusic, bars: &BarTable) -> Self {
        let mut again = music.heard_again(bars).into_iter().peekable();
        let mut sound = Self::default();
        let mut open_slurs: Vec<(u8, u32)> = Vec::new();
        let mut latest = Ticks::ZERO;
        let mut written = music.notes.iter().map(|note| (note.onset, note)).peekable();
        let mut next = || match (written.peek(), again.peek()) {
            (Some((here, _)), Some((there, _))) if there < here => again.next(),
            (None, _) => again.next(),
            _ => written.next(),
        };
        while let Some((onset, note)) = next() {
            if !note.sounds() {
                continue;
            }
            let end = onset + note.length;
            let slurred = follow_slurs(&mut open_slurs, note.voice, note.traits);
            // The first note of a tremolo is heard to the end of the second one.
            latest = latest.max(end + (note.sound_span().1 - note.end()));
            if !note.traits.any(NoteTraits::GRACE) {
                sound.reach.push((onset, latest));
            }
            if !note.begins_sound() {
                continue;
            }
            let attack = Attack {
                at: onset,
                slurred,
                short: note.manner.any(Manner::STACCATO | Manner::STACCATISSIMO),
                accented: note.manner.any(Manner::ACCENT | Manner::MARCATO),
            };
            match sound.attacks.last_mut() {
                Some(last) if last.at == attack.at => {
                    // The heads of one moment speak together: marked if any is.
                    last.slurred |= attack.slurred;
                    last.short |= attack.short;
                    last.accented |= attack.accented;
                }
                _ => sound.attacks.push(attack),
            }
        }
        sound
    }
}

/// Whether a note lies under a slur of its voice, keeping count of the open ones.
fn follow_slurs(open: &mut Vec<(u8, u32)>, voice: u8, traits: NoteTraits) -> bool {
    let begins = traits.any(NoteTraits::SLUR_BEGINS);
    let ends = traits.any(NoteTraits::SLUR_ENDS);
    let entry = match open.iter_mut().find(|(of, _)| *of == voice) {
        Some(entry) => entry,
        None if begins => {
            open.push((voice, 1));
            return true;
        }
        None => return ends,
    };
    let slurred = entry.1 > 0 || begins || ends;
    // A note may end one slur and begin the next; a slur that never ends would cover everything
    // after it, so that several open ones count as one.
    entry.1 = match (begins, ends) {
        (true, _) => 1,
        (false, true) => 0,
        (false, false) => entry.1,
    };
    slurred
}

/// Attacks and sound of all parts of a movement.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sounds {
    parts: Vec<PartSound>,
}

impl Sounds {
    /// The index of a movement.
    pub fn of(movement: &Movement) -> Self {
        let of_part = |music| PartSound::of(music, &movement.bars);
        Self { parts: movement.music.iter().map(of_part).collect() }
    }

    /// The attacks of a part in [from, to).
    pub(crate) fn attacks_in(&self, part: PartIdx, from: Ticks, to: Ticks) -> &[Attack] {
        let attacks = self.parts.get(part.idx()).map(|part| part.attacks.as_slice());
        let attacks = attacks.unwrap_or_default();
        let first = attacks.partition_point(|attack| attack.at < from);
        let last = attacks.partition_point(|attack| attack.at < to);
        attacks.get(first..last).unwrap_or_default()
    }

    /// How many attacks all parts make in [from, to).
    pub fn n_attacks(&self, from: Ticks, to: Ticks) -> usize {
        self.part_indices().map(|part| self.attacks_in(part, from, to).len()).sum()
    }

    /// How many attacks one part makes in [from, to).
    pub fn n_attacks_of(&self, part: PartIdx, from: Ticks, to: Ticks) -> usize {
        self.attacks_in(part, from, to).len()
    }

    /// How many parts attack exactly at a moment.
    pub fn n_parts_attacking(&self, at: Ticks) -> u32 {
        let attacks = |part: &PartIdx| !self.attacks_in(*part, at, at + Ticks(1)).is_empty();
        self.part_indices().filter(attacks).count() as u32
    }

    /// Whether a note of the part sounds at a moment, begun there or held.
    pub fn sounds_at(&self, part: PartIdx, at: Ticks) -> bool {
        let reach = self.parts.get(part.idx()).map(|part| part.reach.as_slice());
        let reach = reach.unwrap_or_default();
        let after = reach.partition_point(|(onset, _)| *onset <= at);
        after.checked_sub(1).and_then(|idx| reach.get(idx)).is_some_and(|(_, end)| *end > at)
    }

    pub(crate) fn part_indices(&self) -> impl Iterator<Item = PartIdx> + use<> {
        (0..self.parts.len()).filter_map(|idx| u16::try_from(idx).ok().map(PartIdx))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    #[test]
    fn bars_heard_again_have_the_attacks_of_their_source() {
        let movement = movement(&["4/4 c4:1 r:1 d4:2> | % | e4:4 | %"]);
        let sounds = Sounds::of(&movement);
        let part = PartIdx(0);
        let bar = |idx: usize| &movement.bars.as_slice()[idx];
        let attacks = |idx: usize| sounds.attacks_in(part, bar(idx).start, bar(idx).end());
        let at = |idx: usize| -> Vec<Ticks> {
            attacks(idx).iter().map(|attack| attack.at - bar(idx).start).collect()
        };
        assert_eq!((at(0).len(), at(1)), (2, at(0)));
        assert_eq!((at(2).len(), at(3)), (1, at(2)));
        assert!(attacks(1)[1].accented);
        let quarter = movement.resolution.ticks_per_quarter().into();
        assert!(sounds.sounds_at(part, bar(1).start));
        assert!(!sounds.sounds_at(part, bar(1).start + Ticks(quarter)));
    }
}
