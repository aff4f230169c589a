//! The walk through one score: sections, endings, bars, staves. What hangs beside the staves waits
//! until all music is known, because it may refer to bars that are still to come.

use super::control;
use super::layer::{Frame, Layer};
use super::state::{Part, Staff};
use super::survey::Survey;
use super::tree::{self, contents};
use crate::bar::Barline;
use crate::diag::Code;
use crate::import::error::ImportError;
use crate::import::header::one_line;
use crate::import::limits::MAX_BAR_QUARTERS;
use crate::import::log::Log;
use crate::import::musicxml::ending_numbers;
use crate::import::raw::{Pos, RawBar, RawMeter, RawPart};
use crate::import::watch::Watch;
use crate::import::xml::{Node, Sheet, name};
use crate::meter::Meter;
use crate::part_bars::RepeatSign;
use crate::time::Ticks;
use std::collections::{BTreeMap, HashMap};

/// Bars of staves that even a small file may leave out, and the bytes that a file must have for each
/// further one: a few signs must not fill the memory.
const FREE_LEFT_OUT: usize = 10_000;
const BYTES_OF_BAR: usize = 32;

/// Notes that the octave lines of even a small file may cover, counted once for each line.
const FREE_UNDER_LINES: usize = 1_000_000;

/// Something that an id names.
#[derive(Debug, Clone, Copy)]
pub(super) struct Target {
    pub(super) part: usize,
    pub(super) pos: Pos,
    /// Where it ends, from the start of the same bar.
    pub(super) end: i64,
    pub(super) staff: u8,
    pub(super) voice: u8,
    /// Its heads: the first and how many.
    pub(super) notes: (usize, usize),
    /// Its rest.
    pub(super) rest: Option<usize>,
    pub(super) kind: TargetKind,
}

/// What an id names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TargetKind {
    Event,
    Bar,
    Barline,
}

/// Something beside the music that waits for its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Control<'a, 'i> {
    pub(super) node: Node<'a, 'i>,
    pub(super) bar: u32,
    /// Where it stands if it stands among the events of a layer.
    pub(super) among: Option<(usize, i64)>,
}

/// Elements that were not understood: how many, and where the first stands.
#[derive(Debug, Default)]
pub(super) struct Unknown {
    count: u32,
    pos: Pos,
    byte: usize,
}

/// Reads one score.
pub(super) struct Reader<'s, 'a, 'i> {
    pub(super) sheet: &'s Sheet<'s>,
    watch: &'s Watch,
    pub(super) survey: &'s Survey<'a>,
    /// Ticks in a quarter.
    pub(super) resolution: i64,
    pub(super) log: Log,
    pub(super) parts: Vec<Part>,
    pub(super) staves: Vec<Staff<'a>>,
    /// The bar being read, or the next one between bars.
    pub(super) bar: u32,
    /// What is referred to, as far as it was met.
    pub(super) targets: HashMap<&'a str, Target>,
    pub(super) controls: Vec<Control<'a, 'i>>,
    pub(super) unknown: BTreeMap<&'a str, Unknown>,
    /// Notes whose alteration had to be taken from the signature or from the bar.
    pub(super) implied: Unknown,
    /// Tuplets beside the music that are open in a staff.
    pub(super) open_spans: Vec<(usize, &'a str, crate::time::Quarters)>,
    /// Notes that octave lines may still cover.
    pub(super) under_lines: usize,
    /// Bars of staves that nothing is written for, which the file may still ask for.
    left_out: usize,
    /// The next bar begins a repeat.
    repeat_next: bool,
    /// The next bar has the sign.
    segno_next: bool,
    failure: Option<ImportError>,
}

impl<'s, 'a, 'i: 'a> Reader<'s, 'a, 'i> {
    pub(super) fn new(sheet: &'s Sheet<'s>, survey: &'s Survey<'a>, watch: &'s Watch) -> Self {
        Self {
            sheet,
            watch,
            survey,
            resolution: i64::from(survey.resolution),
            log: Log::default(),
            parts: Vec::new(),
            staves: Vec::new(),
            bar: 0,
            targets: HashMap::new(),
            controls: Vec::new(),
            unknown: BTreeMap::new(),
            implied: Unknown::default(),
            open_spans: Vec::new(),
            under_lines: FREE_UNDER_LINES + 16 * sheet.text.len(),
            left_out: sheet.limits.part_bars.min(FREE_LEFT_OUT + sheet.text.len() / BYTES_OF_BAR),
            repeat_next: false,
            segno_next: false,
            failure: None,
        }
    }

    /// Reads a score or a performer's part to its end.
    ///
    /// # Errors
    /// A limit is met, or someone asked to stop.
    pub(super) fn read(mut self, node: Node<'a, 'i>) -> Result<(Vec<RawPart>, Log), ImportError> {
        self.section(node);
        if let Some(failure) = self.failure.take() {
            return Err(failure);
        }
        control::attach(&mut self);
        self.report();
        let Self { parts, log, .. } = self;
        Ok((parts.into_iter().map(|part| part.out).collect(), log))
    }

    /// The place between two bars: the start of the next.
    pub(super) fn here(&self) -> Pos {
        Pos { bar: self.bar, offset: 0 }
    }

    /// Stops reading: a limit is met at `byte`.
    pub(super) fn fail_too_large(&mut self, byte: usize, what: &str, limit: usize) {
        let error = self.sheet.too_large(byte, what, limit as u64);
        self.failure.get_or_insert(error);
    }

    /// Music that only points to other music of the document is not followed.
    pub(super) fn copies(&mut self, node: Node<'a, 'i>) {
        if node.attribute("copyof").is_some() {
            let pos = self.here();
            self.unknown.entry("copyof").or_default().add(pos, node.range().start);
        }
    }

    /// Whether reading has to stop.
    pub(super) fn has_failed(&self) -> bool {
        self.failure.is_some()
    }

    /// Counts bars of staves that are in the score and not in the file.
    pub(super) fn leave_out(&mut self, bars: usize, byte: usize) {
        match self.left_out.checked_sub(bars) {
            Some(left) => self.left_out = left,
            None => {
                let most = self.sheet.limits.part_bars;
                self.fail_too_large(byte, "staves are missing in too many bars", most);
            }
        }
    }

    /// Notes an element that is not understood.
    pub(super) fn not_understood(&mut self, node: Node<'a, 'i>) {
        let pos = self.here();
        self.unknown.entry(name(node)).or_default().add(pos, node.range().start);
    }

    fn section(&mut self, node: Node<'a, 'i>) {
        for item in contents(node) {
            if self.failure.is_some() {
                return;
            }
            self.copies(item);
            match name(item) {
                "section" => self.section(item),
                "ending" => self.ending(item),
                "measure" => self.measure(item),
                "scoreDef" => self.score_def(item),
                "staffDef" => self.staff_def(item),
                // The order of play follows from the repeats; pages, systems, texts between the
                // music and pictures of it change nothing that is played.
                "expansion" | "pb" | "sb" | "cb" | "colLayout" | "div" | "annot" | "pgHead"
                | "pgFoot" | "pgHead2" | "pgFoot2" | "sectionEnd" | "symbolTable" | "label"
                | "layerDef" => {}
                _ if control::is_control(name(item)) => self.control(item, None),
                _ => self.not_understood(item),
            }
        }
    }

    /// The numbers stand at the first bar, the bracket closes at the last.
    fn ending(&mut self, node: Node<'a, 'i>) {
        let first = self.bar;
        self.section(node);
        let last = self.bar.checked_sub(1).filter(|last| *last >= first);
        let Some((last, part)) = last.zip(self.parts.first_mut()) else { return };
        let stated = ["n", "label"].iter().find_map(|wanted| node.attribute(*wanted));
        let numbers = ending_numbers(stated.unwrap_or_default());
        if let Some(bar) = part.out.bars.get_mut(first as usize) {
            bar.flow.endings = if numbers.is_empty() { vec![1] } else { numbers };
        }
        if let Some(bar) = part.out.bars.get_mut(last as usize) {
            bar.flow.ending_stops = true;
        }
    }

    fn measure(&mut self, node: Node<'a, 'i>) {
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

    /// Puts something beside the music aside until all music is known.
    pub(super) fn control(&mut self, node: Node<'a, 'i>, among: Option<(usize, i64)>) {
        if !control::is_silent(name(node)) {
            self.controls.push(Control { node, bar: self.bar, among });
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

    /// Keeps where an event is, if something refers to it.
    pub(super) fn note_target(&mut self, node: Node<'a, 'i>, target: Target) {
        if let Some(id) = tree::id(node).filter(|id| self.survey.referred.contains(id)) {
            self.targets.entry(id).or_insert(target);
        }
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

    /// Reads a staff. Answers over how many bars it rests, 1 if it does not.
    fn staff(&mut self, node: Node<'a, 'i>) -> u32 {
        let Some(staff) = self.staff_idx(node.attribute("n"), node.attribute("def")) else {
            let pos = self.here();
            let n = node.attribute("n").unwrap_or_default().to_owned();
            self.log.add(Code::PartListOdd, pos, node.range().start, || {
                format!("staff \"{n}\" has music but is not defined; it was left out")
            });
            return 1;
        };
        self.copies(node);
        let mut rest_bars = 1;
        let mut nth = 0;
        for item in contents(node) {
            self.copies(item);
            match name(item) {
                "layer" => {
                    nth += 1;
                    rest_bars = self.layer(item, staff, nth).max(rest_bars);
                }
                "ossia" | "oLayer" | "annot" | "pb" | "sb" | "cb" => {}
                "staffDef" | "scoreDef" | "layerDef" => {}
                _ if control::is_control(name(item)) => self.control(item, Some((staff, 0))),
                _ => self.not_understood(item),
            }
        }
        rest_bars
    }

    fn layer(&mut self, node: Node<'a, 'i>, staff: usize, nth: u32) -> u32 {
        let Some((part, number)) = self.staves.get(staff).map(|staff| (staff.part, staff.number))
        else {
            return 1;
        };
        let stated = node.attribute("n").map(str::trim).filter(|n| !n.is_empty());
        let name = stated.map_or_else(|| nth.to_string(), str::to_owned);
        let Some(voice) = self.parts.get_mut(part).map(|part| part.voice(number, &name)) else {
            return 1;
        };
        let mut layer = Layer::new(staff, part, number, voice);
        let frame = Frame { cue: node.attribute("cue") == Some("true"), ..Frame::default() };
        match lone_whole_rest(node) {
            Some(rest) => self.bar_rest(rest, &mut layer),
            None => self.events(node, frame, &mut layer),
        }
        self.end_layer(layer)
    }

    fn report(&mut self) {
        for (name, unknown) in std::mem::take(&mut self.unknown) {
            let Unknown { count, pos, byte } = unknown;
            self.log.add(Code::ElementUnknown, pos, byte, || {
                format!("<{name}> is not understood here and was left out ({count} times in all)")
            });
        }
        let Unknown { count, pos, byte } = std::mem::take(&mut self.implied);
        if count > 0 {
            self.log.add(Code::AlterationImplied, pos, byte, || {
                format!(
                    "{count} notes state no alteration; it was taken from the key signature and from \
                     the accidentals of their bar"
                )
            });
        }
    }
}

impl Unknown {
    /// Counts one more.
    pub(super) fn add(&mut self, pos: Pos, byte: usize) {
        if self.count == 0 {
            (self.pos, self.byte) = (pos, byte);
        }
        self.count = self.count.saturating_add(1);
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

/// The rest of a layer that holds nothing but a whole rest: it stands for a bar of any meter (common
/// practice).
fn lone_whole_rest<'a, 'i: 'a>(layer: Node<'a, 'i>) -> Option<Node<'a, 'i>> {
    let items = contents(layer);
    let [rest] = items.as_slice() else { return None };
    let whole = name(*rest) == "rest" && rest.attribute("dur").map(str::trim) == Some("1");
    (whole && super::survey::dots(*rest) == 0).then_some(*rest)
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
