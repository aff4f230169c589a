//! Directions: words, levels, hairpins, metronome marks, rehearsal marks, signs.

use super::notations::dynamics_text;
use super::part::PartReader;
use crate::bar::JumpTo;
use crate::diag::Code;
use crate::event::{Device, MarkingKind};
use crate::import::header::one_line;
use crate::import::raw::{Pos, RawMarking, RawTempo, RawWords};
use crate::import::words::dynamics::{self, Sign};
use crate::import::words::jumps;
use crate::import::xml::{Node, child_text, elements, name, says_yes, text};
use crate::part::PlayerSet;
use crate::time::Ticks;

/// The most hairpins open at once in a part; a file that leaves more open is damaged.
const MAX_OPEN: usize = 64;

/// What the types of one direction have in common, and what must wait for its end.
#[derive(Default)]
pub(super) struct Pending {
    pub(super) pos: Pos,
    staff: Option<u8>,
    voice: Option<u8>,
    text: String,
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
        let offset = self.offset(node);
        let at = self.cursor.saturating_add(offset).max(0);
        let offset = self.held(at, node);
        let voice = child_text(node, "voice").map(|voice| self.voice_named(voice));
        let mut pending = Pending {
            pos: Pos { bar: self.bar_idx, offset },
            staff: Self::staff(child_text(node, "staff")),
            voice,
            prominent: says_yes(node, "directive") || node.attribute("system").is_some(),
            ..Pending::default()
        };
        for types in elements(node).filter(|child| name(*child) == "direction-type") {
            for item in elements(types) {
                self.direction_type(item, &mut pending);
            }
        }
        for sound in elements(node).filter(|child| name(*child) == "sound") {
            let pos = pending.pos;
            self.sound(sound, pos, Some(&mut pending));
        }
        self.finish_direction(pending, node);
    }

    fn direction_type(&mut self, item: Node<'_, '_>, pending: &mut Pending) {
        match name(item) {
            "words" => {
                let framed = |frame: &str| frame != "none";
                pending.framed |= item.attribute("enclosure").is_some_and(framed);
                pending.prominent |= item.attribute("font-weight") == Some("bold");
                pending.text.push_str(item.text().unwrap_or_default());
                self.heading(item, pending.pos);
            }
            "rehearsal" => self.rehearsal(text(item), pending.pos),
            "dynamics" => {
                let letters = dynamics_text(item);
                self.dynamics(&letters, pending.pos, pending.staff, pending.voice, item);
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
            // Lines, pedals, ottava signs and pictures change no fact here: pitches in the file
            // are already in the octave that sounds.
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
        let line = one_line(&pending.text);
        if !line.is_empty() && !pending.has_tempo {
            self.jump_words(&line, &mut pending, node);
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
                end: None,
                staff: pending.staff,
                voice: pending.voice,
                text: line,
                framed: pending.framed,
                with_tempo: pending.has_tempo,
                with_jump: pending.has_jump,
                prominent: pending.prominent,
                byte: self.byte(node),
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

    fn wedge(&mut self, item: Node<'_, '_>, pending: &Pending) {
        let number = item.attribute("number").and_then(|text| text.parse().ok()).unwrap_or(1);
        let niente = says_yes(item, "niente");
        let louder = match item.attribute("type") {
            Some("crescendo") => true,
            Some("diminuendo") => false,
            Some("stop") => return self.wedge_end(number, niente, item, pending),
            _ => return,
        };
        if self.wedges.len() >= MAX_OPEN {
            let (_, oldest) = self.wedges.remove(0);
            self.leave_hairpin_open(oldest);
        }
        self.wedges.push((number, self.out.markings.len()));
        let kind = MarkingKind::Hairpin { louder, end: Ticks::ZERO, niente };
        self.marking(item, pending, kind);
    }

    fn wedge_end(&mut self, number: u8, niente: bool, item: Node<'_, '_>, pending: &Pending) {
        let numbered = |(known, _): &&(u8, usize)| *known == number;
        let same_staff = |(_, idx): &&(u8, usize)| {
            self.out.markings.get(*idx).is_some_and(|open| open.staff == pending.staff)
        };
        let both = |open: &&(u8, usize)| numbered(open) && same_staff(open);
        let found = self.wedges.iter().rev().find(both);
        let found = found.or_else(|| self.wedges.iter().rev().find(numbered));
        // Programs that number carelessly still close the one hairpin that is open.
        let found =
            found.or_else(|| if self.wedges.len() == 1 { self.wedges.first() } else { None });
        let Some((_, idx)) = found.copied() else {
            let byte = self.byte(item);
            self.out.log.add(Code::HairpinUnbegun, pending.pos, byte, || {
                String::from("a hairpin ends here that did not begin")
            });
            return;
        };
        self.wedges.retain(|(_, open)| *open != idx);
        if let Some(open) = self.out.markings.get_mut(idx) {
            open.end = Some(pending.pos.max(open.pos));
            if let MarkingKind::Hairpin { niente: fades, .. } = &mut open.kind {
                *fades |= niente;
            }
        }
    }

    /// Hairpins without an end last to the end of their bar.
    pub(super) fn close_hairpins(&mut self) {
        for (_, idx) in std::mem::take(&mut self.wedges) {
            self.leave_hairpin_open(idx);
        }
    }

    fn leave_hairpin_open(&mut self, idx: usize) {
        let Some(open) = self.out.markings.get_mut(idx) else { return };
        open.end = Some(Pos { bar: open.pos.bar + 1, offset: 0 });
        let (pos, byte) = (open.pos, open.byte);
        self.out.log.add(Code::HairpinOpen, pos, byte, || {
            String::from("a hairpin begins here and has no end; it ends with the bar")
        });
    }

    /// Dynamic signs as letters, possibly with words around them.
    pub(super) fn dynamics(
        &mut self,
        letters: &str,
        pos: Pos,
        staff: Option<u8>,
        voice: Option<u8>,
        node: Node<'_, '_>,
    ) {
        let byte = self.byte(node);
        let plain = dynamics::glyphs_as_letters(letters).replace(['[', ']', '(', ')'], " ");
        let plain = one_line(&plain);
        if plain.is_empty() || plain == "other-dynamics" {
            return;
        }
        let kind = match dynamics::sign(&plain) {
            Some(Sign::Level(level)) => MarkingKind::Level(level),
            Some(Sign::Accent(then)) => MarkingKind::Accent { then },
            None => {
                // Words among the signs: "p sempre", "dolce". They are understood like any words.
                let words = dynamics::has_sign(&plain) || plain.contains(' ') || plain.len() > 4;
                if !words {
                    self.out.log.add(Code::DynamicUnknown, pos, byte, || {
                        format!("the dynamic sign \"{plain}\" is not known")
                    });
                }
                self.out.words.push(RawWords {
                    pos,
                    end: None,
                    staff,
                    voice,
                    text: plain,
                    framed: false,
                    with_tempo: false,
                    with_jump: false,
                    prominent: false,
                    byte,
                });
                return;
            }
        };
        let words = String::new();
        let players = PlayerSet::ALL;
        let marking = RawMarking { pos, end: None, staff, voice, players, kind, words, byte };
        self.out.markings.push(marking);
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
