//! The lists as rows of text, each with the place it jumps to and the entry it shows.

mod attacks;
mod balance;
mod changes;
mod doublings;
mod lead;
mod ranges;
mod strings;
mod texture;

pub use balance::covered_words;
pub use changes::change_words;

use super::env::Env;
use super::findings;
use super::make;
use super::place;
use super::view_state::ListKind;
use barloom_core::bar::{BarAddress, BarIndex, MovementId};
use barloom_core::pattern::Pattern;
use barloom_core::score::Movement;
use barloom_core::study::{Cue, EntryId, Item, Study};
use std::collections::BTreeSet;

/// A row of a list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ListRow {
    /// Where it jumps to: movement, 0-based, and bar.
    pub goes_to: Option<(usize, Option<BarIndex>)>,
    /// The entry behind it.
    pub entry: Option<EntryId>,
    /// The place in words.
    pub place: String,
    /// What it is, in one or a few words: a layer, a part, a severity.
    pub head: String,
    /// The rest.
    pub text: String,
    /// A proposal, a decision against one, or something that is not there any more: shown lighter.
    pub light: bool,
    /// The rows that this one unfolds, or that it is one of.
    pub fold: Fold,
    /// How much it matters, for lists that show the worst first; higher is worse.
    pub weight: f32,
}

/// How a row belongs to others that unfold under it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Fold {
    /// It stands alone.
    #[default]
    None,
    /// It is the head of rows that are named so; they follow it.
    Head(String),
    /// It is shown when the head of this name is unfolded.
    Under(String),
}

impl Fold {
    /// Whether a row is shown, given the heads that are unfolded. `searching` shows everything.
    pub fn is_shown(&self, unfolded: &BTreeSet<String>, searching: bool) -> bool {
        match self {
            Self::None | Self::Head(_) => true,
            Self::Under(name) => searching || unfolded.contains(name),
        }
    }
}

impl ListRow {
    /// The row in one line, for its accessible name and the filter.
    pub fn words(&self) -> String {
        let pieces = [&self.place, &self.head, &self.text];
        let pieces: Vec<&str> =
            pieces.into_iter().map(String::as_str).filter(|piece| !piece.is_empty()).collect();
        pieces.join(" · ")
    }

    /// Whether the row holds all words of a filter, whatever their case.
    pub fn fits(&self, filter: &str) -> bool {
        let words = self.words().to_lowercase();
        filter.to_lowercase().split_whitespace().all(|word| words.contains(word))
    }
}

/// How a list is ordered where there is a choice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sorting {
    /// By place.
    #[default]
    ByBar,
    /// By part, then place.
    ByPlayer,
    /// By weight, then place.
    WorstFirst,
}

impl Sorting {
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::ByBar => "By bar",
            Self::ByPlayer => "By player",
            Self::WorstFirst => "Worst first",
        }
    }
}

impl ListKind {
    /// The orders in which a list can be shown; none where there is no choice.
    pub const fn sortings(self) -> &'static [Sorting] {
        use Sorting::{ByBar, ByPlayer, WorstFirst};
        match self {
            Self::Cues | Self::Entrances => &[ByBar, ByPlayer, WorstFirst],
            Self::Changes | Self::Balance | Self::Ranges => &[ByBar, ByPlayer, WorstFirst],
            Self::Attacks | Self::Strings => &[ByBar, WorstFirst],
            _ => &[],
        }
    }
}

/// The rows of a list. Layers and movements have panels of their own and no rows here.
pub fn rows(kind: ListKind, sorting: Sorting, env: &Env<'_>) -> Vec<ListRow> {
    let mut rows = match kind {
        ListKind::Marks => marks(env),
        ListKind::Cues => cues(env),
        ListKind::Entrances => entrances(env),
        ListKind::Beating => beating(env),
        ListKind::Texture => texture::rows(env),
        ListKind::Lead => lead::rows(env),
        ListKind::Doublings => doublings::rows(env),
        ListKind::Strings => strings::rows(env),
        ListKind::Changes => changes::rows(env),
        ListKind::Attacks => attacks::rows(env),
        ListKind::Balance => balance::rows(env),
        ListKind::Ranges => ranges::rows(env),
        ListKind::Decisions => decisions(env),
        ListKind::Diagnostics => diagnostics(env),
        ListKind::Layers | ListKind::Movements => Vec::new(),
    };
    match sorting {
        // The rows are in order of place; the sorts keep that order inside each part and weight.
        Sorting::ByPlayer if kind.sortings().contains(&sorting) => {
            let parts = &env.basis.score.parts;
            let order = |name: &str| parts.iter().position(|part| part.name == name);
            rows.sort_by_key(|row| order(&row.head).unwrap_or(usize::MAX));
        }
        Sorting::WorstFirst if kind.sortings().contains(&sorting) => {
            rows.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        }
        _ => {}
    }
    rows
}

fn row_at(env: &Env<'_>, at: BarAddress, entry: Option<EntryId>) -> ListRow {
    let movement = env.basis.score.movement(at.movement);
    let here = movement.and_then(|(idx, m)| m.bars.get(at.bar).map(|_| (idx, Some(at.bar))));
    ListRow {
        goes_to: here,
        entry,
        place: place::address_words(env.basis, at),
        light: here.is_none(),
        ..ListRow::default()
    }
}

fn marks(env: &Env<'_>) -> Vec<ListRow> {
    let mut rows = Vec::new();
    for (layer_entry, layer) in env.study.layers() {
        for (entry, mark) in env.study.marks_of(layer_entry.id) {
            let mut row = row_at(env, mark.from, Some(entry.id));
            if let Some((to, (_, movement))) =
                mark.to.zip(env.basis.score.movement(mark.from.movement))
            {
                row.place.push_str(&format!("–{}", movement.bar_name(to)));
            }
            row.head = layer.name.clone();
            row.text = mark_words(env, &entry.item);
            row.light |= !layer.shown;
            rows.push(row);
        }
    }
    rows
}

/// The words of a mark with its parts: "breath · wait for the harp (Flute)".
pub fn mark_words(env: &Env<'_>, item: &Item) -> String {
    let Item::Mark(mark) = item else { return item.summary() };
    let mut text = match (mark.sign, mark.text.as_str()) {
        (barloom_core::study::Sign::Text, text) => text.to_owned(),
        (sign, "") => sign.name().to_owned(),
        (sign, text) => format!("{}: {text}", sign.name()),
    };
    if !mark.parts.is_empty() {
        let parts: Vec<String> =
            mark.parts.iter().map(|key| place::part_name(&env.basis.score, key)).collect();
        text.push_str(&format!(" ({})", parts.join(", ")));
    }
    text
}

fn cues(env: &Env<'_>) -> Vec<ListRow> {
    let row = |(entry, cue): (&barloom_core::study::Entry, &Cue)| {
        let mut row = row_at(env, cue.at, Some(entry.id));
        row.head = place::part_name(&env.basis.score, &cue.part);
        let words = [cue.who.as_str(), cue.how.as_str()];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        row.text = words.join(", ");
        if !cue.wanted {
            row.text = String::from("no cue");
            row.light = true;
        }
        row
    };
    let mut rows: Vec<ListRow> = env.study.cues_by_place().into_iter().map(row).collect();
    for (idx, movement) in env.basis.score.movements.iter().enumerate() {
        let clashes = barloom_analysis::plan::clashes_of(env.basis, env.tracks, env.study, idx);
        for (bar, words) in clashes {
            let mut row = row_at(env, BarAddress::start_of(movement.id, bar), None);
            row.head = String::from("at once");
            row.text = words;
            row.weight = 10.0;
            rows.push(row);
        }
    }
    // A clash stands before the cues of its bar.
    rows.sort_by_key(|row| (row.goes_to, row.entry.is_some()));
    rows
}

fn entrances(env: &Env<'_>) -> Vec<ListRow> {
    let mut rows = Vec::new();
    let movements = env.basis.score.movements.iter().zip(&env.tracks.movements);
    for (movement, tracks) in movements {
        for entrance in &tracks.entrances {
            let Some(part) = env.basis.score.parts.get(entrance.part.idx()) else { continue };
            let at =
                BarAddress { movement: movement.id, bar: entrance.bar, offset: entrance.offset };
            let mut row = row_at(env, at, None);
            row.head = part.name.clone();
            row.text = entrance_words(entrance);
            row.weight = entrance.need as f32;
            let wanted = env.study.cue(at, &part.key).map(|(_, cue)| cue.wanted);
            match wanted {
                Some(true) => row.text.push_str(" · cue"),
                Some(false) => row.text.push_str(" · no cue"),
                None => row.light = entrance.need == 0,
            }
            rows.push(row);
        }
    }
    rows
}

/// "after 12 bars of rest (31 s) · first entrance, alone".
pub fn entrance_words(entrance: &barloom_analysis::entrances::Entrance) -> String {
    let rest = match (entrance.rest_bars, entrance.first) {
        (0, true) => String::from("from the beginning"),
        (1, _) => format!("after 1 bar of rest ({:.0} s)", entrance.rest_seconds),
        (n, _) => format!("after {n} bars of rest ({:.0} s)", entrance.rest_seconds),
    };
    if entrance.reasons.is_empty() {
        return rest;
    }
    format!("{rest} · {}", entrance.reasons.join(", "))
}

/// A stretch of bars that are beaten in one way.
#[derive(Clone, Debug, PartialEq)]
pub struct BeatingRun {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The pattern.
    pub pattern: Pattern,
    /// Chosen or proposed.
    pub chosen: bool,
}

/// The stretches of equal beating of a movement.
pub fn beating_runs(
    study: &Study,
    movement: &Movement,
    proposals: &[barloom_analysis::beating::Proposal],
) -> Vec<BeatingRun> {
    let mut runs: Vec<BeatingRun> = Vec::new();
    for (bar, _) in movement.bars.iter() {
        let Some((pattern, _, chosen)) = make::effective(study, movement.id, bar, proposals) else {
            continue;
        };
        match runs.last_mut() {
            Some(run) if run.pattern == pattern && run.chosen == chosen => run.to = bar,
            _ => runs.push(BeatingRun { from: bar, to: bar, pattern, chosen }),
        }
    }
    runs
}

fn beating(env: &Env<'_>) -> Vec<ListRow> {
    let mut rows = Vec::new();
    let movements = env.basis.score.movements.iter().zip(&env.tracks.movements);
    for (movement, tracks) in movements {
        for run in beating_runs(env.study, movement, &tracks.beating) {
            let mut row = row_at(env, BarAddress::start_of(movement.id, run.from), None);
            if run.to != run.from {
                row.place.push_str(&format!("–{}", movement.bar_name(run.to)));
            }
            row.head = run.pattern.to_string();
            let meter = movement.bars.get(run.from).map(|bar| bar.meter.to_string());
            let meter = meter.unwrap_or_default();
            row.text =
                if run.chosen { format!("{meter}, chosen") } else { format!("{meter}, proposed") };
            row.light = !run.chosen;
            rows.push(row);
        }
    }
    rows
}

fn decisions(env: &Env<'_>) -> Vec<ListRow> {
    let is_decision = |item: &Item| item.is_in_basis() || matches!(item, Item::Seat(_));
    let mut entries: Vec<_> =
        env.study.entries().filter(|entry| is_decision(&entry.item)).collect();
    entries.sort_by_cached_key(|entry| env.study.place_key(entry));
    let row = |entry: &barloom_core::study::Entry| {
        let mut row = match entry.item.place() {
            Some(at) => row_at(env, at, Some(entry.id)),
            None => ListRow {
                entry: Some(entry.id),
                place: String::from("the work"),
                ..ListRow::default()
            },
        };
        row.head = entry.item.kind_name().to_owned();
        row.text = entry.item.summary();
        row
    };
    entries.into_iter().map(row).collect()
}

fn diagnostics(env: &Env<'_>) -> Vec<ListRow> {
    let known = &env.status.diagnostics;
    let mut rows: Vec<ListRow> = Vec::new();
    for (idx, movement) in env.basis.score.movements.iter().enumerate() {
        let looks = barloom_analysis::plan::looks_of(env.basis, env.tracks, env.study, known, idx);
        for (bar, what) in looks {
            let mut row = row_at(env, BarAddress::start_of(movement.id, bar), None);
            row.head = String::from("look");
            row.text = what;
            rows.push(row);
        }
    }
    rows.extend(findings::rows(known, env.basis.score.movements.len() > 1));
    rows
}

/// The row of a movement that stands at a place in the order.
pub fn movement_id(env: &Env<'_>, idx: usize) -> Option<MovementId> {
    env.basis.score.movements.get(idx).map(|movement| movement.id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::draft::{Change, Stamp, stamp};
    use crate::model::status::Status;
    use crate::model::view_state::{Selection, ViewState};
    use barloom_analysis::Tracks;
    use barloom_core::study::{IdMaker, Sign};

    #[test]
    fn marks_are_listed_by_layer_and_place_and_jump() {
        let basis = crate::testing::basis();
        let (tracks, status) = (Tracks::default(), Status::default());
        let (mut study, mut ids) = (crate::testing::study(&basis), IdMaker::seeded(3));
        let mut view = ViewState { movement: 1, ..ViewState::default() };
        for (from, to, text) in [(6, 7, "slower"), (2, 2, "low")] {
            let bars = Some((BarIndex(from), BarIndex(to)));
            view.selection = Selection { bars, ..Selection::default() };
            let env =
                Env { basis: &basis, tracks: &tracks, study: &study, view: &view, status: &status };
            let Change { drafts, .. } = make::mark(&env, Sign::Text, text).unwrap();
            let edit = stamp(drafts, &study, &mut ids, &Stamp::default());
            study.apply(edit).unwrap();
        }
        let env =
            Env { basis: &basis, tracks: &tracks, study: &study, view: &view, status: &status };
        let rows = rows(ListKind::Marks, Sorting::ByBar, &env);
        let words: Vec<String> = rows.iter().map(ListRow::words).collect();
        assert_eq!(words, ["II 3 · Hands · low", "II 7–8 · Hands · slower"]);
        assert_eq!(rows[1].goes_to, Some((1, Some(BarIndex(6)))));
        assert!(rows[1].fits("SLOW ii"));
        assert!(!rows[1].fits("fast"));
    }
}
