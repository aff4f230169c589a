//! What may come apart: changes against the clock, mixed attacks, a line that is covered.

use super::Scene;
use crate::changes::{Change, Verdict};
use crate::say;

/// So many of one kind are told, the worst ones.
const MOST: usize = 3;

impl Scene<'_> {
    /// Changes for which there is little time.
    pub(super) fn changes(&self) -> Vec<String> {
        let mut hasty: Vec<&Change> = self
            .tracks
            .changes
            .changes
            .iter()
            .filter(|change| change.verdict != Verdict::Enough)
            .filter(|change| self.from <= change.at && change.at < self.to)
            .filter(|change| self.is_asked(change.part))
            .collect();
        hasty.sort_by(|a, b| b.lack().total_cmp(&a.lack()));
        let sentence = |change: &&Change| {
            let (bar, _) = self.movement.place(change.at);
            format!(
                "{}{}: {}, {} s where {} s are usual, {}",
                self.roll.name(change.part),
                self.where_(bar),
                change.what,
                say::rate(change.available_seconds),
                say::rate(change.wanted_seconds),
                change.verdict.name(),
            )
        };
        hasty.iter().take(MOST).map(sentence).collect()
    }

    /// Fast and slow attacks together, with the advice.
    pub(super) fn mixed_attacks(&self) -> Vec<String> {
        let mut mixed: Vec<_> = self
            .tracks
            .mixed
            .iter()
            .filter(|attack| self.meets(attack.bar, attack.bar))
            .filter(|attack| attack.voices.iter().any(|(part, _)| self.is_asked(*part)))
            .collect();
        mixed.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        mixed.truncate(MOST);
        mixed.sort_by_key(|attack| attack.at);
        let sentence = |attack: &crate::mixed::MixedAttack| {
            let (bar, offset) = self.movement.place(attack.at);
            let beat = self.movement.beat(bar, offset).filter(|beat| beat.denominator() == 1);
            let beat = beat.map_or_else(String::new, |beat| format!(" on beat {beat}"));
            let what = attack.reasons.first().cloned().unwrap_or_default();
            format!("mixed attack{beat}{}: {what}. {}", self.where_(bar), attack.advice)
        };
        mixed.into_iter().map(sentence).collect()
    }

    /// Lines that are likely covered; an estimate, and said so.
    pub(super) fn covered(&self) -> Vec<String> {
        let here = self.tracks.balance.covered.iter();
        let here = here.filter(|covered| self.meets(covered.from, covered.to));
        here.filter(|covered| self.is_asked(covered.part))
            .take(MOST)
            .map(|covered| {
                let by = self.roll.words(&covered.by);
                let by = if by.is_empty() { by } else { format!(" by {by}") };
                format!(
                    "{}{} is likely covered{by}, by estimate {:.0} dB under the rest",
                    self.roll.name(covered.part),
                    self.where_(covered.from.max(self.first)),
                    -covered.margin_db,
                )
            })
            .collect()
    }
}
