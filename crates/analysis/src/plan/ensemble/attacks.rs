//! The table "Mixed attacks".

use super::super::beats::beat_words;
use super::super::lists::Scene;
use super::{PlanTable, worst_of};
use crate::mixed::MixedAttack;

/// So many moments are printed.
const MOST: usize = 12;

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let attacks = &scene.tracks.mixed;
    let (shown, left_out) = worst_of(attacks, MOST, |attack| attack.weight);
    let row = |attack: &MixedAttack| {
        let share = scene.spot(attack.at).share;
        let beat = beat_words(scene, attack.bar, share);
        vec![scene.place(attack.bar), beat, attack.in_words(), attack.advice.clone()]
    };
    PlanTable {
        name: "Mixed attacks",
        note: left_out,
        heads: vec!["Bar", "Beat", "Together", "Advice"],
        wide: 3,
        rows: shown.into_iter().map(row).collect(),
    }
}
