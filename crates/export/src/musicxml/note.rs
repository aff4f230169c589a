//! Heads and rests as `note` elements: pitch, duration, voice, drawn value, stem, staff, beams. What
//! hangs on them is in [`notations`].

use super::hanging::Hanging;
use super::layers::{Event, EventKind, value};
use super::lines::Lines;
use super::notations;
use super::value::Value;
use super::xml::Xml;
use barloom_core::event::{Manner, NoteTraits, Tuplet};
use barloom_core::instrument::InstrumentId;
use barloom_core::pitch::WrittenPitch;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// What is known about the notes of a part before they are written.
pub(super) struct Notes<'a> {
    pub(super) movement: &'a Movement,
    pub(super) music: &'a PartMusic,
    /// One for each note.
    pub(super) lines: Vec<Lines>,
    /// Ticks in a division.
    pub(super) division: i64,
    /// The instruments of the part with their ids, as notes name them.
    instruments: &'a [(InstrumentId, String)],
    /// Fermatas, breaths and caesuras.
    hanging: Hanging,
}

impl<'a> Notes<'a> {
    /// Gathers what the markings say about heads.
    pub(super) fn new(
        movement: &'a Movement,
        music: &'a PartMusic,
        lines: Vec<Lines>,
        division: i64,
        instruments: &'a [(InstrumentId, String)],
    ) -> Self {
        let hanging = Hanging::of(music);
        Self { movement, music, lines, division, instruments, hanging }
    }

    /// Writes an event.
    pub(super) fn write(&self, xml: &mut Xml, event: &Event, voice: u8) {
        match &event.kind {
            EventKind::Rest(idx) => self.rest(xml, event, *idx, voice),
            EventKind::Heads(heads) => {
                for (nth, idx) in heads.iter().enumerate() {
                    self.head(xml, event, *idx, nth > 0, voice);
                }
            }
        }
    }

    /// Writes a rest that is not printed and only moves the voice on.
    pub(super) fn hidden_rest(&self, xml: &mut Xml, length: Ticks, voice: u8) {
        xml.open("note", &[("print-object", "no")]);
        xml.empty("rest", &[]);
        xml.number("duration", length.0 / self.division);
        xml.number("voice", voice);
        xml.close();
    }

    fn rest(&self, xml: &mut Xml, event: &Event, idx: usize, voice: u8) {
        let Some(rest) = self.music.rests.get(idx).filter(|_| event.length > Ticks::ZERO) else {
            return;
        };
        xml.open("note", &[]);
        xml.empty("rest", if rest.whole_bar { &[("measure", "yes")] } else { &[] });
        xml.number("duration", event.length.0 / self.division);
        xml.number("voice", voice);
        if let Some(value) = event.value.filter(|_| !rest.whole_bar) {
            drawn(xml, value);
        }
        ratio(xml, rest.tuplet, false);
        self.staff(xml, rest.staff);
        notations::of_rest(xml, rest, &self.hanging.of_rest(idx, rest));
        xml.close();
    }

    fn head(&self, xml: &mut Xml, event: &Event, idx: usize, joins: bool, voice: u8) {
        let Some(note) = self.music.notes.get(idx) else { return };
        let has = |traits| note.traits.any(traits);
        let (grace, cue) = (has(NoteTraits::GRACE), has(NoteTraits::CUE));
        let length = super::layers::held(self.movement, note);
        let hidden: &[_] = if has(NoteTraits::HIDDEN) { &[("print-object", "no")] } else { &[] };
        // A head without a length that is no grace note cannot be stated; it is written as one.
        let grace = grace || length == Ticks::ZERO;
        xml.open("note", hidden);
        if grace {
            grace_element(xml, note.traits);
        }
        if cue {
            xml.empty("cue", &[]);
        }
        if joins {
            xml.empty("chord", &[]);
        }
        let pitched = note.sounding.is_some() || has(NoteTraits::GRIP);
        match note.written {
            Some(pitch) if pitched => write_pitch(xml, pitch),
            place => unpitched(xml, place),
        }
        if !grace {
            xml.number("duration", length.0 / self.division);
        }
        if !cue {
            notations::ties(xml, note, "tie");
        }
        let struck = usize::from(note.struck).checked_sub(1);
        if let Some((_, id)) = struck.and_then(|place| self.instruments.get(place)) {
            xml.empty("instrument", &[("id", id)]);
        }
        xml.number("voice", voice);
        let own = || value(self.movement.resolution, note, length);
        let drawn_as = if joins && length != event.length { own() } else { event.value };
        if let Some(value) = drawn_as {
            drawn(xml, value);
        }
        ratio(xml, note.tuplet, note.manner.has(Manner::TREMOLO_PAIR));
        if has(NoteTraits::STEM_UP) {
            xml.leaf("stem", &[], "up");
        } else if has(NoteTraits::STEM_DOWN) {
            xml.leaf("stem", &[], "down");
        }
        if has(NoteTraits::SLASH) {
            xml.leaf("notehead", &[], "slash");
        }
        self.staff(xml, note.staff);
        let plain = Lines::default();
        let lines = self.lines.get(idx).unwrap_or(&plain);
        for (level, text) in lines.beams.iter().enumerate() {
            xml.leaf("beam", &[("number", &(level + 1).to_string())], text);
        }
        notations::of_head(xml, note, lines, &self.hanging.of_head(idx, note));
        xml.close();
    }

    fn staff(&self, xml: &mut Xml, staff: u8) {
        if self.music.staves > 1 {
            xml.number("staff", staff);
        }
    }
}

/// An unpitched note, with its place on the staff if that is known.
fn unpitched(xml: &mut Xml, place: Option<WrittenPitch>) {
    let Some(place) = place else { return xml.empty("unpitched", &[]) };
    xml.open("unpitched", &[]);
    xml.leaf("display-step", &[], &format!("{:?}", place.step));
    xml.number("display-octave", place.octave.clamp(0, 9));
    xml.close();
}

fn write_pitch(xml: &mut Xml, pitch: WrittenPitch) {
    xml.open("pitch", &[]);
    xml.leaf("step", &[], &format!("{:?}", pitch.step));
    if pitch.alter_quarter_tones != 0 {
        xml.leaf("alter", &[], &semitones(pitch.alter_quarter_tones));
    }
    // The standard has the octaves 0 to 9.
    xml.number("octave", pitch.octave.clamp(0, 9));
    xml.close();
}

/// Quarter tones as semitones.
pub(super) fn semitones(quarter_tones: i8) -> String {
    (f64::from(quarter_tones) / 2.0).to_string()
}

fn drawn(xml: &mut Xml, value: Value) {
    xml.leaf("type", &[], value.name());
    for _ in 0..value.dots {
        xml.empty("dot", &[]);
    }
}

fn ratio(xml: &mut Xml, tuplet: Tuplet, tremolo_pair: bool) {
    if tuplet.is_none() && !tremolo_pair {
        return;
    }
    let double = if tremolo_pair { 2 } else { 1 };
    xml.open("time-modification", &[]);
    xml.number("actual-notes", u32::from(tuplet.actual) * double);
    xml.number("normal-notes", tuplet.normal);
    xml.close();
}

fn grace_element(xml: &mut Xml, traits: NoteTraits) {
    let mut attributes = Vec::new();
    if traits.any(NoteTraits::GRACE_AFTER) {
        // How much it takes is up to the player; programs need some figure.
        attributes.push(("steal-time-previous", "20"));
    }
    if traits.any(NoteTraits::GRACE_STROKE) {
        attributes.push(("slash", "yes"));
    }
    xml.empty("grace", &attributes);
}
