//! The tempo marks of a movement as directions: each stands once, in the part that its words come
//! from where that shows.

use super::direction::{Direction, Rank, Sign};
use super::tempo::has_sign;
use barloom_core::event::Marking;
use barloom_core::score::{Movement, PartMusic, TempoKind, TempoMark};
use barloom_core::time::Ticks;

/// A tempo mark as a direction, where its dashes end, and the place of its part among those that are
/// written.
pub(super) struct TempoDirection {
    pub(super) part: usize,
    pub(super) direction: Direction,
    pub(super) end: Option<Ticks>,
}

/// Whether a text says what a tempo mark says: the same letters, whatever figures and signs.
pub(super) fn same_words(marking: &Marking, mark: &TempoMark) -> bool {
    marking.at == mark.at && same_letters(&marking.words, &mark.words)
}

/// Whether two texts have the same letters, and any at all.
pub(super) fn same_letters(a: &str, b: &str) -> bool {
    let a = letters(a);
    !a.is_empty() && a == letters(b)
}

fn letters(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphabetic()).flat_map(char::to_lowercase).collect()
}

/// All tempo marks. A playback tempo joins the words and signs at its place.
pub(super) fn directions(movement: &Movement, parts: &[&PartMusic]) -> Vec<TempoDirection> {
    let mut found = Vec::new();
    for mark in &movement.tempi {
        let together = |other: &&TempoMark| other.at == mark.at && other.bar == mark.bar;
        if let TempoKind::Playback(value) = mark.kind {
            if !movement.tempi.iter().filter(together).any(is_printed) {
                found.push(at_first_part(mark, Vec::new(), Some(value)));
            }
            continue;
        }
        let played = movement.tempi.iter().filter(together).find_map(|other| match other.kind {
            TempoKind::Playback(value) => Some(value),
            _ => None,
        });
        let mut signs = Vec::new();
        let text = words(mark);
        if !text.is_empty() {
            signs.push(Sign::Words { text: text.to_owned(), bold: true, italic: false });
        }
        if has_sign(&mark.kind) {
            signs.push(Sign::Metronome(mark.kind.clone()));
        }
        let played = played.or(match mark.kind {
            TempoKind::Metronome { unit, per_minute, .. } if !has_sign(&mark.kind) => {
                Some(per_minute * unit.as_f64())
            }
            _ => None,
        });
        let from = parts.iter().position(|music| {
            let here = music.markings_in(mark.at, Ticks(mark.at.0 + 1));
            here.iter().any(|marking| same_words(marking, mark))
        });
        let mut direction = at_first_part(mark, signs, played);
        direction.part = from.unwrap_or(0);
        if let TempoKind::Gradual { end, .. } = mark.kind {
            direction.end = end;
        }
        found.push(direction);
    }
    found
}

fn is_printed(mark: &TempoMark) -> bool {
    !matches!(mark.kind, TempoKind::Playback(_))
        && (has_sign(&mark.kind) || !words(mark).is_empty())
}

fn words(mark: &TempoMark) -> &str {
    match (&mark.kind, mark.words.is_empty()) {
        (TempoKind::Gradual { faster: true, .. }, true) => "accel.",
        (TempoKind::Gradual { faster: false, .. }, true) => "rit.",
        (TempoKind::ATempo, true) => "a tempo",
        (TempoKind::TempoPrimo, true) => "Tempo I",
        (TempoKind::Swing { .. }, true) => "swing",
        (TempoKind::Straight, true) => "straight",
        _ => &mark.words,
    }
}

fn at_first_part(mark: &TempoMark, signs: Vec<Sign>, played: Option<f64>) -> TempoDirection {
    let sound = played.map(|value| ("tempo", value.to_string())).into_iter().collect();
    let place = Direction::at(mark.bar.idx(), mark.at);
    let direction = Direction { rank: Rank::Score, signs, sound, ..place };
    TempoDirection { part: 0, direction, end: None }
}
