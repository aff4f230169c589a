//! Playback attributes that carry facts: tempo, jumps, plucked, mutes, instrument changes. And the
//! metronome marks that they are compared with.

use super::direction::Pending;
use super::part::PartReader;
use crate::bar::{Jump, JumpTo, WayOut};
use crate::diag::Code;
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

    /// A metronome mark; `None` with a finding if it cannot be understood.
    pub(super) fn metronome(&mut self, node: Node<'_, '_>, pos: Pos) -> Option<RawTempo> {
        let byte = self.byte(node);
        let kind = match metronome_kind(node) {
            Ok(Some(kind)) => kind,
            Ok(None) => return None,
            Err(text) => {
                self.unreadable_tempo(&text, pos, byte);
                return None;
            }
        };
        Some(RawTempo { pos, end: None, kind, words: String::new(), byte })
    }

    fn unreadable_tempo(&mut self, text: &str, pos: Pos, byte: usize) {
        self.out.log.add(Code::TempoUnreadable, pos, byte, || {
            format!("\"{text}\" is no number of beats a minute")
        });
    }

    /// Compares a printed tempo with the playback tempo of the same direction.
    pub(super) fn compare_with_playback(
        &mut self,
        printed: &TempoKind,
        pos: Pos,
        node: Node<'_, '_>,
    ) {
        let sounds = elements(node).filter(|child| name(*child) == "sound");
        let played =
            sounds.filter_map(|sound| sound.attribute("tempo")?.trim().parse().ok()).next();
        let Some(played) = played.filter(|played: &f64| *played > 0.0) else { return };
        if let Some(low) = tempo::contradicted(printed, played) {
            let byte = self.byte(node);
            self.out.log.add(Code::TempoConflict, pos, byte, || {
                format!(
                    "the printed mark gives {low} quarters a minute, the playback tempo is {played}"
                )
            });
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

/// What a metronome element says. `Ok(None)` for swing figures and empty marks; the text in
/// question if it is unreadable.
fn metronome_kind(node: Node<'_, '_>) -> Result<Option<TempoKind>, String> {
    let mut units: Vec<Quarters> = Vec::new();
    let mut sides = [Some(Quarters::ZERO), Some(Quarters::ZERO)];
    let mut has_notes = false;
    let mut side = 0;
    let mut per_minute: Option<&str> = None;
    let mut undotted: Option<Quarters> = None;
    for item in elements(node) {
        match name(item) {
            "beat-unit" => {
                let value = tempo::note_value(text(item)).ok_or_else(|| text(item).to_owned())?;
                undotted = Some(value);
                units.push(value);
            }
            "beat-unit-dot" => {
                undotted = undotted.and_then(|value| value.scaled(1, 2));
                if let (Some(last), Some(dot)) = (units.last_mut(), undotted) {
                    *last = last.checked_add(dot).unwrap_or(*last);
                }
            }
            "beat-unit-tied" => {
                if let (Some(last), Some(tied)) = (units.last_mut(), tied_value(item)) {
                    *last = last.checked_add(tied).unwrap_or(*last);
                }
            }
            "per-minute" => per_minute = Some(text(item)),
            "metronome-note" => {
                has_notes = true;
                let value = metronome_note(item);
                if let Some(sum) = sides.get_mut(side) {
                    *sum = sum.and_then(|sum| sum.checked_add(value?));
                }
            }
            "metronome-relation" => side = 1,
            _ => {}
        }
    }
    if has_notes {
        let [Some(old), Some(new)] = sides else { return Ok(None) };
        // Equal sums are a figure of rhythm (swing), not a relation of tempi.
        let relation = !old.is_zero() && !new.is_zero() && old != new;
        return Ok(relation.then_some(TempoKind::Equation { old, new }));
    }
    match (units.as_slice(), per_minute) {
        ([old, new, ..], _) => Ok(Some(TempoKind::Equation { old: *old, new: *new })),
        ([unit], Some(text)) => {
            let rate = tempo::rate(text).ok_or_else(|| text.to_owned())?;
            if node.attribute("print-object") == Some("no") {
                return Ok(Some(TempoKind::Playback(rate.per_minute * unit.as_f64())));
            }
            Ok(Some(rate.of_unit(*unit)))
        }
        _ => Ok(None),
    }
}

fn tied_value(node: Node<'_, '_>) -> Option<Quarters> {
    let value = tempo::note_value(child_text(node, "beat-unit")?)?;
    let dots = elements(node).filter(|child| name(*child) == "beat-unit-dot").count();
    tempo::dotted(value, dots)
}

fn metronome_note(node: Node<'_, '_>) -> Option<Quarters> {
    let value = tempo::note_value(child_text(node, "metronome-type")?)?;
    let dots = elements(node).filter(|child| name(*child) == "metronome-dot").count();
    let value = tempo::dotted(value, dots)?;
    let Some(tuplet) = child(node, "metronome-tuplet") else { return Some(value) };
    let figure = |wanted: &str| child_text(tuplet, wanted).and_then(|text| text.parse().ok());
    value.scaled(figure("normal-notes")?, figure("actual-notes")?)
}
