//! Who leads, in words.

use super::LeadRun;
use crate::say;
use barloom_core::part::PartIdx;
use barloom_core::score::Score;

/// More leaders or companions than this are counted instead of named.
const MOST_NAMES: usize = 4;

/// Up to this lead over the next line the proposal is said to be close.
const CLOSE: f32 = 0.1;

impl LeadRun {
    /// "Flute 1 and Oboe 1"; of many the first ones and how many more.
    pub fn names(&self, score: &Score) -> String {
        names(score, &self.parts)
    }

    /// "from Violin 1 · with Flute 1 in some bars · highest, doubled".
    pub fn why(&self, score: &Score) -> String {
        let mut said = Vec::new();
        if self.is_handed() {
            said.push(format!("from {}", names(score, &self.before)));
        }
        if !self.joined.is_empty() {
            said.push(format!("with {} in some bars", names(score, &self.joined)));
        }
        if !self.reasons.is_empty() {
            said.push(self.reasons.join(", "));
        }
        if self.lead < CLOSE {
            said.push(String::from("another line is as good as equal"));
        }
        said.join(" · ")
    }

    /// "Oboe 1: from Violin 1 · highest".
    pub fn words(&self, score: &Score) -> String {
        let why = self.why(score);
        if why.is_empty() { self.names(score) } else { format!("{}: {why}", self.names(score)) }
    }
}

fn names(score: &Score, parts: &[PartIdx]) -> String {
    let name = |part: &PartIdx| {
        let printed = score.parts.get(part.idx()).map(|part| part.name.clone());
        printed.filter(|name| !name.is_empty()).unwrap_or(format!("part {}", part.0 + 1))
    };
    let mut all: Vec<String> = parts.iter().take(MOST_NAMES).map(name).collect();
    if parts.len() > MOST_NAMES {
        all.truncate(MOST_NAMES - 1);
        all.push(format!("{} more", say::number(parts.len() - all.len())));
    }
    say::list(&all)
}
