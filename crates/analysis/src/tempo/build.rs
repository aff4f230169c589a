//! From tempo marks to segments: which mark counts at a place, what it comes to, and where changes
//! by degrees lead.

use super::marks::{self, Place};
use super::terms::{self, Relative};
use super::{Origin, Segment};
use crate::say;
use crate::settings::Settings;
use barloom_core::basis::MovementPlan;
use barloom_core::meter::Meter;
use barloom_core::score::Movement;
use barloom_core::study::PlanTempoValue;
use barloom_core::time::{Quarters, Ticks};

/// Two tempi closer than this share are the same: playback values are rounded in files.
const SAME: f64 = 0.01;

type Problems = Vec<(Ticks, String)>;

/// The segments of a movement, contiguous from tick 0, and the conflicts found.
pub(super) fn segments(
    movement: &Movement,
    plan: &MovementPlan,
    settings: &Settings,
) -> (Vec<Segment>, Problems) {
    let places = marks::places(movement, plan);
    let mut walk = Walk::start(movement, settings, &places);
    for (idx, place) in places.iter().enumerate() {
        walk.report_conflicts(place);
        let later = places.get(idx + 1..).unwrap_or_default();
        let goal = walk.goal_in_playback(place, later);
        if place.sets_tempo() && goal.is_none() {
            walk.set(place);
        }
        if let Some((faster, end)) = place.gradual {
            walk.change_by_degrees(place, faster, end, goal, later);
        }
    }
    (walk.segments, walk.problems)
}

/// A value on its way to becoming a segment.
struct Value {
    quarters_per_minute: f64,
    origin: Origin,
    unit: Option<Quarters>,
    why: String,
}

struct Walk<'a> {
    movement: &'a Movement,
    settings: &'a Settings,
    segments: Vec<Segment>,
    problems: Problems,
    /// The first tempo of the movement.
    first: f64,
    /// The tempo before the last change, and the last one that was not reached by degrees.
    before: f64,
    steady: f64,
    /// A change by degrees has begun and nothing but playback values followed.
    loose: bool,
    /// The meter at the last mark, for l'istesso tempo.
    meter: Meter,
    /// Where the running change by degrees ends, and whether it gets faster.
    running: Option<(Ticks, bool)>,
}

impl<'a> Walk<'a> {
    /// Begins at tick 0, where a tempo is assumed unless a mark stands there.
    fn start(movement: &'a Movement, settings: &'a Settings, places: &[Place]) -> Self {
        let opening = opening_value(movement, places);
        let value = opening.unwrap_or(settings.assumed_quarters_per_minute);
        let meter = movement.bars.as_slice().first().map(|bar| bar.meter.clone());
        let mut walk = Self {
            movement,
            settings,
            segments: Vec::new(),
            problems: Vec::new(),
            first: value,
            before: value,
            steady: value,
            loose: false,
            meter: meter.unwrap_or_default(),
            running: None,
        };
        let stated = places.first().is_some_and(|place| place.at == Ticks::ZERO)
            && places.first().and_then(Place::absolute).is_some();
        if !stated {
            walk.assume_opening(value, opening.is_some(), places);
        }
        walk
    }

    fn assume_opening(&mut self, value: f64, from_next: bool, places: &[Place]) {
        let why = if from_next {
            String::from("the tempo of the first full bar holds for the upbeat")
        } else {
            format!("no tempo is stated; quarter = {} is assumed", say::rate(value))
        };
        if !from_next {
            self.problems.push((Ticks::ZERO, why.clone()));
        }
        let words = places.first().filter(|place| place.at == Ticks::ZERO);
        self.push(Segment {
            at: Ticks::ZERO,
            quarters_per_minute: value,
            to: None,
            origin: Origin::Assumed,
            unit: None,
            words: words.map(|place| place.words.clone()).unwrap_or_default(),
            why,
            line: 0,
        });
    }

    /// Adds a segment; one that begins at the same moment is replaced.
    fn push(&mut self, segment: Segment) {
        if self.segments.last().is_some_and(|last| last.at == segment.at) {
            self.segments.pop();
        }
        self.segments.push(segment);
    }

    /// Quarters a minute just before a place.
    fn in_force(&self, at: Ticks) -> f64 {
        let Some(last) = self.segments.last() else { return self.first };
        let Some(to) = last.to else { return last.quarters_per_minute };
        let end = self.running.map_or(at, |(end, _)| end);
        let whole = end.since(last.at).0 as f64;
        let share = if whole > 0.0 { (at.since(last.at).0 as f64 / whole).min(1.0) } else { 1.0 };
        last.quarters_per_minute + (to - last.quarters_per_minute) * share
    }

    fn set(&mut self, place: &Place) {
        let now = self.in_force(place.at);
        let Some(value) = self.value_of(place, now) else { return };
        let running = self.running.is_some_and(|(end, _)| place.at < end);
        let silent = place.playback_alone().is_some();
        // A playback value that only repeats the tempo in force is nothing new.
        if silent && same(value.quarters_per_minute, now) && !running && !self.segments.is_empty() {
            return;
        }
        if running && let Some(last) = self.segments.last_mut() {
            // The mark cuts the change short: it stops where it has come to.
            last.to = last.to.map(|_| now);
        }
        self.running = None;
        // Playback values that follow a ritardando are its steps, not a tempo to go back to.
        self.loose &= silent;
        if !self.loose {
            self.before = self.steady;
            self.steady = value.quarters_per_minute;
        }
        if place.at == Ticks::ZERO {
            self.first = value.quarters_per_minute;
            self.before = self.first;
        }
        self.meter.clone_from(&place.meter);
        self.push(Segment {
            at: place.at,
            quarters_per_minute: value.quarters_per_minute,
            to: None,
            origin: value.origin,
            unit: value.unit,
            words: planned_words(place).unwrap_or_else(|| place.words.clone()),
            why: value.why,
            line: if value.origin == Origin::Plan { 0 } else { place.line },
        });
    }

    /// What counts at a place, in the order of precedence.
    fn value_of(&self, place: &Place, now: f64) -> Option<Value> {
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
        if let Some((old, new)) = place.equation {
            let value = now * new.as_f64() / old.as_f64();
            let (old_name, new_name) = (say::note_value(old), say::note_value(new));
            let rate = say::rate(now / old.as_f64());
            return Some(Value {
                quarters_per_minute: value,
                origin: Origin::Equation,
                unit: Some(new),
                why: format!("{old_name} = {new_name}, the {old_name} before it at {rate}"),
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

    /// The playback value beside a change by degrees, when it says where the change leads and is
    /// not the first of several steps.
    fn goal_in_playback(&self, place: &Place, later: &[Place]) -> Option<f64> {
        let (faster, _) = place.gradual?;
        let goal = place.playback_alone()?;
        let onward = |from: f64, to: f64| {
            if faster { to > from * (1.0 + SAME) } else { to < from * (1.0 - SAME) }
        };
        let next = later.first().and_then(Place::playback_alone);
        let steps = next.is_some_and(|next| onward(goal, next));
        (onward(self.in_force(place.at), goal) && !steps).then_some(goal)
    }

    fn change_by_degrees(
        &mut self,
        place: &Place,
        faster: bool,
        end: Option<Ticks>,
        goal: Option<f64>,
        later: &[Place],
    ) {
        // The same change written again in another part a little later.
        if !place.sets_tempo()
            && self.running.is_some_and(|(until, dir)| place.at < until && dir == faster)
        {
            return;
        }
        let from = self.in_force(place.at);
        if self.running.is_some_and(|(until, _)| place.at < until)
            && let Some(last) = self.segments.last_mut()
        {
            last.to = last.to.map(|_| from);
        }
        let opposite = |next: &&Place| next.gradual.is_some_and(|(dir, _)| dir != faster);
        let next = later.iter().find(|next| next.sets_tempo() || opposite(next));
        let mut aim = self.aim(place, faster, end, next, from);
        if let Some(goal) = goal {
            aim.to = goal;
            aim.why = String::from("the playback value beside it");
        }
        let words = if place.gradual_words.is_empty() {
            if faster { "faster by degrees" } else { "slower by degrees" }
        } else {
            place.gradual_words.as_str()
        };
        if aim.unbounded {
            self.problems.push((
                place.at,
                format!(
                    "{words} has no written end and no tempo follows soon; taken over {}",
                    say::count(self.settings.gradual_bars as usize, "bar")
                ),
            ));
        }
        let (low, high) = (say::rate(from), say::rate(aim.to));
        let mut ramp = Segment {
            at: place.at,
            quarters_per_minute: from,
            to: Some(aim.to),
            origin: Origin::Term,
            unit: None,
            words: words.to_owned(),
            why: format!("{words}: evenly from quarter = {low} to {high}, {}", aim.why),
            line: place.line,
        };
        if let Some(mark) = self.segments.last().filter(|last| last.at == place.at) {
            // The mark that gives the tempo to begin with stays on record.
            (ramp.origin, ramp.unit) = (mark.origin, mark.unit);
            ramp.why = format!("{}; {}", mark.why, ramp.why);
            if !mark.words.is_empty() {
                ramp.words = format!("{}, {words}", mark.words);
            }
        }
        self.push(ramp);
        self.running = Some((aim.end, faster));
        self.loose = true;
        if next.is_none_or(|next| aim.end < next.at) && aim.end < self.movement.bars.end() {
            self.push(Segment {
                at: aim.end,
                quarters_per_minute: aim.to,
                to: None,
                origin: Origin::Term,
                unit: None,
                words: String::new(),
                why: format!("reached by {words}"),
                line: place.line,
            });
        }
    }

    /// Where a change by degrees ends and at what.
    fn aim(
        &self,
        place: &Place,
        faster: bool,
        end: Option<Ticks>,
        next: Option<&Place>,
        from: f64,
    ) -> Aim {
        let goes_on = |value: &f64| {
            if faster { *value > from * (1.0 + SAME) } else { *value < from * (1.0 - SAME) }
        };
        let returns = |next: &&Place| next.a_tempo || next.primo;
        let stated = next.filter(|next| !returns(next)).and_then(Place::absolute).filter(goes_on);
        let stop = next.map_or(self.movement.bars.end(), |next| next.at);
        let factor =
            if faster { self.settings.quickening_factor } else { self.settings.slowing_factor };
        let mut unbounded = false;
        let end = match (end, stated, next) {
            (Some(end), _, _) => end.min(stop),
            (None, Some(_), _) => stop,
            // Up to the next mark, if it is near enough to belong to this change.
            (None, None, Some(_)) if stop <= self.bars_later(place.at, 4) => stop,
            (None, None, _) => {
                let limit = self.bars_later(place.at, 1);
                unbounded = limit < stop;
                limit.min(stop)
            }
        };
        match stated {
            Some(to) => Aim { end, to, why: String::from("the next tempo mark"), unbounded },
            None => Aim {
                end,
                to: from * factor,
                why: format!("{factor} of it since no end value is written"),
                unbounded,
            },
        }
    }

    /// The end of the last of so many times the bars that a change without an end is given.
    fn bars_later(&self, at: Ticks, times: usize) -> Ticks {
        let bars = &self.movement.bars;
        let first = bars.bar_at(at).map_or(0, |bar| bar.idx());
        let last = first + times * self.settings.gradual_bars.max(1) as usize - 1;
        bars.as_slice().get(last).map_or(bars.end(), |bar| bar.end())
    }

    fn report_conflicts(&mut self, place: &Place) {
        for rival in &place.rivals {
            self.problems.push((place.at, rival.clone()));
        }
        let Some(playback) = place.playback else { return };
        let heard = say::rate(playback);
        if let Some(printed) = &place.printed {
            let low = printed.per_minute * printed.unit.as_f64();
            let high = printed.up_to.unwrap_or(printed.per_minute) * printed.unit.as_f64();
            if playback < low * (1.0 - SAME) || playback > high * (1.0 + SAME) {
                let (text, gives) = (printed.text(), say::rate(printed.quarters_per_minute()));
                self.problems.push((
                    place.at,
                    format!(
                        "printed {text} gives quarter = {gives}, the playback value is {heard}; \
                         the printed mark counts"
                    ),
                ));
            }
        } else if let Some((old, new)) = place.equation {
            let value = self.in_force(place.at) * new.as_f64() / old.as_f64();
            if !same(value, playback) {
                let (old, new) = (say::note_value(old), say::note_value(new));
                let gives = say::rate(value);
                self.problems.push((
                    place.at,
                    format!(
                        "{old} = {new} gives quarter = {gives}, the playback value is {heard}; \
                         the equation counts"
                    ),
                ));
            }
        }
    }
}

/// The goal of a change by degrees.
struct Aim {
    end: Ticks,
    to: f64,
    why: String,
    unbounded: bool,
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

/// The tempo of the first full bar, for an upbeat before it.
fn opening_value(movement: &Movement, places: &[Place]) -> Option<f64> {
    let first_bar = movement.bars.as_slice().first()?;
    let limit = if first_bar.pickup { first_bar.end() } else { Ticks::ZERO };
    let place = places.iter().find(|place| place.absolute().is_some())?;
    (place.at <= limit).then(|| place.absolute()).flatten()
}

fn planned_words(place: &Place) -> Option<String> {
    match place.plan.as_ref()? {
        PlanTempoValue::Term(term) => Some(term.clone()),
        _ => Some(String::new()),
    }
}

fn reading_text(reading: &terms::Reading) -> String {
    format!(
        "{} = {}, out of {} to {}",
        say::note_value(reading.unit),
        say::rate(reading.beats_per_minute),
        say::rate(reading.row.low),
        say::rate(reading.row.high)
    )
}
