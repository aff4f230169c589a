//! The table "Doublings".

use super::super::lists::Scene;
use super::PlanTable;
use crate::doublings::Shared;
use barloom_core::part::PartIdx;

/// So many rows fit on a page; those over the most bars are printed.
const MOST: usize = 40;

pub(super) fn table(scene: &Scene<'_>) -> PlanTable {
    let n_bars = |shared: &Shared| shared.to.0 - shared.from.0 + 1;
    let all = &scene.tracks.shared;
    let mut longest: Vec<&Shared> = all.iter().collect();
    longest.sort_by_key(|shared| std::cmp::Reverse(n_bars(shared)));
    longest.truncate(MOST);
    longest.sort_by(|a, b| (a.from, &a.parts).cmp(&(b.from, &b.parts)));
    let name = |part: PartIdx| {
        let part = scene.basis.score.parts.get(part.idx());
        part.map(|part| part.name.to_string()).unwrap_or_default()
    };
    let row = |shared: &&Shared| {
        let mut place = scene.movement.bar_name(shared.from).to_string();
        if shared.to != shared.from {
            place.push_str(&format!("\u{2013}{}", scene.movement.bar_name(shared.to)));
        }
        let share = format!("{:.0}%", shared.share * 100.0);
        vec![place, shared.words(name), share]
    };
    let note = if all.len() > MOST {
        format!("The {MOST} that last longest, of {}.", all.len())
    } else {
        String::new()
    };
    PlanTable {
        name: "Doublings",
        note,
        heads: vec!["Bars", "Who plays along with whom", "In common"],
        wide: 1,
        rows: longest.iter().map(row).collect(),
    }
}
