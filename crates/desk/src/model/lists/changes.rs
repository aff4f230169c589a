//! Changes of mutes, bows, instruments, pedals and drums with the time for them, as rows of a list.

use super::{ListRow, row_at};
use crate::model::env::Env;
use barloom_analysis::changes::Change;
use barloom_core::bar::BarAddress;

pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let score = &env.basis.score;
    let mut rows = Vec::new();
    for (movement, tracks) in score.movements.iter().zip(&env.tracks.movements) {
        for change in &tracks.changes.changes {
            let Some(part) = score.parts.get(change.part.idx()) else { continue };
            let (bar, offset) = movement.place(change.at);
            let at = BarAddress { movement: movement.id, bar, offset };
            let mut row = row_at(env, at, None);
            row.head = part.name.clone();
            row.text = change_words(change);
            row.light = !change.is_short();
            row.weight = change.lack() as f32;
            rows.push(row);
        }
    }
    rows
}

/// "2. mute on: 1.8 s of 4, too short".
pub fn change_words(change: &Change) -> String {
    let players = change.players_in_words();
    let before = if players.is_empty() { String::new() } else { format!("{players} ") };
    let (what, seconds) = (&change.what, change.seconds_in_words());
    format!("{before}{what}: {seconds}, {}", change.verdict.name())
}
