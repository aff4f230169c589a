//! What may come apart or go wrong: changes against the clock, mixed attacks, a line that is covered,
//! what does not fit together, notes at the ends of a range, long breaths.

use super::Scene;
use crate::changes::timpani::key_name;
use crate::changes::{Change, Verdict};
use crate::ranges::comfort::StretchKind;
use crate::ranges::{Extreme, RangeKind};
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

    /// What is written and does not fit together.
    pub(super) fn contradictions(&self) -> Vec<String> {
        let here = self.tracks.contradictions.iter();
        let here = here.filter(|found| self.from <= found.at && found.at < self.to);
        here.filter(|found| found.parts.iter().any(|part| self.is_asked(*part)))
            .take(MOST)
            .map(|found| {
                let (bar, _) = self.movement.place(found.at);
                let who = self.roll.words(&found.parts);
                format!("to ask{}: {who}, {}", self.where_(bar), found.what)
            })
            .collect()
    }

    /// Notes past or near the end of a range, those past it first.
    pub(super) fn extremes(&self) -> Vec<String> {
        let mut extremes: Vec<&Extreme> = self
            .tracks
            .ranges
            .iter()
            .filter(|extreme| self.meets(extreme.bar, extreme.last_bar))
            .filter(|extreme| self.is_asked(extreme.part))
            .collect();
        extremes.sort_by_key(|extreme| !extreme.kind.is_outside());
        let sentence = |extreme: &&Extreme| {
            let pitch = u8::try_from(extreme.pitch.midi().round() as i64).map(key_name);
            let pitch = pitch.unwrap_or_default();
            let words = match extreme.kind {
                RangeKind::Above => format!("above the usual range, up to {pitch}"),
                RangeKind::Below => format!("below the usual range, down to {pitch}"),
                RangeKind::High => format!("very high, up to {pitch}"),
                RangeKind::LowSoft => format!("low and soft, down to {pitch}"),
                RangeKind::HighSoft => format!("high and soft, up to {pitch}"),
            };
            let place = self.where_(extreme.bar.max(self.first));
            format!("{}{place} {words} as it sounds", self.roll.name(extreme.part))
        };
        extremes.iter().take(MOST).map(sentence).collect()
    }

    /// Stretches without a breath here, and those without a bar of rest that begin here.
    pub(super) fn breaths(&self) -> Vec<String> {
        let here = self.tracks.stretches.iter().filter(|stretch| match stretch.kind {
            StretchKind::Breath => self.meets(stretch.from, stretch.to),
            StretchKind::Rest => self.meets(stretch.from, stretch.from),
        });
        here.filter(|stretch| self.is_asked(stretch.part))
            .take(MOST)
            .map(|stretch| {
                let name = |bar| self.movement.bar_name(bar);
                let (from, to) = (name(stretch.from), name(stretch.to));
                let time = if stretch.seconds < 60.0 {
                    format!("{:.0} s", stretch.seconds)
                } else {
                    format!("{} min", say::rate(stretch.seconds / 60.0))
                };
                let who = self.roll.name(stretch.part);
                let what = stretch.kind.name();
                format!("{who} has no {what} for {time}, bars {from}\u{2013}{to}")
            })
            .collect()
    }
}
