//! Signs at one place: fermatas, ornaments, breaths, arpeggios, glissandi, harp pedals.

use super::control::{Anchor, MAX_HEADS};
use super::reader::{Control, Reader, TargetKind};
use super::tree::references;
use crate::event::{
    BreathShape, CaesuraShape, FermataPlace, FermataShape, Manner, MarkingKind, NoteTraits,
};
use crate::import::raw::RawMarking;
use crate::import::xml::name;
use crate::part::PlayerSet;

/// Understands a sign.
pub(super) fn sign<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let node = control.node;
    match name(node) {
        // The attribute of a note or rest says the same as the element.
        "fermata" | "note" | "chord" | "rest" | "mRest" | "multiRest" => fermata(reader, control),
        "trill" => manner(reader, control, Manner::TRILL),
        "mordent" => manner(reader, control, Manner::ORNAMENT | Manner::MORDENT),
        "turn" => manner(reader, control, Manner::ORNAMENT | Manner::TURN),
        "ornam" | "bend" => manner(reader, control, Manner::ORNAMENT),
        "gliss" => glissando(reader, control),
        "arpeg" => arpeggio(reader, control),
        "breath" => mark_all(reader, control, MarkingKind::Breath(BreathShape::Comma)),
        "caesura" => mark_all(reader, control, MarkingKind::Caesura(CaesuraShape::Normal)),
        "harpPedal" => {
            let pedals = pedals(control);
            mark_all(reader, control, MarkingKind::HarpPedals(pedals));
        }
        _ => reader.not_understood(node),
    }
}

/// Adds a marking at an anchor, of all players.
pub(super) fn mark(
    reader: &mut Reader<'_, '_, '_>,
    anchor: &Anchor,
    kind: MarkingKind,
    byte: usize,
) {
    if let Some(part) = reader.parts.get_mut(anchor.part) {
        part.out.markings.push(RawMarking {
            pos: anchor.pos,
            end: None,
            staff: anchor.staff,
            voice: anchor.voice,
            players: PlayerSet::ALL,
            kind,
            words: String::new(),
            byte,
        });
    }
}

fn mark_all<'a, 'i: 'a>(
    reader: &mut Reader<'_, 'a, 'i>,
    control: Control<'a, 'i>,
    kind: MarkingKind,
) {
    for anchor in reader.anchors(control) {
        mark(reader, &anchor, kind.clone(), control.node.range().start);
    }
}

/// A fermata on notes, on a rest, or between the bars.
fn fermata<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let node = control.node;
    let shape = match node.attribute("shape") {
        _ if name(node) != "fermata" => FermataShape::Normal,
        None | Some("curved") => FermataShape::Normal,
        Some("angular") => FermataShape::Angled,
        Some("square") => FermataShape::Square,
        Some(_) => FermataShape::Other,
    };
    let byte = node.range().start;
    for anchor in reader.anchors(control) {
        let barline = anchor.target.is_some_and(|target| target.kind == TargetKind::Barline);
        let rest = reader.rest_at(&anchor);
        let heads = reader.heads_at(&anchor);
        let Some(part) = reader.parts.get_mut(anchor.part) else { continue };
        let length = part.out.bars.get(anchor.pos.bar as usize).map_or(0, |bar| bar.length);
        let behind =
            anchor.target.is_none() && anchor.pos.offset > 0 && anchor.pos.offset >= length;
        let place = if barline || behind {
            FermataPlace::Barline
        } else if heads.is_empty() && rest.is_some() {
            FermataPlace::Rest
        } else {
            FermataPlace::Note
        };
        if place == FermataPlace::Note {
            for idx in heads {
                if let Some(note) = part.out.notes.get_mut(idx) {
                    note.traits.set(NoteTraits::FERMATA);
                }
            }
        } else if let Some(rest) = rest.and_then(|rest| part.out.rests.get_mut(rest)) {
            rest.fermata = true;
        }
        mark(reader, &anchor, MarkingKind::Fermata(shape, place), byte);
    }
}

fn manner<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>, manner: Manner) {
    for anchor in reader.anchors(control) {
        let heads = reader.heads_at(&anchor);
        let Some(part) = reader.parts.get_mut(anchor.part) else { continue };
        for idx in heads {
            if let Some(note) = part.out.notes.get_mut(idx) {
                note.manner.set(manner);
            }
        }
    }
}

/// A line from one note to another.
fn glissando<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    manner(reader, control, Manner::GLISSANDO);
    let Some(start) = reader.anchors(control).into_iter().next() else { return };
    let end = reader.end_of(control, &start).and_then(|end| end.target);
    let Some(part) = end.and_then(|end| reader.parts.get_mut(end.part)) else { return };
    let (first, count) = end.map_or((0, 0), |end| end.notes);
    let heads = part.out.notes.get_mut(first..first + count.min(MAX_HEADS)).unwrap_or_default();
    heads.iter_mut().for_each(|note| note.manner.set(Manner::GLISSANDO_ENDS));
}

/// The notes of an arpeggio: those it lists, or those it stands at.
fn arpeggio<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let forbidden = control.node.attribute("order") == Some("nonarp");
    let kind = if forbidden { Manner::NON_ARPEGGIO } else { Manner::ARPEGGIO };
    let Some(list) = control.node.attribute("plist") else {
        return manner(reader, control, kind);
    };
    for id in references(list) {
        let Some(target) = reader.targets.get(id).copied() else { continue };
        let Some(part) = reader.parts.get_mut(target.part) else { continue };
        let (first, count) = target.notes;
        let heads = part.out.notes.get_mut(first..first + count.min(MAX_HEADS)).unwrap_or_default();
        heads.iter_mut().for_each(|note| note.manner.set(kind));
    }
}

/// MEI 5, harpPedal: an attribute a string, "f", "n" or "s"; natural if it is missing.
fn pedals(control: Control<'_, '_>) -> [i8; 7] {
    ["d", "c", "b", "e", "f", "g", "a"].map(|string| match control.node.attribute(string) {
        Some("f") => -1,
        Some("s") => 1,
        _ => 0,
    })
}
