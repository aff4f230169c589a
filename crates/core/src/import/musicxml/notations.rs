//! What hangs on a note: articulations, ornaments, technique, slurs, fermatas, levels.

use super::levels::dynamics_text;
use super::part::PartReader;
use crate::event::{BreathShape, CaesuraShape, FermataPlace, FermataShape, Manner, MarkingKind};
use crate::import::raw::{Pos, RawMarking};
use crate::import::xml::{Node, elements, name, text};
use crate::part::PlayerSet;

/// Strokes that stand for a tremolo without measure.
const UNMEASURED: u8 = 255;

/// The notations of one note, gathered over all its `notations` elements.
#[derive(Default)]
pub(super) struct Notated {
    pub(super) manner: Manner,
    pub(super) tremolo: u8,
    pub(super) tied_start: bool,
    pub(super) tied_stop: bool,
    pub(super) slur_begins: bool,
    pub(super) slur_ends: bool,
    pub(super) tuplet: bool,
    pub(super) tuplet_begins: bool,
    pub(super) tuplet_ends: bool,
    pub(super) fermata: Option<FermataShape>,
    /// A wavy line begins, of a trill or alone.
    pub(super) wavy_begins: bool,
    pub(super) wavy_ends: bool,
    breath: Option<BreathShape>,
    caesura: Option<CaesuraShape>,
    /// Dynamic letters written in the notations, joined; whether they stand above the staff.
    dynamics: Vec<(String, bool)>,
}

impl PartReader<'_> {
    pub(super) fn notations(&mut self, node: Node<'_, '_>, out: &mut Notated) {
        for item in elements(node) {
            match name(item) {
                "tied" => match item.attribute("type") {
                    Some("start") => out.tied_start = true,
                    Some("stop") => out.tied_stop = true,
                    Some("continue") => {
                        out.tied_start = true;
                        out.tied_stop = true;
                    }
                    _ => {}
                },
                "slur" => match item.attribute("type") {
                    Some("start") => out.slur_begins = true,
                    Some("stop") => out.slur_ends = true,
                    _ => {}
                },
                "tuplet" => {
                    out.tuplet = true;
                    out.tuplet_begins |= item.attribute("type") == Some("start");
                    out.tuplet_ends |= item.attribute("type") == Some("stop");
                }
                "glissando" => match item.attribute("type") {
                    Some("start") => out.manner.set(Manner::GLISSANDO),
                    Some("stop") => out.manner.set(Manner::GLISSANDO_ENDS),
                    _ => {}
                },
                "slide" => match item.attribute("type") {
                    Some("start") => out.manner.set(Manner::SLIDE),
                    Some("stop") => out.manner.set(Manner::SLIDE_ENDS),
                    _ => {}
                },
                "arpeggiate" => out.manner.set(Manner::ARPEGGIO),
                "non-arpeggiate" => out.manner.set(Manner::NON_ARPEGGIO),
                "fermata" => out.fermata = Some(fermata_shape(item)),
                "articulations" => articulations(item, out),
                "ornaments" => ornaments(item, out),
                "technical" => technical(item, out),
                "dynamics" => {
                    let above = item.attribute("placement") == Some("above");
                    out.dynamics.push((dynamics_text(item), above));
                }
                _ => {}
            }
        }
    }

    /// The markings that the notations of a note at `pos` make.
    pub(super) fn notated_markings(
        &mut self,
        notated: &mut Notated,
        pos: Pos,
        staff: u8,
        voice: u8,
        on_rest: bool,
        node: Node<'_, '_>,
    ) {
        let byte = self.byte(node);
        let mut push = |kind: MarkingKind| {
            self.out.markings.push(RawMarking {
                pos,
                end: None,
                staff: Some(staff),
                voice: Some(voice),
                players: PlayerSet::ALL,
                kind,
                words: String::new(),
                byte,
            });
        };
        if let Some(shape) = notated.fermata {
            let place = if on_rest { FermataPlace::Rest } else { FermataPlace::Note };
            push(MarkingKind::Fermata(shape, place));
        }
        if let Some(shape) = notated.breath {
            push(MarkingKind::Breath(shape));
        }
        if let Some(shape) = notated.caesura {
            push(MarkingKind::Caesura(shape));
        }
        for (letters, above) in std::mem::take(&mut notated.dynamics) {
            let staff = self.bound_staff(Some(staff), above.then_some("above"));
            self.dynamics(&letters, pos, staff, Some(voice), node);
        }
    }
}

/// The shape of a fermata: its text in the standard.
pub(super) fn fermata_shape(node: Node<'_, '_>) -> FermataShape {
    match text(node) {
        "" | "normal" => FermataShape::Normal,
        "angled" => FermataShape::Angled,
        "square" => FermataShape::Square,
        _ => FermataShape::Other,
    }
}

fn articulations(node: Node<'_, '_>, out: &mut Notated) {
    for item in elements(node) {
        match name(item) {
            "staccato" => out.manner.set(Manner::STACCATO),
            "staccatissimo" | "spiccato" => out.manner.set(Manner::STACCATISSIMO),
            "tenuto" => out.manner.set(Manner::TENUTO),
            "detached-legato" => out.manner.set(Manner::TENUTO | Manner::STACCATO),
            "accent" => out.manner.set(Manner::ACCENT),
            "strong-accent" => out.manner.set(Manner::MARCATO),
            "scoop" | "plop" | "doit" | "falloff" => out.manner.set(Manner::ORNAMENT),
            "breath-mark" => out.breath = Some(breath_shape(item)),
            "caesura" => out.caesura = Some(caesura_shape(item)),
            _ => {}
        }
    }
}

/// The shape of a breath mark: its text in the standard.
fn breath_shape(node: Node<'_, '_>) -> BreathShape {
    match text(node) {
        "tick" => BreathShape::Tick,
        "upbow" => BreathShape::UpBow,
        "salzedo" => BreathShape::Salzedo,
        _ => BreathShape::Comma,
    }
}

/// The shape of a caesura: its text in the standard.
fn caesura_shape(node: Node<'_, '_>) -> CaesuraShape {
    match text(node) {
        "thick" => CaesuraShape::Thick,
        "short" => CaesuraShape::Short,
        "curved" => CaesuraShape::Curved,
        "single" => CaesuraShape::Single,
        _ => CaesuraShape::Normal,
    }
}

fn ornaments(node: Node<'_, '_>, out: &mut Notated) {
    for item in elements(node) {
        match name(item) {
            "trill-mark" => out.manner.set(Manner::TRILL),
            // A wavy line goes on over the notes of a trill; where it starts there is one.
            "wavy-line" => match item.attribute("type") {
                Some("start") => {
                    out.manner.set(Manner::TRILL);
                    out.wavy_begins = true;
                }
                Some("stop") => out.wavy_ends = true,
                _ => {}
            },
            "tremolo" => tremolo(item, out),
            "mordent" | "inverted-mordent" => out.manner.set(Manner::ORNAMENT | Manner::MORDENT),
            "turn"
            | "delayed-turn"
            | "inverted-turn"
            | "delayed-inverted-turn"
            | "vertical-turn"
            | "inverted-vertical-turn" => out.manner.set(Manner::ORNAMENT | Manner::TURN),
            "shake" | "schleifer" | "haydn" | "other-ornament" => {
                out.manner.set(Manner::ORNAMENT);
            }
            // The accidental of the other note says nothing about this one.
            _ => {}
        }
    }
}

fn tremolo(node: Node<'_, '_>, out: &mut Notated) {
    let strokes = text(node).parse().unwrap_or(3u8).min(8);
    match node.attribute("type") {
        Some("start") => {
            out.manner.set(Manner::TREMOLO_PAIR);
            out.tremolo = strokes;
        }
        Some("stop") => {
            out.manner.set(Manner::TREMOLO_PAIR | Manner::TREMOLO_ENDS);
            out.tremolo = strokes;
        }
        Some("unmeasured") => out.tremolo = UNMEASURED,
        _ => out.tremolo = strokes,
    }
}

fn technical(node: Node<'_, '_>, out: &mut Notated) {
    for item in elements(node) {
        match name(item) {
            "up-bow" => out.manner.set(Manner::UP_BOW),
            "down-bow" => out.manner.set(Manner::DOWN_BOW),
            "harmonic" => harmonic(item, out),
            "stopped" => out.manner.set(Manner::STOPPED),
            "open" => out.manner.set(Manner::OPEN),
            "half-muted" => out.manner.set(Manner::HALF_STOPPED),
            "harmon-mute" => harmon_mute(item, out),
            "open-string" => out.manner.set(Manner::OPEN_STRING),
            "snap-pizzicato" => out.manner.set(Manner::SNAP),
            // Fingers, strings, frets, holes, thumb position and the plucking finger are the
            // player's own business.
            _ => {}
        }
    }
}

fn harmonic(node: Node<'_, '_>, out: &mut Notated) {
    out.manner.set(Manner::HARMONIC);
    for item in elements(node) {
        match name(item) {
            "artificial" => out.manner.set(Manner::ARTIFICIAL),
            "base-pitch" => out.manner.set(Manner::BASE_PITCH),
            "touching-pitch" => out.manner.set(Manner::TOUCHING_PITCH),
            "sounding-pitch" => out.manner.set(Manner::SOUNDING_PITCH),
            _ => {}
        }
    }
}

fn harmon_mute(node: Node<'_, '_>, out: &mut Notated) {
    for item in elements(node).filter(|item| name(*item) == "harmon-closed") {
        match text(item) {
            "yes" => out.manner.set(Manner::STOPPED),
            "no" => out.manner.set(Manner::OPEN),
            _ => out.manner.set(Manner::HALF_STOPPED),
        }
    }
}
