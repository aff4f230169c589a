//! Harp pedals and timpani in the plan: settings before passages, tunings of drums.

use super::lists::Scene;
use super::{PlanDrum, PlanHarp, PlanSetting, PlanTimpani};
use crate::changes::harp::HarpPlan;
use crate::changes::timpani::{TimpaniPlan, key_name};
use crate::changes::{Change, ChangeKind};

/// The harps of a movement.
pub(super) fn harps(scene: &Scene<'_>) -> Vec<PlanHarp> {
    scene.tracks.changes.harps.iter().map(|plan| harp(scene, plan)).collect()
}

fn harp(scene: &Scene<'_>, plan: &HarpPlan) -> PlanHarp {
    let place = |at| scene.place(scene.movement.place(at).0);
    let settings = plan.settings.iter().enumerate().map(|(nth, setting)| {
        let next = plan.settings.get(nth + 1).map(|next| next.at);
        // What is moved while the harp plays, until the next setting.
        let inside = plan
            .moves
            .iter()
            .filter(|one| one.at > setting.at && next.is_none_or(|next| one.at < next));
        let mut bars: Vec<(String, Vec<String>)> = Vec::new();
        for one in inside {
            let bar = scene.movement.bar_name(scene.movement.place(one.at).0);
            match bars.last_mut().filter(|(known, _)| *known == bar) {
                Some((_, moves)) => moves.push(one.in_words()),
                None => bars.push((bar, vec![one.in_words()])),
            }
        }
        let moves = bars.into_iter().map(|(bar, moves)| format!("{bar}: {}", moves.join(", ")));
        PlanSetting {
            place: place(setting.at),
            pedals: setting.pedals,
            changed: if nth == 0 { 0 } else { setting.n_changed },
            moves: moves.collect(),
        }
    });
    let problems = plan.impossible.iter().chain(&plan.misprints);
    PlanHarp {
        part: scene.part_name(plan.part).to_owned(),
        settings: settings.collect(),
        problems: problems.map(|(at, what)| (place(*at), what.clone())).collect(),
    }
}

/// The timpani of a movement.
pub(super) fn timpani(scene: &Scene<'_>) -> Vec<PlanTimpani> {
    scene.tracks.changes.timpani.iter().map(|plan| drums(scene, plan)).collect()
}

fn drums(scene: &Scene<'_>, plan: &TimpaniPlan) -> PlanTimpani {
    let place = |at| scene.place(scene.movement.place(at).0);
    let times: Vec<&Change> = scene
        .tracks
        .changes
        .changes
        .iter()
        .filter(|change| change.kind == ChangeKind::Tuning && change.part == plan.part)
        .collect();
    let drum = |(nth, drum): (usize, &crate::changes::timpani::Drum)| {
        let first = plan.initial.get(nth).copied().flatten();
        let later = plan.retunings.iter().enumerate().filter(|(_, tuning)| tuning.drum == nth);
        let tunings = later.map(|(idx, tuning)| {
            // One change for each retuning, in the same order.
            let time = times.get(idx).filter(|change| change.is_short());
            let lacks = time.map(|change| format!(" ({})", change.seconds_in_words()));
            let (place, key) = (place(tuning.at), key_name(tuning.to));
            format!("{place}: {key}{}", lacks.unwrap_or_default())
        });
        PlanDrum {
            size: format!("{} inch", drum.inches),
            range: format!("{} to {}", key_name(drum.low), key_name(drum.high)),
            first: first.map(key_name).unwrap_or_default(),
            tunings: tunings.collect(),
        }
    };
    PlanTimpani {
        part: scene.part_name(plan.part).to_owned(),
        drums: plan.drums.iter().enumerate().map(drum).collect(),
        problems: plan.impossible.iter().map(|(at, what)| (place(*at), what.clone())).collect(),
    }
}
