//! Two passages side by side on the desk: which are kept and shown, and what came of comparing them.

use super::env::Env;
use super::place;
use barloom_analysis::compare::{self, Comparison, Passage, Sheet};
use barloom_analysis::settings::CompareSettings;

/// Two passages side by side.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Beside {
    /// What was found.
    pub comparison: Comparison,
    /// The same in words and cells.
    pub sheet: Sheet,
}

/// Compares two passages; `None` if they are not there.
pub fn beside(
    env: &Env<'_>,
    (first, second): (Passage, Passage),
    settings: &CompareSettings,
) -> Option<Beside> {
    let comparison = compare::compare(env.basis, env.tracks, first, second, settings)?;
    let sheet = compare::sheet(env.basis, env.tracks, &comparison);
    Some(Beside { comparison, sheet })
}

/// The selected bars as a passage.
pub fn selected(env: &Env<'_>) -> Option<Passage> {
    let (from, to) = env.span()?;
    Some(Passage { movement: env.view.movement, from, to })
}

/// The passages that the selection and the kept one make, if they are two.
pub fn pair(env: &Env<'_>) -> Option<(Passage, Passage)> {
    let (first, second) = (env.view.kept?, selected(env)?);
    (first != second).then_some((first, second))
}

/// Of two passages the one where the selection is not; the second if it is in neither.
pub fn other(env: &Env<'_>) -> Option<Passage> {
    let (first, second) = env.view.beside?;
    let here = selected(env).is_some_and(|here| second.has(here.movement, here.from));
    Some(if here { first } else { second })
}

/// What is said when a passage is kept.
pub fn kept_words(env: &Env<'_>, passage: Passage) -> String {
    let movement = env.basis.score.movements.get(passage.movement);
    let bars = movement
        .map_or_else(String::new, |movement| place::span_words(movement, passage.from, passage.to));
    format!(
        "Kept as the first passage: {bars}; select other bars and set them side by side (Shift+J)"
    )
}
