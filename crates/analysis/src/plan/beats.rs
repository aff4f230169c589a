//! The beating of each bar and the list of its changes.

use super::lists::Scene;
use super::{BeatingRow, PlanBeating, StrokeSign, words};
use crate::beats::{Beat, BeatKind, of_bar};
use crate::say;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::pattern::Pattern;
use barloom_core::time::Quarters;

/// The beating of each bar: the conductor's choice, else the proposal, else nothing.
pub(super) fn beatings(scene: &Scene<'_>) -> Vec<Option<PlanBeating>> {
    let mut beatings: Vec<Option<PlanBeating>> = Vec::new();
    for (bar, here) in scene.movement.bars.iter() {
        let before = beatings.last().and_then(Option::as_ref);
        let beating = beating(scene, bar, here).map(|beating| PlanBeating {
            changes: before.is_none_or(|before| differs(before, &beating)),
            ..beating
        });
        beatings.push(beating);
    }
    beatings
}

fn differs(before: &PlanBeating, beating: &PlanBeating) -> bool {
    before.pattern != beating.pattern
        || before.chosen != beating.chosen
        || (beating.nth == 0 && matches!(beating.pattern, Pattern::Joined { .. }))
}

fn beating(scene: &Scene<'_>, bar: BarIndex, here: &Bar) -> Option<PlanBeating> {
    let chosen = scene.study.beating(scene.movement.id, bar);
    let (pattern, nth) = match chosen {
        Some(chosen) => (chosen.pattern.clone(), chosen.nth),
        None => (scene.tracks.beating.get(bar.idx())?.pattern.clone(), 0),
    };
    Some(PlanBeating {
        text: figure_text(&pattern),
        strokes: signs(scene, bar, here, &pattern, nth),
        pattern,
        nth,
        chosen: chosen.is_some(),
        changes: true,
    })
}

/// The figure over the strokes. A pattern over several bars takes little room on paper.
fn figure_text(pattern: &Pattern) -> String {
    match pattern {
        Pattern::Joined { bars, beats } => format!("{beats} in {bars}"),
        other => say::figure_words(other).0,
    }
}

/// Where the strokes of a bar fall, in shares of the bar.
pub(super) fn shares(
    scene: &Scene<'_>,
    idx: BarIndex,
    bar: &Bar,
    pattern: &Pattern,
    nth: u8,
) -> Vec<f32> {
    let length = scene.movement.resolution.quarters(bar.length);
    let offsets = scene.tracks.strokes(scene.movement, idx, pattern, nth);
    let share = |offset: &Quarters| (offset.as_f64() / length.as_f64()) as f32;
    let in_bar = |share: &f32| (0.0..1.0).contains(share);
    let shares: Vec<f32> = offsets.iter().map(share).filter(in_bar).collect();
    if shares.is_empty() && length.is_zero() { vec![0.0] } else { shares }
}

/// The signs of the strokes: one is passed where nothing sounds up to the next one (dead beats:
/// small, to show time without asking for sound), and so is the third of "two of three".
fn signs(
    scene: &Scene<'_>,
    bar: BarIndex,
    here: &Bar,
    pattern: &Pattern,
    nth: u8,
) -> Vec<(f32, StrokeSign)> {
    let resolution = scene.movement.resolution;
    let length = resolution.quarters(here.length);
    let offsets = scene.tracks.strokes(scene.movement, bar, pattern, nth);
    let sounds = &scene.tracks.sounds;
    let beats = of_bar(sounds, &scene.movement.bars, resolution, bar, pattern, &offsets);
    let is_passed = |share: f32| {
        let at = |beat: &&Beat| ((beat.at.as_f64() / length.as_f64()) as f32 - share).abs() < 1e-4;
        let silent = |beat: &Beat| beat.kind == BeatKind::Passive && beat.stroke.is_empty();
        scene.has_music && beats.iter().find(at).is_some_and(silent)
    };
    let sign = |share: f32| {
        let sign = if is_passed(share) { StrokeSign::Passed } else { StrokeSign::Given };
        (share, sign)
    };
    let shares = shares(scene, bar, here, pattern, nth);
    let mut strokes: Vec<(f32, StrokeSign)> = shares.into_iter().map(sign).collect();
    if *pattern == Pattern::OneTwoOfThree {
        strokes.push((2.0 / 3.0, StrokeSign::Passed));
    }
    strokes
}

/// The stroke a place falls on: "2"; "after 2" between strokes.
pub(super) fn beat_words(scene: &Scene<'_>, bar: BarIndex, share: f32) -> String {
    let Some(here) = scene.movement.bars.get(bar) else { return String::new() };
    let Some(beating) = beating(scene, bar, here) else { return String::new() };
    let strokes = shares(scene, bar, here, &beating.pattern, beating.nth);
    let before = strokes.iter().rposition(|stroke| *stroke <= share + 0.001);
    match before {
        Some(idx) if strokes.get(idx).is_some_and(|stroke| (share - stroke).abs() < 0.001) => {
            (idx + 1).to_string()
        }
        Some(idx) => format!("after {}", idx + 1),
        None => String::new(),
    }
}

/// The list of changes.
pub(super) fn rows(scene: &Scene<'_>, beatings: &[Option<PlanBeating>]) -> Vec<BeatingRow> {
    let mut rows: Vec<BeatingRow> = Vec::new();
    for ((bar, here), beating) in scene.movement.bars.iter().zip(beatings) {
        let Some(beating) = beating else { continue };
        let same = rows.last_mut().filter(|row| {
            row.pattern == beating.pattern && row.chosen == beating.chosen && bar.0 > 0
        });
        if let Some(row) = same {
            row.until = scene.movement.bar_name(bar);
            row.n_bars += usize::from(!here.continues);
            let meter = here.meter.to_string();
            if !row.meter.split(", ").any(|known| known == meter) {
                row.meter = format!("{}, {meter}", row.meter);
            }
            continue;
        }
        rows.push(row(scene, bar, here, beating));
    }
    rows
}

fn row(scene: &Scene<'_>, bar: BarIndex, here: &Bar, beating: &PlanBeating) -> BeatingRow {
    let proposal = scene.tracks.beating.get(bar.idx());
    let reason = proposal.filter(|_| !beating.chosen).map(|proposal| proposal.reason.clone());
    BeatingRow {
        place: words::bar_place(scene.movement, bar),
        until: scene.movement.bar_name(bar),
        n_bars: 1,
        meter: here.meter.to_string(),
        rate: rate(scene, here, beating),
        pattern: beating.pattern.clone(),
        groups: proposal.map(|proposal| proposal.groups.clone()).unwrap_or_default(),
        words: pattern_words(&beating.pattern),
        chosen: beating.chosen,
        reason: reason.unwrap_or_default(),
    }
}

/// The length of an even stroke and how many go to a minute; nothing for uneven strokes. An upbeat
/// is beaten in the strokes of a whole bar.
fn rate(scene: &Scene<'_>, bar: &Bar, beating: &PlanBeating) -> Option<(Quarters, f64)> {
    let whole = bar.length.max(bar.nominal);
    let length = scene.movement.resolution.quarters(whole);
    let (strokes, bars) = match &beating.pattern {
        Pattern::Groups(_) | Pattern::OneHalf | Pattern::OneTwoOfThree => return None,
        Pattern::Joined { bars, beats } => (i64::from(*beats), i64::from(*bars)),
        even => (i64::try_from(even.strokes()).ok()?, 1),
    };
    let stroke = length.scaled(bars, strokes)?;
    let per_minute = scene.tracks.tempo.quarters_per_minute(bar.start) / stroke.as_f64();
    (per_minute.is_finite() && per_minute > 0.0).then_some((stroke, per_minute))
}

fn pattern_words(pattern: &Pattern) -> String {
    match pattern {
        Pattern::Beats(beats) => format!("in {beats}"),
        Pattern::Divided { beats, by } => format!("in {beats}, each beat divided in {by}"),
        Pattern::Groups(groups) => format!("in {}, {pattern}", groups.len()),
        Pattern::OneHalf => String::from("in 1, going on at the half"),
        Pattern::OneTwoOfThree => String::from("in 1, two of three shown"),
        Pattern::Joined { bars, beats } => {
            format!("in {beats} over {}", words::n_bars(usize::from(*bars)))
        }
    }
}
