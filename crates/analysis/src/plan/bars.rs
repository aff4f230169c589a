//! The bars of a movement: labels, meters, lines, holds, texture and levels.

use super::lists::Scene;
use super::{Hold, PlanBar, PlanBeating, PlanGroup, StrokeSign};
use barloom_core::bar::{Bar, BarIndex, Barline};
use barloom_core::event::{Marking, MarkingKind, NoteTraits};
use barloom_core::study::{Item, Sign};
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// The meters in order of appearance, each once.
pub(super) fn meters(scene: &Scene<'_>) -> Vec<String> {
    let mut meters: Vec<String> = Vec::new();
    for (_, bar) in scene.movement.bars.iter() {
        let meter = bar.meter.to_string();
        if !meters.contains(&meter) {
            meters.push(meter);
        }
    }
    meters
}

pub(super) fn bars(
    scene: &Scene<'_>,
    beatings: Vec<Option<PlanBeating>>,
    groups: &[PlanGroup],
) -> Vec<PlanBar> {
    let mut holds = holds(scene);
    let mut beatings = beatings.into_iter();
    let table = scene.movement.bars.as_slice();
    let mut bars: Vec<PlanBar> = Vec::with_capacity(table.len());
    for (idx, bar) in table.iter().enumerate() {
        let index = BarIndex::from(idx);
        let before = idx.checked_sub(1).and_then(|before| table.get(before));
        let here = holds.remove(&idx).unwrap_or_default();
        let mut beating = beatings.next().flatten();
        if let Some(beating) = &mut beating {
            beating.strokes.extend(here.iter().filter_map(hold_sign));
        }
        let texture = scene.tracks.texture.get(idx).copied().unwrap_or_default();
        bars.push(PlanBar {
            label: if bar.continues { String::new() } else { bar.label.clone() },
            name: scene.movement.bar_name(index),
            quarters: scene.movement.resolution.as_f64(bar.length),
            seconds: scene.tracks.tempo.bar_seconds.get(idx).copied().unwrap_or(0.0),
            rehearsal: bar.rehearsal.clone().filter(|mark| !mark.trim().is_empty()),
            meter: meter_change(before, bar),
            continues: bar.continues,
            double_after: bar.barline == Barline::Double,
            final_after: bar.barline == Barline::Final,
            repeat_from: bar.flow.repeat_start,
            repeat_to: bar.flow.repeat_end.is_some(),
            ending: ending(before, bar),
            strong: bar.rehearsal.is_some() || groups.iter().any(|group| group.from == idx),
            beating,
            share: texture.share,
            n_sounding: texture.n_sounding,
            band: scene.tracks.dynamics.band(index),
            holds: here,
        });
    }
    bars
}

/// A fermata holds the stroke, a breath lifts.
fn hold_sign((share, hold): &(f32, Hold)) -> Option<(f32, StrokeSign)> {
    match hold {
        Hold::Fermata(_) => Some((*share, StrokeSign::Held)),
        Hold::Breath => Some((*share, StrokeSign::Lift)),
        Hold::Caesura => None,
    }
}

fn meter_change(before: Option<&Bar>, bar: &Bar) -> Option<barloom_core::meter::Meter> {
    let same = before.is_some_and(|before| before.meter == bar.meter);
    (!same).then(|| bar.meter.clone())
}

fn ending(before: Option<&Bar>, bar: &Bar) -> String {
    let goes_on = before
        .is_some_and(|before| before.flow.endings == bar.flow.endings && !before.flow.ending_stops);
    if bar.flow.endings.is_empty() || goes_on {
        return String::new();
    }
    let numbers: Vec<String> = bar.flow.endings.iter().map(|number| format!("{number}.")).collect();
    numbers.join(" ")
}

/// Fermatas, breaths and caesuras of the score, and those the conductor marked, each place once.
fn holds(scene: &Scene<'_>) -> BTreeMap<usize, Vec<(f32, Hold)>> {
    let mut places: BTreeMap<Ticks, Hold> = BTreeMap::new();
    for (_, music) in scene.movement.parts() {
        for note in music.notes.iter().filter(|note| note.traits.has(NoteTraits::FERMATA)) {
            places.entry(note.onset).or_insert(Hold::Fermata(Default::default()));
        }
        for (at, hold) in music.markings.iter().filter_map(written) {
            let place = places.entry(at).or_insert(hold);
            // The drawn shape says more than the note's own flag.
            if matches!(hold, Hold::Fermata(_)) {
                *place = hold;
            }
        }
    }
    for entry in scene.study.entries() {
        let Item::Mark(mark) = &entry.item else { continue };
        let hold = match mark.sign {
            Sign::Breath | Sign::Lift => Hold::Breath,
            Sign::Caesura => Hold::Caesura,
            _ => continue,
        };
        let here = mark.from.movement == scene.movement.id;
        if let Some(at) = scene.movement.ticks(mark.from).filter(|_| here) {
            places.entry(at).or_insert(hold);
        }
    }
    let mut by_bar: BTreeMap<usize, Vec<(f32, Hold)>> = BTreeMap::new();
    for (at, hold) in places {
        let spot = scene.spot(at);
        by_bar.entry(spot.bar).or_default().push((spot.share, hold));
    }
    by_bar
}

fn written(marking: &Marking) -> Option<(Ticks, Hold)> {
    match &marking.kind {
        MarkingKind::Fermata(shape, _) => Some((marking.at, Hold::Fermata(*shape))),
        MarkingKind::Breath(_) => Some((marking.at, Hold::Breath)),
        MarkingKind::Caesura(_) => Some((marking.at, Hold::Caesura)),
        _ => None,
    }
}
