//! Where the line is likely covered, as rows of a list.

use super::{ListRow, row_at};
use crate::model::env::Env;
use barloom_analysis::balance::Covered;
use barloom_core::bar::BarAddress;
use barloom_core::score::Score;

pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let score = &env.basis.score;
    let mut rows = Vec::new();
    for (movement, tracks) in score.movements.iter().zip(&env.tracks.movements) {
        for covered in &tracks.balance.covered {
            let Some(part) = score.parts.get(covered.part.idx()) else { continue };
            let mut row = row_at(env, BarAddress::start_of(movement.id, covered.from), None);
            if covered.to != covered.from {
                row.place.push_str(&format!("–{}", movement.bar_name(covered.to)));
            }
            row.head = part.name.clone();
            row.text = covered_words(score, covered);
            row.weight = -covered.margin_db;
            rows.push(row);
        }
    }
    rows
}

/// "estimate: about 12 dB below Trumpet 1 and Trumpet 2 in its register".
pub fn covered_words(score: &Score, covered: &Covered) -> String {
    let name = |part: &barloom_core::part::PartIdx| score.parts.get(part.idx());
    let by: Vec<&str> = covered.by.iter().filter_map(name).map(|part| part.name.as_str()).collect();
    let below = format!("estimate: about {:.0} dB below the rest", -covered.margin_db);
    match by.as_slice() {
        [] => below,
        by => format!("{below}, loudest {}", by.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use crate::model::env::Env;
    use crate::model::lists::{ListRow, Sorting, rows};
    use crate::model::status::Status;
    use crate::model::view_state::{ListKind, ViewState};
    use barloom_analysis::balance::Covered;
    use barloom_analysis::mixed::{AttackClass, MixedAttack};
    use barloom_analysis::{MovementTracks, Tracks};
    use barloom_core::bar::BarIndex;
    use barloom_core::part::PartIdx;
    use barloom_core::time::Ticks;

    fn words(kind: ListKind, sorting: Sorting, second: MovementTracks) -> Vec<String> {
        let basis = crate::testing::basis();
        let study = crate::testing::study(&basis);
        let movements = vec![MovementTracks::default(), second];
        let tracks = Tracks { movements, ..Tracks::default() };
        let (view, status) = (ViewState::default(), Status::default());
        let env =
            Env { basis: &basis, tracks: &tracks, study: &study, view: &view, status: &status };
        rows(kind, sorting, &env).iter().map(ListRow::words).collect()
    }

    #[test]
    fn covered_lines_say_that_they_are_an_estimate_and_the_worst_comes_first() {
        let covered = |from, to, margin_db| Covered {
            part: PartIdx(0),
            from: BarIndex(from),
            to: BarIndex(to),
            by: vec![PartIdx(1), PartIdx(2)],
            margin_db,
        };
        let mut tracks = MovementTracks::default();
        tracks.balance.covered = vec![covered(1, 1, -10.4), covered(4, 6, -14.6)];
        let words = words(ListKind::Balance, Sorting::WorstFirst, tracks);
        let below = |db| format!("estimate: about {db} dB below the rest, loudest Horn, Violins");
        let first = format!("II 5–7 · Flute · {}", below(15));
        assert_eq!(words, [first, format!("II 2 · Flute · {}", below(10))]);
    }

    #[test]
    fn mixed_attacks_say_who_why_and_what_to_do() {
        let attack = MixedAttack {
            at: Ticks::ZERO,
            bar: BarIndex(0),
            voices: vec![(PartIdx(1), AttackClass::Slow)],
            weight: 4.0,
            reasons: vec!["the harp with the horn".into(), "soft".into()],
            advice: String::from("Clear ictus."),
        };
        let tracks = MovementTracks { mixed: vec![attack], ..MovementTracks::default() };
        let words = words(ListKind::Attacks, Sorting::ByBar, tracks);
        assert_eq!(words, ["II 1 · the harp with the horn: soft · Clear ictus."]);
    }
}
