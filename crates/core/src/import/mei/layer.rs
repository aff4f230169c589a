//! The events of one layer, one after another: how long each lasts and what it is inside of.

use super::control;
use super::reader::{Reader, Target, TargetKind};
use super::survey::{dots, times, tuplet_figures, tuplet_share};
use super::tree::{self, contents};
use super::values;
use crate::bar::BarIndex;
use crate::diag::Code;
use crate::event::{Manner, Note, NoteTraits, Rest, Tuplet};
use crate::import::limits::{MAX_BAR_QUARTERS, MAX_BARS};
use crate::import::raw::{Pos, RawMeter};
use crate::import::xml::{Node, name};
use crate::part_bars::RepeatSign;
use crate::time::{Quarters, Ticks};

/// The most tuplets beside the music that are open at once.
const MAX_OPEN_SPANS: usize = 64;

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
    rest_bars: u32,
    /// Something stands in the layer that is no rest for the whole bar.
    pub(super) plays: bool,
    /// How many notes there were before the layer.
    n_notes: Option<usize>,
    /// A beat or half a bar is repeated by a sign.
    repeats: bool,
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

    /// Where the layer stands.
    pub(super) fn at(&self, layer: &Layer) -> Pos {
        Pos { bar: self.bar, offset: layer.cursor }
    }

    /// The written length of an event and how long it lasts, in ticks; what it does not state
    /// itself is that of the event before it in the layer (MEI 5 guidelines, chapter 4, "Basic Usage
    /// of Notes in CMN").
    pub(super) fn length(
        &mut self,
        node: Node<'a, 'i>,
        stated: Option<Quarters>,
        frame: Frame,
        layer: &mut Layer,
    ) -> i64 {
        let written = stated.or_else(|| written(node));
        if frame.grace {
            layer.last_length = written.or(layer.last_length);
            return 0;
        }
        if written.is_none()
            && let Some(ticks) = self.performed(node, layer)
        {
            return ticks;
        }
        let Some(length) = written.or(layer.last_length) else {
            let pos = self.at(layer);
            self.log_of(layer.part).add(Code::DurationUnreadable, pos, node.range().start, || {
                format!("<{}> has no duration", name(node))
            });
            return 0;
        };
        layer.last_length = Some(length);
        let share = self.span_share(node, layer);
        let length = times(length, frame.share).and_then(|length| times(length, share));
        let ticks = length.and_then(|length| length.scaled(self.resolution, 1));
        ticks.map_or(0, |ticks| ticks.numerator() / ticks.denominator())
    }

    /// The length that is stated for playback only.
    fn performed(&self, node: Node<'a, 'i>, layer: &Layer) -> Option<i64> {
        let ppq = self.staves.get(layer.staff)?.ppq.unwrap_or(1);
        let played = node.attribute("dur.ges").map(str::trim).unwrap_or_default();
        let clicks = node.attribute("dur.ppq").map(str::trim).or_else(|| played.strip_suffix('p'));
        let Some(clicks) = clicks else {
            let length = values::note_value(played)?.scaled(self.resolution, 1)?;
            return Some(length.numerator() / length.denominator());
        };
        let clicks: i64 = clicks.parse().ok().filter(|clicks| *clicks >= 0)?;
        let ticks = i128::from(clicks) * i128::from(self.resolution) / i128::from(ppq);
        i64::try_from(ticks).ok()
    }

    /// What a tuplet beside the music makes of an event.
    fn span_share(&mut self, node: Node<'a, 'i>, layer: &Layer) -> Quarters {
        let spans = &self.survey.spans;
        if spans.named.is_empty() && spans.ends.is_empty() {
            return Quarters::ONE;
        }
        let Some(id) = tree::id(node) else { return self.open_share(layer.staff) };
        for (last, share) in spans.ends.get(id).into_iter().flatten() {
            // Tuplets beside the music nest a few times at most.
            if self.open_spans.len() < MAX_OPEN_SPANS {
                self.open_spans.push((layer.staff, last, *share));
            }
        }
        let open = self.open_share(layer.staff);
        self.open_spans.retain(|(_, last, _)| *last != id);
        let named = spans.named.get(id).copied().unwrap_or(Quarters::ONE);
        times(open, named).unwrap_or(open)
    }

    fn open_share(&self, staff: usize) -> Quarters {
        let open = self.open_spans.iter().filter(|(on, ..)| *on == staff);
        open.fold(Quarters::ONE, |all, (.., share)| times(all, *share).unwrap_or(all))
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

    fn rest(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        let ticks = self.length(node, None, frame, layer);
        let is_rest = name(node) == "rest";
        layer.plays |= is_rest;
        let shown = node.attribute("visible") != Some("false") && !frame.cue && !frame.grace;
        let shown = shown && node.attribute("cue") != Some("true");
        let rest =
            (is_rest && shown).then(|| self.push_rest(node, ticks, frame.tuplet, layer)).flatten();
        self.target_rest(node, ticks, rest, layer);
        self.advance(ticks, is_rest, node, layer);
    }

    fn push_rest(
        &mut self,
        node: Node<'a, 'i>,
        ticks: i64,
        tuplet: Tuplet,
        layer: &Layer,
    ) -> Option<usize> {
        let bar = BarIndex(self.bar);
        let part = self.parts.get_mut(layer.part)?;
        part.out.rests.push(Rest {
            onset: Ticks(layer.cursor),
            length: Ticks(ticks),
            bar,
            staff: layer.number,
            voice: layer.voice,
            fermata: false,
            whole_bar: false,
            tuplet,
        });
        let idx = part.out.rests.len() - 1;
        if node.attribute("fermata").is_some() {
            self.control(node, Some((layer.staff, layer.cursor)));
        }
        Some(idx)
    }

    fn target_rest(&mut self, node: Node<'a, 'i>, ticks: i64, rest: Option<usize>, layer: &Layer) {
        let target = Target {
            part: layer.part,
            pos: self.at(layer),
            end: layer.cursor.saturating_add(ticks),
            staff: layer.number,
            voice: layer.voice,
            notes: (0, 0),
            rest,
            kind: TargetKind::Event,
        };
        self.note_target(node, target);
    }

    /// A rest for the whole bar, whatever its meter.
    pub(super) fn bar_rest(&mut self, node: Node<'a, 'i>, layer: &mut Layer) {
        let shown = node.attribute("visible") != Some("false");
        let rest = self.whole_rest(layer.part, layer.number, layer.voice, shown);
        if node.attribute("fermata").is_some() {
            self.control(node, Some((layer.staff, 0)));
        }
        self.target_rest(node, 0, rest, layer);
    }

    /// Adds a rest that gets its length when the bar is known.
    pub(super) fn whole_rest(
        &mut self,
        part: usize,
        staff: u8,
        voice: u8,
        shown: bool,
    ) -> Option<usize> {
        let bar = BarIndex(self.bar);
        let part = self.parts.get_mut(part)?;
        part.fills = true;
        if !shown {
            return None;
        }
        let (onset, length) = (Ticks::ZERO, Ticks::ZERO);
        let (fermata, whole_bar, tuplet) = (false, true, Tuplet::NONE);
        part.out.rests.push(Rest { onset, length, bar, staff, voice, fermata, whole_bar, tuplet });
        part.whole_rests.push(part.out.rests.len() - 1);
        part.out.rests.len().checked_sub(1)
    }

    fn fill(&mut self, layer: &Layer) {
        if let Some(part) = self.parts.get_mut(layer.part) {
            part.fills = true;
        }
    }

    fn multi_rest(&mut self, node: Node<'a, 'i>, layer: &mut Layer) {
        self.bar_rest(node, layer);
        let bars = node.attribute("num").and_then(|num| num.trim().parse::<u32>().ok());
        layer.rest_bars = bars.unwrap_or(1).clamp(1, MAX_BARS as u32);
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

    /// A sign that repeats a beat, or half a bar.
    fn repeat_sign(&mut self, node: Node<'a, 'i>, halves: i64, layer: &mut Layer) {
        let meter = self.staves.get(layer.staff).and_then(|staff| staff.meter(self.bar));
        let quarters = match halves {
            1 => meter.and_then(|meter| Quarters::new(4, i64::from(meter.unit()))),
            _ => meter.and_then(|meter| meter.bar_length()?.scaled(1, 2)),
        };
        let ticks = quarters.and_then(|quarters| quarters.scaled(self.resolution, 1));
        let usual = self.resolution * halves;
        let ticks = ticks.map_or(usual, |ticks| ticks.numerator() / ticks.denominator());
        layer.plays = true;
        layer.repeats = true;
        self.advance(ticks, true, node, layer);
    }

    /// A sign that repeats the bars before: from here on for so many bars.
    fn bar_repeat(&mut self, bars: u32, layer: &mut Layer) {
        let until = self.bar.saturating_add(bars.clamp(1, MAX_BARS as u32));
        if let Some(part) = self.parts.get_mut(layer.part) {
            part.repeats_until = part.repeats_until.max(until);
            part.pattern = u8::try_from(bars.max(1)).unwrap_or(u8::MAX);
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

/// The written length of an event: its value and dots.
pub(super) fn written(node: Node<'_, '_>) -> Option<Quarters> {
    values::dotted(values::note_value(node.attribute("dur")?)?, dots(node))
}
