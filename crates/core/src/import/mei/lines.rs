//! Lines from one place to another: ties, slurs, hairpins, octave lines, beams over bars.

use super::control::{Anchor, End};
use super::define::displaced;
use super::reader::{Control, Reader};
use super::tree::references;
use crate::diag::Code;
use crate::event::{MarkingKind, NoteTraits};
use crate::import::raw::{Pos, RawMarking};
use crate::part::PlayerSet;
use crate::pitch::SoundingPitch;
use crate::time::Ticks;

/// The most ties open at once in a part; a file that leaves more open is damaged.
const MAX_OPEN: usize = 256;

/// A tie between two events: each pitch of the first that is also in the second goes on.
pub(super) fn tie<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let Some(start) = reader.anchors(control).into_iter().next() else { return };
    let end = reader.end_of(control, &start);
    let from = reader.heads_at(&start);
    let Some(end) = end else {
        // Where it leads is left to the notes that follow.
        set(reader, start.part, &from, NoteTraits::TIED_ON);
        return;
    };
    let to = reader.heads_at(&anchor_at(&start, &end));
    let end_part = end.target.map_or(start.part, |target| target.part);
    let pitch = |part: usize, idx: usize| reader.parts.get(part)?.out.notes.get(idx)?.sounding;
    let mut pairs = Vec::new();
    for first in &from {
        // The same pitch; with one head on each side the tie says enough, whatever the spelling.
        let same = to.iter().find(|last| pitch(end_part, **last) == pitch(start.part, *first));
        let only = to.first().filter(|_| from.len() == 1 && to.len() == 1);
        if let Some(last) = same.or(only) {
            pairs.push((*first, *last));
        }
    }
    if pairs.is_empty() {
        set(reader, start.part, &from, NoteTraits::TIED_ON);
    }
    for (first, last) in pairs {
        set(reader, start.part, &[first], NoteTraits::TIED_ON);
        set(reader, end_part, &[last], NoteTraits::CONTINUES);
        know_tie(reader, start.part, first);
    }
}

fn know_tie(reader: &mut Reader<'_, '_, '_>, part: usize, idx: usize) {
    if let Some(head) = reader.parts.get_mut(part).and_then(|part| part.heads.get_mut(idx)) {
        head.tie_known = true;
    }
}

/// The end of a line as a place of its own, on the staff of its start unless it names an event.
fn anchor_at(start: &Anchor, end: &End) -> Anchor {
    match end.target {
        Some(target) => Anchor {
            part: target.part,
            pos: target.pos,
            staff: Some(target.staff),
            voice: Some(target.voice),
            target: Some(target),
        },
        None => Anchor { pos: end.pos, target: None, ..start.clone() },
    }
}

fn set(reader: &mut Reader<'_, '_, '_>, part: usize, heads: &[usize], flag: NoteTraits) {
    let Some(part) = reader.parts.get_mut(part) else { return };
    for idx in heads {
        if let Some(note) = part.out.notes.get_mut(*idx) {
            note.traits.set(flag);
        }
    }
}

pub(super) fn slur<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    for start in reader.anchors(control) {
        let end = reader.end_of(control, &start);
        let heads = reader.heads_at(&start);
        set(reader, start.part, &heads, NoteTraits::SLUR_BEGINS);
        if let Some(end) = end {
            let place = anchor_at(&start, &end);
            let heads = reader.heads_at(&place);
            set(reader, place.part, &heads, NoteTraits::SLUR_ENDS);
        }
    }
}

/// A beam over barlines, with all its notes listed.
pub(super) fn beam<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let list = control.node.attribute("plist").unwrap_or_default();
    for (nth, id) in references(list).enumerate() {
        let Some(target) = reader.targets.get(id).copied() else { continue };
        let flag = if nth == 0 { NoteTraits::BEAM_BEGINS } else { NoteTraits::BEAM_GOES_ON };
        set(reader, target.part, &[target.notes.0], flag);
    }
}

pub(super) fn hairpin<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let node = control.node;
    let louder = match node.attribute("form") {
        Some("cres") => true,
        Some("dim") => false,
        _ => return reader.not_understood(node),
    };
    let niente = node.attribute("niente") == Some("true");
    let byte = node.range().start;
    for start in reader.anchors(control) {
        let stated = reader.end_of(control, &start);
        // It leads to the event it ends at; over a single event it lasts as long as that.
        let end = stated.map(|end| match end.target {
            Some(target) if target.pos == start.pos => Pos { offset: target.end, ..target.pos },
            _ => end.pos,
        });
        let Some(part) = reader.parts.get_mut(start.part) else { continue };
        let end = end.filter(|end| *end > start.pos);
        if end.is_none() {
            part.out.log.add(Code::HairpinOpen, start.pos, byte, || {
                String::from("a hairpin begins here and has no end; it ends with the bar")
            });
        }
        let end = end.unwrap_or(Pos { bar: start.pos.bar + 1, offset: 0 });
        part.out.markings.push(RawMarking {
            pos: start.pos,
            end: Some(end),
            staff: start.staff,
            voice: start.voice,
            players: PlayerSet::ALL,
            kind: MarkingKind::Hairpin { louder, end: Ticks::ZERO, niente },
            words: String::new(),
            byte,
        });
    }
}

/// An octave line moves the notes under it, but for those that state the octave they sound in
/// themselves (MEI 5 guidelines, chapter 4, "Octave Shift": oct is what is written).
pub(super) fn octave<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let node = control.node;
    let octaves =
        displaced(node.attribute("dis").unwrap_or("8").trim(), node.attribute("dis.place"));
    let Some(start) = reader.anchors(control).into_iter().next() else { return };
    let Some(end) = reader.end_of(control, &start) else { return };
    let named = end.target.is_some();
    let Some(part) = reader.parts.get(start.part) else { return };
    let first = part.notes_of(start.pos.bar).start;
    let last = part.notes_of(end.pos.bar).end.max(first);
    // Lines that cover the whole part again and again are damage.
    let Some(left) = reader.under_lines.checked_sub(last - first) else { return };
    reader.under_lines = left;
    let Some(part) = reader.parts.get_mut(start.part) else { return };
    let heads = part.heads.get(first..last).unwrap_or_default().iter();
    let notes = part.out.notes.get_mut(first..last).unwrap_or_default();
    for (note, head) in notes.iter_mut().zip(heads) {
        let at = Pos { bar: note.bar.0, offset: note.onset.0 };
        // A line up to an event covers it; one up to a beat ends with what begins before it.
        let inside = at >= start.pos && (at < end.pos || named && at == end.pos);
        let same = start.staff.is_none_or(|staff| note.staff == staff)
            && (start.target.is_some() || start.voice.is_none_or(|voice| note.voice == voice));
        if !inside || !same || head.stated_octave {
            continue;
        }
        if let Some(written) = &mut note.written {
            written.octave = written.octave.saturating_add(octaves);
        }
        note.sounding = note.sounding.map(|pitch| pitch.transposed(12 * i32::from(octaves)));
    }
}

/// A tie that is open.
struct Open {
    idx: usize,
    voice: u8,
    sounding: SoundingPitch,
}

/// Pairs the ties that heads state of themselves. A tie stated for a whole chord holds for the
/// pitches that go on; one that nothing continues is a finding.
pub(super) fn settle_ties(reader: &mut Reader<'_, '_, '_>) {
    for part in &mut reader.parts {
        let mut open: Vec<Open> = Vec::new();
        let mut lost: Vec<usize> = Vec::new();
        let heads = part.heads.iter();
        for (idx, (note, head)) in part.out.notes.iter_mut().zip(heads).enumerate() {
            let Some(sounding) = note.sounding else { continue };
            if note.traits.has(NoteTraits::CONTINUES) {
                let same = |open: &Open| open.sounding == sounding;
                let found = open.iter().position(|open| same(open) && open.voice == note.voice);
                match found.or_else(|| open.iter().position(same)) {
                    Some(place) => {
                        open.remove(place);
                    }
                    None if head.chord_tie => {
                        note.traits = note.traits.without(NoteTraits::CONTINUES);
                    }
                    None => {}
                }
            }
            if note.traits.has(NoteTraits::TIED_ON) && !head.tie_known {
                open.push(Open { idx, voice: note.voice, sounding });
                if open.len() > MAX_OPEN {
                    lost.push(open.remove(0).idx);
                }
            }
        }
        lost.extend(open.into_iter().map(|open| open.idx));
        for idx in lost {
            let (Some(note), Some(head)) = (part.out.notes.get_mut(idx), part.heads.get(idx))
            else {
                continue;
            };
            if head.chord_tie {
                note.traits = note.traits.without(NoteTraits::TIED_ON);
                continue;
            }
            let pos = Pos { bar: note.bar.0, offset: note.onset.0 };
            part.out.log.add(Code::TieOpen, pos, head.byte, || {
                String::from("a tie begins here and no note continues it")
            });
        }
    }
}
