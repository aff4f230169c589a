//! Rests, and signs that stand for music before them.

use super::layer::{Frame, Layer};
use super::reader::{Reader, Target};
use crate::bar::BarIndex;
use crate::event::{Rest, Tuplet};
use crate::import::limits::MAX_BARS;
use crate::import::xml::{Node, name};
use crate::time::{Quarters, Ticks};

impl<'a, 'i: 'a> Reader<'_, 'a, 'i> {
    pub(super) fn rest(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
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

    pub(super) fn push_rest(
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

    pub(super) fn target_rest(
        &mut self,
        node: Node<'a, 'i>,
        ticks: i64,
        rest: Option<usize>,
        layer: &Layer,
    ) {
        let target = self.event_target(ticks, layer);
        self.note_target(node, Target { rest, ..target });
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

    pub(super) fn fill(&mut self, layer: &Layer) {
        if let Some(part) = self.parts.get_mut(layer.part) {
            part.fills = true;
        }
    }

    pub(super) fn multi_rest(&mut self, node: Node<'a, 'i>, layer: &mut Layer) {
        self.bar_rest(node, layer);
        let bars = node.attribute("num").and_then(|num| num.trim().parse::<u32>().ok());
        layer.rest_bars = bars.unwrap_or(1).clamp(1, MAX_BARS as u32);
    }

    /// A sign that repeats a beat, or half a bar.
    pub(super) fn repeat_sign(&mut self, node: Node<'a, 'i>, halves: i64, layer: &mut Layer) {
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
    pub(super) fn bar_repeat(&mut self, bars: u32, layer: &mut Layer) {
        let until = self.bar.saturating_add(bars.clamp(1, MAX_BARS as u32));
        if let Some(part) = self.parts.get_mut(layer.part) {
            part.repeats_until = part.repeats_until.max(until);
            part.pattern = u8::try_from(bars.max(1)).unwrap_or(u8::MAX);
        }
    }
}
