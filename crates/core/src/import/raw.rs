//! One movement as read, before its bars are known: every event sits at a bar and an offset from
//! that bar's start, because a bar's length is known only when all parts have been read.

use super::header::PartHeader;
use super::log::Log;
use crate::bar::{BarFlow, Barline};
use crate::event::{MarkingKind, Note, Rest};
use crate::instrument::InstrumentId;
use crate::meter::Meter;
use crate::part::PlayerSet;
use crate::part_bars::RepeatedBar;
use crate::pitch::Transposition;
use crate::score::{KeySignature, TempoKind};

/// Bar and ticks from its start.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub(super) struct Pos {
    pub(super) bar: u32,
    pub(super) offset: i64,
}

/// A document as read.
#[derive(Debug, Default)]
pub(super) struct RawScore {
    pub(super) title: String,
    pub(super) movement_title: String,
    pub(super) composer: String,
    /// Ticks in a quarter.
    pub(super) resolution: u32,
    pub(super) parts: Vec<RawPart>,
}

/// A part as read.
///
/// In `notes` and `rests` the onset counts from the start of the bar.
#[derive(Debug, Default)]
pub(super) struct RawPart {
    pub(super) header: PartHeader,
    pub(super) bars: Vec<RawBar>,
    pub(super) notes: Vec<Note>,
    pub(super) rests: Vec<Rest>,
    pub(super) markings: Vec<RawMarking>,
    pub(super) words: Vec<RawWords>,
    pub(super) tempi: Vec<RawTempo>,
    pub(super) keys: Vec<(Pos, i8, String)>,
    /// As printed, with the staff if it holds for one only.
    pub(super) written_keys: Vec<(Pos, Option<u8>, KeySignature)>,
    pub(super) clefs: Vec<RawClef>,
    pub(super) transpositions: Vec<RawTransposed>,
    /// For parts made from a score at concert pitch.
    pub(super) part_transpositions: Vec<RawTransposed>,
    /// Changes that the file states for playback; what notes and words say is found later.
    pub(super) instruments: Vec<(Pos, InstrumentId)>,
    /// In order of bars; of several at one bar for one staff the last counts.
    pub(super) meters: Vec<RawMeter>,
    /// In order of bars, which are those of the document.
    pub(super) repeated_bars: Vec<RepeatedBar>,
    /// The first bar and how many, as printed.
    pub(super) multiple_rests: Vec<(u32, u32)>,
    pub(super) staves: u8,
    pub(super) log: Log,
}

/// A time signature as read.
#[derive(Debug, Clone)]
pub(super) struct RawMeter {
    /// The first bar it holds for.
    pub(super) bar: u32,
    /// The staff it is for; `None` for all.
    pub(super) staff: Option<u8>,
    pub(super) meter: Meter,
    /// The second of two signatures of which either may be meant.
    pub(super) other: Option<Meter>,
    pub(super) byte: usize,
}

/// One bar of one part.
#[derive(Debug, Clone, Default)]
pub(super) struct RawBar {
    /// The farthest that notes, rests and skips reach.
    pub(super) length: i64,
    /// The farthest that notes and rests reach.
    pub(super) filled: i64,
    /// Nothing but a rest for the whole bar, or nothing at all.
    pub(super) empty: bool,
    /// The printed number; empty if the bar is implicit or has none.
    pub(super) label: String,
    /// The number attribute as it stands.
    pub(super) number: String,
    /// The file marks it as not counted.
    pub(super) implicit: bool,
    pub(super) barline: Barline,
    /// The bar ends with a thick line, with or without repeat dots.
    pub(super) heavy_end: bool,
    /// What is printed about the order of play. Endings: only the numbers that begin here; they are
    /// spread later.
    pub(super) flow: BarFlow,
    /// What playback says about the order of play.
    pub(super) playback: Option<Box<BarFlow>>,
    /// "3x" in words: how often the repeat that ends here is played.
    pub(super) times: Option<u32>,
    /// Where the last jump or way out stands; 0 if there is none.
    pub(super) flow_byte: usize,
    pub(super) rehearsal: Vec<String>,
    /// Words at the start of the bar that look like the title of a movement.
    pub(super) heading: Option<String>,
    pub(super) byte: usize,
}

/// A marking as read.
#[derive(Debug, Clone)]
pub(super) struct RawMarking {
    pub(super) pos: Pos,
    /// Where it ends, for hairpins.
    pub(super) end: Option<Pos>,
    pub(super) staff: Option<u8>,
    pub(super) voice: Option<u8>,
    pub(super) players: PlayerSet,
    pub(super) kind: MarkingKind,
    pub(super) words: String,
    pub(super) byte: usize,
}

/// The text of one direction, not yet understood.
#[derive(Debug, Clone)]
pub(super) struct RawWords {
    pub(super) pos: Pos,
    /// Where the dashes behind it end.
    pub(super) end: Option<Pos>,
    pub(super) staff: Option<u8>,
    pub(super) voice: Option<u8>,
    pub(super) text: String,
    /// The text is framed.
    pub(super) framed: bool,
    /// Beside it stands a metronome mark or a playback tempo.
    pub(super) with_tempo: bool,
    /// Beside it a sign or an attribute already says where to jump.
    pub(super) with_jump: bool,
    /// It is set in bold or stands for all parts.
    pub(super) prominent: bool,
    pub(super) byte: usize,
}

impl RawWords {
    /// A text without anything beside it.
    pub(super) fn of(text: String) -> Self {
        Self {
            pos: Pos::default(),
            end: None,
            staff: None,
            voice: None,
            text,
            framed: false,
            with_tempo: false,
            with_jump: false,
            prominent: false,
            byte: 0,
        }
    }
}

/// A tempo mark as read.
#[derive(Debug, Clone)]
pub(super) struct RawTempo {
    pub(super) pos: Pos,
    /// Where it ends, for changes by degrees.
    pub(super) end: Option<Pos>,
    pub(super) kind: TempoKind,
    pub(super) words: String,
    pub(super) byte: usize,
}

/// A transposition as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct RawTransposed {
    pub(super) pos: Pos,
    /// 1-based; `None` for all staves.
    pub(super) staff: Option<u8>,
    pub(super) transposition: Transposition,
}

/// A clef as read.
#[derive(Debug, Clone)]
pub(super) struct RawClef {
    pub(super) pos: Pos,
    pub(super) staff: u8,
    pub(super) sign: String,
    pub(super) line: u8,
    pub(super) octaves: i8,
}
