//! Who plays along with whom, as rows of a list.

use super::{ListRow, row_at};
use crate::model::env::Env;
use barloom_core::bar::BarAddress;
use barloom_core::part::PartIdx;

/// Groups on one line with what goes in parallel or shares only some of it, by place. The head says
/// which of them it is, for the filter.
pub(super) fn rows(env: &Env<'_>) -> Vec<ListRow> {
    let name = |part: PartIdx| {
        let part = env.basis.score.parts.get(part.idx());
        part.map(|part| part.name.to_string()).unwrap_or_default()
    };
    let mut rows = Vec::new();
    for (movement, tracks) in env.basis.score.movements.iter().zip(&env.tracks.movements) {
        for shared in &tracks.shared {
            let mut row = row_at(env, BarAddress::start_of(movement.id, shared.from), None);
            if shared.to != shared.from {
                row.place.push_str(&format!("–{}", movement.bar_name(shared.to)));
            }
            row.head = shared.kind().to_owned();
            row.text = format!("{} · {:.0}% in common", shared.words(name), shared.share * 100.0);
            rows.push(row);
        }
    }
    rows
}
