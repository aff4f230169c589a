//! The bars of a score: their numbers, lines and meters, and what fills them whole.

use super::control;
use super::reader::{Reader, Target, TargetKind};
use super::state::{Part, Staff};
use super::tree::{self, contents};
use crate::bar::Barline;
use crate::import::error::ImportError;
use crate::import::header::one_line;
use crate::import::limits::MAX_BAR_QUARTERS;
use crate::import::raw::{RawBar, RawMeter};
use crate::import::xml::{Node, name};
use crate::meter::Meter;
use crate::part_bars::RepeatSign;
use crate::time::Ticks;

impl<'a, 'i: 'a> Reader<'_, 'a, 'i> {
    pub(super) fn measure(&mut self, node: Node<'a, 'i>) {
        if self.watch.is_cancelled() {
            self.failure.get_or_insert(ImportError::Cancelled);
            return;
        }
        self.begin_bar(node);
        let mut rest_bars: Option<u32> = None;
        let mut present = 0;
        for item in contents(node) {
            match name(item) {
                "staff" => {
                    present += 1;
                    // Only where all staves rest does one bar stand for several.
                    let own = self.staff(item);
                    rest_bars = Some(rest_bars.map_or(own, |bars| bars.min(own)));
                }
                "mNum" => self.bar_number(item),
                "staffDef" => self.staff_def(item),
                "scoreDef" => self.score_def(item),
                // Alternatives in small print above the staff are not played with it.
                "ossia" | "oStaff" | "pb" | "sb" | "cb" | "annot" | "symbolTable" => {}
                _ if control::is_control(name(item)) => self.control(item, None),
                _ => self.not_understood(item),
            }
        }
        let byte = node.range().start;
        self.leave_out(self.staves.len().saturating_sub(present), byte);
        self.end_bar(node);
        for further in 1..rest_bars.unwrap_or(1) {
            self.leave_out(self.staves.len(), byte);
            if self.failure.is_some() {
                return;
            }
            self.rest_bar(node, further);
        }
    }

    fn begin_bar(&mut self, node: Node<'a, 'i>) {
        let limits = self.sheet.limits;
        if self.bar as usize >= limits.bars {
            self.fail_too_large(node.range().start, "a part has too many bars", limits.bars);
        }
        let most = |part: &Part| part.out.notes.len() + part.out.rests.len();
        if self.parts.iter().map(most).max() > Some(limits.notes) {
            self.fail_too_large(node.range().start, "a part has too many notes", limits.notes);
        }
        if self.parts.len().saturating_mul(self.bar as usize) > limits.part_bars {
            let what = "the score has too many bars over all parts";
            self.fail_too_large(node.range().start, what, limits.part_bars);
        }
        let number = node.attribute("n").unwrap_or_default().trim();
        // A first bar that does not fill its meter is an upbeat. Elsewhere that says nothing of the
        // counting of bars: the numbers do.
        let incomplete = node.attribute("metcon") == Some("false");
        let upbeat = incomplete && self.bar == 0;
        let label = if upbeat && number == "0" { "" } else { number };
        let byte = node.range().start;
        for staff in &mut self.staves {
            staff.accidentals.clear();
        }
        for idx in 0..self.staves.len() {
            self.note_beat(idx);
        }
        for (idx, part) in self.parts.iter_mut().enumerate() {
            // The numbers are those of the first part.
            let (label, number) = if idx == 0 { (label, number) } else { ("", "") };
            let staves = self.staves.get(part.first_staff..).unwrap_or_default();
            let own = staves.iter().take_while(|staff| staff.part == idx);
            new_meters(own, self.bar, &mut part.out.meters);
            part.before.push((part.out.notes.len(), part.out.rests.len()));
            part.whole_rests.clear();
            part.fills = false;
            part.out.bars.push(RawBar {
                empty: true,
                label: label.to_owned(),
                number: number.to_owned(),
                implicit: upbeat || incomplete && number.is_empty(),
                byte,
                ..RawBar::default()
            });
        }
        if let Some(bar) = self.lead_bar() {
            barline(node.attribute("left"), node.attribute("right"), bar);
        }
        let (repeat, segno) =
            (std::mem::take(&mut self.repeat_next), std::mem::take(&mut self.segno_next));
        if let Some(bar) = self.lead_bar() {
            bar.flow.repeat_start |= repeat;
            if segno {
                bar.flow.segno.get_or_insert_default();
            }
        }
        if matches!(node.attribute("left"), Some("rptend" | "rptboth"))
            && let Some(before) = self.bar.checked_sub(1)
            && let Some(bar) =
                self.parts.first_mut().and_then(|part| part.out.bars.get_mut(before as usize))
        {
            bar.flow.repeat_end.get_or_insert(2);
        }
        self.repeat_next = matches!(node.attribute("right"), Some("rptboth" | "rptstart"));
        self.segno_next = matches!(node.attribute("right"), Some("segno" | "dblsegno"));
        self.name_bar(node);
    }

    /// The bar may be referred to by its own id.
    fn name_bar(&mut self, node: Node<'a, 'i>) {
        let pos = self.here();
        let target = Target {
            part: 0,
            pos,
            end: 0,
            staff: 1,
            voice: 1,
            notes: (0, 0),
            rest: None,
            kind: TargetKind::Bar,
        };
        self.note_target(node, target);
    }

    /// The bar of the first part, which carries what holds for all.
    fn lead_bar(&mut self) -> Option<&mut RawBar> {
        self.parts.first_mut().and_then(|part| part.out.bars.last_mut())
    }

    /// MEI 5, mNum: the number as printed, where the plain one does not do; empty if none is.
    fn bar_number(&mut self, node: Node<'a, 'i>) {
        let label = one_line(&tree::words(node).text);
        if let Some(bar) = self.lead_bar() {
            bar.implicit |= label.is_empty();
            bar.label = label;
        }
    }

    /// A bar in which a part is silent.
    pub(super) fn silent_bar(&self) -> RawBar {
        RawBar { empty: true, ..RawBar::default() }
    }

    /// Keeps how long a beat of a staff's meter is from this bar on: what counted places count.
    pub(super) fn note_beat(&mut self, idx: usize) {
        let (bar, resolution) = (self.bar, self.resolution);
        let Some(staff) = self.staves.get_mut(idx) else { return };
        let unit = staff.meter(bar).map_or(4, |meter| meter.unit());
        let ticks = (resolution * 4 / i64::from(unit.max(1))).max(1);
        if staff.beats.last().is_some_and(|(from, _)| *from == bar) {
            staff.beats.pop();
        }
        if staff.beats.last().is_none_or(|(_, last)| *last != ticks) {
            staff.beats.push((bar, ticks));
        }
    }

    /// Gives what fills the bar its length: that of the other music in it, else of the meter.
    fn end_bar(&mut self, node: Node<'a, 'i>) {
        let bar = self.bar;
        let reached = self.parts.iter().filter_map(|part| part.out.bars.last());
        let reached = reached.map(|bar| bar.length).max().unwrap_or(0);
        let stated = self.staves.iter().find_map(|staff| staff.meter(bar)?.bar_length());
        let of_meter = stated.and_then(|length| {
            let ticks = length.scaled(self.resolution, 1)?;
            Some(ticks.numerator() / ticks.denominator())
        });
        let of_meter =
            of_meter.unwrap_or(4 * self.resolution).min(MAX_BAR_QUARTERS * self.resolution);
        let whole = if reached > 0 { reached } else { of_meter };
        for part in &mut self.parts {
            for rest in std::mem::take(&mut part.whole_rests) {
                if let Some(rest) = part.out.rests.get_mut(rest) {
                    rest.length = Ticks(whole);
                }
            }
            let repeats = bar < part.repeats_until;
            let mut repeats_here = false;
            let Some(own) = part.out.bars.last_mut() else { continue };
            if repeats && own.length == 0 {
                repeats_here = true;
                own.empty = false;
                part.fills = true;
            }
            if part.fills {
                own.length = own.length.max(whole);
                own.filled = own.filled.max(whole);
            }
            if repeats_here {
                part.repeat_bar(bar, RepeatSign::Bars(part.pattern.max(1)));
            }
        }
        if node.attribute("join").is_some() {
            self.join(node);
        }
        self.bar += 1;
    }

    /// A bar that another one completes: the second of the two is not counted.
    fn join(&mut self, node: Node<'a, 'i>) {
        let joined = node.attribute("join").map(tree::reference).unwrap_or_default();
        let other = self.targets.get(joined).filter(|target| target.kind == TargetKind::Bar);
        let follows = other.is_some_and(|target| target.pos.bar + 1 == self.bar);
        if follows && let Some(bar) = self.lead_bar() {
            bar.implicit = true;
        }
    }

    /// A further bar of a rest over several.
    fn rest_bar(&mut self, node: Node<'a, 'i>, further: u32) {
        self.begin_bar(node);
        let number = node.attribute("n").and_then(|n| n.trim().parse::<u32>().ok());
        let number = number.map(|n| n.saturating_add(further).to_string()).unwrap_or_default();
        for part in 0..self.parts.len() {
            self.whole_rest(part, 1, 1, true);
            if let Some(bar) = self.parts.get_mut(part).and_then(|part| part.out.bars.last_mut()) {
                if part == 0 {
                    bar.label.clone_from(&number);
                    bar.number.clone_from(&number);
                }
                bar.flow = crate::bar::BarFlow::default();
            }
        }
        self.end_bar(node);
    }
}

/// The meters of the staves of a part that have to be said at a bar: that of the first staff for all,
/// and those of others that differ.
fn new_meters<'r, 'a: 'r>(
    staves: impl Iterator<Item = &'r Staff<'a>>,
    bar: u32,
    out: &mut Vec<RawMeter>,
) {
    let mut first: Option<&Meter> = None;
    for staff in staves.filter(|staff| staff.meter_is_new(bar)) {
        let Some(meter) = staff.meter(bar).filter(|meter| first != Some(*meter)) else { continue };
        out.push(RawMeter {
            bar,
            staff: (staff.number > 1).then_some(staff.number),
            meter: meter.clone(),
            other: staff.other_meter.clone(),
            byte: staff.meter_byte,
        });
        first.get_or_insert(meter);
    }
}

/// The lines at both ends of a bar: MEI 5, data.BARRENDITION.
fn barline(left: Option<&str>, right: Option<&str>, bar: &mut RawBar) {
    bar.flow.repeat_start = matches!(left, Some("rptstart" | "rptboth"));
    match right {
        Some("rptend" | "rptboth") => {
            bar.flow.repeat_end = Some(2);
            bar.heavy_end = right == Some("rptend");
        }
        Some("end") => {
            bar.barline = Barline::Final;
            bar.heavy_end = true;
        }
        Some("dbl" | "dbldashed" | "dbldotted" | "dblsegno") => bar.barline = Barline::Double,
        None | Some("single" | "rptstart") => {}
        Some(other) => {
            bar.barline = Barline::Other;
            bar.heavy_end = matches!(other, "heavy" | "dblheavy");
        }
    }
}
