//! Who carries the line, and where it is handed on, as rows of a list.

use super::{ListRow, row_at};
use crate::model::env::Env;
use barloom_core::bar::BarAddress;

pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let mut rows = Vec::new();
    let score = &env.basis.score;
    for (movement, tracks) in score.movements.iter().zip(&env.tracks.movements) {
        for run in barloom_analysis::leading::runs(&tracks.leading) {
            let mut row = row_at(env, BarAddress::start_of(movement.id, run.from), None);
            if run.to != run.from {
                row.place.push_str(&format!("–{}", movement.bar_name(run.to)));
            }
            row.head = run.names(score);
            row.text = run.why(score);
            rows.push(row);
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use crate::model::env::Env;
    use crate::model::lists::{ListKind, Sorting};
    use crate::model::status::Status;
    use crate::model::view_state::ViewState;
    use barloom_analysis::Tracks;
    use barloom_analysis::leading::Lead;
    use barloom_core::bar::BarIndex;
    use barloom_core::part::PartIdx;

    #[test]
    fn a_row_names_the_leaders_and_a_hand_off_whom_it_comes_from() {
        let basis = crate::testing::basis();
        let mut tracks = Tracks::default();
        tracks.movements.resize_with(basis.score.movements.len(), Default::default);
        let lead = |from, to, part| Lead {
            from: BarIndex(from),
            to: BarIndex(to),
            parts: vec![PartIdx(part)],
            lead: 0.4,
            reasons: vec![String::from("highest")],
        };
        tracks.movements[0].leading = vec![lead(0, 1, 0), lead(2, 3, 1)];
        let (study, view) = (crate::testing::study(&basis), ViewState::default());
        let status = Status::default();
        let env =
            Env { basis: &basis, tracks: &tracks, study: &study, view: &view, status: &status };
        let rows = super::super::rows(ListKind::Lead, Sorting::ByBar, &env);
        let names: Vec<&str> = basis.score.parts.iter().map(|part| part.name.as_str()).collect();
        let heads: Vec<&str> = rows.iter().map(|row| row.head.as_str()).collect();
        assert_eq!(heads, names[..2]);
        assert_eq!(rows[0].text, "highest");
        assert_eq!(rows[1].text, format!("from {} · highest", names[0]));
        assert_eq!(rows[1].goes_to, Some((0, Some(BarIndex(2)))));
    }
}
