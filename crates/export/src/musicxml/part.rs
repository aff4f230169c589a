//! One part, bar by bar: where the voice stands, and in which order what is known is written.
//!
//! Inside a bar the voices follow each other. Where signatures, clefs or transpositions change inside
//! a bar, all voices are written up to there first, because what stands later in the file holds for
//! everything behind it. Directions come with the first voice, or with their own if they have one,
//! before the note that they stand over.

use super::attributes::{self, Changes};
use super::barline::{self, Barlines};
use super::direction::{Direction, Rank};
use super::header::Listed;
use super::layers::{self, Event, Layer};
use super::lines;
use super::note::Notes;
use super::xml::Xml;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::event::FermataShape;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;
use std::collections::BTreeSet;
use std::ops::Range;

/// How the bars are named in the file.
pub(super) struct BarName {
    /// The number in the file.
    pub(super) number: String,
    /// The printed label where it is another.
    pub(super) text: Option<String>,
    /// The bar is not counted.
    pub(super) implicit: bool,
}

/// Writes one part.
pub(super) struct PartWriter<'a> {
    movement: &'a Movement,
    music: &'a PartMusic,
    part: &'a Listed<'a>,
    names: &'a [BarName],
    barlines: Barlines<'a>,
    layers: Vec<Vec<Layer>>,
    notes: Notes<'a>,
    changes: Changes,
    /// Sorted by bar, position and rank.
    directions: Vec<Direction>,
    fermatas: Vec<(usize, Ticks, FermataShape)>,
    /// Where the voice stands.
    at: Ticks,
    /// How far notes and rests of the bar reach.
    filled: Ticks,
}

impl<'a> PartWriter<'a> {
    /// Prepares a part. `division` is how many ticks a division has.
    pub(super) fn new(
        movement: &'a Movement,
        part: &'a Listed<'a>,
        names: &'a [BarName],
        mut directions: Vec<Direction>,
        division: i64,
    ) -> Self {
        let music = part.music;
        let layers = layers::layers(movement, music);
        let lines = lines::lines(music, &layers);
        directions.sort_by_key(|direction| (direction.bar, direction.at, direction.rank));
        Self {
            movement,
            music,
            part,
            names,
            barlines: Barlines::new(movement),
            notes: Notes::new(movement, music, lines, division, &part.instruments),
            layers,
            changes: attributes::changes(movement, music, division),
            directions,
            fermatas: barline::fermatas(movement, music),
            at: Ticks::ZERO,
            filled: Ticks::ZERO,
        }
    }

    /// Writes the element.
    pub(super) fn write(mut self, xml: &mut Xml) {
        xml.open("part", &[("id", &self.part.id)]);
        let movement = self.movement;
        for (idx, bar) in movement.bars.iter() {
            self.measure(xml, idx, bar);
        }
        xml.close();
    }

    fn measure(&mut self, xml: &mut Xml, idx: BarIndex, bar: &Bar) {
        let Some(name) = self.names.get(idx.idx()) else { return };
        let mut attributes = vec![("number", name.number.as_str())];
        if let Some(text) = &name.text {
            attributes.push(("text", text));
        }
        if name.implicit {
            attributes.push(("implicit", "yes"));
        }
        xml.open("measure", &attributes);
        (self.at, self.filled) = (bar.start, bar.start);
        let fermata = |at: Ticks| {
            let here = self.fermatas.iter().filter(|(of, ..)| *of == idx.idx());
            here.filter(|(_, place, _)| *place == at).map(|(.., shape)| *shape).next()
        };
        let (left, right) = (fermata(bar.start), fermata(bar.end()));
        self.barlines.left(xml, idx.idx(), left.filter(|_| bar.length > Ticks::ZERO));
        let directions = self.directions_of(idx.idx());
        let mut pending: Vec<Vec<usize>> = self.by_layer(idx.idx(), directions);
        let cuts = self.cuts(idx.idx(), bar);
        for (nth, from) in cuts.iter().enumerate() {
            let to = cuts.get(nth + 1).copied();
            self.change(xml, idx.idx(), *from);
            if idx == BarIndex(0) && *from == bar.start && bar.length > Ticks::ZERO {
                self.introduce_voices(xml, bar);
            }
            self.segment(xml, idx.idx(), bar, (*from, to), &mut pending);
        }
        self.finish_bar(xml, idx, bar, &pending);
        self.barlines.right(xml, idx.idx(), right);
        xml.close();
    }

    /// Hidden rests for the voices that are silent in the first bar while a lower one plays there.
    /// Readers number voices as they come, and the upper one must stay the first player's.
    fn introduce_voices(&mut self, xml: &mut Xml, bar: &Bar) {
        let first = self.layers.first().map(Vec::as_slice).unwrap_or_default();
        let Some(lowest) = first.iter().map(|layer| layer.voice).max() else { return };
        let is_silent = |voice: &u8| first.iter().all(|layer| layer.voice != *voice);
        let all = self.layers.iter().flatten().map(|layer| layer.voice);
        let silent: BTreeSet<u8> = all.filter(|voice| *voice < lowest).filter(is_silent).collect();
        for voice in silent {
            self.notes.hidden_rest(xml, bar.length, voice);
            self.at = bar.end();
            self.move_to(xml, bar.start);
        }
    }

    /// The places at which the directions of a bar stand among all.
    fn directions_of(&self, bar: usize) -> Range<usize> {
        let from = self.directions.partition_point(|direction| direction.bar < bar);
        let to = self.directions.partition_point(|direction| direction.bar <= bar);
        from..to
    }

    /// The directions of a bar by the layer that they are written with.
    fn by_layer(&self, bar: usize, directions: Range<usize>) -> Vec<Vec<usize>> {
        let layers = self.layers.get(bar).map(Vec::as_slice).unwrap_or_default();
        let mut pending = vec![Vec::new(); layers.len().max(1)];
        for idx in directions {
            let voice = self.directions.get(idx).and_then(|direction| direction.voice);
            let layer = voice.and_then(|v| layers.iter().position(|layer| layer.voice == v));
            if let Some(list) = pending.get_mut(layer.unwrap_or(0)) {
                list.push(idx);
            }
        }
        pending
    }

    /// The positions of a bar between which the voices are written one after the other.
    fn cuts(&self, bar: usize, row: &Bar) -> Vec<Ticks> {
        let inside = self.changes.range((bar, row.start)..=(bar, Ticks(i64::MAX)));
        let mut cuts: Vec<Ticks> = inside.map(|((_, at), _)| *at).collect();
        if cuts.first() != Some(&row.start) {
            cuts.insert(0, row.start);
        }
        cuts
    }

    fn change(&mut self, xml: &mut Xml, bar: usize, at: Ticks) {
        if self.changes.contains_key(&(bar, at)) {
            self.move_to(xml, at);
            if let Some(change) = self.changes.get(&(bar, at)) {
                change.write(xml, self.music.staves);
            }
        }
    }

    /// Writes what begins in [from, to), and up to the end of the bar if `to` is open.
    fn segment(
        &mut self,
        xml: &mut Xml,
        bar: usize,
        row: &Bar,
        (from, to): (Ticks, Option<Ticks>),
        pending: &mut [Vec<usize>],
    ) {
        let layers = self.layers.get(bar).cloned().unwrap_or_default();
        for (nth, layer) in layers.iter().enumerate() {
            let inside =
                |event: &&Event| event.onset >= from && to.is_none_or(|to| event.onset < to);
            let events: Vec<&Event> = layer.events.iter().filter(inside).collect();
            for event in events {
                self.move_to(xml, event.onset);
                let until = event.end().max(Ticks(event.onset.0 + 1));
                if let Some(pending) = pending.get_mut(nth) {
                    self.flush(xml, pending, until, Some(layer.voice));
                }
                self.notes.write(xml, event, layer.voice);
                self.at = event.end();
                self.filled = self.filled.max(self.at);
            }
        }
        if layers.is_empty() && to.is_none() {
            self.empty_bar(xml, bar, row, pending);
        }
    }

    /// A bar in which nothing is written: a rest, or nothing where a sign repeats earlier bars.
    fn empty_bar(&mut self, xml: &mut Xml, bar: usize, row: &Bar, pending: &mut [Vec<usize>]) {
        if let Some(pending) = pending.first_mut() {
            self.flush(xml, pending, row.end(), None);
        }
        let repeated = !self.music.repeats_in(BarIndex::from(bar)).is_empty();
        if row.length <= Ticks::ZERO || self.at > row.start {
            return;
        }
        if repeated {
            self.move_to(xml, row.end());
        } else {
            xml.open("note", &[]);
            xml.empty("rest", &[("measure", "yes")]);
            xml.number("duration", row.length.0 / self.notes.division);
            xml.number("voice", 1);
            xml.close();
            self.at = row.end();
            self.filled = self.at;
        }
    }

    /// Fills what is left of a bar and writes the directions at its end.
    fn finish_bar(&mut self, xml: &mut Xml, idx: BarIndex, bar: &Bar, pending: &[Vec<usize>]) {
        let is_last = Some(idx) == self.movement.bars.last_index();
        if self.filled < bar.end() {
            self.move_to(xml, self.filled);
            if is_last {
                // Readers do not let a skip lengthen the last bar.
                let voice = self.layers.get(idx.idx()).and_then(|layers| layers.first());
                let voice = voice.map_or(1, |layer| layer.voice);
                self.notes.hidden_rest(xml, bar.end() - self.filled, voice);
                self.at = bar.end();
            } else {
                self.move_to(xml, bar.end());
            }
        }
        let mut left: Vec<usize> = pending.iter().flatten().copied().collect();
        left.sort_unstable();
        if !left.is_empty() {
            self.flush(xml, &mut left, Ticks(i64::MAX), None);
        }
    }

    /// Writes the waiting directions that stand before `until`.
    fn flush(&mut self, xml: &mut Xml, pending: &mut Vec<usize>, until: Ticks, voice: Option<u8>) {
        let here = |idx: &usize| self.directions.get(*idx).is_some_and(|d| d.at < until);
        let n_here = pending.iter().take_while(|idx| here(idx)).count();
        for idx in pending.drain(..n_here) {
            let Some(direction) = self.directions.get(idx) else { continue };
            let offset = (direction.at.0 - self.at.0) / self.notes.division;
            let own = direction.voice.filter(|own| Some(*own) == voice);
            // Jumps stand behind everything else and hold for the whole bar.
            let offset = if direction.rank == Rank::Jumps { 0 } else { offset };
            direction.write(xml, offset, own, self.music.staves);
        }
    }

    fn move_to(&mut self, xml: &mut Xml, to: Ticks) {
        let (name, by) = if to < self.at {
            ("backup", self.at - to)
        } else if to > self.at {
            ("forward", to - self.at)
        } else {
            return;
        };
        xml.open(name, &[]);
        xml.number("duration", by.0 / self.notes.division);
        xml.close();
        self.at = to;
    }
}
