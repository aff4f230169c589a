//! From tempo marks to segments: which mark counts at a place, what it comes to, and where changes
//! by degrees lead.

use super::marks::{self, Place};
use super::terms;
use super::value::reading_text;
use super::{Assumed, Origin, Segment};
use crate::say;
use crate::settings::Settings;
use barloom_core::basis::MovementPlan;
use barloom_core::meter::Meter;
use barloom_core::score::Movement;
use barloom_core::study::PlanTempoValue;
use barloom_core::time::Ticks;

/// Two tempi closer than this share are the same: playback values are rounded in files.
pub(super) const SAME: f64 = 0.01;

/// A place without a clock that lasts longer to the end of the movement is said.
const FREE_BARS: usize = 8;

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
        walk.set_freedom(place);
        if let Some((faster, end)) = place.gradual {
            walk.change_by_degrees(place, faster, end, goal, later);
        }
    }
    walk.report_freedom();
    (walk.segments, walk.problems)
}

/// The walk from mark to mark that makes the segments.
pub(super) struct Walk<'a> {
    pub(super) movement: &'a Movement,
    pub(super) settings: &'a Settings,
    pub(super) segments: Vec<Segment>,
    pub(super) problems: Problems,
    /// The first tempo of the movement.
    pub(super) first: f64,
    /// The tempo before the last change, and the last one that was not reached by degrees.
    pub(super) before: f64,
    pub(super) steady: f64,
    /// A change by degrees has begun and nothing but playback values followed.
    pub(super) loose: bool,
    /// The meter at the last mark, for l'istesso tempo.
    pub(super) meter: Meter,
    /// Where the running change by degrees ends, and whether it gets faster.
    pub(super) running: Option<(Ticks, bool)>,
    /// Where no clock began to hold, with the words.
    free: Option<(Ticks, String)>,
}

impl<'a> Walk<'a> {
    /// Begins at tick 0, where a tempo is assumed unless a mark stands there.
    fn start(movement: &'a Movement, settings: &'a Settings, places: &[Place]) -> Self {
        let opening = opening_value(movement, places);
        let title = opening.is_none().then(|| title_reading(movement)).flatten();
        let titled = title.as_ref().map(terms::Reading::quarters_per_minute);
        let value = opening.or(titled).unwrap_or(settings.assumed_quarters_per_minute);
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
            free: None,
        };
        let stated = places.first().is_some_and(|place| place.at == Ticks::ZERO)
            && places.first().and_then(Place::absolute).is_some();
        if !stated {
            walk.assume_opening(value, opening.is_some(), title.as_ref(), places);
        }
        walk
    }

    fn assume_opening(
        &mut self,
        value: f64,
        from_next: bool,
        title: Option<&terms::Reading>,
        places: &[Place],
    ) {
        let why = if from_next {
            String::from("the tempo of the first full bar holds for the upbeat")
        } else if let Some(reading) = title {
            let (title, taken) = (self.movement.title.trim(), reading_text(reading));
            format!("no tempo is stated; the title \u{201c}{title}\u{201d} is taken as {taken}")
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
            free: false,
            assumed: Assumed::default(),
        });
    }

    /// Words that take the clock away, or a mark that gives it back. Playback values do not: files
    /// play a rubato by steps.
    fn set_freedom(&mut self, place: &Place) {
        if !place.free {
            return;
        }
        let words = place.words.clone();
        self.free = Some((place.at, words.clone()));
        let now = self.in_force(place.at);
        if self.running.take().is_some_and(|(end, _)| place.at < end)
            && let Some(last) = self.segments.last_mut()
        {
            last.to = last.to.map(|_| now);
        }
        match self.segments.last_mut() {
            Some(last) if last.at == place.at => last.free = true,
            last => {
                let origin = last.as_ref().map_or(Origin::Assumed, |last| last.origin);
                let unit = last.and_then(|last| last.unit);
                self.push(Segment {
                    at: place.at,
                    quarters_per_minute: now,
                    to: None,
                    origin,
                    unit,
                    why: format!("{words}: no clock holds; the tempo before is kept for the time"),
                    words,
                    line: place.line,
                    free: true,
                    assumed: Assumed::default(),
                });
            }
        }
    }

    /// Words that take the clock away for the rest of a movement are rarely meant so.
    fn report_freedom(&mut self) {
        let Some((at, words)) = self.free.take() else { return };
        let bars = &self.movement.bars;
        let first = bars.bar_at(at).map_or(0, |bar| bar.idx());
        if bars.len().saturating_sub(first) > FREE_BARS {
            self.problems.push((
                at,
                format!("no tempo follows \u{201c}{words}\u{201d}; no clock holds to the end"),
            ));
        }
    }

    /// Adds a segment; one that begins at the same moment is replaced.
    pub(super) fn push(&mut self, segment: Segment) {
        let segment = Segment { free: segment.free || self.free.is_some(), ..segment };
        if self.segments.last().is_some_and(|last| last.at == segment.at) {
            self.segments.pop();
        }
        self.segments.push(segment);
    }

    /// Quarters a minute just before a place.
    pub(super) fn in_force(&self, at: Ticks) -> f64 {
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
        if !silent {
            self.free = None;
        }
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
            free: false,
            assumed: Assumed::default(),
        });
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
        } else if let Some((old, new, turned)) = place.equation_read(self.in_force(place.at)) {
            let value = self.in_force(place.at) * new.as_f64() / old.as_f64();
            if !same(value, playback) || turned {
                let (left, right) = if turned { (new, old) } else { (old, new) };
                let (old, new) = (say::note_value(left), say::note_value(right));
                let how = if turned { ", with the new value on the left," } else { "" };
                let gives = say::rate(value);
                self.problems.push((
                    place.at,
                    format!(
                        "{old} = {new}{how} gives quarter = {gives}, the playback value is \
                         {heard}; the equation counts"
                    ),
                ));
            }
        }
    }
}

pub(super) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME * a.abs().max(b.abs())
}

/// The tempo of the first full bar, for an upbeat before it.
fn opening_value(movement: &Movement, places: &[Place]) -> Option<f64> {
    let first_bar = movement.bars.as_slice().first()?;
    let limit = if first_bar.pickup { first_bar.end() } else { Ticks::ZERO };
    let place = places.iter().find(|place| place.absolute().is_some())?;
    (place.at <= limit).then(|| place.absolute()).flatten()
}

/// What the title of the movement says about the tempo: "Andante con moto".
fn title_reading(movement: &Movement) -> Option<terms::Reading> {
    let meter = movement.bars.as_slice().first().map(|bar| &bar.meter)?;
    terms::read(&movement.title, meter)
}

fn planned_words(place: &Place) -> Option<String> {
    match place.plan.as_ref()? {
        PlanTempoValue::Term(term) => Some(term.clone()),
        _ => Some(String::new()),
    }
}
