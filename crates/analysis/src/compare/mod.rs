//! Two passages side by side: which bars answer each other, what stayed and what changed.
//!
//! Bars of passages of equal length answer each other one by one; otherwise they are paired by what
//! sounds in them. What is compared is what sounds, so that a passage in another key stays itself; by
//! what interval it is moved is found first. The aspects are those by which the trade describes a
//! scoring (common practice): line, who carries and doubles it, accompaniment, manner, level, register,
//! harmony, forces, texture, tempo, meter.

mod align;
mod aspects;
mod carriers;
mod facts;
mod figures;
mod portrait;
mod say;
mod sheet;

pub use facts::facts;
pub use sheet::{Cell, Sheet, SheetRow, sheet};

use crate::Tracks;
use crate::settings::CompareSettings;
use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::part::PartIdx;
use portrait::Portrait;

/// Bars of a movement.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Passage {
    /// The movement, 0-based.
    pub movement: usize,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
}

impl Passage {
    /// How many bars, at least 1.
    pub fn n_bars(self) -> usize {
        (self.to.0.saturating_sub(self.from.0) + 1) as usize
    }

    /// Whether a bar of a movement lies in it.
    pub fn has(self, movement: usize, bar: BarIndex) -> bool {
        self.movement == movement && self.from <= bar && bar <= self.to
    }
}

/// What is compared, in the order in which it is told.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Aspect {
    /// The notes of the leading line.
    Line,
    /// Who has it.
    Carrier,
    /// Who plays it along.
    Doubling,
    /// What goes under it.
    Accompaniment,
    /// Sounding pitch classes beat by beat.
    Harmony,
    /// How the parts relate.
    Texture,
    /// Which parts play.
    Forces,
    /// The band between softest and loudest.
    Level,
    /// Mutes, bows and other techniques.
    Manner,
    /// Highest and lowest note.
    Register,
    /// Quarters a minute.
    Tempo,
    /// The time signature.
    Meter,
}

impl Aspect {
    /// All, in order.
    pub const ALL: [Self; 12] = [
        Self::Line,
        Self::Carrier,
        Self::Doubling,
        Self::Accompaniment,
        Self::Harmony,
        Self::Texture,
        Self::Forces,
        Self::Level,
        Self::Manner,
        Self::Register,
        Self::Tempo,
        Self::Meter,
    ];

    /// The name in facts, on screen and on paper.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::Carrier => "who has the line",
            Self::Doubling => "doubling",
            Self::Accompaniment => "accompaniment",
            Self::Harmony => "harmony",
            Self::Texture => "texture",
            Self::Forces => "who plays",
            Self::Level => "level",
            Self::Manner => "manner",
            Self::Register => "register",
            Self::Tempo => "tempo",
            Self::Meter => "meter",
        }
    }
}

/// Two bars that answer each other, or one that nothing answers.
#[derive(Clone, PartialEq, Debug)]
pub struct BarPair {
    /// The bar of the first passage.
    pub first: Option<BarIndex>,
    /// The bar of the second passage.
    pub second: Option<BarIndex>,
    /// How alike the two sound, 0 to 1; 0 where one is missing.
    pub likeness: f32,
    /// What is different, in order; empty where one is missing.
    pub changed: Vec<Aspect>,
    /// Who plays the line in the first passage: who has it, then who plays along.
    pub first_line: Vec<PartIdx>,
    /// Who plays it in the second; if it is not there, who leads.
    pub second_line: Vec<PartIdx>,
}

/// Something that stayed or changed over pairs of bars that follow each other.
#[derive(Clone, PartialEq, Debug)]
pub struct Remark {
    /// What it is about; `None` for bars that nothing answers.
    pub aspect: Option<Aspect>,
    /// Whether it stayed.
    pub stayed: bool,
    /// First pair, an index into [`Comparison::bars`].
    pub from: usize,
    /// Last pair, inclusive.
    pub to: usize,
    /// In words: "Horn 1 instead of Clarinet 1".
    pub text: String,
    /// What was measured: "6 of 8 attacks of the line are there".
    pub evidence: String,
}

/// Two passages side by side.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Comparison {
    /// The first passage, cut to the bars that there are.
    pub first: Passage,
    /// The second one.
    pub second: Passage,
    /// The bars, in the order of both passages.
    pub bars: Vec<BarPair>,
    /// Semitones by which the second passage sounds higher; 0 where it does not or nothing is alike.
    pub transposition: i32,
    /// What stayed and what changed, by aspect, then place.
    pub remarks: Vec<Remark>,
    /// The whole in a few sentences.
    pub summary: Vec<String>,
}

/// The most bars of a passage that are compared; further ones are left out.
pub const MOST_BARS: usize = 1000;

/// Sets two passages side by side. `None` if a movement or a first bar does not exist, or its tracks
/// are not there yet; a last bar past the end is drawn back to it.
pub fn compare(
    basis: &Basis,
    tracks: &Tracks,
    first: Passage,
    second: Passage,
    settings: &CompareSettings,
) -> Option<Comparison> {
    let (first, one) = portraits(basis, tracks, first)?;
    let (second, other) = portraits(basis, tracks, second)?;
    let (pairs, shift) = align::pairs(&one, &other);
    let carriers = carriers::of(&one, &other, &pairs, shift, settings);
    let scene = aspects::Scene {
        basis,
        tracks,
        first,
        second,
        one: &one,
        other: &other,
        pairs: &pairs,
        carriers: &carriers,
        shift,
        settings,
    };
    let (bars, remarks) = scene.remarks();
    let mut comparison = Comparison {
        first,
        second,
        bars,
        transposition: carriers.transposition,
        remarks,
        summary: Vec::new(),
    };
    comparison.summary = say::summary(basis, &comparison);
    Some(comparison)
}

/// A passage cut to the bars that there are, and its bars as they sound.
fn portraits(basis: &Basis, tracks: &Tracks, passage: Passage) -> Option<(Passage, Vec<Portrait>)> {
    let movement = basis.score.movements.get(passage.movement)?;
    let tracks = tracks.movements.get(passage.movement)?;
    let last = movement.bars.last_index().filter(|last| passage.from <= *last)?;
    let most = BarIndex::from(passage.from.idx() + MOST_BARS - 1);
    let passage = Passage { to: passage.to.clamp(passage.from, last).min(most), ..passage };
    Some((passage, portrait::of(movement, tracks, passage)))
}

#[cfg(test)]
mod tests;
