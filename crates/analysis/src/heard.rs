//! The notes as they are heard: ties joined, what bar repeats stand for written out, sounding pitch
//! with the octave that a transposition adds. Built once and read by every analysis that compares
//! parts.

use barloom_core::event::{Manner, Note, NoteTraits};
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::pitch::{Doubling, SoundingPitch};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// One sound, from its attack to where the last note tied to it ends.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Heard {
    /// When it begins.
    pub at: Ticks,
    /// When it ends.
    pub end: Ticks,
    /// As it sounds; `None` for unpitched notes.
    pub pitch: Option<SoundingPitch>,
    /// Who plays it.
    pub players: PlayerSet,
    /// 1-based staff inside the part.
    pub staff: u8,
    /// Voice inside the part.
    pub voice: u8,
    /// Articulations and manners of its first head.
    pub manner: Manner,
    /// Traits of its first head.
    pub traits: NoteTraits,
    /// Strokes of a tremolo: 0 none, 255 unmeasured.
    pub tremolo: u8,
    /// Which instrument in the part's reach sounds: see [`Note::struck`].
    pub struck: u8,
}

/// The sounds of all parts of a movement. Grace notes, cue notes and heads that only show a grip
/// are not among them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeardNotes {
    /// By part; sorted by attack, then pitch upward.
    parts: Vec<Vec<Heard>>,
}

impl HeardNotes {
    /// The sounds of a movement.
    pub fn of(movement: &Movement) -> Self {
        Self { parts: movement.music.iter().map(|music| of_part(movement, music)).collect() }
    }

    /// All sounds of a part; none if there is no such part.
    pub fn of_part(&self, part: PartIdx) -> &[Heard] {
        self.parts.get(part.idx()).map(Vec::as_slice).unwrap_or_default()
    }

    /// The sounds of a part that begin in [from, to).
    pub fn begun_in(&self, part: PartIdx, from: Ticks, to: Ticks) -> &[Heard] {
        let sounds = self.of_part(part);
        let first = sounds.partition_point(|sound| sound.at < from);
        let last = sounds.partition_point(|sound| sound.at < to);
        sounds.get(first..last).unwrap_or_default()
    }

    /// The parts, whether they play or not.
    pub fn parts(&self) -> impl Iterator<Item = PartIdx> + use<> {
        (0..self.parts.len()).filter_map(|idx| u16::try_from(idx).ok().map(PartIdx))
    }
}

fn of_part(movement: &Movement, music: &PartMusic) -> Vec<Heard> {
    let again = music.heard_again(&movement.bars);
    let mut notes: Vec<(Ticks, &Note)> =
        music.notes.iter().map(|note| (note.onset, note)).collect();
    if !again.is_empty() {
        notes.extend(again);
        notes.sort_by_key(|(at, _)| *at);
    }
    let doubles = music.transpositions.iter().any(|mark| mark.transposition.doubled.is_some());
    let mut heard: Vec<Heard> = Vec::with_capacity(notes.len());
    // The sounds that a tie may still prolong, few at any moment.
    let mut open: Vec<usize> = Vec::new();
    let mut starts = movement.bars.iter().map(|(_, bar)| bar.start).peekable();
    let (mut bar, mut bar_before) = (Ticks::ZERO, Ticks::ZERO);
    for (at, note) in notes {
        while let Some(next) = starts.next_if(|start| *start <= at) {
            (bar_before, bar) = (bar, next);
        }
        // A bar lasts as long as its longest part: over its line a tie holds although the part ends
        // before it.
        let reaches = |sound: &Heard| sound.end >= at || at == bar && sound.end > bar_before;
        if !note.sounds() || note.traits.any(NoteTraits::GRACE | NoteTraits::GRIP) {
            continue;
        }
        let (from, to) = note.sound_span();
        let (begins, end) = (at - note.onset.since(from), at + to.since(note.onset));
        let prolongs = |idx: &usize| {
            heard.get(*idx).is_some_and(|sound| reaches(sound) && sound.pitch == note.sounding)
        };
        if note.traits.any(NoteTraits::CONTINUES)
            && let Some(nth) = open.iter().rposition(prolongs)
        {
            let idx = open.get(nth).copied().unwrap_or_default();
            if let Some(sound) = heard.get_mut(idx) {
                sound.end = sound.end.max(end);
            }
            if !note.traits.any(NoteTraits::TIED_ON) {
                open.swap_remove(nth);
            }
            continue;
        }
        open.retain(|idx| heard.get(*idx).is_some_and(reaches));
        if note.traits.any(NoteTraits::TIED_ON) {
            open.push(heard.len());
        }
        heard.push(Heard {
            at: begins,
            end,
            pitch: note.sounding,
            players: note.players,
            staff: note.staff,
            voice: note.voice,
            manner: note.manner,
            traits: note.traits,
            tremolo: note.tremolo,
            struck: note.struck,
        });
    }
    if doubles {
        add_octaves(music, &mut heard);
    }
    heard.sort_by_key(|sound| (sound.at, sound.pitch));
    heard
}

/// A part that is written once and sounds in octaves, as cellos with basses on one staff do.
fn add_octaves(music: &PartMusic, heard: &mut Vec<Heard>) {
    let octave = |sound: &Heard| {
        let semitones = match music.transposition_at(sound.staff, sound.at).doubled? {
            Doubling::Below => -12,
            Doubling::Above => 12,
        };
        Some(Heard { pitch: Some(sound.pitch?.transposed(semitones)), ..*sound })
    };
    let octaves: Vec<Heard> = heard.iter().filter_map(octave).collect();
    heard.extend(octaves);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{movement, ticks};

    #[test]
    fn a_tie_holds_over_a_bar_that_another_part_makes_longer() {
        let movement = movement(&["2/4 c4:2_ | ~c4:2", "2/4 c3:4 | c3:2"]);
        let heard = HeardNotes::of(&movement);
        let [sound] = heard.of_part(PartIdx(0)) else { panic!("{heard:?}") };
        assert_eq!((sound.at, sound.end), (Ticks::ZERO, ticks("6")));
    }

    #[test]
    fn ties_are_one_sound_and_repeats_are_heard_again() {
        let movement = movement(&["4/4 c4:4_ | ~c4:2 d4:2 | % | g'f4 ?g4:2 a4:2"]);
        let heard = HeardNotes::of(&movement);
        let quarter = ticks("1").0;
        let row = |sound: &Heard| {
            (sound.at.0 / quarter, sound.end.0 / quarter, sound.pitch.map_or(0, |p| p.key()))
        };
        let seen: Vec<_> = heard.of_part(PartIdx(0)).iter().map(row).collect();
        assert_eq!(seen, [(0, 6, 60), (6, 8, 62), (8, 10, 60), (10, 12, 62), (14, 16, 69)]);
    }
}
