//! The part list of a bar map: names, numbers and counts of players.

use super::scan::Piece;
use crate::diag::Diagnostic;
use crate::instrument::InstrumentId;
use crate::part::{Part, PartKey, Player, PlayerSet};

/// What "strings" stands for.
const STRINGS: [&str; 5] = ["violin 1", "violin 2", "viola", "cello", "double bass"];

/// The parts, and what nobody knows.
pub(super) fn parts(pieces: &[Piece], _file: &str) -> (Vec<Part>, Vec<Diagnostic>) {
    let mut parts = Vec::new();
    let diagnostics = Vec::new();
    for piece in pieces {
        let names: Vec<&str> = match piece.text.to_lowercase().as_str() {
            "strings" => STRINGS.to_vec(),
            _ => vec![piece.text.as_str()],
        };
        for name in names {
            let instrument = by_name(name);
            let part = part(name, instrument.unwrap_or_else(InstrumentId::unknown), &parts);
            parts.push(part);
        }
    }
    (parts, diagnostics)
}

/// The catalog's instrument of a name, its numbers and plural put aside.
fn by_name(name: &str) -> Option<InstrumentId> {
    let is_name = |word: &&str| word.chars().all(char::is_alphabetic);
    let words: Vec<&str> = name.split_whitespace().filter(is_name).collect();
    let name = words.join(" ").to_lowercase();
    InstrumentId::by_name(&name).or_else(|| InstrumentId::by_name(name.trim_end_matches('s')))
}

/// The players that a name counts or numbers.
struct NameFacts {
    count: Option<u8>,
    numbers: Vec<u8>,
}

fn name_facts(name: &str) -> NameFacts {
    let count = name.split_whitespace().next().and_then(|word| word.parse().ok());
    let numbers = name.split_whitespace().skip(1).filter_map(|word| word.parse().ok()).collect();
    NameFacts { count, numbers }
}

fn part(name: &str, instrument: InstrumentId, before: &[Part]) -> Part {
    let facts = name_facts(name);
    let nth = before.iter().filter(|part| part.instrument == instrument).count() + 1;
    let stem = match instrument == InstrumentId::unknown() {
        true => name.to_lowercase(),
        false => instrument.get().name.to_owned(),
    };
    let key = PartKey(format!("{}-{nth}", stem.split_whitespace().collect::<Vec<_>>().join("-")));
    let shown = capitalized(name);
    let numbers: Vec<u8> = match facts.count {
        Some(count) => (1..=count).collect(),
        None => facts.numbers,
    };
    let single = capitalized(&stem);
    let player = |name: String| Player { name, also: Vec::new() };
    let mut players: Vec<Player> = numbers
        .iter()
        .take(PlayerSet::MAX_PLAYERS)
        .map(|number| player(format!("{single} {number}")))
        .collect();
    if players.len() < 2 {
        players = vec![player(shown.clone())];
    }
    let short = match instrument == InstrumentId::unknown() {
        true => shown.chars().take(6).collect(),
        false => instrument.get().short.to_owned(),
    };
    Part { key, name: shown, short, instrument, players }
}

fn capitalized(name: &str) -> String {
    let mut chars = name.chars();
    let first = chars.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(chars).collect()
}
