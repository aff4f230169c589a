//! The walk through one score: sections, endings, bars, staves. What hangs beside the staves waits
//! until all music is known, because it may refer to bars that are still to come.

use super::control;
use super::layer::{Frame, Layer};
use super::state::{Part, Staff};
use super::survey::Survey;
use super::tree::{self, contents};
use crate::diag::Code;
use crate::import::error::ImportError;
use crate::import::log::Log;
use crate::import::musicxml::ending_numbers;
use crate::import::raw::{Pos, RawPart};
use crate::import::watch::Watch;
use crate::import::xml::{Node, Sheet, name};
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
    pub(super) watch: &'s Watch,
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
    pub(super) left_out: usize,
    /// The next bar begins a repeat.
    pub(super) repeat_next: bool,
    /// The next bar has the sign.
    pub(super) segno_next: bool,
    pub(super) failure: Option<ImportError>,
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
        let stated = ["n", "label"].iter().find_map(|wanted| node.attribute(wanted));
        let numbers = ending_numbers(stated.unwrap_or_default());
        if let Some(bar) = part.out.bars.get_mut(first as usize) {
            bar.flow.endings = if numbers.is_empty() { vec![1] } else { numbers };
        }
        if let Some(bar) = part.out.bars.get_mut(last as usize) {
            bar.flow.ending_stops = true;
        }
    }

    /// Puts something beside the music aside until all music is known.
    pub(super) fn control(&mut self, node: Node<'a, 'i>, among: Option<(usize, i64)>) {
        if !control::is_silent(name(node)) {
            self.controls.push(Control { node, bar: self.bar, among });
        }
    }

    /// Keeps where an event is, if something refers to it.
    pub(super) fn note_target(&mut self, node: Node<'a, 'i>, target: Target) {
        if let Some(id) = tree::id(node).filter(|id| self.survey.referred.contains(id)) {
            self.targets.entry(id).or_insert(target);
        }
    }

    /// Reads a staff. Answers over how many bars it rests, 1 if it does not.
    pub(super) fn staff(&mut self, node: Node<'a, 'i>) -> u32 {
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

/// The rest of a layer that holds nothing but a whole rest: it stands for a bar of any meter (common
/// practice).
fn lone_whole_rest<'a, 'i: 'a>(layer: Node<'a, 'i>) -> Option<Node<'a, 'i>> {
    let items = contents(layer);
    let [rest] = items.as_slice() else { return None };
    let whole = name(*rest) == "rest" && rest.attribute("dur").map(str::trim) == Some("1");
    (whole && super::survey::dots(*rest) == 0).then_some(*rest)
}
