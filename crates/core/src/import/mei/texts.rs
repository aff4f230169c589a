//! Directions in words: levels, tempi, rehearsal marks, orders to repeat. They go the same way as the
//! words of other formats from here on.

use super::control::Anchor;
use super::reader::{Control, Reader};
use super::tree::{self, Words};
use super::values;
use crate::bar::Jump;
use crate::diag::Code;
use crate::event::MarkingKind;
use crate::import::header::one_line;
use crate::import::raw::{Pos, RawMarking, RawTempo, RawWords};
use crate::import::words::dynamics::{self, Sign};
use crate::import::words::{jumps, tempo as marks};
use crate::import::xml::{Node, name};
use crate::part::PlayerSet;
use crate::score::TempoKind;

/// A level or accent; what else stands there is words, as in a crescendo written out.
pub(super) fn dynam<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let text = tree::words(control.node).text;
    let plain = dynamics::glyphs_as_letters(&text).replace(['[', ']', '(', ')'], " ");
    let plain = one_line(&plain);
    if plain.is_empty() {
        return;
    }
    let kind = match dynamics::sign(&plain) {
        Some(Sign::Level(level)) => Some(MarkingKind::Level(level)),
        Some(Sign::Accent(then)) => Some(MarkingKind::Accent { then }),
        None => None,
    };
    let byte = control.node.range().start;
    for anchor in reader.anchors(control) {
        let Some(kind) = kind.clone() else {
            let end = reader.end_of(control, &anchor).map(|end| end.pos);
            push_words(reader, &anchor, RawWords { end, ..words_of(&anchor, plain.clone(), byte) });
            continue;
        };
        let Some(part) = reader.parts.get_mut(anchor.part) else { continue };
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

fn words_of(anchor: &Anchor, text: String, byte: usize) -> RawWords {
    RawWords {
        pos: anchor.pos,
        end: None,
        staff: anchor.staff,
        voice: anchor.voice,
        text,
        framed: false,
        with_tempo: false,
        with_jump: false,
        prominent: false,
        byte,
    }
}

fn push_words(reader: &mut Reader<'_, '_, '_>, anchor: &Anchor, words: RawWords) {
    if let Some(part) = reader.parts.get_mut(anchor.part).filter(|_| !words.text.is_empty()) {
        part.out.words.push(words);
    }
}

/// A direction in words, or with the signs of repeats.
pub(super) fn direction<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let node = control.node;
    let Words { text, framed, bold, glyphs } = tree::words(node);
    let mut text = one_line(&text);
    if text.is_empty() && name(node) == "attacca" {
        text = String::from("attacca");
    }
    let byte = node.range().start;
    for (nth, anchor) in reader.anchors(control).into_iter().enumerate() {
        let end = reader.end_of(control, &anchor).map(|end| end.pos);
        let mut with_jump = false;
        if nth == 0 {
            for glyph in &glyphs {
                match glyph.as_str() {
                    "segno" | "segnoSerpent1" | "segnoSerpent2" => {
                        at_start(reader, anchor.pos, BarSign::Segno)
                    }
                    "coda" | "codaSquare" => at_start(reader, anchor.pos, BarSign::Coda),
                    _ => {}
                }
            }
            if let Some(bar) = bar_of(reader, anchor.pos) {
                with_jump = jumps::read(&text, &mut bar.flow);
            }
        }
        let words = words_of(&anchor, text.clone(), byte);
        push_words(reader, &anchor, RawWords { end, framed, with_jump, prominent: bold, ..words });
    }
}

/// A sign at the start of a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum BarSign {
    Segno,
    Coda,
}

/// The bar of the first part that carries what holds for all.
fn bar_of<'r>(
    reader: &'r mut Reader<'_, '_, '_>,
    pos: Pos,
) -> Option<&'r mut crate::import::raw::RawBar> {
    reader.parts.first_mut()?.out.bars.get_mut(pos.bar as usize)
}

/// Sets a sign at the start of its bar, or of the next if it stands behind all music of its bar.
fn at_start(reader: &mut Reader<'_, '_, '_>, pos: Pos, sign: BarSign) {
    let pos = start_of(reader, pos);
    if let Some(bar) = bar_of(reader, pos) {
        match sign {
            BarSign::Segno => bar.flow.segno = true,
            BarSign::Coda => bar.flow.coda = true,
        }
    }
}

/// The start that a mark belongs to: of its bar, or of the next if it stands behind everything.
fn start_of(reader: &Reader<'_, '_, '_>, pos: Pos) -> Pos {
    let lengths = reader.parts.iter().filter_map(|part| part.out.bars.get(pos.bar as usize));
    let length = lengths.map(|bar| bar.length).max().unwrap_or(0);
    let behind = pos.offset > 0 && pos.offset >= length;
    Pos { bar: pos.bar + u32::from(behind), offset: 0 }
}

/// MEI 5, repeatMark: what its function says, else what its words say.
pub(super) fn repeat_mark<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let Some(anchor) = reader.anchors(control).into_iter().next() else { return };
    match control.node.attribute("func") {
        Some("segno") => return at_start(reader, anchor.pos, BarSign::Segno),
        Some("coda") => return at_start(reader, anchor.pos, BarSign::Coda),
        _ => {}
    }
    let text = one_line(&tree::words(control.node).text);
    let Some(bar) = bar_of(reader, anchor.pos) else { return };
    match control.node.attribute("func") {
        Some("daCapo") => bar.flow.jump = Some(Jump::DaCapo),
        Some("dalSegno") => bar.flow.jump = Some(Jump::DalSegno),
        Some("fine") => bar.flow.fine = true,
        _ => {
            jumps::read(&text, &mut bar.flow);
        }
    }
    let byte = control.node.range().start;
    let words = words_of(&anchor, text, byte);
    push_words(reader, &anchor, RawWords { with_jump: true, ..words });
}

pub(super) fn rehearsal<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let mark = one_line(&tree::words(control.node).text);
    let Some(anchor) = reader.anchors(control).into_iter().next() else { return };
    let pos = start_of(reader, anchor.pos);
    if let Some(bar) = bar_of(reader, pos).filter(|_| !mark.is_empty()) {
        bar.rehearsal.get_or_insert(mark);
    }
}

/// A tempo: the metronome mark, the tempo for playback, and the words, which may hold a mark.
pub(super) fn tempo<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let node = control.node;
    let Words { text, framed, .. } = tree::words(node);
    let text = one_line(&text);
    let Some(anchor) = reader.anchors(control).into_iter().next() else { return };
    let end = reader.end_of(control, &anchor).map(|end| end.pos);
    let byte = node.range().start;
    let printed = printed_mark(reader, node, &anchor);
    let playback = playback(node);
    let written = marks::written_mark(&text);
    let Some(part) = reader.parts.get_mut(anchor.part) else { return };
    let pos = anchor.pos;
    if let (Some(kind), Some(rate)) = (&printed, playback)
        && let Some(printed) = marks::contradicted(kind, rate)
    {
        part.out.log.add(Code::TempoConflict, pos, byte, || {
            format!(
                "the printed mark gives {printed} quarters a minute, the playback tempo is {rate}"
            )
        });
    }
    let mut push = |kind: TempoKind, words: String| {
        part.out.tempi.push(RawTempo { pos, end: None, kind, words, byte });
    };
    let rest = written.as_ref().map_or_else(|| text.clone(), |(_, rest)| rest.clone());
    // A mark that is also written out in the text is read there.
    let with_tempo = printed.is_some() || playback.is_some();
    if let Some(kind) = printed.filter(|_| written.is_none()) {
        push(kind, without_mark(&rest));
    }
    if let Some(rate) = playback {
        push(TempoKind::Playback(rate), String::new());
    }
    let text = if written.is_some() { text } else { without_mark(&rest) };
    let words = words_of(&anchor, text, byte);
    push_words(reader, &anchor, RawWords { end, framed, with_tempo, prominent: true, ..words });
}

/// A text without a mark whose note is a picture that cannot be read: "Adagio = 100".
fn without_mark(text: &str) -> String {
    let figure = |word: &str| word.trim_matches(['(', ')', '[', ']']).parse::<f64>().is_ok();
    let Some((before, after)) = text.rsplit_once('=') else { return text.to_owned() };
    let before = before.trim_end().trim_end_matches(['(', '[']).trim_end();
    if figure(after.trim()) { before.to_owned() } else { text.to_owned() }
}

/// MEI 5, att.mmTempo: beats a minute, the note value that is counted, its dots.
fn printed_mark<'a, 'i: 'a>(
    reader: &mut Reader<'_, 'a, 'i>,
    node: Node<'a, 'i>,
    anchor: &Anchor,
) -> Option<TempoKind> {
    let stated = node.attribute("mm")?.trim();
    let unit = values::note_value(node.attribute("mm.unit").unwrap_or("4"));
    let dots = node.attribute("mm.dots").and_then(|dots| dots.trim().parse().ok()).unwrap_or(0);
    let unit = unit.and_then(|unit| values::dotted(unit, dots));
    let kind = unit.and_then(|unit| Some(marks::rate(stated)?.of_unit(unit)));
    if kind.is_none() {
        let part = reader.parts.get_mut(anchor.part)?;
        part.out.log.add(Code::TempoUnreadable, anchor.pos, node.range().start, || {
            format!("\"{stated}\" is no number of beats a minute")
        });
    }
    kind
}

/// Quarters a minute for playback: stated as such, or as microseconds a quarter.
fn playback(node: Node<'_, '_>) -> Option<f64> {
    let number =
        |wanted: &str| node.attribute(wanted).and_then(|text| text.trim().parse::<f64>().ok());
    let rate = number("midi.bpm").or_else(|| number("midi.mspb").map(|each| 60_000_000.0 / each));
    rate.filter(|rate| rate.is_finite() && *rate > 0.0)
}
