//! The score: read-only once built, movements with flat onset-sorted tables.
//!
//! Written order is the truth. Nothing here knows files, marks or analyses.

use crate::bar::{BarAddress, BarIndex, BarTable, MovementId};
use crate::event::{Marking, Note, NoteTraits, Rest};
use crate::instrument::InstrumentId;
use crate::meter::Meter;
use crate::part::{Part, PartIdx, PartKey, PlayerSet};
use crate::part_bars::{OwnMeter, RepeatedBar};
use crate::pitch::{Step, Transposition};
use crate::time::{Quarters, Resolution, Ticks};
use std::sync::Arc;

/// A work in one or more movements.
#[derive(Clone, Debug, Default)]
pub struct Score {
    /// The title of the work; empty if no file says one.
    pub title: String,
    /// The composer; empty if no file says one.
    pub composer: String,
    /// Where the movements were read from.
    pub sources: Vec<Source>,
    /// The parts of the whole work in score order; a movement need not use all.
    pub parts: Vec<Part>,
    /// The movements in order.
    pub movements: Vec<Arc<Movement>>,
}

impl Score {
    /// The part with this permanent name.
    pub fn part_by_key(&self, key: &PartKey) -> Option<PartIdx> {
        let idx = self.parts.iter().position(|part| part.key == *key)?;
        u16::try_from(idx).ok().map(PartIdx)
    }

    /// The parts with their places, in score order.
    pub fn parts(&self) -> impl Iterator<Item = (PartIdx, &Part)> {
        self.parts.iter().enumerate().map(|(idx, part)| (PartIdx(idx as u16), part))
    }

    /// The movement with this id and its place in the order.
    pub fn movement(&self, id: MovementId) -> Option<(usize, &Arc<Movement>)> {
        self.movements.iter().enumerate().find(|(_, movement)| movement.id == id)
    }
}

/// A file (or typed bar map) that movements come from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Source {
    /// The file name, without folders; for a bar map the movement's name.
    pub name: String,
    /// FNV-1a 64 of the bytes, for telling whether the file has changed.
    pub fingerprint: u64,
}

/// One movement.
#[derive(Clone, Debug, Default)]
pub struct Movement {
    /// Its permanent name; numbered from 1 when no study says otherwise.
    pub id: MovementId,
    /// The title; empty if none is known.
    pub title: String,
    /// Index into [`Score::sources`]; of a movement joined by hand, that of its first bar.
    pub source: usize,
    /// The entry of that source's archive; the file's name if it is not packed.
    pub entry: String,
    /// Where a movement joined by hand takes up another source: first bar and source, in order.
    pub pieces: Vec<(BarIndex, usize)>,
    /// Ticks in a quarter.
    pub resolution: Resolution,
    /// The bars.
    pub bars: BarTable,
    /// Tempo marks in order of position; at one position printed marks come before playback.
    pub tempi: Vec<TempoMark>,
    /// Key signatures in order; the concert key where the file allows to know it.
    pub keys: Vec<KeyMark>,
    /// The music of each part of the work, by [`PartIdx`]; parts that are absent are empty.
    pub music: Vec<PartMusic>,
}

impl Movement {
    /// The music of a part; `None` if the part does not exist.
    pub fn part(&self, part: PartIdx) -> Option<&PartMusic> {
        self.music.get(part.idx())
    }

    /// The source that a bar comes from: index into [`Score::sources`].
    pub fn source_of(&self, bar: BarIndex) -> usize {
        let after = self.pieces.partition_point(|(from, _)| *from <= bar);
        let piece = after.checked_sub(1).and_then(|idx| self.pieces.get(idx));
        piece.map_or(self.source, |(_, source)| *source)
    }

    /// The parts that are present, in score order.
    pub fn parts(&self) -> impl Iterator<Item = (PartIdx, &PartMusic)> {
        let present = |(_, music): &(usize, &PartMusic)| music.present;
        let with_idx = |(idx, music)| (PartIdx(idx as u16), music);
        self.music.iter().enumerate().filter(present).map(with_idx)
    }

    /// Bar and offset of a position.
    pub fn place(&self, at: Ticks) -> (BarIndex, Quarters) {
        self.bars.place(at, self.resolution)
    }

    /// The address of a position.
    pub fn address(&self, at: Ticks) -> BarAddress {
        let (bar, offset) = self.place(at);
        BarAddress { movement: self.id, bar, offset }
    }

    /// The position of an address in this movement; `None` if the bar does not exist.
    pub fn ticks(&self, address: BarAddress) -> Option<Ticks> {
        self.bars.ticks(address.bar, address.offset, self.resolution)
    }

    /// The beat of an offset in a bar, from 1, as the meter counts: dotted values in 6/8 and the
    /// like, the lower figure otherwise. An upbeat and the second half of a bar count up to the end
    /// of the full bar. `None` without a meter, and at the end of the bar.
    pub fn beat(&self, bar: BarIndex, offset: Quarters) -> Option<Quarters> {
        let row = self.bars.get(bar).filter(|row| !row.meter.is_unmeasured())?;
        if offset >= self.resolution.quarters(row.length) {
            return None;
        }
        let missing = row.nominal.since(row.length).0.max(0);
        let shift = if row.pickup || row.continues { missing } else { 0 };
        let from_start = offset.checked_add(self.resolution.quarters(Ticks(shift)))?;
        let per_beat = if row.meter.is_compound() { 3 } else { 1 };
        let unit = i64::from(row.meter.unit());
        from_start.scaled(unit, 4 * per_beat)?.checked_add(Quarters::new(1, 1)?)
    }

    /// The label of a bar as a person would call it: its number, "upbeat" for a bar without one
    /// that is a pickup, else "after 12" for a bar without a number.
    pub fn bar_name(&self, bar: BarIndex) -> String {
        let Some(here) = self.bars.get(bar) else { return String::from("?") };
        if !here.label.is_empty() {
            return here.label.clone();
        }
        if here.pickup {
            return String::from("upbeat");
        }
        match self.bars.last_labeled(bar) {
            Some(last) => format!("after {}", last.label),
            None => String::from("before the first number"),
        }
    }
}

/// What one part plays in one movement.
#[derive(Clone, Debug, Default)]
pub struct PartMusic {
    /// Whether the movement has this part at all.
    pub present: bool,
    /// The id in the source file.
    pub source_id: String,
    /// The name in the source file.
    pub source_name: String,
    /// Number of staves, at least 1 when present.
    pub staves: u8,
    /// Sorted: see [`Note`].
    pub notes: Vec<Note>,
    /// Sorted by onset, staff, voice.
    pub rests: Vec<Rest>,
    /// Sorted by position, in file order at one position.
    pub markings: Vec<Marking>,
    /// Which instrument is in whose hands from where, in order; the first entry at tick 0 for
    /// everyone.
    pub instruments: Vec<InHand>,
    /// The transposition from where, in order; the first entry at tick 0 unless the part is
    /// untransposed.
    pub transpositions: Vec<Transposed>,
    /// In a score at concert pitch: how a part made from it for the player is transposed. The notes
    /// of this score are not moved by it.
    pub part_transpositions: Vec<Transposed>,
    /// The instruments that notes name, where the part has several in reach: see
    /// [`Note::struck`](crate::event::Note::struck).
    pub struck: Vec<StruckInstrument>,
    /// Bars filled by a repeat sign or slashes, sorted by bar and staff: they sound, whether the
    /// file spells out their music or not.
    pub repeated_bars: Vec<RepeatedBar>,
    /// Meters of its own, where they differ from those of the bars; sorted by first bar and staff.
    pub meters: Vec<OwnMeter>,
    /// Rests over several bars as printed: the first bar and how many.
    pub multiple_rests: Vec<(BarIndex, u32)>,
    /// Clefs, in order: position, staff, sign as in the file ("G", "F", "C", "percussion"), line.
    pub clefs: Vec<Clef>,
    /// Key signatures as printed in the part, by position, then staff; a movement that was not read
    /// from a file may have none.
    pub keys: Vec<WrittenKey>,
}

impl PartMusic {
    /// The signs that stand for music in a bar: none, or one for each staff that has one.
    pub fn repeats_in(&self, bar: BarIndex) -> &[RepeatedBar] {
        let first = self.repeated_bars.partition_point(|repeat| repeat.bar < bar);
        let last = self.repeated_bars.partition_point(|repeat| repeat.bar <= bar);
        self.repeated_bars.get(first..last).unwrap_or_default()
    }

    /// What bar repeats stand for where the file does not spell it out: the notes of the bars that
    /// are heard again, each with where it begins in the repeated bar; sorted by that.
    pub fn heard_again(&self, bars: &BarTable) -> Vec<(Ticks, &Note)> {
        let mut heard = Vec::new();
        for repeat in &self.repeated_bars {
            let Some(source) = repeat.source.and_then(|source| bars.get(source)) else { continue };
            let Some(here) = bars.get(repeat.bar) else { continue };
            let on_staff = |note: &&Note| repeat.staff.is_none_or(|staff| staff == note.staff);
            let written = self.notes_in(here.start, here.end());
            let under_sign = |note: &Note| note.traits.any(NoteTraits::UNDER_SIGN);
            if written.iter().filter(on_staff).any(under_sign) {
                continue;
            }
            let notes = self.notes_in(source.start, source.end()).iter().filter(on_staff);
            let moved = notes.map(|note| (here.start + (note.onset - source.start), note));
            heard.extend(moved.filter(|(onset, _)| *onset < here.end()));
        }
        heard.sort_by_key(|(onset, _)| *onset);
        heard
    }

    /// The part's own meter for a staff in a bar; `None` where the bar table's holds.
    pub fn own_meter(&self, bar: BarIndex, staff: u8) -> Option<&Meter> {
        let own = self.meters.iter().find(|own| own.holds(bar, staff));
        own.map(|own| &own.meter)
    }

    /// The instrument in the hands of the first player at a position.
    pub fn instrument_at(&self, at: Ticks) -> Option<InstrumentId> {
        self.instrument_of(PlayerSet::ALL, at)
    }

    /// The instrument in the hands of these players at a position; of the first of them when they
    /// differ.
    pub fn instrument_of(&self, players: PlayerSet, at: Ticks) -> Option<InstrumentId> {
        let after = self.instruments.partition_point(|taken| taken.at <= at).max(1);
        let player = players.first();
        let before = self.instruments.get(..after).unwrap_or_default().iter().rev();
        let own = before.into_iter().find(|taken| taken.players.contains(player));
        own.or(self.instruments.first()).map(|taken| taken.instrument)
    }

    /// The transposition that holds on a staff at a position.
    pub fn transposition_at(&self, staff: u8, at: Ticks) -> Transposition {
        let after = self.transpositions.partition_point(|mark| mark.at <= at);
        let before = self.transpositions.get(..after).unwrap_or_default().iter().rev();
        let own = before.into_iter().find(|mark| mark.staff.is_none_or(|own| own == staff));
        own.map(|mark| mark.transposition).unwrap_or_default()
    }

    /// The notes that begin in [from, to).
    pub fn notes_in(&self, from: Ticks, to: Ticks) -> &[Note] {
        let first = self.notes.partition_point(|note| note.onset < from);
        let last = self.notes.partition_point(|note| note.onset < to);
        self.notes.get(first..last).unwrap_or_default()
    }

    /// The markings in [from, to).
    pub fn markings_in(&self, from: Ticks, to: Ticks) -> &[Marking] {
        let first = self.markings.partition_point(|marking| marking.at < from);
        let last = self.markings.partition_point(|marking| marking.at < to);
        self.markings.get(first..last).unwrap_or_default()
    }
}

/// An instrument taken in hand.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct InHand {
    /// From where.
    pub at: Ticks,
    /// Who takes it.
    pub players: PlayerSet,
    /// What.
    pub instrument: InstrumentId,
}

impl InHand {
    /// What everyone in the part has in hand from the start.
    pub fn first(instrument: InstrumentId) -> Self {
        Self { at: Ticks::ZERO, players: PlayerSet::ALL, instrument }
    }
}

/// A transposition and where it begins.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Transposed {
    /// From where.
    pub at: Ticks,
    /// The 1-based staff it holds for; `None` for all staves of the part.
    pub staff: Option<u8>,
    /// From written to sounding.
    pub transposition: Transposition,
}

/// One of several instruments that a player strikes.
#[derive(Clone, PartialEq, Debug)]
pub struct StruckInstrument {
    /// As the file names it, in one line.
    pub name: Box<str>,
    /// The row of the catalog; `None` if the name is not known.
    pub instrument: Option<InstrumentId>,
}

/// A clef and where it begins.
#[derive(Clone, PartialEq, Debug)]
pub struct Clef {
    /// From where.
    pub at: Ticks,
    /// 1-based staff.
    pub staff: u8,
    /// "G", "F", "C", "percussion", "TAB", "none".
    pub sign: String,
    /// The staff line it sits on, 1 from the bottom.
    pub line: u8,
    /// Octaves up (+) or down (-).
    pub octaves: i8,
}

/// A key signature as printed in a part, before transposition, and where it begins.
#[derive(Clone, PartialEq, Debug)]
pub struct WrittenKey {
    /// From where.
    pub at: Ticks,
    /// The staff that it holds for, 1-based; `None` if it holds for all staves of the part.
    pub staff: Option<u8>,
    /// What is printed.
    pub signature: KeySignature,
}

/// The accidentals of a key signature.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum KeySignature {
    /// An ordinary signature.
    Circle {
        /// Sharps (+) or flats (-), -30..=30.
        fifths: i8,
        /// The mode as the file states it; empty if none.
        mode: String,
    },
    /// Any accidentals in the order in which they are printed: the step and its alteration in quarter
    /// tones. Empty: no signature.
    Free(Vec<(Step, i8)>),
}

/// A key signature and where it begins.
#[derive(Clone, PartialEq, Debug)]
pub struct KeyMark {
    /// From where.
    pub at: Ticks,
    /// Sharps (+) or flats (-), in concert pitch, -7..=7 in ordinary music.
    pub fifths: i8,
    /// The mode as the file states it ("major", "minor", a church mode); empty if none.
    pub mode: String,
}

/// A tempo mark as written.
#[derive(Clone, PartialEq, Debug)]
pub struct TempoMark {
    /// Where.
    pub at: Ticks,
    /// The bar it is written in.
    pub bar: BarIndex,
    /// What it asks for.
    pub kind: TempoKind,
    /// The words beside it, as written; empty if none.
    pub words: String,
    /// Line in the source file, 1-based; 0 for marks by hand.
    pub line: u32,
}

/// What a tempo mark asks for.
#[derive(Clone, PartialEq, Debug)]
pub enum TempoKind {
    /// A printed metronome mark.
    Metronome {
        /// The note value that is counted.
        unit: Quarters,
        /// Beats a minute, greater than 0; the lower end of a range.
        per_minute: f64,
        /// The upper end of a range.
        up_to: Option<f64>,
        /// "ca." or the like.
        about: bool,
    },
    /// Old value = new value. `old` lasted as long as `new` lasts from here.
    Equation {
        /// Before.
        old: Quarters,
        /// From here.
        new: Quarters,
    },
    /// The tempo of the playback element, quarters a minute, greater than 0.
    Playback(f64),
    /// A tempo word (Andante, Allegro molto).
    Term,
    /// Slower or faster by degrees.
    Gradual {
        /// Faster or slower.
        faster: bool,
        /// Where it ends, if the file says (dashes); otherwise at the next tempo.
        end: Option<Ticks>,
    },
    /// Back to the tempo before the last change by degrees (a tempo).
    ATempo,
    /// Back to the first tempo of the movement.
    TempoPrimo,
    /// No clock holds from here until the next tempo (rubato, colla parte, senza misura).
    Free,
    /// Pairs of notes are played unevenly from here.
    Swing {
        /// How long the first of a pair is to the second, both greater than 0; `None` if the score
        /// does not say.
        ratio: Option<(u32, u32)>,
        /// The note value of each of the pair as written.
        unit: Quarters,
    },
    /// Pairs of notes are even again.
    Straight,
}
