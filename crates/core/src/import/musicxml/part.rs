//! The walk through one part: where the cursor stands, and which state holds.

use super::Measure;
use super::levels::Wedge;
use crate::bar::BarIndex;
use crate::diag::Code;
use crate::event::Device;
use crate::import::error::ImportError;
use crate::import::header::PartHeader;
use crate::import::limits::MAX_BAR_QUARTERS;
use crate::import::raw::{Pos, RawBar, RawMeter, RawPart};
use crate::import::xml::{Node, Sheet, child_text, decimal, elements, name, says_yes, text};
use crate::pitch::Transposition;
use crate::time::Ticks;

/// Marks that belong to the start of a bar.
#[derive(Default)]
pub(super) struct Waiting {
    /// Signs with the names that playback has for them.
    pub(super) segno: Vec<(Pos, String)>,
    pub(super) coda: Vec<(Pos, String)>,
    pub(super) rehearsal: Vec<(Pos, String)>,
}

/// Reads the bars of one part in order.
pub(super) struct PartReader<'s> {
    pub(super) sheet: &'s Sheet<'s>,
    /// Where the positions of the tree begin in the document.
    base: usize,
    pub(super) out: RawPart,
    /// Ticks in a quarter.
    pub(super) resolution: i64,
    /// Divisions in a quarter as a fraction; `None` until the file says so.
    divisions: Option<(i64, i64)>,
    /// Whether the missing divisions were reported.
    divisions_reported: bool,
    /// The bar being read.
    pub(super) bar: RawBar,
    pub(super) bar_idx: u32,
    /// Ticks from the start of the bar.
    pub(super) cursor: i64,
    /// Onset of the note that chord notes join; `None` at the start of a bar.
    pub(super) chord_onset: Option<i64>,
    /// The farthest that further heads of chords reach in this bar.
    pub(super) chord_end: i64,
    pub(super) voices: super::voice::Voices,
    /// The transposition of all staves.
    pub(super) transposition: Transposition,
    /// Staves that are transposed otherwise.
    pub(super) staff_transpositions: Vec<(u8, Transposition)>,
    /// The place of the instrument that a note named last in the part's list.
    pub(super) last_listed: u8,
    /// Harmonics and diamonds of the chord being read.
    pub(super) harmonics: Vec<super::harmonics::Head>,
    /// Where the last head of the chord being read stands in the document.
    pub(super) chord_byte: usize,
    /// Open wavy lines: voice, and the note they begin at.
    pub(super) trills: Vec<(u8, usize)>,
    /// A wavy line that ends with the chord being read: the note it begins at, and its voice.
    pub(super) trill_ends: Option<(usize, u8)>,
    /// Open hairpins.
    pub(super) wedges: Vec<Wedge>,
    /// Ends of hairpins in this bar whose beginning was not read yet.
    pub(super) unbegun: Vec<Wedge>,
    /// Open dashes: number in the file and what they lengthen.
    pub(super) dashes: Vec<(u8, usize)>,
    /// The last text read, with its bar position, for dashes that follow it.
    pub(super) last_words: Option<usize>,
    /// The signs in force that stand for music.
    pub(super) styles: Vec<super::style::Style>,
    /// The time signatures of this bar with their places.
    pub(super) meters_here: Vec<(i64, RawMeter)>,
    /// Marks of this bar that belong to its start, or to the next bar's if they stand at its end.
    pub(super) waiting: Waiting,
    /// The mute that playback elements outside of notes last named.
    pub(super) sound_mute: (Device, bool),
    /// The mute that playback elements put on now.
    pub(super) play_mute: (Device, bool),
    /// Open ties.
    pub(super) ties: Vec<super::note::OpenTie>,
    /// The line counter's last place: bytes come in order, so lines are found by walking on.
    line: (usize, u32),
}

impl<'s> PartReader<'s> {
    pub(super) fn new(
        sheet: &'s Sheet<'s>,
        base: usize,
        header: PartHeader,
        resolution: u32,
    ) -> Self {
        Self {
            sheet,
            base,
            out: RawPart { header, staves: 1, ..RawPart::default() },
            resolution: i64::from(resolution),
            divisions: None,
            divisions_reported: false,
            bar: RawBar::default(),
            bar_idx: 0,
            cursor: 0,
            chord_onset: None,
            chord_end: 0,
            voices: Default::default(),
            transposition: Transposition::default(),
            staff_transpositions: Vec::new(),
            last_listed: 0,
            harmonics: Vec::new(),
            chord_byte: 0,
            trills: Vec::new(),
            trill_ends: None,
            wedges: Vec::new(),
            unbegun: Vec::new(),
            dashes: Vec::new(),
            last_words: None,
            styles: Vec::new(),
            meters_here: Vec::new(),
            waiting: Waiting::default(),
            sound_mute: (Device::Mute, false),
            play_mute: (Device::Mute, false),
            ties: Vec::new(),
            line: (0, 0),
        }
    }

    /// Reads one bar.
    pub(super) fn measure(&mut self, measure: Measure<'_, '_>) {
        let attributes = measure.attributes;
        let number = attributes.attribute("number").unwrap_or_default().trim();
        let printed = attributes.attribute("text").map_or(number, str::trim);
        let implicit = says_yes(attributes, "implicit");
        self.bar = RawBar {
            empty: true,
            label: if implicit { String::new() } else { printed.to_owned() },
            number: number.to_owned(),
            implicit,
            byte: self.byte(attributes),
            ..RawBar::default()
        };
        if says_yes(attributes, "non-controlling") {
            let pos = Pos { bar: self.bar_idx, offset: 0 };
            self.out.log.add(Code::BarlinesApart, pos, self.bar.byte, || {
                String::from("the bar does not begin together with the other parts; it was set beside the bar of the same count")
            });
        }
        self.cursor = 0;
        self.chord_onset = None;
        self.chord_end = 0;
        self.voices.begin_bar();
        let notes_before = self.out.notes.len();
        // A timewise measure that lacks the part has the measure itself as its music, whose
        // children are parts, which are no music.
        for node in elements(measure.music) {
            self.element(node);
        }
        self.close_chord();
        self.settle_styles();
        self.settle_meters();
        if self.chord_end > self.bar.length {
            self.cut_chords(notes_before, measure.attributes);
        }
        self.report_unbegun();
        self.settle_waiting();
        self.out.bars.push(std::mem::take(&mut self.bar));
        self.bar_idx += 1;
    }

    /// Ends the further heads of chords with the bar: the standard says that they move no time, so
    /// one that is longer than the first head of its chord cannot lengthen the bar.
    fn cut_chords(&mut self, first: usize, measure: Node<'_, '_>) {
        let end = self.bar.length;
        let notes = self.out.notes.get_mut(first..).unwrap_or_default();
        for note in notes.iter_mut().filter(|note| note.end().0 > end) {
            note.length = Ticks(end).since(note.onset);
        }
        let over = self.quarters_text(self.chord_end - end);
        self.out.log.add(Code::ChordNoteCut, self.pos(), self.byte(measure), || {
            format!(
                "a chord note reaches {over} quarters past the end of the bar; it was cut there"
            )
        });
    }

    /// Gives the waiting marks to this bar, except those that stand behind everything in it: they
    /// wait on for the next bar.
    fn settle_waiting(&mut self) {
        let length = self.bar.length;
        let here = self.bar_idx;
        let behind = |pos: &Pos| pos.bar == here && pos.offset > 0 && pos.offset >= length;
        let waiting = &mut self.waiting;
        settle_signs(&mut waiting.segno, &mut self.bar.flow.segno, behind);
        settle_signs(&mut waiting.coda, &mut self.bar.flow.coda, behind);
        let (later, now): (Vec<_>, Vec<_>) =
            waiting.rehearsal.drain(..).partition(|(pos, _)| behind(pos));
        waiting.rehearsal = later;
        self.bar.rehearsal.extend(now.into_iter().map(|(_, mark)| mark));
    }

    fn element(&mut self, node: Node<'_, '_>) {
        match name(node) {
            "note" => self.note(node),
            "backup" => self.backup(node),
            "forward" => self.forward(node),
            "direction" => self.direction(node),
            "attributes" => self.attributes(node),
            "barline" => self.barline(node),
            "sound" => {
                let at = self.pos();
                self.sound(node, at, None);
            }
            // Chord symbols, figured bass, groupings, links and listening hints change nothing
            // that is played.
            _ => {}
        }
    }

    fn backup(&mut self, node: Node<'_, '_>) {
        let back = self.duration(node);
        self.chord_onset = None;
        if back > self.cursor {
            let byte = self.byte(node);
            let over = back - self.cursor;
            let over = self.quarters_text(over);
            self.out.log.add(Code::BackupTooLong, self.pos(), byte, || {
                format!("the step back goes {over} quarters before the start of the bar")
            });
        }
        self.cursor = (self.cursor - back).max(0);
    }

    fn forward(&mut self, node: Node<'_, '_>) {
        let length = self.duration(node);
        self.chord_onset = None;
        self.advance(length, node);
    }

    /// Moves the cursor on and makes the bar at least that long.
    pub(super) fn advance(&mut self, length: i64, node: Node<'_, '_>) {
        self.cursor = self.held(self.cursor.saturating_add(length), node);
        self.bar.length = self.bar.length.max(self.cursor);
    }

    /// A position held inside the longest bar.
    pub(super) fn held(&mut self, at: i64, node: Node<'_, '_>) -> i64 {
        let longest = MAX_BAR_QUARTERS * self.resolution;
        if at > longest {
            let byte = self.byte(node);
            self.out.log.add(Code::BarTooLong, self.pos(), byte, || {
                format!("the bar is longer than {MAX_BAR_QUARTERS} quarters; the rest was cut")
            });
        }
        at.min(longest)
    }

    /// A limit that is met at a bar.
    pub(super) fn too_large(&self, bar: Measure<'_, '_>, what: &str, limit: usize) -> ImportError {
        self.sheet.too_large(self.byte(bar.attributes), what, limit as u64)
    }

    /// Where a node begins in the document.
    pub(super) fn byte(&self, node: Node<'_, '_>) -> usize {
        self.base + node.range().start
    }

    /// Where the cursor stands.
    pub(super) fn pos(&self) -> Pos {
        Pos { bar: self.bar_idx, offset: self.cursor }
    }

    /// The bar being read.
    pub(super) fn bar_index(&self) -> BarIndex {
        BarIndex(self.bar_idx)
    }

    /// The line of a node. Nodes are asked in order, so this walks on from the last one.
    pub(super) fn line_of(&mut self, node: Node<'_, '_>) -> u32 {
        let byte = self.byte(node);
        let (last, line) = self.line;
        let line = match self.sheet.text.get(last..byte) {
            Some(between) if line > 0 && between.len() < 4096 => {
                line + memchr::memchr_iter(b'\n', between.as_bytes()).count() as u32
            }
            _ => self.sheet.line(byte),
        };
        self.line = (byte, line);
        line
    }

    /// The length in a node's duration, in ticks; 0 with a finding if there is none.
    pub(super) fn duration(&mut self, node: Node<'_, '_>) -> i64 {
        match child_text(node, "duration") {
            Some(text) => self.ticks(text, node).unwrap_or(0),
            None => {
                let byte = self.byte(node);
                self.out.log.add(Code::DurationUnreadable, self.pos(), byte, || {
                    format!("<{}> has no duration", name(node))
                });
                0
            }
        }
    }

    /// A number of divisions in ticks, 0 or more; `None` with a finding if it is no such number.
    pub(super) fn ticks(&mut self, text: &str, node: Node<'_, '_>) -> Option<i64> {
        let value = decimal(text).filter(|(num, _)| *num >= 0);
        let Some((num, den)) = value else {
            let byte = self.byte(node);
            self.out.log.add(Code::DurationUnreadable, self.pos(), byte, || {
                format!("the duration \"{text}\" is no number of divisions")
            });
            return None;
        };
        let (ticks, whole) = self.scaled(num, den, node);
        if !whole {
            let byte = self.byte(node);
            self.out.log.add(Code::DurationRounded, self.pos(), byte, || {
                format!("the duration \"{text}\" is not whole at the finest division")
            });
        }
        Some(ticks)
    }

    /// An offset in divisions, which may be negative, in ticks, rounded to whole ones.
    pub(super) fn offset(&mut self, node: Node<'_, '_>) -> i64 {
        let offset = elements(node).find(|child| name(*child) == "offset");
        let Some((num, den)) = offset.and_then(|offset| decimal(text(offset))) else { return 0 };
        self.scaled(num, den, node).0
    }

    fn scaled(&mut self, num: i64, den: i64, node: Node<'_, '_>) -> (i64, bool) {
        if self.divisions.is_none() && !self.divisions_reported {
            self.divisions_reported = true;
            let byte = self.byte(node);
            self.out.log.add(Code::DivisionsMissing, self.pos(), byte, || {
                String::from("no divisions are stated; one a quarter was assumed")
            });
        }
        let (per_quarter, under) = self.divisions.unwrap_or((1, 1));
        // As nearly all numbers are: whole, and far from what 64 bits hold.
        if let (1, 1, -0x4000_0000..0x4000_0000) = (den, under, num) {
            let (over, longest) = (num * self.resolution, MAX_BAR_QUARTERS * self.resolution + 1);
            return ((over / per_quarter).clamp(-longest, longest), over % per_quarter == 0);
        }
        let over = i128::from(num) * i128::from(self.resolution) * i128::from(under);
        let below = i128::from(den) * i128::from(per_quarter);
        let longest = i128::from(MAX_BAR_QUARTERS) * i128::from(self.resolution) + 1;
        let ticks = (over / below).clamp(-longest, longest);
        (i64::try_from(ticks).unwrap_or(0), over % below == 0)
    }

    /// New divisions.
    pub(super) fn set_divisions(&mut self, node: Node<'_, '_>) {
        let stated = text(node);
        match decimal(stated).filter(|(num, _)| *num > 0) {
            Some(divisions) => self.divisions = Some(divisions),
            None => {
                let byte = self.byte(node);
                self.out.log.add(Code::DivisionsUnreadable, self.pos(), byte, || {
                    format!("\"{stated}\" is no number of divisions")
                });
            }
        }
    }

    /// The length of one division.
    pub(super) fn division(&self) -> crate::time::Quarters {
        let (per_quarter, under) = self.divisions.unwrap_or((1, 1));
        crate::time::Quarters::new(under, per_quarter).unwrap_or_default()
    }

    /// Ticks as quarters in words.
    pub(super) fn quarters_text(&self, ticks: i64) -> String {
        crate::time::Quarters::new(ticks, self.resolution).unwrap_or_default().to_string()
    }

    /// The number of a staff.
    pub(super) fn staff(stated: Option<&str>) -> Option<u8> {
        stated.and_then(|text| text.parse().ok()).filter(|staff| *staff > 0)
    }

    /// The finished part.
    pub(super) fn finish(mut self) -> RawPart {
        self.close_hairpins();
        self.close_ties();
        self.out
    }
}

/// Takes the signs that do not stand behind everything in the bar. A sign that is both drawn and
/// named for playback is one, with the name.
fn settle_signs(
    waiting: &mut Vec<(Pos, String)>,
    sign: &mut Option<String>,
    behind: impl Fn(&Pos) -> bool,
) {
    for (_, name) in waiting.extract_if(.., |(pos, _)| !behind(pos)) {
        let known = sign.get_or_insert_default();
        if known.is_empty() {
            *known = name;
        }
    }
}
