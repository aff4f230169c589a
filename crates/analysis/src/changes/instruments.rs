//! Another instrument in hand: doubling woodwinds and brass, clarinets in B flat and A, percussion.

use super::lines::Line;
use super::{Change, ChangeKind, Clock, Found};
use crate::heard::Heard;
use barloom_core::event::MarkingKind;
use barloom_core::instrument::{Family, InstrumentId};
use barloom_core::part::PartIdx;
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;

/// So many seconds between strokes on two percussion instruments show that both are in reach.
const IN_REACH_SECONDS: f64 = 1.0;
/// So often it must happen for that.
const IN_REACH_TIMES: usize = 2;

/// Whether anything of a part is a matter of this module.
pub(super) fn concern(music: &PartMusic) -> bool {
    music.instruments.len() > 1
        || music.transpositions.len() > 1
        || music.part_transpositions.len() > 1
        || music.struck.len() > 1
}

/// The changes of instrument of one line.
pub(super) fn find(
    clock: &Clock<'_>,
    part: PartIdx,
    music: &PartMusic,
    line: &Line<'_>,
    out: &mut Vec<Change>,
) {
    if music.struck.len() > 1 && first_family(music) == Some(Family::Percussion) {
        struck(clock, part, music, line, out);
        return;
    }
    let state = |sound: &Heard| {
        let instrument = music.instrument_of(line.players, sound.at);
        (instrument, instrument.map_or(0, |held| clarinet(music, held, sound)))
    };
    let unknown = InstrumentId::unknown();
    line.changes(
        state,
        |sound, _| sound.end,
        |old, new, free_from, at| {
            let ((Some(from), low), (Some(to), high)) = (old, new) else { return };
            if from == unknown || to == unknown {
                return;
            }
            let (what, wanted_seconds) = if from == to {
                (
                    format!("{} to {}", pitched(low), pitched(high)),
                    clock.settings.instrument_seconds,
                )
            } else {
                (format!("{from} to {to}"), seconds(clock, from, to))
            };
            let breath = matches!(to.get().family, Family::Woodwinds | Family::Brass);
            let words = words(music, line, to, at);
            let players = line.players;
            let kind = ChangeKind::Instrument;
            out.push(clock.measure(Found {
                part,
                players,
                kind,
                what,
                free_from,
                at,
                wanted_seconds,
                words,
                breath,
            }));
        },
    );
}

fn first_family(music: &PartMusic) -> Option<Family> {
    music.instruments.first().map(|taken| taken.instrument.get().family)
}

/// Which clarinet: the semitones that it sounds away from what is written. Other instruments are
/// read in another key without being changed.
fn clarinet(music: &PartMusic, instrument: InstrumentId, sound: &Heard) -> i32 {
    if instrument.get().name != "clarinet" {
        return 0;
    }
    let for_player = music.part_transpositions.iter().rev().find(|mark| mark.at <= sound.at);
    let transposition = for_player
        .map_or_else(|| music.transposition_at(sound.staff, sound.at), |mark| mark.transposition);
    i32::from(transposition.chromatic)
}

/// A clarinet by its key.
fn pitched(semitones: i32) -> &'static str {
    match semitones {
        -2 => "clarinet in B flat",
        -3 => "clarinet in A",
        0 => "clarinet in C",
        2 => "clarinet in D",
        3 => "clarinet in E flat",
        _ => "another clarinet",
    }
}

/// The last words before a note that ask for the instrument.
fn words(music: &PartMusic, line: &Line<'_>, to: InstrumentId, at: Ticks) -> String {
    let before = music.markings.partition_point(|marking| marking.at <= at);
    let asks = music.markings.get(..before).unwrap_or_default().iter().rev().find(|marking| {
        marking.kind == MarkingKind::Instrument(to) && marking.players.contains(line.player())
    });
    asks.map(|marking| marking.words.to_string()).unwrap_or_default()
}

fn seconds(clock: &Clock<'_>, from: InstrumentId, to: InstrumentId) -> f64 {
    let settings = clock.settings;
    let low = |instrument: InstrumentId| {
        matches!(instrument.get().name, "contrabassoon" | "bassoon" | "contrabass clarinet")
    };
    if low(from) || low(to) {
        return settings.low_instrument_seconds;
    }
    match to.get().family {
        Family::Percussion | Family::HarpAndKeyboards => settings.percussion_seconds,
        _ => settings.instrument_seconds,
    }
}

/// Percussion: a note that names another instrument than the last one. Instruments that are struck
/// together, or by turns faster than anyone walks, are in reach (or another player has them): going
/// from one to the other is no change.
fn struck(
    clock: &Clock<'_>,
    part: PartIdx,
    music: &PartMusic,
    line: &Line<'_>,
    out: &mut Vec<Change>,
) {
    let mut strokes: Vec<(Ticks, Ticks, usize)> = Vec::with_capacity(line.sounds.len());
    for sound in line.sounds.iter() {
        if let Some(which) = which(music, sound.struck) {
            strokes.push((sound.at, sound.end, which));
        }
    }
    let reach = in_reach(clock, &strokes, music.struck.len());
    let mut last: Option<(usize, Ticks)> = None;
    for (at, end, which) in strokes {
        let Some((before, free_from)) = last else {
            last = Some((which, end));
            continue;
        };
        let known = reach.get(before * music.struck.len() + which).copied().unwrap_or(true);
        if before != which && !known {
            let name = |idx: usize| {
                let row = music.struck.get(idx);
                row.map_or_else(String::new, |row| {
                    row.instrument.map_or_else(|| row.name.to_string(), |id| id.to_string())
                })
            };
            out.push(clock.measure(Found {
                part,
                players: line.players,
                kind: ChangeKind::Instrument,
                what: format!("{} to {}", name(before), name(which)),
                free_from: free_from.min(at),
                at,
                wanted_seconds: clock.settings.percussion_seconds,
                words: String::new(),
                breath: false,
            }));
        }
        last = Some((which, if before == which { end.max(free_from) } else { end }));
    }
}

/// The instrument that a stroke names, as the first row of the list that is the same instrument.
fn which(music: &PartMusic, struck: u8) -> Option<usize> {
    let own = usize::from(struck).checked_sub(1)?;
    let row = music.struck.get(own)?;
    let same = music.struck.iter().position(|known| {
        known.instrument.is_some() && known.instrument == row.instrument || known.name == row.name
    });
    same.or(Some(own))
}

/// Which pairs are in reach at once: a square table by row.
fn in_reach(clock: &Clock<'_>, strokes: &[(Ticks, Ticks, usize)], n: usize) -> Vec<bool> {
    let mut quick = vec![0usize; n * n];
    let mut note = |a: usize, b: usize, times: usize| {
        for idx in [a * n + b, b * n + a] {
            if let Some(count) = quick.get_mut(idx) {
                *count += times;
            }
        }
    };
    for pair in strokes.windows(2) {
        let [(at, _, a), (then, _, b)] = pair else { continue };
        if a != b && at == then {
            note(*a, *b, IN_REACH_TIMES);
        } else if a != b && clock.between(*at, *then) < IN_REACH_SECONDS {
            note(*a, *b, 1);
        }
    }
    quick.into_iter().map(|times| times >= IN_REACH_TIMES).collect()
}
