//! Heads and rests as `note` elements, with everything that hangs on them.

use super::layers::{Event, EventKind, value};
use super::lines::Lines;
use super::value::Value;
use super::xml::Xml;
use barloom_core::event::{
    BreathShape, CaesuraShape, FermataPlace, FermataShape, Manner, Marking, MarkingKind, Note,
    NoteTraits, Tuplet,
};
use barloom_core::instrument::InstrumentId;
use barloom_core::pitch::WrittenPitch;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// Strokes that stand for a tremolo without measure in the model.
const UNMEASURED: u8 = 255;

/// The breath and the caesura behind something.
type Breaks = (Option<BreathShape>, Option<CaesuraShape>);

/// Slides from note to note by their flags: the element and its type.
const SLIDES: &[(Manner, &str, &str)] = &[
    (Manner::GLISSANDO_ENDS, "glissando", "stop"),
    (Manner::GLISSANDO, "glissando", "start"),
    (Manner::SLIDE_ENDS, "slide", "stop"),
    (Manner::SLIDE, "slide", "start"),
];

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
    /// The shapes of fermatas, by position, staff and what they stand on.
    fermatas: BTreeMap<(Ticks, u8, bool), FermataShape>,
    /// Heads behind which a breath is taken, and those behind which the music halts.
    breaths: BTreeMap<Anchor, BreathShape>,
    caesuras: BTreeMap<Anchor, CaesuraShape>,
}

/// What a breath hangs on: the place of a head or of a rest.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Anchor {
    Head(usize),
    Rest(usize),
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
        let mut notes = Self {
            movement,
            music,
            lines,
            division,
            instruments,
            fermatas: BTreeMap::new(),
            breaths: BTreeMap::new(),
            caesuras: BTreeMap::new(),
        };
        for marking in &music.markings {
            let staff = marking.staff.unwrap_or(1);
            let anchor = || anchor(music, marking);
            match &marking.kind {
                MarkingKind::Fermata(shape, FermataPlace::Note) => {
                    notes.fermatas.entry((marking.at, staff, false)).or_insert(*shape);
                }
                MarkingKind::Fermata(shape, FermataPlace::Rest) => {
                    notes.fermatas.entry((marking.at, staff, true)).or_insert(*shape);
                }
                MarkingKind::Breath(shape) => {
                    notes.breaths.extend(anchor().map(|anchor| (anchor, *shape)));
                }
                MarkingKind::Caesura(shape) => {
                    notes.caesuras.extend(anchor().map(|anchor| (anchor, *shape)));
                }
                _ => {}
            }
        }
        notes
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
        let breaks = self.breaks(Anchor::Rest(idx));
        if rest.fermata || breaks != (None, None) {
            xml.open("notations", &[]);
            articulations(xml, Manner::NONE, breaks);
            if rest.fermata {
                let shape = self.fermatas.get(&(rest.onset, rest.staff, true));
                fermata(xml, shape.copied().unwrap_or_default());
            }
            xml.close();
        }
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
            ties(xml, note, "tie");
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
        self.notations(xml, idx, note, lines);
        xml.close();
    }

    fn notations(&self, xml: &mut Xml, idx: usize, note: &Note, lines: &Lines) {
        let before = xml.mark();
        xml.open("notations", &[]);
        let inside = xml.mark();
        ties(xml, note, "tied");
        for (starts, number) in &lines.slurs {
            let kind = if *starts { "start" } else { "stop" };
            xml.empty("slur", &[("type", kind), ("number", &number.to_string())]);
        }
        tuplet(xml, note.traits);
        for (flag, name, kind) in SLIDES {
            if note.manner.has(*flag) {
                xml.empty(name, &[("type", kind)]);
            }
        }
        ornaments(xml, note, lines);
        technical(xml, note.manner);
        articulations(xml, note.manner, self.breaks(Anchor::Head(idx)));
        if note.traits.any(NoteTraits::FERMATA) {
            let shape = self.fermatas.get(&(note.onset, note.staff, false));
            fermata(xml, shape.copied().unwrap_or_default());
        }
        if note.manner.has(Manner::ARPEGGIO) {
            xml.empty("arpeggiate", &[]);
        }
        if note.manner.has(Manner::NON_ARPEGGIO) {
            xml.empty("non-arpeggiate", &[("type", "bottom")]);
        }
        let empty = xml.mark() == inside;
        xml.close();
        if empty {
            xml.back_to(before);
        }
    }

    /// Whether a breath is taken, whether the music halts behind it.
    fn breaks(&self, at: Anchor) -> Breaks {
        (self.breaths.get(&at).copied(), self.caesuras.get(&at).copied())
    }

    fn staff(&self, xml: &mut Xml, staff: u8) {
        if self.music.staves > 1 {
            xml.number("staff", staff);
        }
    }
}

/// What something behind a note hangs on: a head or rest that begins there, else the last head before.
fn anchor(music: &PartMusic, marking: &Marking) -> Option<Anchor> {
    let Marking { at, staff, voice, .. } = *marking;
    let fits = |own_staff: u8, own_voice: u8| {
        staff.is_none_or(|staff| own_staff == staff) && voice.is_none_or(|voice| own_voice == voice)
    };
    let end = music.notes.partition_point(|note| note.onset <= at);
    let before = music.notes.get(..end).unwrap_or_default().iter().enumerate().rev();
    let mut fitting = before.filter(|(_, note)| fits(note.staff, note.voice));
    let last = fitting.next();
    let mut rests = music.rests.iter().enumerate();
    let rest = rests.find(|(_, rest)| rest.onset == at && fits(rest.staff, rest.voice));
    let onset = last.map(|(_, note)| note.onset);
    if let Some((idx, _)) = rest.filter(|_| onset != Some(at)) {
        return Some(Anchor::Rest(idx));
    }
    let same = fitting.take_while(|(_, note)| Some(note.onset) == onset);
    let lead = last.into_iter().chain(same).find(|(_, n)| !n.traits.any(NoteTraits::CHORD));
    lead.or(last).map(|(idx, _)| Anchor::Head(idx))
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

fn ties(xml: &mut Xml, note: &Note, name: &'static str) {
    if note.traits.any(NoteTraits::CONTINUES) {
        xml.empty(name, &[("type", "stop")]);
    }
    if note.traits.any(NoteTraits::TIED_ON) {
        xml.empty(name, &[("type", "start")]);
    }
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

fn tuplet(xml: &mut Xml, traits: NoteTraits) {
    if traits.any(NoteTraits::TUPLET_BEGINS) {
        xml.empty("tuplet", &[("type", "start"), ("number", "1")]);
    }
    if traits.any(NoteTraits::TUPLET_ENDS) {
        xml.empty("tuplet", &[("type", "stop"), ("number", "1")]);
    }
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

fn ornaments(xml: &mut Xml, note: &Note, lines: &Lines) {
    let manner = note.manner;
    let pair = manner.has(Manner::TREMOLO_PAIR);
    let trill = manner.has(Manner::TRILL) && !manner.has(Manner::TRILL_GOES_ON);
    let ornament = manner.has(Manner::ORNAMENT);
    let line = lines.wavy_starts || lines.wavy_stops;
    if !trill && !ornament && !line && !pair && note.tremolo == 0 {
        return;
    }
    xml.open("ornaments", &[]);
    if trill {
        xml.empty("trill-mark", &[]);
    }
    if lines.wavy_stops {
        xml.empty("wavy-line", &[("type", "stop"), ("number", "1")]);
    }
    if lines.wavy_starts {
        xml.empty("wavy-line", &[("type", "start"), ("number", "1")]);
    }
    if manner.has(Manner::MORDENT) {
        xml.empty("mordent", &[]);
    }
    if manner.has(Manner::TURN) {
        xml.empty("turn", &[]);
    }
    if ornament && !manner.any(Manner::MORDENT | Manner::TURN) {
        xml.empty("other-ornament", &[]);
    }
    if pair {
        let kind = if manner.has(Manner::TREMOLO_ENDS) { "stop" } else { "start" };
        xml.leaf("tremolo", &[("type", kind)], &note.tremolo.min(8).to_string());
    } else if note.tremolo == UNMEASURED {
        xml.leaf("tremolo", &[("type", "unmeasured")], "0");
    } else if note.tremolo > 0 {
        xml.leaf("tremolo", &[("type", "single")], &note.tremolo.min(8).to_string());
    }
    xml.close();
}

fn technical(xml: &mut Xml, manner: Manner) {
    let all = [
        (Manner::UP_BOW, "up-bow"),
        (Manner::DOWN_BOW, "down-bow"),
        (Manner::OPEN_STRING, "open-string"),
        (Manner::STOPPED, "stopped"),
        (Manner::SNAP, "snap-pizzicato"),
        (Manner::OPEN, "open"),
        (Manner::HALF_STOPPED, "half-muted"),
    ];
    let harmonic = manner.has(Manner::HARMONIC);
    if !harmonic && !all.iter().any(|(flag, _)| manner.has(*flag)) {
        return;
    }
    xml.open("technical", &[]);
    if harmonic {
        write_harmonic(xml, manner);
    }
    all.iter().filter(|(flag, _)| manner.has(*flag)).for_each(|(_, name)| xml.empty(name, &[]));
    xml.close();
}

fn write_harmonic(xml: &mut Xml, manner: Manner) {
    let parts = [
        (Manner::ARTIFICIAL, "artificial"),
        (Manner::BASE_PITCH, "base-pitch"),
        (Manner::TOUCHING_PITCH, "touching-pitch"),
        (Manner::SOUNDING_PITCH, "sounding-pitch"),
    ];
    let said = || parts.iter().filter(|(flag, _)| manner.has(*flag));
    if said().next().is_none() {
        return xml.empty("harmonic", &[]);
    }
    xml.open("harmonic", &[]);
    // The standard allows one of the three pitches.
    let artificial = usize::from(manner.has(Manner::ARTIFICIAL));
    said().take(artificial + 1).for_each(|(_, name)| xml.empty(name, &[]));
    xml.close();
}

fn articulations(xml: &mut Xml, manner: Manner, (breath, caesura): Breaks) {
    let all = [
        (Manner::ACCENT, "accent"),
        (Manner::MARCATO, "strong-accent"),
        (Manner::STACCATO, "staccato"),
        (Manner::TENUTO, "tenuto"),
        (Manner::STACCATISSIMO, "staccatissimo"),
    ];
    let written = || all.iter().filter(|(flag, _)| manner.has(*flag));
    if written().next().is_none() && breath.is_none() && caesura.is_none() {
        return;
    }
    xml.open("articulations", &[]);
    written().for_each(|(_, name)| xml.empty(name, &[]));
    if let Some(shape) = breath {
        let shape = match shape {
            BreathShape::Comma => "comma",
            BreathShape::Tick => "tick",
            BreathShape::UpBow => "upbow",
            BreathShape::Salzedo => "salzedo",
        };
        xml.leaf("breath-mark", &[], shape);
    }
    if let Some(shape) = caesura {
        let shape = match shape {
            CaesuraShape::Normal => "normal",
            CaesuraShape::Thick => "thick",
            CaesuraShape::Short => "short",
            CaesuraShape::Curved => "curved",
            CaesuraShape::Single => "single",
        };
        xml.leaf("caesura", &[], shape);
    }
    xml.close();
}

/// Writes a fermata.
pub(super) fn fermata(xml: &mut Xml, shape: FermataShape) {
    let shape = match shape {
        FermataShape::Normal => "normal",
        FermataShape::Angled => "angled",
        FermataShape::Square => "square",
        // Any shape that is none of these.
        FermataShape::Other => "double-angled",
    };
    xml.leaf("fermata", &[], shape);
}
