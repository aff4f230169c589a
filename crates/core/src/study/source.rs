//! What a study remembers of the score it was made for: sources, movements, bar tables, parts.

use crate::bar::{BarIndex, MovementId};
use crate::part::PartKey;
use crate::time::Quarters;

/// A file or bar map that movements come from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum SourceRow {
    /// A score file.
    File {
        /// Path relative to the study's folder, with forward slashes.
        path: String,
        /// FNV-1a 64 of its bytes when last seen.
        fingerprint: u64,
    },
    /// A movement typed by hand, in the bar map's own plain grammar.
    BarMap {
        /// The text as typed.
        text: String,
    },
}

/// A run of bars of one source.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Span {
    /// Index into the study's sources.
    pub source: usize,
    /// Which movement the reader finds in that source, 0-based.
    pub movement: usize,
    /// First bar taken.
    pub from: BarIndex,
    /// Last bar taken, inclusive; `None` for all the rest.
    pub to: Option<BarIndex>,
}

/// A movement of the study. Reordering, splitting and joining change only this table.
#[derive(Clone, PartialEq, Debug)]
pub struct MovementRow {
    /// Permanent.
    pub id: MovementId,
    /// The title, from the score or by hand.
    pub title: String,
    /// Where its bars come from, joined in this order.
    pub spans: Vec<Span>,
    /// The bars as last seen, for finding every address again in a changed file.
    pub bars: Vec<BarSeen>,
}

/// A bar as last seen.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BarSeen {
    /// The printed label.
    pub label: String,
    /// The sounding length.
    pub length: Quarters,
    /// The meter, as text.
    pub meter: String,
    /// Hash of everything that sounds in the bar, exact pitch.
    pub exact: u64,
    /// The same without absolute pitch: survives a transposition of the whole bar.
    pub shape: u64,
    /// One hash a part, in the order of the study's parts; 0 for silence.
    pub parts: Vec<u64>,
}

/// A part as last seen.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartSeen {
    /// Permanent.
    pub key: PartKey,
    /// The printed name.
    pub name: String,
}
