//! Timpani: which drum has which pitch, and when a drum is tuned anew.
//!
//! The drums and their ranges are those of Hancock, "Timpani Notes": 32 inch D2–A2, 29 inch F2–C3,
//! 26 inch Bb2–F3, 23 inch D3–A3, 20 inch F3–C4. The plan with the fewest tunings is found over all
//! notes at once; of two alike the one that tunes with more time.

mod search;

use super::{Change, ChangeKind, Clock, Verdict};
use crate::heard::HeardNotes;
use crate::settings::ChangeSettings;
use barloom_core::instrument::InstrumentId;
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;

/// A drum.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Drum {
    /// Diameter in inches.
    pub inches: u8,
    /// Lowest MIDI key.
    pub low: u8,
    /// Highest MIDI key.
    pub high: u8,
}

/// The drums by size, the largest first (Hancock, "Timpani Notes").
pub const DRUMS: [Drum; 5] = [
    Drum { inches: 32, low: 38, high: 45 },
    Drum { inches: 29, low: 41, high: 48 },
    Drum { inches: 26, low: 46, high: 53 },
    Drum { inches: 23, low: 50, high: 57 },
    Drum { inches: 20, low: 53, high: 60 },
];

/// The usual set of so many drums, 2 to 5: two of the middle sizes cover F2–F3 (Papastefan), then the
/// next smaller, the largest, the smallest.
pub fn set(n_drums: u8) -> Vec<Drum> {
    let picked: &[usize] = match n_drums {
        0..=2 => &[1, 2],
        3 => &[1, 2, 3],
        4 => &[0, 1, 2, 3],
        _ => &[0, 1, 2, 3, 4],
    };
    picked.iter().filter_map(|idx| DRUMS.get(*idx)).copied().collect()
}

/// A drum gets another pitch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Retuning {
    /// Place in [`TimpaniPlan::drums`].
    pub drum: usize,
    /// From which MIDI key.
    pub from: u8,
    /// To which.
    pub to: u8,
    /// When the drum was last struck or its roll ended.
    pub free_from: Ticks,
    /// When it sounds again.
    pub at: Ticks,
}

/// The tunings of one part.
#[derive(Clone, PartialEq, Debug)]
pub struct TimpaniPlan {
    /// The part.
    pub part: PartIdx,
    /// The drums, the largest first.
    pub drums: Vec<Drum>,
    /// What each is tuned to before the movement; `None` if it is not needed.
    pub initial: Vec<Option<u8>>,
    /// By place.
    pub retunings: Vec<Retuning>,
    /// What the drums do not have, with why.
    pub impossible: Vec<(Ticks, String)>,
}

/// One moment: when, until when, which keys.
pub(super) type Stroke = (Ticks, Ticks, Vec<u8>);

/// The plan of a part; `None` if it is no timpani part or plays no pitch.
pub(super) fn plan(
    clock: &Clock<'_>,
    part: PartIdx,
    music: &PartMusic,
    heard: &HeardNotes,
) -> Option<TimpaniPlan> {
    let timpani = InstrumentId::by_name("timpani")?;
    let first = music.instruments.first()?.instrument;
    if first != timpani && !music.instruments.iter().any(|taken| taken.instrument == timpani) {
        return None;
    }
    let mut strokes: Vec<Stroke> = Vec::new();
    for sound in heard.of_part(part) {
        let Some(pitch) = sound.pitch else { continue };
        if music.instrument_of(sound.players, sound.at) != Some(timpani) {
            continue;
        }
        let Ok(key) = u8::try_from(pitch.key()) else { continue };
        match strokes.last_mut() {
            Some((at, end, keys)) if *at == sound.at => {
                *end = (*end).max(sound.end);
                if !keys.contains(&key) {
                    keys.push(key);
                }
            }
            _ => strokes.push((sound.at, sound.end, vec![key])),
        }
    }
    if strokes.is_empty() {
        return None;
    }
    // A drum that is struck again and again asks for nothing new.
    strokes.dedup_by(|again, first| {
        let same = again.2 == first.2;
        if same {
            first.1 = first.1.max(again.1);
        }
        same
    });
    Some(search::best(clock, part, set(clock.settings.n_timpani), &strokes))
}

/// The tunings inside the movement as changes.
pub(super) fn add_changes(clock: &Clock<'_>, plan: &TimpaniPlan, changes: &mut Vec<Change>) {
    for tuning in &plan.retunings {
        let Some(drum) = plan.drums.get(tuning.drum) else { continue };
        changes.push(clock.judged(Change {
            part: plan.part,
            players: PlayerSet::ALL,
            kind: ChangeKind::Tuning,
            what: format!(
                "{}-inch drum: {} to {}",
                drum.inches,
                key_name(tuning.from),
                key_name(tuning.to)
            ),
            free_from: tuning.free_from,
            at: tuning.at,
            available_seconds: clock.between(tuning.free_from, tuning.at),
            wanted_seconds: clock.settings.timpani_seconds,
            verdict: Verdict::Enough,
            words: String::new(),
        }));
    }
}

/// A key as drummers name it; the black ones as flats, but F sharp.
pub fn key_name(key: u8) -> String {
    const NAMES: [&str; 12] = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
    let octave = i32::from(key) / 12 - 1;
    let name = NAMES.get(usize::from(key % 12)).copied().unwrap_or("C");
    format!("{name}{octave}")
}

/// The lowest and highest key of a set, for messages.
pub(super) fn reach(drums: &[Drum]) -> (u8, u8) {
    let low = drums.iter().map(|drum| drum.low).min().unwrap_or(0);
    let high = drums.iter().map(|drum| drum.high).max().unwrap_or(0);
    (low, high)
}

/// Whether a drum has a key.
pub(super) fn has(drum: &Drum, key: u8) -> bool {
    (drum.low..=drum.high).contains(&key)
}

/// What a tuning costs beside itself when there is little time for it.
pub(super) fn haste(available: f64, settings: &ChangeSettings) -> u32 {
    match Verdict::of(available, settings.timpani_seconds, settings) {
        Verdict::Enough => 0,
        Verdict::Tight => 2,
        Verdict::TooShort => 6,
    }
}

/// A key as a sounding pitch.
pub fn pitch(key: u8) -> SoundingPitch {
    SoundingPitch::from_midi(i32::from(key))
}
