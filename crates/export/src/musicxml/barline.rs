//! Repeats, endings, fermatas between bars, lines: the `barline` elements of a bar.

use super::notations;
use super::xml::Xml;
use barloom_core::bar::{Bar, Barline};
use barloom_core::event::{FermataPlace, FermataShape, MarkingKind};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// The barlines of a movement.
pub(super) struct Barlines<'a> {
    bars: &'a [Bar],
}

impl<'a> Barlines<'a> {
    pub(super) fn new(movement: &'a Movement) -> Self {
        Self { bars: movement.bars.as_slice() }
    }

    fn endings(&self, bar: Option<usize>) -> &'a [u32] {
        bar.and_then(|bar| self.bars.get(bar)).map_or(&[], |bar| bar.flow.endings.as_slice())
    }

    /// Whether an ending begins with the bar: its numbers are not those of the bar before, or that one
    /// ended with a repeat.
    fn ending_begins(&self, bar: usize) -> bool {
        let here = self.endings(Some(bar));
        let before = bar.checked_sub(1);
        let repeats = before
            .and_then(|before| self.bars.get(before))
            .is_some_and(|b| b.flow.repeat_end.is_some());
        !here.is_empty() && (repeats || self.endings(before) != here)
    }

    /// Whether an ending ends with the bar.
    fn ending_ends(&self, bar: usize) -> bool {
        let here = self.endings(Some(bar));
        !here.is_empty() && (self.endings(Some(bar + 1)) != here || self.ending_begins(bar + 1))
    }

    fn numbers(&self, bar: usize) -> String {
        let numbers: Vec<String> = self.endings(Some(bar)).iter().map(u32::to_string).collect();
        numbers.join(", ")
    }

    /// What stands before the bar's music.
    pub(super) fn left(&self, xml: &mut Xml, idx: usize, fermata: Option<FermataShape>) {
        let Some(bar) = self.bars.get(idx) else { return };
        let begins = self.ending_begins(idx);
        if !bar.flow.repeat_start && !begins && fermata.is_none() {
            return;
        }
        xml.open("barline", &[("location", "left")]);
        if bar.flow.repeat_start {
            xml.leaf("bar-style", &[], "heavy-light");
        }
        if let Some(shape) = fermata {
            notations::fermata(xml, shape);
        }
        if begins {
            xml.empty("ending", &[("number", &self.numbers(idx)), ("type", "start")]);
        }
        if bar.flow.repeat_start {
            xml.empty("repeat", &[("direction", "forward")]);
        }
        xml.close();
    }

    /// What stands behind the bar's music.
    pub(super) fn right(&self, xml: &mut Xml, idx: usize, fermata: Option<FermataShape>) {
        let Some(bar) = self.bars.get(idx) else { return };
        let style = match (bar.barline, bar.flow.repeat_end) {
            (Barline::Single, Some(_)) => Some("light-heavy"),
            (Barline::Single, None) => None,
            (Barline::Double, _) => Some("light-light"),
            (Barline::Final, _) => Some("light-heavy"),
            (Barline::Other, _) => Some("dashed"),
        };
        let ends = self.ending_ends(idx);
        if style.is_none() && !ends && fermata.is_none() {
            return;
        }
        xml.open("barline", &[("location", "right")]);
        if let Some(style) = style {
            xml.leaf("bar-style", &[], style);
        }
        if let Some(shape) = fermata {
            notations::fermata(xml, shape);
        }
        if ends {
            // A bracket that closes turns down at the end of a passage that is repeated.
            let kind = if bar.flow.repeat_end.is_some() { "stop" } else { "discontinue" };
            xml.empty("ending", &[("number", &self.numbers(idx)), ("type", kind)]);
        }
        if let Some(times) = bar.flow.repeat_end {
            let times = times.to_string();
            let mut attributes = vec![("direction", "backward")];
            if times != "2" {
                attributes.push(("times", &times));
            }
            if let Some(taken) = bar.flow.repeat_after_jump {
                attributes.push(("after-jump", if taken { "yes" } else { "no" }));
            }
            xml.empty("repeat", &attributes);
        }
        xml.close();
    }
}

/// The fermatas of a part between bars: bar, position, shape.
pub(super) fn fermatas(
    movement: &Movement,
    music: &PartMusic,
) -> Vec<(usize, Ticks, FermataShape)> {
    let found = music.markings.iter().filter_map(|marking| match marking.kind {
        MarkingKind::Fermata(shape, FermataPlace::Barline) => {
            Some((marking.bar.idx(), marking.at, shape))
        }
        _ => None,
    });
    found.filter(|(bar, ..)| *bar < movement.bars.len()).collect()
}
