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

#[cfg(test)]
mod tests {
    use super::super::{PlanTable, worst_of};
    use crate::plan::{PlanOptions, build};
    use crate::testing::{analyzed, movement};
    use barloom_core::study::Study;

    fn table(name: &str, parts: &[&str]) -> PlanTable {
        let (basis, tracks) = analyzed(movement(parts));
        let plan = build(&basis, &tracks, &Study::default(), &[], &PlanOptions::default());
        let tables = plan.movements.into_iter().flat_map(|movement| movement.tables);
        tables.into_iter().find(|table| table.name == name).unwrap_or_default()
    }

    #[test]
    fn a_row_says_where_who_and_what_to_do() {
        let table = table(
            "Mixed attacks",
            &["xylophone: 4/4 r:4 | r:1 c5:1 r:2 | r:4", "tuba: 4/4 r:4 | !p r:1 c2:2 r:1 | r:4"],
        );
        assert_eq!(table.note, "");
        let [row] = table.rows.as_slice() else { panic!("{:?}", table.rows) };
        let together =
            "the xylophone with the tuba: the movement begins so, nothing else sounds, soft";
        assert_eq!(row[..3], ["2", "2", together]);
        assert!(row[3].starts_with("Clear ictus."));
    }

    #[test]
    fn the_balance_is_called_an_estimate() {
        let table = table(
            "Balance",
            &[
                "flute: 4/4 !mf c5:1( d5:1/2 e5 f5:1 g5) | a5:1( g5:1/2 f5 e5:2)",
                "trumpet: 4/4 !ff g4:4 | g4:4",
                "trumpet: 4/4 !ff e4:4 | e4:4",
            ],
        );
        assert!(table.note.starts_with("An estimate"), "{}", table.note);
        assert_eq!(table.rows.len(), 1);
        assert_eq!(table.rows[0][0], "1 to 2");
    }

    #[test]
    fn the_worst_are_kept_in_order_of_place() {
        let (shown, note) = worst_of(&[1_u8, 5, 2, 4], 2, |weight| f32::from(*weight));
        assert_eq!(shown, [&5, &4]);
        assert_eq!(note, "The 2 that need most care, of 4.");
    }
}
