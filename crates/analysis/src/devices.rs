//! Mutes, bows and other techniques as states from place to place, with the words behind them.

use barloom_core::event::Device;
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// A technique in force for some players over a span.
#[derive(Clone, PartialEq, Debug)]
pub struct DeviceSpan {
    /// The part.
    pub part: PartIdx,
    /// Whom it binds.
    pub players: PlayerSet,
    /// The technique.
    pub device: Device,
    /// From where.
    pub from: Ticks,
    /// To where, exclusive; the end of the movement if nothing ends it.
    pub to: Ticks,
    /// The words that began it, as written.
    pub words: String,
    /// The words that ended it; empty if nothing did.
    pub end_words: String,
    /// Whether a marking ends it.
    pub ended: bool,
    /// Line in the source file where it begins, 0 when there is none.
    pub line: u32,
}

/// The techniques of one movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct DevicesTrack {
    /// Sorted by part, then place.
    pub spans: Vec<DeviceSpan>,
}

impl DevicesTrack {
    /// The techniques of a movement. A device ends where a marking ends it, or where another device of
    /// its group begins for the same players; arco ends plucking and wood.
    pub fn of(_movement: &Movement) -> Self {
        Self::default()
    }

    /// The spans of one part.
    pub fn of_part(&self, part: PartIdx) -> &[DeviceSpan] {
        let first = self.spans.partition_point(|span| span.part < part);
        let last = self.spans.partition_point(|span| span.part <= part);
        self.spans.get(first..last).unwrap_or_default()
    }

    /// The techniques in force for a part at a place.
    pub fn at(&self, part: PartIdx, at: Ticks) -> impl Iterator<Item = &DeviceSpan> {
        self.of_part(part).iter().filter(move |span| span.from <= at && at < span.to)
    }
}
