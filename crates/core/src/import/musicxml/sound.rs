//! Playback attributes that carry facts: tempo, jumps, plucked, mutes, instrument changes, swing.
//!
//! What only steers a synthesizer says nothing that is not printed: `dynamics` (the sign says the
//! level), the pedals, `pan`, `elevation`, `divisions`, and the MIDI elements.

use super::direction::Pending;
use super::part::PartReader;
use crate::bar::{Jump, JumpTo, WayOut};
use crate::event::{Device, MarkingKind, NoteTraits};
use crate::import::raw::{Pos, RawMarking, RawTempo};
use crate::import::words::tempo;
use crate::import::xml::{Node, child, child_text, elements, name, text};
use crate::instrument::Family;
use crate::instrument::recognize::{self, Hints};
use crate::part::PlayerSet;
use crate::score::TempoKind;
use crate::time::Quarters;

impl PartReader<'_> {
    /// A `sound` element at a place; in a direction, what it says is noted there too.
    pub(super) fn sound(&mut self, node: Node<'_, '_>, pos: Pos, direction: Option<&mut Pending>) {
        let offset = self.offset(node);
        let pos = Pos { offset: pos.offset.saturating_add(offset).max(0), ..pos };
        let byte = self.byte(node);
        let mut own = Pending::default();
        let direction = direction.unwrap_or(&mut own);
        if let Some(tempo) = node.attribute("tempo") {
            let value: Option<f64> = tempo.trim().parse().ok();
            match value.filter(|value| value.is_finite() && *value > 0.0) {
                Some(value) => {
                    direction.has_tempo = true;
                    let kind = TempoKind::Playback(value);
                    let words = String::new();
                    self.out.tempi.push(RawTempo { pos, end: None, kind, words, byte });
                }
                // Zero asks the user: it is no tempo.
                None if value == Some(0.0) => {}
                None => self.unreadable_tempo(tempo, pos, byte),
            }
        }
        self.sound_jumps(node, pos, direction);
        if let Some(plucked) = node.attribute("pizzicato") {
            let on = plucked == "yes";
            self.device(Device::Plucked, on, pos, byte);
        }
        for item in elements(node) {
            match name(item) {
                "instrument-change" => self.instrument_change(item, pos),
                "play" => self.play(item, pos),
                "swing" => self.swing(item, pos),
                _ => {}
            }
        }
    }

    /// Jumps and signs for playback: the `sound` element of MusicXML 4.0. They are kept apart from
    /// what is printed until both are known.
    fn sound_jumps(&mut self, node: Node<'_, '_>, pos: Pos, direction: &mut Pending) {
        let value = |attribute: &str| {
            let stated = node.attribute(attribute).map(str::trim);
            stated.filter(|value| !value.is_empty() && *value != "no").map(str::to_owned)
        };
        let passes = pass_numbers(node.attribute("time-only").unwrap_or_default());
        let mut flow = self.bar.playback.take().unwrap_or_default();
        let capo = value("dacapo");
        let segno = value("dalsegno");
        if capo.is_some() || segno.is_some() {
            let to = if capo.is_some() { JumpTo::Beginning } else { JumpTo::Segno };
            // A segno drawn beside the words "D.S." is no place to go to.
            direction.has_segno &= to == JumpTo::Beginning;
            let segno = segno.unwrap_or_default();
            flow.jump = Some(Jump { to, segno, passes: passes.clone(), ..Jump::default() });
        }
        if let Some(name) = value("tocoda") {
            flow.to_coda = Some(WayOut { name, passes: passes.clone() });
        }
        if value("fine").is_some() {
            flow.fine = Some(WayOut { name: String::new(), passes });
        }
        let says_order = flow.jump.is_some() || flow.to_coda.is_some() || flow.fine.is_some();
        self.bar.flow.repeat_start |= value("forward-repeat").is_some();
        if says_order {
            self.bar.playback = Some(flow);
            direction.has_jump = true;
            self.bar.flow_byte = self.byte(node);
        }
        if let Some(name) = value("segno") {
            if direction.has_segno {
                direction.segno_name = name;
            } else {
                self.waiting.segno.push((pos, name));
            }
        }
        if let Some(name) = value("coda") {
            if direction.has_coda {
                direction.coda_name = name;
            } else {
                self.waiting.coda.push((pos, name));
            }
        }
    }

    /// Swing as the standard states it: a ratio of two whole numbers and the note value that it is
    /// applied to, eighths if none is named (MusicXML 4.0, `swing`).
    fn swing(&mut self, node: Node<'_, '_>, pos: Pos) {
        let number = |wanted: &str| -> Option<u32> {
            child_text(node, wanted)?.parse().ok().filter(|number| *number > 0)
        };
        let stated = child_text(node, "swing-type").and_then(tempo::note_value);
        let unit = stated.or_else(|| Quarters::new(1, 2)).unwrap_or(Quarters::ONE);
        let kind = match (number("first"), number("second")) {
            _ if child(node, "straight").is_some() => TempoKind::Straight,
            (Some(first), Some(second)) if first == second => TempoKind::Straight,
            (Some(first), Some(second)) => TempoKind::Swing { ratio: Some((first, second)), unit },
            _ => TempoKind::Swing { ratio: None, unit },
        };
        let words = child_text(node, "swing-style").unwrap_or_default().to_owned();
        let byte = self.byte(node);
        self.out.tempi.push(RawTempo { pos, end: None, kind, words, byte });
    }

    fn device(&mut self, device: Device, on: bool, pos: Pos, byte: usize) {
        self.out.markings.push(RawMarking {
            pos,
            end: None,
            staff: None,
            voice: None,
            players: PlayerSet::ALL,
            kind: MarkingKind::Device { device, on },
            words: String::new(),
            byte,
        });
    }

    /// A mute named for playback outside of notes: it holds from here (MusicXML 4.0, `play`).
    fn play(&mut self, node: Node<'_, '_>, pos: Pos) {
        let Some(mute) = mute(node) else { return };
        self.sound_mute = mute;
        let byte = self.byte(node);
        self.put_mute(mute, pos, byte);
    }

    /// A mute named on a note holds for that note only; without one the part plays as before.
    pub(super) fn play_note(
        &mut self,
        play: Option<Node<'_, '_>>,
        traits: NoteTraits,
        pos: Pos,
        node: Node<'_, '_>,
    ) {
        let own = play.and_then(mute);
        // One head of a chord speaks for all.
        if own.is_some() || !traits.has(NoteTraits::CHORD) {
            let byte = self.byte(node);
            self.put_mute(own.unwrap_or(self.sound_mute), pos, byte);
        }
    }

    /// A state that holds is not repeated.
    fn put_mute(&mut self, (device, on): (Device, bool), pos: Pos, byte: usize) {
        if self.play_mute == (device, on) {
            return;
        }
        let (before, was_on) = self.play_mute;
        if was_on && before != device {
            self.device(before, false, pos, byte);
        }
        self.play_mute = (device, on);
        if on || was_on {
            self.device(device, on, pos, byte);
        }
    }

    fn instrument_change(&mut self, node: Node<'_, '_>, pos: Pos) {
        let sound = child_text(node, "instrument-sound").unwrap_or_default();
        // In percussion the sound of one of many instruments changes, and nobody takes up another.
        let family = self.out.header.instrument.map(|instrument| instrument.get().family);
        if family == Some(Family::Percussion) && self.out.header.instruments.len() > 1 {
            return;
        }
        if let Some(instrument) = recognize::instrument(&Hints { sound, ..Hints::default() }) {
            self.out.instruments.push((pos, instrument));
        }
    }
}

/// The numbers of a `time-only` attribute: "1", "1,2".
fn pass_numbers(text: &str) -> Vec<u32> {
    let numbers = text.split(',').filter_map(|piece| piece.trim().parse().ok());
    numbers.filter(|number| *number > 0).collect()
}

/// The mute that a playback element names; `None` if it names none.
fn mute(play: Node<'_, '_>) -> Option<(Device, bool)> {
    Some(match text(child(play, "mute")?) {
        "off" => (Device::Mute, false),
        "stop-hand" | "stop-mute" | "echo" => (Device::Stopped, true),
        _ => (Device::Mute, true),
    })
}
