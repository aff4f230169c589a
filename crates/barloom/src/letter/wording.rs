//! The sentences of the letter: what was read, where something was found, how much more of it.

use crate::report::count;
use barloom_core::diag::{Diagnostic, Group};
use barloom_core::score::Score;

/// "and 37 more: Flute 20 in all, Oboe 22 in all".
pub(super) fn more_line(group: &Group<'_>, more: usize) -> String {
    let parts = group.parts();
    if parts.len() < 2 {
        return format!("and {more} more.");
    }
    let named: Vec<String> = parts.iter().take(8).map(|(name, n)| format!("{name} {n}")).collect();
    let rest = parts.len().saturating_sub(named.len());
    let rest = if rest == 0 { String::new() } else { format!(" and {rest} other parts") };
    format!("and {more} more; by part: {}{rest}.", named.join(", "))
}

/// One place, with what was found there if that says more than the kind.
pub(super) fn place_line(found: &Diagnostic, several: bool, tells: bool) -> String {
    let place = &found.place;
    let (music, file) = (place.in_music(several), place.in_file());
    let mut text = match (music.is_empty(), file.is_empty()) {
        (true, true) => String::new(),
        (true, false) => file,
        (false, true) => music,
        (false, false) => format!("{music} ({file})"),
    };
    if tells || text.is_empty() {
        let message = &found.message;
        text = if text.is_empty() { message.clone() } else { format!("{text}: {message}") };
    }
    if let Some(hint) = &found.hint {
        text.push_str(&format!("; {hint}"));
    }
    let text = if music_begins(found) { capital(&text) } else { text };
    format!("{text}.")
}

/// The text with a capital first letter.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next();
    first.map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// The verb for so many.
pub(super) fn plural(n: usize) -> &'static str {
    if n == 1 { "was" } else { "were" }
}

/// Whether a place line begins with words about the music, not with a file's name.
fn music_begins(found: &Diagnostic) -> bool {
    !found.place.in_music(true).is_empty() || found.place.in_file().is_empty()
}

pub(super) fn n_bars(score: &Score) -> usize {
    score.movements.iter().map(|movement| movement.bars.len()).sum()
}

/// The sentence that says what was read.
pub(super) fn reading(score: &Score, title: &str) -> String {
    let title = match title.trim() {
        "" => String::from("A score without a title"),
        title => format!("\u{201c}{title}\u{201d}"),
    };
    let parts = count(score.parts.len(), "part");
    match score.movements.as_slice() {
        [] => format!("{title}: no movements, {parts}."),
        [only] => format!("{title}: one movement of {}, {parts}.", count(only.bars.len(), "bar")),
        several => {
            let name = |(idx, movement): (usize, &std::sync::Arc<_>)| -> String {
                let movement: &barloom_core::score::Movement = movement;
                let bars = count(movement.bars.len(), "bar");
                match movement.title.trim() {
                    "" => format!("{}. ({bars})", idx + 1),
                    title => format!("{}. {title} ({bars})", idx + 1),
                }
            };
            let named: Vec<String> = several.iter().enumerate().map(name).collect();
            format!("{title}: {} movements, {parts}. {}.", several.len(), named.join(", "))
        }
    }
}

/// "a", "a and b", "a, b and c".
pub(super) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}
