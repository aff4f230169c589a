//! Effective dynamic levels of every part, hairpins, and the band between the softest and the
//! loudest part of each bar.

use crate::playing::PlayingTrack;
use barloom_core::bar::BarIndex;
use barloom_core::event::Level;
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// A level that holds for some players from a place on.
#[derive(Clone, PartialEq, Debug)]
pub struct LevelChange {
    /// From where.
    pub at: Ticks,
    /// The level.
    pub level: Level,
    /// Whom it binds.
    pub players: PlayerSet,
    /// As written; empty for a plain sign.
    pub words: String,
    /// Line in the source file, 0 when there is none.
    pub line: u32,
}

/// A hairpin, or cresc./dim. in words, with the end it was given or reaches.
#[derive(Clone, PartialEq, Debug)]
pub struct Hairpin {
    /// From where.
    pub from: Ticks,
    /// To where, exclusive.
    pub to: Ticks,
    /// Louder or softer.
    pub louder: bool,
    /// Whether the end is written (a sign, or a level that follows) and not assumed.
    pub end_written: bool,
    /// The level it leads to, if one follows at its end.
    pub target: Option<Level>,
}

/// The levels of one part.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct PartDynamics {
    /// Sorted by place.
    pub changes: Vec<LevelChange>,
    /// Sorted by place.
    pub hairpins: Vec<Hairpin>,
    /// Accents of the sf family, by place.
    pub accents: Vec<Ticks>,
}

impl PartDynamics {
    /// The level in force at a place, the loudest of its players; `None` before any is written.
    pub fn level_at(&self, at: Ticks) -> Option<Level> {
        let after = self.changes.partition_point(|change| change.at <= at);
        self.changes.get(..after)?.last().map(|change| change.level)
    }
}

/// The levels of one movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct DynamicsTrack {
    /// By part of the work.
    pub parts: Vec<PartDynamics>,
    /// For each bar the softest and the loudest level among the sounding parts at its start and, when
    /// it differs, inside it; `None` where no level is known or nothing sounds.
    pub band: Vec<Option<(Level, Level)>>,
}

impl DynamicsTrack {
    /// The levels of a movement.
    pub fn of(_movement: &Movement, _playing: &PlayingTrack) -> Self {
        Self::default()
    }

    /// The level of a part at a place.
    pub fn level_at(&self, part: PartIdx, at: Ticks) -> Option<Level> {
        self.parts.get(part.idx())?.level_at(at)
    }

    /// The band of a bar.
    pub fn band(&self, bar: BarIndex) -> Option<(Level, Level)> {
        self.band.get(bar.idx()).copied().flatten()
    }
}
