//! How much an entrance needs a cue, in points, each with its reason in words.
//!
//! The criteria are those of the literature (long rests, obscure leads, exposed and first entrances,
//! entries after a change); the numbers are settings.

use super::{Context, Entrance};
use crate::say;
use crate::settings::{CuePoints, Settings};
use crate::tempo::{Origin, Segment};
use barloom_core::bar::BarIndex;
use barloom_core::event::{Level, MarkingKind, PlayersMark};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;

/// Fills need and reasons of every entrance.
pub(super) fn weigh(
    entrances: &mut [Entrance],
    context: Context<'_>,
    runs: &[Vec<(BarIndex, BarIndex)>],
    settings: &Settings,
) {
    let points = &settings.cue;
    let changes = changes_by_bar(context);
    let together = entering_together(entrances, context);
    for (entrance, together) in entrances.iter_mut().zip(together) {
        let mut reasons: Vec<(u32, String)> = Vec::new();
        rest_points(entrance, points, &mut reasons);
        let Some(music) = context.movement.part(entrance.part) else { continue };
        // Whoever begins with the movement is given the downbeat.
        let opens = entrance.rest_quarters.is_zero();
        entrance.solo = is_solo(music, entrance, context);
        entrance.section = together;
        if entrance.solo {
            reasons.push((points.solo, String::from("solo")));
        }
        let n_sounding = context.playing.n_sounding(entrance.bar);
        if n_sounding <= 2 && !opens {
            let text = if n_sounding == 1 { "alone" } else { "only two parts sound" };
            reasons.push((points.exposed, text.to_owned()));
        }
        if let Some(family) = together.filter(|_| !opens) {
            reasons.push((points.section, format!("the {family} enter together")));
        }
        entrance.off_beat = is_off_beat(entrance, context);
        if entrance.off_beat {
            reasons.push((points.off_beat, String::from("off the beat")));
        }
        if let Some(other) = entrance.imitates.filter(|_| !opens) {
            let name = context.movement.part(other).map_or("", |music| music.source_name.as_str());
            let text = if name.is_empty() {
                String::from("takes up a line just heard")
            } else {
                format!("takes up the line of {name}")
            };
            reasons.push((points.imitation, text));
        }
        if let Some(text) = extreme(music, entrance, context).filter(|_| !opens) {
            reasons.push((points.extreme, text));
        }
        let change = changes.get(entrance.bar.idx()).filter(|what| !what.is_empty() && !opens);
        if let Some(what) = change {
            reasons.push((points.after_change, what.clone()));
        }
        if let Some(what) = swap(music, entrance, context) {
            reasons.push((points.after_swap, what.to_owned()));
        }
        if is_single_stroke(music, entrance, context, runs) {
            reasons.push((points.single_stroke, String::from("a single stroke")));
        }
        reasons.retain(|(points, _)| *points > 0);
        reasons.sort_by_key(|(points, _)| std::cmp::Reverse(*points));
        entrance.need = reasons.iter().map(|(points, _)| points).sum();
        entrance.reasons = reasons.into_iter().map(|(_, text)| text).collect();
    }
}

/// Very soft, or near the top of the range.
fn extreme(music: &PartMusic, entrance: &Entrance, context: Context<'_>) -> Option<String> {
    let level = entrance.level.filter(|level| *level <= Level::Ppp);
    if let Some(level) = level {
        return Some(format!("enters {level}"));
    }
    let (_, high) = music.instrument_at(entrance.at)?.get().range?;
    let next = Ticks(entrance.at.0.saturating_add(1));
    let begun = context.heard.begun_in(entrance.part, entrance.at, next);
    let top = begun.iter().filter_map(|sound| sound.pitch).max()?;
    (top.key() > i32::from(high) - 4).then(|| String::from("enters very high"))
}

fn rest_points(entrance: &Entrance, points: &CuePoints, reasons: &mut Vec<(u32, String)>) {
    let long = points.rests.iter().rev().find(|(bars, _)| entrance.rest_bars >= *bars);
    let rest = long.map_or(0, |(_, points)| *points);
    let text = format!("rest of {}", say::count(entrance.rest_bars as usize, "bar"));
    if entrance.first && entrance.rest_bars > 0 && points.first >= rest {
        reasons.push((points.first, format!("first entrance, {text}")));
    } else if rest > 0 {
        reasons.push((rest, text));
    }
}

/// Whether the part stands out alone here, by a mark in the bar or one still in force.
fn is_solo(music: &PartMusic, entrance: &Entrance, context: Context<'_>) -> bool {
    let end = context.movement.bars.get(entrance.bar).map_or(entrance.at, |bar| bar.end());
    let until = music.markings.partition_point(|marking| marking.at <= entrance.at);
    let inside = music.markings.partition_point(|marking| marking.at < end);
    let mark = |idx: usize| match music.markings.get(idx).map(|marking| &marking.kind) {
        Some(MarkingKind::Players(mark)) => Some(*mark == PlayersMark::Solo),
        _ => None,
    };
    let in_force = (0..until).rev().find_map(mark).unwrap_or(false);
    let begins = (until..inside).find_map(mark).unwrap_or(false);
    in_force || begins
}

/// For each entrance the family of which at least three parts enter in the same moment.
fn entering_together(entrances: &[Entrance], context: Context<'_>) -> Vec<Option<Family>> {
    let family = |entrance: &Entrance| {
        let music = context.movement.part(entrance.part)?;
        music.instrument_at(entrance.at).map(|instrument| instrument.get().family)
    };
    let families: Vec<Option<Family>> = entrances.iter().map(family).collect();
    let mut together = vec![None; entrances.len()];
    let mut from = 0;
    while let Some(first) = entrances.get(from) {
        let to = from + entrances.iter().skip(from).take_while(|e| e.at == first.at).count();
        let here = families.get(from..to).unwrap_or_default();
        for (slot, family) in together.iter_mut().skip(from).zip(here) {
            let n_of_family = here.iter().filter(|other| *other == family).count();
            *slot = family.filter(|_| n_of_family >= 3);
        }
        from = to;
    }
    together
}

fn is_off_beat(entrance: &Entrance, context: Context<'_>) -> bool {
    let Some(bar) = context.movement.bars.get(entrance.bar) else { return false };
    if bar.meter.is_unmeasured() {
        return false;
    }
    // In an upbeat the beats count from the end of the bar.
    let from_start = context.movement.resolution.quarters(if bar.pickup {
        bar.nominal.since(bar.length) + entrance.at.since(bar.start)
    } else {
        entrance.at.since(bar.start)
    });
    let beat = crate::tempo::terms::notated_beat(&bar.meter);
    let beats = from_start.scaled(beat.denominator(), beat.numerator());
    beats.is_some_and(|beats| beats.denominator() != 1)
}

/// For each bar what changed in it or in the bar before: meter, tempo, or a fermata.
fn changes_by_bar(context: Context<'_>) -> Vec<String> {
    let movement = context.movement;
    let bars = movement.bars.as_slice();
    let mut changes = vec![String::new(); bars.len()];
    let mut note = |idx: usize, what: &str| {
        for at in [idx, idx + 1] {
            if let Some(slot) = changes.get_mut(at).filter(|slot| slot.is_empty()) {
                *slot = what.to_owned();
            }
        }
    };
    for (idx, pair) in bars.windows(2).enumerate() {
        if let [before, here] = pair
            && before.meter.terms != here.meter.terms
        {
            note(idx + 1, "at a change of meter");
        }
    }
    for pair in context.tempo.segments.windows(2) {
        let [before, here] = pair else { continue };
        if is_new_tempo(before, here)
            && let Some(bar) = movement.bars.bar_at(here.at)
        {
            note(bar.idx(), "at a change of tempo");
        }
    }
    for marking in movement.music.iter().flat_map(|music| &music.markings) {
        if matches!(marking.kind, MarkingKind::Fermata(..)) {
            note(marking.bar.idx(), "at a fermata");
        }
    }
    changes
}

/// Whether players read or feel a new tempo: small steps of the playback, and the end that a change
/// by degrees has come to, are none.
fn is_new_tempo(before: &Segment, here: &Segment) -> bool {
    let reached = here.origin == Origin::Term && here.words.is_empty() && here.to.is_none();
    let ratio = here.quarters_per_minute / before.quarters_per_minute.max(f64::MIN_POSITIVE);
    let small = (0.9..1.1).contains(&ratio) && here.to.is_none();
    !(reached || here.origin == Origin::Playback && small)
}

/// A change of mute or instrument during the rest before the entrance.
fn swap(music: &PartMusic, entrance: &Entrance, context: Context<'_>) -> Option<&'static str> {
    let rest = context.movement.resolution.ticks_floor(entrance.rest_quarters)?;
    let from = entrance.at - rest;
    let inside = |at: Ticks| from <= at && at <= entrance.at && at > Ticks::ZERO;
    if music.instruments.iter().any(|taken| inside(taken.at)) {
        return Some("after a change of instrument");
    }
    let changes = context.devices.mute_changes(entrance.part, from, entrance.at);
    changes.then_some("after a change of mute")
}

/// One attack of percussion or harp between two rests.
fn is_single_stroke(
    music: &PartMusic,
    entrance: &Entrance,
    context: Context<'_>,
    runs: &[Vec<(BarIndex, BarIndex)>],
) -> bool {
    let family = music.instrument_at(entrance.at).map(|instrument| instrument.get().family);
    if !matches!(family, Some(Family::Percussion | Family::HarpAndKeyboards)) {
        return false;
    }
    let Some((_, last)) = run_from(runs, entrance.part, entrance.bar) else { return false };
    let end = context.movement.bars.get(last).map_or(entrance.at, |bar| bar.end());
    context.sounds.n_attacks_of(entrance.part, entrance.at, end) == 1
}

fn run_from(
    runs: &[Vec<(BarIndex, BarIndex)>],
    part: PartIdx,
    bar: BarIndex,
) -> Option<(BarIndex, BarIndex)> {
    let runs = runs.get(part.idx())?;
    runs.iter().find(|(from, _)| *from == bar).copied()
}
