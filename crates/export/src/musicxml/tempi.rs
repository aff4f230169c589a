//! The tempo marks of a movement as directions, with their words and what playback is told: each
//! stands once, in the part that its words come from where that shows.

use super::direction::{Direction, Rank, Sign, Swing};
use super::metronome::{has_sign, swing_played};
use barloom_core::event::Marking;
use barloom_core::score::{Movement, PartMusic, TempoKind, TempoMark};
use barloom_core::time::Ticks;

/// The words for time without a clock where the score's own do not say it alone.
pub(super) const AT_PLEASURE: &str = "a piacere";

/// The most marks at one place that are looked through for the same words.
const MOST_AT_ONE_PLACE: usize = 16;

/// A tempo mark as a direction, where its dashes end, and the place of its part among those that are
/// written.
pub(super) struct TempoDirection {
    pub(super) part: usize,
    pub(super) direction: Direction,
    pub(super) end: Option<Ticks>,
}

impl TempoDirection {
    fn says(&self, text: &str) -> bool {
        let is_text = |sign: &Sign| matches!(sign, Sign::Words { text: said, .. } if said == text);
        self.direction.signs.iter().any(is_text)
    }
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
    let mut found: Vec<TempoDirection> = Vec::new();
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
        // "Andante rubato" makes two marks and is one text.
        let is_said = |known: &TempoDirection| known.direction.at == mark.at && known.says(text);
        if !text.is_empty() && !found.iter().rev().take(MOST_AT_ONE_PLACE).any(is_said) {
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
        let printed = !signs.is_empty();
        let mut direction = at_first_part(mark, signs, played.filter(|_| printed));
        direction.direction.swing = swing(mark);
        direction.part = from.unwrap_or(0);
        if let TempoKind::Gradual { end, .. } = mark.kind {
            direction.end = end;
        }
        found.push(direction);
    }
    found
}

/// What playback is told of swing, and with it the name of a style that is no text in the score.
fn swing(mark: &TempoMark) -> Option<Swing> {
    let ratio = swing_played(&mark.kind)?;
    let style = if words(mark).is_empty() { mark.words.clone() } else { String::new() };
    Some(Swing { ratio, style })
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
        (TempoKind::Free, true) => AT_PLEASURE,
        // At the very beginning "ad lib." says that a part may be left out.
        (TempoKind::Free, false) if mark.at == Ticks::ZERO && says_ad_lib(&mark.words) => {
            AT_PLEASURE
        }
        // Words alone never give a ratio: they are the name of a style, which is not printed.
        (TempoKind::Swing { ratio: Some(_), .. }, _) if swing_played(&mark.kind).is_some() => "",
        (TempoKind::Straight, _) if !says_even(&mark.words) => "",
        (TempoKind::Swing { .. }, true) if !has_sign(&mark.kind) => "swing",
        _ => &mark.words,
    }
}

fn says_ad_lib(words: &str) -> bool {
    words.to_lowercase().contains("ad lib")
}

/// Whether a text can be what says that pairs are even, and not the name of a style.
fn says_even(words: &str) -> bool {
    let words = words.to_lowercase();
    ["straight", "even", "swing", "swung"].iter().any(|word| words.contains(word))
}

fn at_first_part(mark: &TempoMark, signs: Vec<Sign>, played: Option<f64>) -> TempoDirection {
    let sound = played.map(|value| ("tempo", value.to_string())).into_iter().collect();
    let place = Direction::at(mark.bar.idx(), mark.at);
    let direction = Direction { rank: Rank::Score, signs, sound, ..place };
    TempoDirection { part: 0, direction, end: None }
}
