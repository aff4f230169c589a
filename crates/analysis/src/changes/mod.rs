//! Changes against the clock: mutes, bow and pluck, instruments, harp pedals and timpani, with the
//! time there is and the time that is wanted.
//!
//! The time there is runs from the end of the last note in the old state to the first note in the new
//! one, wherever the word for it is printed between the two, at the tempo in force. Wind players lose
//! half a beat of it to their breath. What comes before a player's first note in a movement is done
//! before it begins and has no clock. Where a part tells its players apart, each is timed alone.
//! Positions are those of the written order: a repeat that leads back into another state is not looked
//! at. The times wanted are settings; they come from players' advice
//! and not from measurements.

mod hands;
pub mod harp;
mod instruments;
mod lines;
pub mod timpani;

use crate::devices::DevicesTrack;
use crate::heard::HeardNotes;
use crate::say;
use crate::settings::{ChangeSettings, Settings};
use crate::tempo::TempoTrack;
use barloom_core::part::{Part, PartIdx, PlayerSet};
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// Whether the time suffices.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Verdict {
    /// Less than the share that makes it tight.
    TooShort,
    /// At least that share of what is wanted.
    Tight,
    /// All of it.
    Enough,
}

impl Verdict {
    /// Judges a time in seconds by what is wanted.
    pub fn of(available: f64, wanted: f64, settings: &ChangeSettings) -> Self {
        // A thousandth of a second is no difference to anyone.
        if available + 1e-3 >= wanted {
            Self::Enough
        } else if available + 1e-3 >= wanted * settings.tight_share {
            Self::Tight
        } else {
            Self::TooShort
        }
    }

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
    /// One mute is taken for another.
    MuteSwap,
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
    /// From when the hands are free: the end of the last note before; after a plucked note its attack,
    /// since the string sounds by itself. Never after `at`.
    pub free_from: Ticks,
    /// When it must be done: the next note.
    pub at: Ticks,
    /// Seconds between the two at the tempo in force, less the breath of wind players; at least 0.
    pub available_seconds: f64,
    /// Seconds that it usually takes.
    pub wanted_seconds: f64,
    /// Whether that suffices.
    pub verdict: Verdict,
    /// What asks for it, as printed; empty if a reading of the notes does.
    pub words: String,
}

impl Change {
    /// How much is missing, as a share of what is wanted: 0 with enough time, 1 with none.
    pub fn lack(&self) -> f64 {
        if self.wanted_seconds <= 0.0 {
            return 0.0;
        }
        (1.0 - self.available_seconds / self.wanted_seconds).clamp(0.0, 1.0)
    }

    /// Whether time lacks.
    pub fn is_short(&self) -> bool {
        self.verdict != Verdict::Enough
    }

    /// The time there is beside the time that is wanted: "2.5 s of 5".
    pub fn seconds_in_words(&self) -> String {
        let (available, wanted) =
            (say::seconds(self.available_seconds), say::seconds(self.wanted_seconds));
        format!("{available} s of {wanted}")
    }

    /// The players by number, "2." or "1. 3."; empty for everyone in the part.
    pub fn players_in_words(&self) -> String {
        if self.players.is_all() {
            return String::new();
        }
        let inside = (0..PlayerSet::MAX_PLAYERS).filter(|idx| self.players.contains(*idx));
        inside.map(|idx| format!("{}.", idx + 1)).collect::<Vec<_>>().join(" ")
    }
}

/// The changes of a movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct ChangesTrack {
    /// By place, then score order.
    pub changes: Vec<Change>,
    /// What every harp does with its pedals.
    pub harps: Vec<harp::HarpPlan>,
    /// How every player of timpani tunes.
    pub timpani: Vec<timpani::TimpaniPlan>,
}

impl ChangesTrack {
    /// The changes of a movement. `parts` are those of the work: they say how many players each has.
    pub fn of(
        movement: &Movement,
        parts: &[Part],
        tempo: &TempoTrack,
        devices: &DevicesTrack,
        heard: &HeardNotes,
        settings: &Settings,
    ) -> Self {
        let clock = Clock { movement, tempo, settings: &settings.changes };
        let mut track = Self::default();
        for (part, music) in movement.parts() {
            let spans = devices.of_part(part);
            if hands::concern(spans) || instruments::concern(music) {
                let n_players = parts.get(part.idx()).map_or(1, |part| part.players.len());
                let mut found = Vec::new();
                for line in lines::of(music, heard.of_part(part), spans, n_players) {
                    hands::find(&clock, part, music, spans, &line, &mut found);
                    instruments::find(&clock, part, music, &line, &mut found);
                }
                track.changes.extend(joined(found));
            }
            if let Some(plan) = harp::plan(&clock, part, music) {
                harp::add_changes(&clock, &plan, &mut track.changes);
                track.harps.push(plan);
            }
            if let Some(plan) = timpani::plan(&clock, part, music, heard) {
                timpani::add_changes(&clock, &plan, &mut track.changes);
                track.timpani.push(plan);
            }
        }
        track.changes.sort_by_key(|change| (change.at, change.part));
        track
    }

    /// The changes with the least time first, those of one share of what is wanted by place.
    pub fn worst_first(&self) -> Vec<&Change> {
        let mut changes: Vec<&Change> = self.changes.iter().collect();
        changes.sort_by(|a, b| b.lack().total_cmp(&a.lack()));
        changes
    }
}

/// What several players of a part do in the same silence is one change.
fn joined(mut found: Vec<Change>) -> Vec<Change> {
    found.sort_by(|a, b| {
        (a.at, a.kind, &a.what, a.free_from).cmp(&(b.at, b.kind, &b.what, b.free_from))
    });
    let mut out: Vec<Change> = Vec::with_capacity(found.len());
    for change in found {
        let same = |last: &&mut Change| {
            (last.at, last.kind, last.free_from) == (change.at, change.kind, change.free_from)
                && last.what == change.what
        };
        match out.last_mut().filter(same) {
            Some(last) => last.players = last.players.union(change.players),
            None => out.push(change),
        }
    }
    out
}

/// A change before its time is measured.
struct Found {
    part: PartIdx,
    players: PlayerSet,
    kind: ChangeKind,
    what: String,
    free_from: Ticks,
    at: Ticks,
    wanted_seconds: f64,
    words: String,
    /// Whether a breath is taken before the next note.
    breath: bool,
}

/// What time is measured with.
pub(crate) struct Clock<'a> {
    pub(crate) movement: &'a Movement,
    pub(crate) tempo: &'a TempoTrack,
    pub(crate) settings: &'a ChangeSettings,
}

impl Clock<'_> {
    /// Seconds from one place to another, 0 if the second is not later.
    pub(crate) fn between(&self, from: Ticks, to: Ticks) -> f64 {
        (self.tempo.seconds_at(to) - self.tempo.seconds_at(from)).max(0.0)
    }

    /// What a player of a wind instrument needs before a note to breathe: the last half beat.
    pub(crate) fn breath(&self, at: Ticks) -> f64 {
        let bar = self.movement.bars.bar_at(at).and_then(|bar| self.movement.bars.get(bar));
        let half = bar
            .filter(|bar| !bar.meter.is_unmeasured())
            .and_then(|bar| crate::tempo::terms::notated_beat(&bar.meter).scaled(1, 2))
            .and_then(|half| self.movement.resolution.ticks_floor(half));
        half.map_or(0.0, |half| self.between(at - half, at))
    }

    /// A change with its time and verdict.
    fn measure(&self, found: Found) -> Change {
        let breath = if found.breath { self.breath(found.at) } else { 0.0 };
        self.judged(Change {
            part: found.part,
            players: found.players,
            kind: found.kind,
            what: found.what,
            free_from: found.free_from,
            at: found.at,
            available_seconds: (self.between(found.free_from, found.at) - breath).max(0.0),
            wanted_seconds: found.wanted_seconds,
            verdict: Verdict::Enough,
            words: found.words,
        })
    }

    /// A change with its verdict.
    pub(crate) fn judged(&self, change: Change) -> Change {
        let verdict = Verdict::of(change.available_seconds, change.wanted_seconds, self.settings);
        Change { verdict, ..change }
    }
}

#[cfg(test)]
mod tests;

#[cfg(test)]
mod hands_tests;
