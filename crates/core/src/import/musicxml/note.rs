//! Notes and rests.

use super::harmonics;
use super::notations::Notated;
use super::part::PartReader;
use super::value::{Value, ratio};
use crate::diag::Code;
use crate::event::{Manner, Note, NoteTraits, Rest, Tuplet};
use crate::import::raw::Pos;
use crate::import::xml::{Node, child_text, decimal, elements, name, text};
use crate::part::PlayerSet;
use crate::pitch::{SoundingPitch, Step, WrittenPitch};
use crate::time::Ticks;

/// A tie that waits for its second note.
#[derive(Debug)]
pub(super) struct OpenTie {
    sounding: SoundingPitch,
    /// What the note says about being a harmonic, which its continuation need not repeat.
    harmonic: Manner,
    pos: Pos,
    byte: usize,
}

/// What the children of a note element say, gathered in one pass.
#[derive(Default)]
struct Gathered<'a, 'i> {
    pitch: Option<Node<'a, 'i>>,
    rest: Option<Node<'a, 'i>>,
    unpitched: Option<Node<'a, 'i>>,
    chord: bool,
    traits: NoteTraits,
    duration: Option<Node<'a, 'i>>,
    tie_start: bool,
    tie_stop: bool,
    has_tie: bool,
    voice: Option<&'a str>,
    staff: Option<u8>,
    instrument: Option<&'a str>,
    timed: Option<Node<'a, 'i>>,
    value: Value<'a>,
    accidental: Option<&'a str>,
    diamond: bool,
    play: Option<Node<'a, 'i>>,
    notated: Notated,
}

impl PartReader<'_> {
    pub(super) fn note(&mut self, node: Node<'_, '_>) {
        let mut found = self.gather(node);
        let byte = self.byte(node);
        if node.attribute("print-object") == Some("no") {
            found.traits.set(NoteTraits::HIDDEN);
        }
        let is_grace = found.traits.has(NoteTraits::GRACE);
        let length = match (is_grace, found.duration) {
            (true, _) => 0,
            (false, Some(duration)) => self.ticks(text(duration), node).unwrap_or(0),
            (false, None) => self.duration(node),
        };
        // Without a note before it, a chord note is the first of its chord.
        let joins = found.chord && self.chord_onset.is_some();
        let onset = self.onset(&found, node);
        if !joins {
            self.close_chord();
            self.chord_onset = Some(onset);
        }
        self.chord_byte = byte;
        let staff = found.staff.unwrap_or(1);
        if self.under_sign(staff, found.voice) {
            found.traits.set(NoteTraits::UNDER_SIGN);
        }
        self.out.staves = self.out.staves.max(staff);
        let voice = self.voice(found.voice, (onset, length), joins);
        let pos = Pos { bar: self.bar_idx, offset: onset };
        if !is_grace && !found.traits.has(NoteTraits::CUE) {
            self.check_note_value(&found, length, node);
        }
        if let Some(rest) = found.rest {
            self.rest(rest, &found, (onset, length), (staff, voice));
        } else {
            self.head(node, &found, (onset, length), (staff, voice));
        }
        self.notated_markings(&mut found.notated, pos, staff, voice, found.rest.is_some(), node);
        if !is_grace {
            let end = self.held(onset.saturating_add(length), node);
            // Only the first head of a chord moves time on; the others lie inside the bar.
            if joins {
                self.chord_end = self.chord_end.max(end);
            } else {
                self.cursor = end;
                self.bar.length = self.bar.length.max(end);
                self.bar.filled = self.bar.filled.max(end);
            }
        }
    }

    /// A whole rest stands for any bar, and the notes of a tremolo between them are printed in several
    /// ways.
    fn check_note_value(&mut self, found: &Gathered<'_, '_>, length: i64, node: Node<'_, '_>) {
        let bar_rest = found.rest.is_some_and(|rest| {
            rest.attribute("measure") == Some("yes") || found.value.kind == Some("whole")
        });
        if !bar_rest && !found.notated.manner.has(Manner::TREMOLO_PAIR) {
            self.check_value(found.value, length, node);
        }
    }

    fn onset(&mut self, found: &Gathered<'_, '_>, node: Node<'_, '_>) -> i64 {
        match (found.chord, self.chord_onset) {
            (false, _) => self.cursor,
            (true, Some(onset)) => onset,
            (true, None) => {
                let byte = self.byte(node);
                self.out.log.add(Code::ChordWithoutNote, self.pos(), byte, || {
                    String::from("a chord note has no note before it")
                });
                self.cursor
            }
        }
    }

    fn gather<'a, 'i: 'a>(&mut self, node: Node<'a, 'i>) -> Gathered<'a, 'i> {
        let mut found = Gathered::default();
        for item in elements(node) {
            match name(item) {
                "pitch" => found.pitch = Some(item),
                "rest" => found.rest = Some(item),
                "unpitched" => found.unpitched = Some(item),
                "duration" => found.duration = Some(item),
                "chord" => found.chord = true,
                "grace" => grace(item, &mut found.traits),
                "cue" => found.traits.set(NoteTraits::CUE),
                "tie" => {
                    found.has_tie = true;
                    match item.attribute("type") {
                        Some("start") => found.tie_start = true,
                        Some("stop") => found.tie_stop = true,
                        _ => {}
                    }
                }
                "voice" => found.voice = Some(text(item)).filter(|text| !text.is_empty()),
                "staff" => found.staff = Self::staff(Some(text(item))),
                "instrument" => found.instrument = item.attribute("id"),
                "accidental" => found.accidental = Some(text(item)),
                "time-modification" => found.timed = Some(item),
                "type" => found.value.kind = Some(text(item)),
                "dot" => found.value.dots = found.value.dots.saturating_add(1),
                "beam" => beam(item, &mut found.traits),
                "notehead" => match text(item) {
                    "slash" => found.traits.set(NoteTraits::SLASH),
                    "diamond" => found.diamond = true,
                    _ => {}
                },
                "stem" => match text(item) {
                    "up" => found.traits.set(NoteTraits::STEM_UP),
                    "down" => found.traits.set(NoteTraits::STEM_DOWN),
                    _ => {}
                },
                "notations" => self.notations(item, &mut found.notated),
                "play" => found.play = Some(item),
                _ => {}
            }
        }
        found.finish();
        found
    }

    fn rest(
        &mut self,
        rest: Node<'_, '_>,
        found: &Gathered<'_, '_>,
        (onset, length): (i64, i64),
        (staff, voice): (u8, u8),
    ) {
        if rest.attribute("measure") != Some("yes") {
            self.bar.empty = false;
        }
        if found.traits.has(NoteTraits::HIDDEN) || found.traits.has(NoteTraits::CUE) {
            // A rest that is not printed only fills the voice.
            return;
        }
        self.out.rests.push(Rest {
            onset: Ticks(onset),
            length: Ticks(length),
            bar: self.bar_index(),
            staff,
            voice,
            fermata: found.notated.fermata.is_some(),
            whole_bar: rest.attribute("measure") == Some("yes"),
            tuplet: found.value.tuplet,
        });
    }

    fn head(
        &mut self,
        node: Node<'_, '_>,
        found: &Gathered<'_, '_>,
        (onset, length): (i64, i64),
        (staff, voice): (u8, u8),
    ) {
        self.bar.empty = false;
        let (written, sounding) = match (found.pitch, found.unpitched) {
            (Some(pitch), _) => {
                let written = self.pitch(pitch, found.accidental);
                let transposition = self.transposition(staff);
                (written, written.map(|written| transposition.sounding(written)))
            }
            (None, Some(place)) => (displayed(place), None),
            (None, None) => {
                let byte = self.byte(node);
                self.out.log.add(Code::NoteUnreadable, self.pos(), byte, || {
                    String::from("a note has no pitch and is no rest; taken as unpitched")
                });
                (None, None)
            }
        };
        let pos = Pos { bar: self.bar_idx, offset: onset };
        let struck = found.instrument.map_or(0, |id| self.listed_instrument(id));
        let mut manner = found.notated.manner;
        if let Some(sounding) = sounding {
            let harmonic = self.follow_tie(found, sounding, pos, node);
            if !manner.has(Manner::HARMONIC) {
                manner.set(harmonic);
            }
        }
        self.play_note(found.play, found.traits, pos, node);
        let idx = self.out.notes.len();
        if manner.has(Manner::HARMONIC) || found.diamond {
            self.harmonics.push(harmonics::Head { note: idx, diamond: found.diamond });
        }
        self.follow_trill(idx, voice, &found.notated);
        let line = self.line_of(node);
        self.out.notes.push(Note {
            onset: Ticks(onset),
            length: Ticks(length),
            bar: self.bar_index(),
            written,
            sounding,
            staff,
            voice,
            players: PlayerSet::ALL,
            traits: found.traits,
            manner,
            tuplet: found.value.tuplet,
            tremolo: found.notated.tremolo,
            struck,
            line,
        });
    }

    fn pitch(&mut self, node: Node<'_, '_>, printed: Option<&str>) -> Option<WrittenPitch> {
        let step = child_text(node, "step").and_then(|text| text.chars().next());
        let step = step.and_then(|letter| Step::from_letter(letter.to_ascii_uppercase()));
        let octave = child_text(node, "octave").and_then(|text| text.parse().ok());
        let octave = octave.filter(|octave: &i8| (-10..=20).contains(octave));
        let byte = self.byte(node);
        let alter = match (child_text(node, "alter"), printed.and_then(half_tones)) {
            (Some(text), _) => decimal(text),
            (None, Some(half_tones)) => {
                self.out.log.add(Code::AlterationMissing, self.pos(), byte, || {
                    let sign = printed.unwrap_or_default();
                    format!("a note has a printed {sign} and no alteration; the sign counts")
                });
                Some((half_tones, 1))
            }
            (None, None) => Some((0, 1)),
        };
        let (Some(step), Some(octave), Some((num, den))) = (step, octave, alter) else {
            self.out.log.add(Code::PitchUnreadable, self.pos(), byte, || {
                let step = child_text(node, "step").unwrap_or_default();
                let alter = child_text(node, "alter").unwrap_or_default();
                let octave = child_text(node, "octave").unwrap_or_default();
                format!("\"{step} {alter} {octave}\" is no pitch")
            });
            return None;
        };
        let quarter_tones = (num as f64 * 2.0 / den as f64).clamp(-24.0, 24.0);
        let rounded = quarter_tones.round();
        if (rounded - quarter_tones).abs() > 1e-6 {
            self.out.log.add(Code::PitchRounded, self.pos(), byte, || {
                format!(
                    "an alteration of {} semitones is finer than quarter tones",
                    num as f64 / den as f64
                )
            });
        }
        Some(WrittenPitch { step, alter_quarter_tones: rounded as i8, octave })
    }

    /// Joins ties by sounding pitch, for findings and for harmonics: which head continues a sound is
    /// what the head itself says. Answers in what way the head is a harmonic, which the end of a tie
    /// has from its beginning.
    fn follow_tie(
        &mut self,
        found: &Gathered<'_, '_>,
        sounding: SoundingPitch,
        pos: Pos,
        node: Node<'_, '_>,
    ) -> Manner {
        let mut harmonic = found.notated.manner.only(Manner::OF_HARMONICS);
        if found.traits.has(NoteTraits::CONTINUES) {
            if let Some(open) = self.ties.iter().find(|open| open.sounding == sounding)
                && harmonic == Manner::NONE
            {
                harmonic = open.harmonic;
            }
            self.ties.retain(|open| open.sounding != sounding);
        }
        if found.traits.has(NoteTraits::TIED_ON) {
            let byte = self.byte(node);
            self.ties.push(OpenTie { sounding, harmonic, pos, byte });
            if self.ties.len() > 256 {
                let open = self.ties.remove(0);
                self.report_tie(&open);
            }
        }
        harmonic
    }

    /// Ties that nothing continued.
    pub(super) fn close_ties(&mut self) {
        for open in std::mem::take(&mut self.ties) {
            self.report_tie(&open);
        }
    }

    fn report_tie(&mut self, open: &OpenTie) {
        self.out.log.add(Code::TieOpen, open.pos, open.byte, || {
            String::from("a tie begins here and no note continues it")
        });
    }
}

impl Gathered<'_, '_> {
    fn finish(&mut self) {
        let notated = &self.notated;
        // A printed tie counts only where the element that makes it sound is missing.
        let (start, stop) = if self.has_tie {
            (self.tie_start, self.tie_stop)
        } else {
            (notated.tied_start, notated.tied_stop)
        };
        let traits = &mut self.traits;
        let mut set = |when: bool, flag: NoteTraits| {
            if when {
                traits.set(flag);
            }
        };
        set(start, NoteTraits::TIED_ON);
        set(stop, NoteTraits::CONTINUES);
        set(self.chord, NoteTraits::CHORD);
        set(notated.slur_begins, NoteTraits::SLUR_BEGINS);
        set(notated.slur_ends, NoteTraits::SLUR_ENDS);
        set(notated.fermata.is_some(), NoteTraits::FERMATA);
        let pair = notated.manner.has(Manner::TREMOLO_PAIR);
        set(notated.tuplet_begins, NoteTraits::TUPLET_BEGINS);
        set(notated.tuplet_ends, NoteTraits::TUPLET_ENDS);
        self.value.tuplet = self.timed.map_or(Tuplet::NONE, |timed| ratio(timed, pair));
        let in_tuplet = !self.value.tuplet.is_none();
        set(in_tuplet || notated.tuplet, NoteTraits::TUPLET);
    }
}

fn grace(node: Node<'_, '_>, traits: &mut NoteTraits) {
    traits.set(NoteTraits::GRACE);
    if node.attribute("slash") == Some("yes") {
        traits.set(NoteTraits::GRACE_STROKE);
    }
    if node.attribute("steal-time-previous").is_some() {
        traits.set(NoteTraits::GRACE_AFTER);
    }
}

/// Where an unpitched note is printed on its staff.
fn displayed(node: Node<'_, '_>) -> Option<WrittenPitch> {
    let step = child_text(node, "display-step").and_then(|text| text.chars().next());
    let step = step.and_then(|letter| Step::from_letter(letter.to_ascii_uppercase()))?;
    let octave = child_text(node, "display-octave").and_then(|text| text.parse().ok());
    let octave = octave.filter(|octave: &i8| (-10..=20).contains(octave))?;
    Some(WrittenPitch { step, alter_quarter_tones: 0, octave })
}

fn beam(node: Node<'_, '_>, traits: &mut NoteTraits) {
    if node.attribute("number").unwrap_or("1") != "1" {
        return;
    }
    match text(node) {
        "begin" => traits.set(NoteTraits::BEAM_BEGINS),
        "continue" | "end" => traits.set(NoteTraits::BEAM_GOES_ON),
        _ => {}
    }
}

/// What a printed accidental does to the pitch, in half tones; `None` if it is a natural or one of
/// the rarer signs.
fn half_tones(accidental: &str) -> Option<i64> {
    match accidental {
        "sharp" | "natural-sharp" => Some(1),
        "flat" | "natural-flat" => Some(-1),
        "double-sharp" | "sharp-sharp" => Some(2),
        "flat-flat" => Some(-2),
        _ => None,
    }
}
