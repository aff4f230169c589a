//! The events of one layer, one after another: how long each lasts and what it is inside of.

use super::control;
use super::reader::{Reader, Target, TargetKind};
use super::survey::{times, tuplet_figures, tuplet_share};
use super::tree::contents;
use super::values;
use crate::diag::Code;
use crate::event::{Manner, Note, NoteTraits, Tuplet};
use crate::import::limits::MAX_BAR_QUARTERS;
use crate::import::raw::{Pos, RawMeter};
use crate::import::xml::{Node, name};
use crate::part_bars::RepeatSign;
use crate::time::Quarters;

/// What events stand inside of.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// The share of its written length that an event lasts.
    pub(super) share: Quarters,
    pub(super) tuplet: Tuplet,
    pub(super) grace: bool,
    /// Grace notes that belong to the event before them.
    pub(super) grace_after: bool,
    pub(super) cue: bool,
    /// Inside a two-note tremolo.
    pub(super) pair: bool,
    /// Strokes of the tremolo around, if it says how many.
    pub(super) strokes: Option<u8>,
    /// The note value that a measured tremolo repeats.
    pub(super) unit: Option<Quarters>,
    /// Inside a tremolo.
    pub(super) tremolo: bool,
}

impl Default for Frame {
    fn default() -> Self {
        Self {
            share: Quarters::ONE,
            tuplet: Tuplet::NONE,
            grace: false,
            grace_after: false,
            cue: false,
            pair: false,
            strokes: None,
            unit: None,
            tremolo: false,
        }
    }
}

/// Whether a beam is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Beam {
    None,
    /// The next head begins it.
    Begins,
    Open,
}

/// One layer of one staff while it is read.
#[derive(Debug)]
pub(super) struct Layer {
    /// The staff in the list of staves.
    pub(super) staff: usize,
    pub(super) part: usize,
    /// The staff in the part.
    pub(super) number: u8,
    pub(super) voice: u8,
    /// Ticks from the start of the bar.
    pub(super) cursor: i64,
    pub(super) beam: Beam,
    /// What the event before stated, for events that state nothing.
    pub(super) last_length: Option<Quarters>,
    pub(super) last_pitch: Option<(crate::pitch::Step, i8)>,
    /// Over how many bars the layer rests.
    pub(super) rest_bars: u32,
    /// Something stands in the layer that is no rest for the whole bar.
    pub(super) plays: bool,
    /// How many notes there were before the layer.
    n_notes: Option<usize>,
    /// A beat or half a bar is repeated by a sign.
    pub(super) repeats: bool,
}

impl Layer {
    pub(super) fn new(staff: usize, part: usize, number: u8, voice: u8) -> Self {
        Self {
            staff,
            part,
            number,
            voice,
            cursor: 0,
            beam: Beam::None,
            last_length: None,
            last_pitch: None,
            rest_bars: 1,
            plays: false,
            n_notes: None,
            repeats: false,
        }
    }
}

impl<'a, 'i: 'a> Reader<'_, 'a, 'i> {
    /// Reads the events inside an element.
    pub(super) fn events(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        if layer.n_notes.is_none() {
            layer.n_notes = self.parts.get(layer.part).map(|part| part.out.notes.len());
        }
        for item in contents(node) {
            self.event(item, frame, layer);
        }
    }

    fn event(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        self.copies(node);
        match name(node) {
            "note" => self.note(node, frame, layer),
            "chord" => self.chord(node, frame, layer),
            "rest" | "space" => self.rest(node, frame, layer),
            "mRest" => self.bar_rest(node, layer),
            "mSpace" => self.fill(layer),
            "multiRest" => self.multi_rest(node, layer),
            "beam" => self.beam(node, frame, layer),
            "tuplet" => self.tuplet(node, frame, layer),
            "bTrem" | "fTrem" => self.tremolo(node, frame, layer),
            "graceGrp" => {
                let grace_after = node.attribute("attach") == Some("pre");
                self.events(node, Frame { grace: true, grace_after, ..frame }, layer);
            }
            "beatRpt" => self.repeat_sign(node, 1, layer),
            "halfmRpt" => self.repeat_sign(node, 2, layer),
            "mRpt" => self.bar_repeat(1, layer),
            "mRpt2" => self.bar_repeat(2, layer),
            "multiRpt" => {
                let bars = node.attribute("num").and_then(|num| num.trim().parse().ok());
                self.bar_repeat(bars.unwrap_or(1), layer);
            }
            "clef" => self.clef(node, layer.staff, self.at(layer)),
            "clefGrp" => {
                for clef in contents(node) {
                    self.clef(clef, layer.staff, self.at(layer));
                }
            }
            "keySig" => {
                if let Some(signature) = super::define::key_of(node) {
                    self.set_key(layer.staff, &signature, self.at(layer));
                }
            }
            "meterSig" | "meterSigGrp" => self.meter_among(node, layer),
            "barLine" => self.barline_target(node, layer),
            // Signs of layout, chant and analysis among the events change nothing that is played;
            // dots, accidentals and articulations belong to the notes they stand in.
            "pad" | "custos" | "sb" | "pb" | "cb" | "annot" | "dot" | "accid" | "artic"
            | "stem" | "verse" | "syl" | "refrain" | "volta" | "layerDef" | "ambitus"
            | "phrase_mark" => {}
            other if control::is_control(other) => {
                self.control(node, Some((layer.staff, layer.cursor)));
            }
            _ => self.not_understood(node),
        }
    }

    /// The place of an event that lasts so long here, without its notes or its rest.
    pub(super) fn event_target(&self, ticks: i64, layer: &Layer) -> Target {
        Target {
            part: layer.part,
            pos: self.at(layer),
            end: layer.cursor.saturating_add(ticks),
            staff: layer.number,
            voice: layer.voice,
            notes: (0, 0),
            rest: None,
            kind: TargetKind::Event,
        }
    }

    /// Where the layer stands.
    pub(super) fn at(&self, layer: &Layer) -> Pos {
        Pos { bar: self.bar, offset: layer.cursor }
    }

    /// Moves the layer on.
    pub(super) fn advance(
        &mut self,
        ticks: i64,
        fills: bool,
        node: Node<'a, 'i>,
        layer: &mut Layer,
    ) {
        let longest = MAX_BAR_QUARTERS * self.resolution;
        let end = layer.cursor.saturating_add(ticks);
        if end > longest {
            let pos = self.at(layer);
            self.log_of(layer.part).add(Code::BarTooLong, pos, node.range().start, || {
                format!("the bar is longer than {MAX_BAR_QUARTERS} quarters; the rest was cut")
            });
        }
        layer.cursor = end.min(longest);
        if let Some(bar) = self.parts.get_mut(layer.part).and_then(|part| part.out.bars.last_mut())
        {
            bar.length = bar.length.max(layer.cursor);
            if fills {
                bar.filled = bar.filled.max(layer.cursor);
            }
        }
    }

    fn beam(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        let around = std::mem::replace(&mut layer.beam, Beam::Begins);
        self.events(node, frame, layer);
        layer.beam = around;
    }

    fn tuplet(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        let share = tuplet_share(node).and_then(|own| times(frame.share, own));
        let Some(share) = share else {
            let pos = self.at(layer);
            let part = self.log_of(layer.part);
            part.add(Code::DurationUnreadable, pos, node.range().start, || {
                String::from("the figures of a tuplet are none; its notes last as written")
            });
            self.events(node, frame, layer);
            return;
        };
        let first = self.n_notes(layer.part);
        self.events(
            node,
            Frame { share, tuplet: tuplet_ratio(node, frame.tuplet), ..frame },
            layer,
        );
        self.tuplet_ends(layer.part, first);
    }

    /// Marks the first and the last event of a tuplet.
    fn tuplet_ends(&mut self, part: usize, first: usize) {
        let Some(part) = self.parts.get_mut(part) else { return };
        let notes = part.out.notes.get_mut(first..).unwrap_or_default();
        let main = |note: &&mut Note| !note.traits.any(NoteTraits::GRACE | NoteTraits::CHORD);
        if let Some(note) = notes.iter_mut().find(main) {
            note.traits.set(NoteTraits::TUPLET_BEGINS);
        }
        if let Some(note) = notes.iter_mut().rev().find(main) {
            note.traits.set(NoteTraits::TUPLET_ENDS);
        }
    }

    /// A tremolo on one note, or between two, each of which then lasts half of what is written
    /// (common practice: both are written with the length of the whole).
    fn tremolo(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        let pair = name(node) == "fTrem";
        let beams = node.attribute("beams").and_then(|beams| beams.trim().parse::<u8>().ok());
        let unmeasured = node.attribute("form") == Some("unmeas");
        let strokes = if unmeasured && !pair { Some(255) } else { beams.map(|beams| beams.min(8)) };
        let share = if pair { frame.share.scaled(1, 2) } else { None };
        let inner = Frame {
            share: share.unwrap_or(frame.share),
            pair,
            strokes,
            unit: node.attribute("unitdur").and_then(values::note_value),
            tremolo: true,
            ..frame
        };
        let first = self.n_notes(layer.part);
        self.events(node, inner, layer);
        if pair {
            self.second_of_pair(layer.part, first);
        }
    }

    /// Marks the second of the two notes of a tremolo.
    fn second_of_pair(&mut self, part: usize, first: usize) {
        let Some(part) = self.parts.get_mut(part) else { return };
        let notes = part.out.notes.get_mut(first..).unwrap_or_default();
        let onset = notes.first().map(|note| note.onset);
        for note in notes.iter_mut().filter(|note| Some(note.onset) != onset) {
            note.manner.set(Manner::TREMOLO_ENDS);
        }
    }

    /// A meter among the events holds for this bar at its start, else from the next bar on.
    fn meter_among(&mut self, node: Node<'a, 'i>, layer: &Layer) {
        let Some(signature) = self.signature(node) else { return };
        let from = self.bar + u32::from(layer.cursor > 0);
        let byte = node.range().start;
        self.set_meters(layer.staff, &signature, from, byte);
        if layer.cursor > 0 {
            return;
        }
        self.note_beat(layer.staff);
        let staff = Some(layer.number).filter(|number| *number > 1);
        let meter = signature.meters.into_iter().next();
        if let (Some(meter), Some(part)) = (meter, self.parts.get_mut(layer.part)) {
            let (bar, other) = (self.bar, None);
            part.out.meters.push(RawMeter { bar, staff, meter, other, byte });
        }
    }

    fn barline_target(&mut self, node: Node<'a, 'i>, layer: &Layer) {
        let target = Target {
            part: layer.part,
            pos: self.at(layer),
            end: layer.cursor,
            staff: layer.number,
            voice: layer.voice,
            notes: (0, 0),
            rest: None,
            kind: TargetKind::Barline,
        };
        self.note_target(node, target);
    }

    /// Ends a layer. Answers over how many bars it rests.
    pub(super) fn end_layer(&mut self, layer: Layer) -> u32 {
        let bar = self.bar;
        let Some(part) = self.parts.get_mut(layer.part) else { return 1 };
        let silent = layer.n_notes == Some(part.out.notes.len());
        if let Some(own) = part.out.bars.last_mut() {
            own.empty &= !layer.plays && silent;
        }
        let known = part.out.repeated_bars.last().is_some_and(|last| last.bar.0 == bar);
        if silent && layer.repeats && !known {
            part.repeat_bar(bar, RepeatSign::Beat);
        }
        layer.rest_bars
    }

    /// The findings of a part.
    pub(super) fn log_of(&mut self, part: usize) -> &mut crate::import::log::Log {
        match self.parts.get_mut(part) {
            Some(part) => &mut part.out.log,
            None => &mut self.log,
        }
    }
}

/// The figures of a tuplet inside another; those that do not fit count as none.
fn tuplet_ratio(node: Node<'_, '_>, around: Tuplet) -> Tuplet {
    let own = tuplet_figures(node).unwrap_or((1, 1));
    let ratio = u32::from(around.actual)
        .checked_mul(own.0)
        .zip(u32::from(around.normal).checked_mul(own.1));
    ratio.and_then(|(actual, normal)| Tuplet::new(actual, normal)).unwrap_or(around)
}
