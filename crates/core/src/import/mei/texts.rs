//! Directions in words: levels, tempi, rehearsal marks, orders to repeat. They go the same way as the
//! words of other formats from here on.

use super::control::Anchor;
use super::order::{BarSign, bar_of, order_words, start_of};
use super::reader::{Control, Reader};
use super::signs::mark;
use super::tree::{self, Words};
use super::values;
use crate::diag::Code;
use crate::event::MarkingKind;
use crate::import::header::one_line;
use crate::import::raw::{RawTempo, RawWords};
use crate::import::words::dynamics::{self, Sign};
use crate::import::words::tempo as marks;
use crate::import::words::written;
use crate::import::xml::{Node, name};
use crate::score::TempoKind;
use crate::time::Quarters;

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
        mark(reader, &anchor, kind, byte);
    }
}

pub(super) fn words_of(anchor: &Anchor, text: String, byte: usize) -> RawWords {
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

pub(super) fn push_words(reader: &mut Reader<'_, '_, '_>, anchor: &Anchor, words: RawWords) {
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
    let signs: Vec<BarSign> = glyphs.iter().filter_map(|glyph| sign(glyph)).collect();
    let byte = node.range().start;
    let mut said = false;
    for (nth, anchor) in reader.anchors(control).into_iter().enumerate() {
        let end = reader.end_of(control, &anchor).map(|end| end.pos);
        // What is said once is said for all parts.
        let with_jump = if nth == 0 {
            said = order_words(reader, anchor.pos, &text, &signs, byte);
            said
        } else {
            said
        };
        let words = words_of(&anchor, text.clone(), byte);
        push_words(reader, &anchor, RawWords { end, framed, with_jump, prominent: bold, ..words });
    }
}

/// A sign of the order of play by the name of its glyph (SMuFL 1.4, range "Repeats").
fn sign(glyph: &str) -> Option<BarSign> {
    match glyph {
        "segno" | "segnoSerpent1" | "segnoSerpent2" => Some(BarSign::Segno),
        "coda" | "codaSquare" => Some(BarSign::Coda),
        _ => None,
    }
}

pub(super) fn rehearsal<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let mark = one_line(&tree::words(control.node).text);
    let Some(anchor) = reader.anchors(control).into_iter().next() else { return };
    let pos = start_of(reader, anchor.pos);
    if let Some(bar) = bar_of(reader, pos).filter(|_| !mark.is_empty()) {
        bar.rehearsal.push(mark);
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
    let written = written::written_mark(&text, || Quarters::ONE);
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
