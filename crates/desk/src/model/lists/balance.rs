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
