//! Changes against the clock: mutes, bow and pluck, instruments, harp pedals and timpani, with the
//! time there is and the time that is wanted.

use crate::devices::DevicesTrack;
use crate::heard::HeardNotes;
use crate::settings::Settings;
use crate::tempo::TempoTrack;
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// Whether the time suffices.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Verdict {
    /// Less than 0.6 of what is wanted.
    TooShort,
    /// At least 0.6 of it.
    Tight,
    /// All of it.
    Enough,
}

impl Verdict {
    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::TooShort => "too short",
            Self::Tight => "tight",
            Self::Enough => "enough",
        }
    }
}

/// What is changed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum ChangeKind {
    /// A mute is put on.
    MuteOn,
    /// A mute is taken off.
    MuteOff,
    /// From the bow to the finger.
    ToPlucked,
    /// From the finger to the bow.
    ToBowed,
    /// Another instrument is taken.
    Instrument,
    /// Pedals of the harp.
    Pedals,
    /// A drum is tuned anew.
    Tuning,
}

/// One change that a player makes.
#[derive(Clone, PartialEq, Debug)]
pub struct Change {
    /// The part.
    pub part: PartIdx,
    /// Who of it.
    pub players: PlayerSet,
    /// What kind.
    pub kind: ChangeKind,
    /// In words: "mute on", "bass clarinet to clarinet", "F# to F, B to Bb".
    pub what: String,
    /// From when the hands are free: the end of the last note before.
    pub free_from: Ticks,
    /// When it must be done: the next note.
    pub at: Ticks,
    /// Seconds between the two at the tempo in force, less the breath of wind players.
    pub available_seconds: f64,
    /// Seconds that it usually takes.
    pub wanted_seconds: f64,
    /// Whether that suffices.
    pub verdict: Verdict,
    /// What asks for it, as printed; empty if a reading of the notes does.
    pub words: String,
}

/// The changes of a movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ChangesTrack {
    /// By place, then score order.
    pub changes: Vec<Change>,
}

impl ChangesTrack {
    /// The changes of a movement.
    pub fn of(
        _movement: &Movement,
        _tempo: &TempoTrack,
        _devices: &DevicesTrack,
        _heard: &HeardNotes,
        _settings: &Settings,
    ) -> Self {
        Self::default()
    }
}
