//! Directions: words, levels, hairpins, metronome marks, rehearsal marks, signs.
//!
//! Every type that the standard knows is named in `direction_type`, those too that make nothing in
//! the score.

use super::levels::dynamics_text;
use super::part::PartReader;
use crate::bar::JumpTo;
use crate::event::{Device, MarkingKind};
use crate::import::header::one_line;
use crate::import::raw::{Pos, RawMarking, RawTempo, RawWords};
use crate::import::words::dynamics;
use crate::import::words::glyphs;
use crate::import::words::jumps;
use crate::import::xml::{Node, child_text, elements, name, says_yes, text};
use crate::part::PlayerSet;

/// What the types of one direction have in common, and what must wait for its end.
#[derive(Default)]
pub(super) struct Pending {
    pub(super) pos: Pos,
    pub(super) staff: Option<u8>,
    pub(super) voice: Option<u8>,
    text: String,
    /// What signs that the standard does not know are called.
    other: String,
    framed: bool,
    prominent: bool,
    pub(super) has_tempo: bool,
    pub(super) has_jump: bool,
    pub(super) has_coda: bool,
    pub(super) has_segno: bool,
    /// What playback calls the signs.
    pub(super) segno_name: String,
    pub(super) coda_name: String,
    tempi: Vec<RawTempo>,
    dashes: Vec<(u8, bool)>,
}

impl PartReader<'_> {
    pub(super) fn direction(&mut self, node: Node<'_, '_>) {
        let voice = child_text(node, "voice").map(|voice| self.voice_named(voice));
        let stated = Self::staff(child_text(node, "staff"));
        let (printed, heard) = self.places_of(node);
        // The offset of a tempo moves the ink; the tempo begins where it is heard.
        let sounds = || elements(node).filter(|child| name(*child) == "sound");
        let is_tempo = sounds().any(|sound| sound.attribute("tempo").is_some());
        let mut pending = Pending {
            pos: if is_tempo { heard } else { printed },
            staff: self.bound_staff(stated, node.attribute("placement")),
            voice,
            prominent: says_yes(node, "directive") || node.attribute("system").is_some(),
            ..Pending::default()
        };
        for types in elements(node).filter(|child| name(*child) == "direction-type") {
            // One mark may be set in several fonts, as several elements.
            let mut mark = String::new();
            for item in elements(types) {
                match name(item) {
                    "rehearsal" => mark.push_str(item.text().unwrap_or_default()),
                    _ => self.direction_type(item, &mut pending),
                }
            }
            self.rehearsal(&mark, pending.pos);
            if !pending.text.is_empty() {
                pending.text.push(' ');
            }
        }
        for sound in sounds() {
            self.sound(sound, heard, Some(&mut pending));
        }
        self.finish_direction(pending, node);
    }

    /// Where a direction is printed, and where its `sound` takes effect: without `sound="yes"` an
    /// offset concerns only the appearance (MusicXML 4.0, `offset`).
    fn places_of(&mut self, node: Node<'_, '_>) -> (Pos, Pos) {
        let moved = self.offset(node);
        let printed = self.cursor.saturating_add(moved).max(0);
        let printed = Pos { bar: self.bar_idx, offset: self.held(printed, node) };
        let offset = elements(node).find(|child| name(*child) == "offset");
        let is_heard = offset.is_some_and(|offset| says_yes(offset, "sound"));
        (printed, if is_heard { printed } else { self.pos() })
    }

    fn direction_type(&mut self, item: Node<'_, '_>, pending: &mut Pending) {
        match name(item) {
            "words" => {
                let framed = |frame: &str| frame != "none";
                pending.framed |= item.attribute("enclosure").is_some_and(framed);
                pending.prominent |= item.attribute("font-weight") == Some("bold");
                add_text(&mut pending.text, item.text().unwrap_or_default());
                self.heading(item, pending.pos);
            }
            "other-direction" => add_text(&mut pending.other, item.text().unwrap_or_default()),
            "symbol" => match text(item) {
                "segno" => pending.has_segno = true,
                "coda" => pending.has_coda = true,
                symbol => pending.text.extend(glyphs::named(symbol)),
            },
            "percussion" => percussion(item, &mut pending.text),
            "dynamics" => {
                let letters = dynamics_text(item);
                // "più" before the sign makes it a comparison, "poco" a shade of it.
                if dynamics::is_level(&letters) && dynamics::shades(&pending.text) {
                    add_text(&mut pending.text, &letters);
                } else {
                    self.dynamics(&letters, pending.pos, pending.staff, pending.voice, item);
                }
            }
            "wedge" => self.wedge(item, pending),
            "metronome" => {
                if let Some(tempo) = self.metronome(item, pending.pos) {
                    pending.tempi.push(tempo);
                }
                pending.has_tempo = true;
            }
            "dashes" => {
                let number = item.attribute("number").and_then(|text| text.parse().ok());
                match item.attribute("type") {
                    Some("start") => pending.dashes.push((number.unwrap_or(1), true)),
                    Some("stop") => pending.dashes.push((number.unwrap_or(1), false)),
                    _ => {}
                }
            }
            "segno" => pending.has_segno = true,
            "coda" => pending.has_coda = true,
            "harp-pedals" => self.harp_pedals(item, pending),
            "scordatura" => self.scordatura(item, pending),
            "string-mute" => {
                let on = item.attribute("type") == Some("on");
                self.marking(item, pending, MarkingKind::Device { device: Device::Mute, on });
            }
            "damp" | "damp-all" => {
                let device = Device::LetRing;
                self.marking(item, pending, MarkingKind::Device { device, on: false });
            }
            "eyeglasses" => self.marking(item, pending, MarkingKind::Watch),
            "principal-voice" => {
                // "none" and "plain" draw no letter; they still mark what leads.
                let principal = item.attribute("symbol") != Some("Nebenstimme");
                let on = item.attribute("type") != Some("stop");
                self.marking(item, pending, MarkingKind::Leading { principal, on });
            }
            // Lines over the notes, whose meaning stands in words beside them.
            "bracket" => {}
            // Pedals of pianos and vibraphones and registers of accordions are the player's matter.
            "pedal" | "accordion-registration" => {}
            // Pitches are in the octave that sounds already.
            "octave-shift" => {}
            // Pictures, and arrows between staves, belong to the layout.
            "image" | "staff-divide" => {}
            _ => {}
        }
    }

    pub(super) fn marking(&mut self, item: Node<'_, '_>, pending: &Pending, kind: MarkingKind) {
        self.out.markings.push(RawMarking {
            pos: pending.pos,
            end: None,
            staff: pending.staff,
            voice: pending.voice,
            players: PlayerSet::ALL,
            kind,
            words: String::new(),
            byte: self.byte(item),
        });
    }

    fn finish_direction(&mut self, mut pending: Pending, node: Node<'_, '_>) {
        let printed = one_line(&pending.text);
        // Beside words it is a name for a picture among them: "Langsam (", a note, ")".
        let line = if printed.is_empty() { one_line(&pending.other) } else { printed };
        if !line.is_empty() && !pending.has_tempo {
            self.jump_words(&line, &mut pending, node);
        }
        // Files place words by eye: a heading stands over the first beat.
        let pos = pending.pos;
        let at_start = pos.bar == self.bar_idx && pos.offset < self.resolution;
        if at_start && jumps::begins_middle(&line) {
            self.bar.flow.middle = true;
        }
        if pending.has_segno {
            self.waiting.segno.push((pending.pos, pending.segno_name.clone()));
        }
        if pending.has_coda && !pending.has_jump {
            self.waiting.coda.push((pending.pos, pending.coda_name.clone()));
        }
        if let Some(first) = pending.tempi.first_mut() {
            first.words.clone_from(&line);
        }
        let printed = pending.tempi.first().map(|tempo| tempo.kind.clone());
        self.out.tempi.append(&mut pending.tempi);
        if let Some(kind) = printed {
            self.compare_with_playback(&kind, pending.pos, node);
        }
        if !line.is_empty() {
            self.last_words = Some(self.out.words.len());
            self.out.words.push(RawWords {
                pos: pending.pos,
                staff: pending.staff,
                voice: pending.voice,
                framed: pending.framed,
                with_tempo: pending.has_tempo,
                with_jump: pending.has_jump,
                prominent: pending.prominent,
                byte: self.byte(node),
                ..RawWords::of(line)
            });
        }
        for (number, starts) in pending.dashes {
            self.dashes(number, starts, pending.pos);
        }
    }

    /// What the words of a direction say about the order of play. Signs drawn beside them ("D.S."
    /// and the segno) belong to the sentence and mark no place.
    fn jump_words(&mut self, line: &str, pending: &mut Pending, node: Node<'_, '_>) {
        let signs = (pending.has_segno, pending.has_coda);
        let Some(said) = jumps::read(line, signs) else { return };
        let flow = &mut self.bar.flow;
        if let Some(jump) = said.flow.jump {
            pending.has_segno &= jump.to == JumpTo::Beginning;
            flow.jump.get_or_insert(jump);
        }
        if let Some(way) = said.flow.to_coda {
            flow.to_coda.get_or_insert(way);
        }
        if let Some(way) = said.flow.fine {
            flow.fine.get_or_insert(way);
        }
        if let Some(name) = said.flow.coda {
            // The word stands at the place of the sign.
            pending.has_coda = false;
            self.waiting.coda.push((pending.pos, name));
        }
        self.bar.times = self.bar.times.or(said.times);
        self.bar.flow_byte = self.byte(node);
        pending.has_jump = true;
    }

    /// Dashes lengthen the words before them at the same place.
    fn dashes(&mut self, number: u8, starts: bool, pos: Pos) {
        if starts {
            let last = self
                .last_words
                .filter(|idx| self.out.words.get(*idx).is_some_and(|words| words.pos == pos));
            if let Some(words) = last {
                self.dashes.retain(|(known, _)| *known != number);
                self.dashes.push((number, words));
            }
            return;
        }
        if let Some(open) = self.dashes.iter().rposition(|(known, _)| *known == number) {
            let (_, words) = self.dashes.remove(open);
            if let Some(words) = self.out.words.get_mut(words) {
                words.end = Some(pos);
            }
        }
    }

    /// A rehearsal mark belongs to the bar it stands at the start of, or to the next one when it
    /// stands behind everything in its bar.
    fn rehearsal(&mut self, mark: &str, pos: Pos) {
        let mark = one_line(mark);
        if !mark.is_empty() {
            self.waiting.rehearsal.push((pos, mark));
        }
    }

    /// Large words at the start of a bar may be the title of a movement.
    fn heading(&mut self, item: Node<'_, '_>, pos: Pos) {
        let size: Option<f32> = item.attribute("font-size").and_then(|text| text.parse().ok());
        let line = one_line(item.text().unwrap_or_default());
        let large = size.is_some_and(|size| size >= 18.0);
        if pos.offset == 0 && !line.is_empty() && (large || is_movement_number(&line)) {
            self.bar.heading.get_or_insert(line);
        }
    }
}

/// Adds a piece of text. Pieces in different fonts often come without the space between them; a
/// single letter may belong to the piece before ("1" and "o", "p" and "izz.").
fn add_text(text: &mut String, piece: &str) {
    let word_before = text.rsplit(char::is_whitespace).next().unwrap_or_default();
    let word_after = piece.split(char::is_whitespace).next().unwrap_or_default();
    let is_word = |word: &str| word.chars().filter(|letter| letter.is_alphanumeric()).count() >= 2;
    if is_word(word_before) && is_word(word_after) {
        text.push(' ');
    }
    text.push_str(piece);
}

/// The instrument that a pictogram shows, as words. Sticks and beaters are the player's matter.
fn percussion(node: Node<'_, '_>, out: &mut String) {
    for item in elements(node) {
        match name(item) {
            "timpani" => add_text(out, "timpani"),
            "glass" | "metal" | "wood" | "pitched" | "membrane" | "effect" | "other-percussion" => {
                add_text(out, text(item));
            }
            _ => {}
        }
    }
}

/// Whether a line is a movement's number and nothing else: "II", "II.", "No. 2".
fn is_movement_number(line: &str) -> bool {
    let number = line.trim_end_matches('.');
    let roman = !number.is_empty()
        && number.len() <= 5
        && number.chars().all(|letter| matches!(letter, 'I' | 'V' | 'X'))
        // "I." is far more often a player than a movement.
        && number != "I";
    let stated = number
        .strip_prefix("No.")
        .or_else(|| number.strip_prefix("Nr."))
        .is_some_and(|rest| rest.trim().parse::<u32>().is_ok());
    roman && number.len() > 2 || stated
}
