//! What a place comes to: the mark that counts there, in the order of precedence, as quarters a
//! minute with the reason in words.

use super::Origin;
use super::build::{Walk, same};
use super::marks::Place;
use super::terms::{self, Relative};
use crate::say;
use barloom_core::study::PlanTempoValue;
use barloom_core::time::{Quarters, Ticks};

/// A value on its way to becoming a segment.
pub(super) struct Value {
    pub(super) quarters_per_minute: f64,
    pub(super) origin: Origin,
    pub(super) unit: Option<Quarters>,
    pub(super) why: String,
}

impl Walk<'_> {
    /// What counts at a place, in the order of precedence.
    pub(super) fn value_of(&self, place: &Place, now: f64) -> Option<Value> {
        if let Some(value) = self.planned(place) {
            return Some(value);
        }
        if let Some(printed) = &place.printed {
            let taken = printed.up_to.map(|_| format!(", taken as {}", say::rate(printed.taken())));
            return Some(Value {
                quarters_per_minute: printed.quarters_per_minute(),
                origin: Origin::Printed,
                unit: Some(printed.unit),
                why: format!("printed {}{}", printed.text(), taken.unwrap_or_default()),
            });
        }
        if let Some((old, new, turned)) = place.equation_read(now) {
            let value = now * new.as_f64() / old.as_f64();
            let (old_name, new_name) = (say::note_value(old), say::note_value(new));
            let rate = say::rate(now / old.as_f64());
            return Some(Value {
                quarters_per_minute: value,
                origin: Origin::Equation,
                unit: Some(new),
                why: if turned {
                    format!("{new_name} = {old_name} of before, the {old_name} there at {rate}")
                } else {
                    format!("{old_name} = {new_name}, the {old_name} before it at {rate}")
                },
            });
        }
        if let Some(playback) = place.playback {
            let why = format!("playback value of the file, quarter = {}", say::rate(playback));
            return Some(Value {
                quarters_per_minute: playback,
                origin: Origin::Playback,
                unit: None,
                why,
            });
        }
        self.returning(place).or_else(|| self.worded(place, now))
    }

    fn planned(&self, place: &Place) -> Option<Value> {
        let (quarters_per_minute, unit, why) = match place.plan.as_ref()? {
            PlanTempoValue::Beats { unit, per_minute } => {
                let value = unit.as_f64() * per_minute;
                let name = say::note_value(*unit);
                (value, Some(*unit), format!("your plan: {name} = {}", say::rate(*per_minute)))
            }
            PlanTempoValue::Term(term) => {
                let reading = terms::read(term, &place.meter)?;
                let taken = reading_text(&reading);
                let value = reading.quarters_per_minute();
                (value, Some(reading.unit), format!("your plan: {term} taken as {taken}"))
            }
            PlanTempoValue::AsBefore => {
                (self.before, None, String::from("your plan: the tempo before the last change"))
            }
        };
        let valid = quarters_per_minute.is_finite() && quarters_per_minute > 0.0;
        valid.then_some(Value { quarters_per_minute, origin: Origin::Plan, unit, why })
    }

    fn returning(&self, place: &Place) -> Option<Value> {
        let (quarters_per_minute, name) = if place.primo {
            (self.first, "first tempo of the movement")
        } else if place.a_tempo {
            (self.steady, "tempo before the change by degrees")
        } else {
            return None;
        };
        let words = if place.words.is_empty() { "a tempo" } else { place.words.as_str() };
        let source = self.segments.iter().rev().find(|segment| {
            segment.to.is_none() && same(segment.quarters_per_minute, quarters_per_minute)
        });
        Some(Value {
            quarters_per_minute,
            origin: source.map_or(Origin::Term, |segment| segment.origin),
            unit: source.and_then(|segment| segment.unit),
            why: format!(
                "{words}: back to the {name}, quarter = {}",
                say::rate(quarters_per_minute)
            ),
        })
    }

    fn worded(&self, place: &Place, now: f64) -> Option<Value> {
        let term = place.term.as_deref()?;
        let opens = place.at == Ticks::ZERO;
        if let Some(reading) = terms::read(term, &place.meter) {
            return Some(Value {
                quarters_per_minute: reading.quarters_per_minute(),
                origin: Origin::Term,
                unit: None,
                why: format!("{term} taken as {}", reading_text(&reading)),
            });
        }
        let (factor, how) = match terms::relative(term) {
            // At the very beginning there is nothing to compare with.
            _ if opens => return None,
            Some(Relative::Quicker) => (self.settings.quicker_term_factor, None),
            Some(Relative::Slower) => (self.settings.slower_term_factor, None),
            Some(Relative::Double) => (2.0, Some("twice the tempo before it")),
            Some(Relative::Half) => (0.5, Some("half the tempo before it")),
            Some(Relative::SameBeat) => {
                let old = terms::notated_beat(&self.meter).as_f64();
                let new = terms::notated_beat(&place.meter).as_f64();
                (new / old, Some("the beat keeps its length"))
            }
            None => {
                return Some(Value {
                    quarters_per_minute: now,
                    origin: Origin::Assumed,
                    unit: None,
                    why: format!(
                        "\u{201c}{term}\u{201d} gives no number; the tempo before is kept"
                    ),
                });
            }
        };
        let why = how.map_or_else(
            || format!("{term} taken as {factor} times the tempo before it"),
            |how| format!("{term}: {how}"),
        );
        Some(Value { quarters_per_minute: now * factor, origin: Origin::Term, unit: None, why })
    }
}

pub(super) fn reading_text(reading: &terms::Reading) -> String {
    format!(
        "{} = {}, out of {} to {}",
        say::note_value(reading.unit),
        say::rate(reading.beats_per_minute),
        say::rate(reading.row.low),
        say::rate(reading.row.high)
    )
}
