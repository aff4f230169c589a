//! Where fast and slow attacks meet, as rows of a list.

use super::{ListRow, row_at};
use crate::model::env::Env;

pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let mut rows = Vec::new();
    for (movement, tracks) in env.basis.score.movements.iter().zip(&env.tracks.movements) {
        for attack in &tracks.mixed {
            let mut row = row_at(env, movement.address(attack.at), None);
            row.head = attack.in_words();
            row.text = attack.advice.clone();
            row.weight = attack.weight;
            rows.push(row);
        }
    }
    rows
}
