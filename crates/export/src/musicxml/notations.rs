//! The `notations` of a head or rest: ties and slurs as drawn, tuplets, slides, ornaments, techniques
//! and articulations of one note, fermatas, breaths.
//!
//! Which of them a note has stands in its flags, in the [`Lines`] that begin and end on it, and in
//! what hangs on it.

use super::hanging::{Breaks, Hung};
use super::lines::Lines;
use super::xml::Xml;
use barloom_core::event::{
    BreathShape, CaesuraShape, FermataShape, Manner, Note, NoteTraits, Rest,
};

/// Strokes that stand for a tremolo without measure in the model.
const UNMEASURED: u8 = 255;

/// Slides from note to note by their flags: the element and its type.
const SLIDES: &[(Manner, &str, &str)] = &[
    (Manner::GLISSANDO_ENDS, "glissando", "stop"),
    (Manner::GLISSANDO, "glissando", "start"),
    (Manner::SLIDE_ENDS, "slide", "stop"),
    (Manner::SLIDE, "slide", "start"),
];

/// Writes what a rest has.
pub(super) fn of_rest(xml: &mut Xml, rest: &Rest, hung: &Hung) {
    if !rest.fermata && hung.breaks == (None, None) {
        return;
    }
    xml.open("notations", &[]);
    articulations(xml, Manner::NONE, hung.breaks);
    if rest.fermata {
        fermata(xml, hung.fermata);
    }
    xml.close();
}

/// Writes what a head has; nothing if it has nothing.
pub(super) fn of_head(xml: &mut Xml, note: &Note, lines: &Lines, hung: &Hung) {
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
    articulations(xml, note.manner, hung.breaks);
    if note.traits.any(NoteTraits::FERMATA) {
        fermata(xml, hung.fermata);
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

/// Ties that end and begin: `tie` as they sound, `tied` as they are drawn.
pub(super) fn ties(xml: &mut Xml, note: &Note, name: &'static str) {
    if note.traits.any(NoteTraits::CONTINUES) {
        xml.empty(name, &[("type", "stop")]);
    }
    if note.traits.any(NoteTraits::TIED_ON) {
        xml.empty(name, &[("type", "start")]);
    }
}

fn tuplet(xml: &mut Xml, traits: NoteTraits) {
    if traits.any(NoteTraits::TUPLET_BEGINS) {
        xml.empty("tuplet", &[("type", "start"), ("number", "1")]);
    }
    if traits.any(NoteTraits::TUPLET_ENDS) {
        xml.empty("tuplet", &[("type", "stop"), ("number", "1")]);
    }
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
