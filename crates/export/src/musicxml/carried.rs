//! What holds at the first bar of an excerpt and was written before it: players, techniques, levels,
//! hairpins, tempo and free time. Clefs, keys, meters, transpositions and instruments come with the bars.

use super::direction::device_words;
use barloom_analysis::devices::DevicesTrack;
use barloom_analysis::dynamics::DynamicsTrack;
use barloom_analysis::playing::PlayingTrack;
use barloom_analysis::settings::Settings;
use barloom_analysis::tempo::{Origin, TempoTrack};
use barloom_core::bar::BarIndex;
use barloom_core::basis::MovementPlan;
use barloom_core::event::{Level, Marking, MarkingKind, PlayersMark};
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::{Movement, PartMusic, TempoKind, TempoMark};
use barloom_core::time::Ticks;

/// The most levels that hold at once in a part: one for each of its voices.
const MOST_LEVELS: usize = 8;

/// Adds to the start of `piece` what holds at `start` in the movement it was cut out of.
pub(super) fn state(movement: &Movement, piece: &mut Movement, start: Ticks) {
    let devices = DevicesTrack::of(movement);
    let dynamics = DynamicsTrack::of(movement, &PlayingTrack::of(movement));
    let end = piece.bars.end();
    for (idx, music) in movement.music.iter().enumerate() {
        let part = PartIdx(u16::try_from(idx).unwrap_or(u16::MAX));
        let mut carried: Vec<Marking> = players(music, start).into_iter().collect();
        for span in devices.at(part, start).filter(|span| span.from < start) {
            let kind = MarkingKind::Device { device: span.device, on: true };
            carried.push(marking(kind, span.players, device_words(span.device, true)));
        }
        carried.extend(levels(music, start));
        let hairpins = dynamics.parts.get(idx).map(|part| part.hairpins.as_slice());
        for hairpin in hairpins.unwrap_or_default() {
            if hairpin.from < start && start < hairpin.to {
                let to = (hairpin.to - start).min(end);
                let kind = MarkingKind::Hairpin { louder: hairpin.louder, end: to, niente: false };
                carried.push(marking(kind, PlayerSet::ALL, ""));
            }
        }
        if let Some(part) = piece.music.get_mut(idx) {
            part.markings.splice(..0, carried);
        }
    }
    let track = TempoTrack::of(movement, &MovementPlan::default(), &Settings::default());
    tempo(movement, piece, start, &track);
    free(piece, start, &track);
}

fn marking(kind: MarkingKind, players: PlayerSet, words: &str) -> Marking {
    Marking {
        at: Ticks::ZERO,
        bar: BarIndex(0),
        players,
        staff: None,
        voice: None,
        kind,
        words: words.into(),
        line: 0,
    }
}

/// Who plays, as last printed, unless it is printed anew at the start. That everyone plays need not
/// be said where nobody was singled out before, except for "a 2" in a part that tells its players
/// apart.
fn players(music: &PartMusic, start: Ticks) -> Option<Marking> {
    let is_players = |marking: &&Marking| matches!(marking.kind, MarkingKind::Players(_));
    let anew = |marking: &&Marking| marking.at == start && is_players(marking);
    if music.markings.iter().any(|marking| anew(&marking)) {
        return None;
    }
    let before = music.markings.iter().take_while(|marking| marking.at < start);
    let last = before.filter(is_players).last()?;
    if last.words.is_empty() {
        return None;
    }
    // Of words that say more only the numbers are said again.
    let at = last.at;
    let same_text = |other: &&Marking| other.at == at && other.words == last.words;
    let more = music.markings.iter().filter(same_text).any(|other| !is_players(&other));
    let all = last.kind == MarkingKind::Players(PlayersMark::All);
    let counted = last.words.chars().any(|letter| letter.is_ascii_digit());
    if all && (more || !counted) {
        return None;
    }
    let words = if more { numbers(&last.words)?.into() } else { last.words.clone() };
    let (at, bar, line) = (Ticks::ZERO, BarIndex(0), 0);
    Some(Marking { at, bar, line, words, ..last.clone() })
}

/// The numbers of players in a text that says more: "1." of "1. con sord.".
fn numbers(words: &str) -> Option<String> {
    let from = words.find(|letter: char| letter.is_ascii_digit())?;
    let is_number = |letter: char| letter.is_ascii_digit() || ['.', ',', ' '].contains(&letter);
    let run: String = words.get(from..)?.chars().take_while(|letter| is_number(*letter)).collect();
    let run = run.trim_end_matches([' ', ',']);
    run.ends_with('.').then(|| run.to_owned())
}

/// The levels that hold: the last of each staff and each set of players.
fn levels(music: &PartMusic, start: Ticks) -> Vec<Marking> {
    let level = |marking: &Marking| match marking.kind {
        MarkingKind::Level(level) | MarkingKind::Accent { then: Some(level) } => {
            Some((marking.at, level))
        }
        // A circle stands for nothing at the point of the hairpin.
        MarkingKind::Hairpin { louder, end, niente: true } => {
            Some((if louder { marking.at } else { end }, Level::N))
        }
        _ => None,
    };
    let found = music.markings.iter().filter_map(|marking| Some((marking, level(marking)?)));
    let found = found.filter(|(_, (at, _))| *at <= start);
    let mut found: Vec<_> = found.collect();
    // What is written at one place with the circle counts.
    found.sort_by_key(|(marking, (at, _))| {
        (*at, !matches!(marking.kind, MarkingKind::Hairpin { .. }))
    });
    let covers = |new: &Marking, old: &Marking| {
        let staff = new.staff.is_none() || new.staff == old.staff;
        staff && new.players.union(old.players) == new.players
    };
    let mut hold: Vec<(&Marking, Level)> = Vec::new();
    for (marking, (at, level)) in found {
        hold.retain(|(old, _)| !covers(marking, old));
        if at < start {
            hold.push((marking, level));
        }
        if hold.len() > MOST_LEVELS {
            hold.remove(0);
        }
    }
    let carried = |(from, level): (&Marking, Level)| Marking {
        staff: from.staff,
        voice: from.voice,
        ..marking(MarkingKind::Level(level), from.players, "")
    };
    hold.into_iter().map(carried).collect()
}

/// The tempo in force: the printed mark if it still holds as it is, else its words and the value for
/// playback. What has no value in the file gets none here.
fn tempo(movement: &Movement, piece: &mut Movement, start: Ticks, track: &TempoTrack) {
    let value = track.quarters_per_minute(start);
    let Some(segment) = track.segment_at(start).filter(|_| value > 0.0) else { return };
    let here = || movement.tempi.iter().filter(|mark| mark.at == start);
    let states = |mark: &TempoMark, of: fn(&TempoKind) -> bool| of(&mark.kind);
    let metronome = |kind: &TempoKind| matches!(kind, TempoKind::Metronome { .. });
    if here().any(|mark| states(mark, metronome)) {
        return;
    }
    let ramp = segment.to.is_some() && segment.at < start;
    let known =
        ramp || matches!(segment.origin, Origin::Printed | Origin::Equation | Origin::Playback);
    if !known {
        return;
    }
    let mut marks = Vec::with_capacity(piece.tempi.len() + 2);
    let mut said = false;
    for mut mark in std::mem::take(&mut piece.tempi) {
        if mark.at == Ticks::ZERO {
            match mark.kind {
                TempoKind::Metronome { unit, per_minute, .. } => {
                    said = (per_minute * unit.as_f64() - value).abs() < 1e-9 * value;
                    if !said {
                        mark.kind = TempoKind::Term;
                    }
                }
                // It compares with a tempo that is not in the excerpt.
                TempoKind::Equation { .. } => mark.kind = TempoKind::Term,
                _ => {}
            }
            let empty = mark.kind == TempoKind::Term && mark.words.is_empty();
            if empty || matches!(mark.kind, TempoKind::Playback(_)) {
                continue;
            }
        }
        marks.push(mark);
    }
    let new = |kind: TempoKind, words: &str| TempoMark {
        at: Ticks::ZERO,
        bar: BarIndex(0),
        kind,
        words: words.to_owned(),
        line: 0,
    };
    if !said {
        marks.insert(0, new(TempoKind::Playback(value), ""));
    }
    if let Some(gradual) = gradual(movement, start).filter(|_| ramp) {
        let end = track.segments.iter().map(|segment| segment.at).find(|at| *at > start);
        let end = end.map_or(piece.bars.end(), |end| (end - start).min(piece.bars.end()));
        if let TempoKind::Gradual { faster, .. } = gradual.kind {
            let kind = TempoKind::Gradual { faster, end: Some(end) };
            marks.insert(0, new(kind, &gradual.words));
        }
    }
    piece.tempi = marks;
}

/// That no clock holds, if the marks that were cut with the bars do not say it: a tempo word without a
/// value does not bring the clock back.
fn free(piece: &mut Movement, start: Ticks, track: &TempoTrack) {
    let holds = track.segment_at(start).is_some_and(|segment| segment.free);
    let here = |mark: &TempoMark| mark.at == Ticks::ZERO && mark.kind == TempoKind::Free;
    if holds && !piece.tempi.iter().any(here) {
        let (kind, words) = (TempoKind::Free, String::new());
        piece
            .tempi
            .insert(0, TempoMark { at: Ticks::ZERO, bar: BarIndex(0), kind, words, line: 0 });
    }
}

/// The last change by degrees that began before.
fn gradual(movement: &Movement, start: Ticks) -> Option<&TempoMark> {
    let before = movement.tempi.iter().take_while(|mark| mark.at < start);
    before.filter(|mark| matches!(mark.kind, TempoKind::Gradual { .. })).last()
}
