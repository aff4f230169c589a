//! Tempo marks of a movement: what is printed, and what was taken where nothing is.

use super::lists::Scene;
use super::{PlanTempo, words};
use crate::tempo::{Origin, Segment};
use barloom_core::score::{TempoKind, TempoMark};
use barloom_core::time::{Quarters, Ticks};
use std::collections::BTreeMap;

pub(super) fn tempi(scene: &Scene<'_>) -> Vec<PlanTempo> {
    let mut tempi: BTreeMap<Ticks, PlanTempo> = BTreeMap::new();
    for mark in &scene.movement.tempi {
        if !matches!(mark.kind, TempoKind::Playback(_)) {
            add_mark(tempi.entry(mark.at).or_default(), mark);
        }
    }
    for segment in &scene.tracks.tempo.segments {
        add_segment(scene, &mut tempi, segment);
    }
    let placed = |(at, tempo): (Ticks, PlanTempo)| PlanTempo { at: scene.spot(at), ..tempo };
    tempi.into_iter().map(placed).collect()
}

fn add_mark(tempo: &mut PlanTempo, mark: &TempoMark) {
    let plain = match &mark.kind {
        TempoKind::Metronome { unit, per_minute, up_to, about } => {
            let about = if *about { "ca. " } else { "" };
            let lower = words::number(*per_minute);
            let rate = match up_to {
                Some(upper) => format!("{about}{lower}–{}", words::number(*upper)),
                None => format!("{about}{lower}"),
            };
            tempo.metronome.get_or_insert((*unit, rate));
            ""
        }
        TempoKind::Equation { old, new } => {
            tempo.equation.get_or_insert((*old, *new));
            ""
        }
        TempoKind::Gradual { faster: true, .. } => "accel.",
        TempoKind::Gradual { faster: false, .. } => "rit.",
        TempoKind::ATempo => "a tempo",
        TempoKind::TempoPrimo => "Tempo I",
        TempoKind::Swing { .. } => "swing",
        TempoKind::Straight => "straight",
        TempoKind::Term | TempoKind::Free | TempoKind::Playback(_) => "",
    };
    let words = if mark.words.trim().is_empty() { plain } else { mark.words.trim() };
    let has_figures = tempo.metronome.is_some() && words.contains('=');
    if !words.is_empty() && !has_figures && !tempo.words.contains(words) {
        if !tempo.words.is_empty() {
            tempo.words.push(' ');
        }
        tempo.words.push_str(words);
    }
}

/// The tempo taken where the score prints no figure: at the beginning, beside printed words, and
/// wherever the plan says so.
fn add_segment(scene: &Scene<'_>, tempi: &mut BTreeMap<Ticks, PlanTempo>, segment: &Segment) {
    let by_plan = segment.origin == Origin::Plan;
    let wanted = by_plan || segment.at == Ticks::ZERO || tempi.contains_key(&segment.at);
    if !wanted || matches!(segment.origin, Origin::Printed | Origin::Equation) {
        return;
    }
    let tempo = tempi.entry(segment.at).or_default();
    if (tempo.metronome.is_some() || tempo.equation.is_some()) && !by_plan {
        return;
    }
    if segment.to.is_some() && !by_plan {
        return;
    }
    let unit = segment.unit.unwrap_or_else(|| counted(scene, segment.at));
    let per_minute = segment.quarters_per_minute / unit.as_f64();
    if !per_minute.is_finite() || per_minute <= 0.0 {
        return;
    }
    if tempo.words.is_empty() && by_plan {
        tempo.words = segment.words.clone();
    }
    tempo.metronome = Some((unit, words::number(per_minute)));
    tempo.origin = segment.origin.name();
}

/// The note value that the meter counts: dotted in compound meters, the lower figure otherwise, never
/// shorter than a quarter in simple meters over quarters.
fn counted(scene: &Scene<'_>, at: Ticks) -> Quarters {
    let bar = scene.movement.bars.bar_at(at).and_then(|bar| scene.movement.bars.get(bar));
    let unit = |meter: &barloom_core::meter::Meter| {
        let three = if meter.is_compound() { 3 } else { 1 };
        Quarters::new(4 * three, i64::from(meter.unit()))
    };
    bar.filter(|bar| !bar.meter.is_unmeasured())
        .and_then(|bar| unit(&bar.meter))
        .unwrap_or(Quarters::ONE)
}

/// The first tempo in words for the title page; note values are left to the drawing.
pub(super) fn in_words(tempi: &[PlanTempo]) -> String {
    tempi
        .first()
        .filter(|tempo| tempo.at.bar == 0)
        .map(|tempo| tempo.words.clone())
        .unwrap_or_default()
}
