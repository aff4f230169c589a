//! Changes by degrees: where a ritardando or accelerando ends, and at what.
//!
//! They have no number of their own: even change over the written span, to the value of the next
//! mark, else to a share of the tempo before (common practice, a setting).

use super::build::{SAME, Walk};
use super::marks::Place;
use super::{Assumed, Origin, Segment};
use crate::say;
use barloom_core::time::Ticks;

/// The goal of a change by degrees.
struct Aim {
    end: Ticks,
    to: f64,
    why: String,
    unbounded: bool,
    assumed: Assumed,
}

impl Walk<'_> {
    /// The playback value beside a change by degrees, when it says where the change leads and is
    /// not the first of several steps.
    pub(super) fn goal_in_playback(&self, place: &Place, later: &[Place]) -> Option<f64> {
        let (faster, _) = place.gradual?;
        let goal = place.playback_alone()?;
        let onward = |from: f64, to: f64| {
            if faster { to > from * (1.0 + SAME) } else { to < from * (1.0 - SAME) }
        };
        let next = later.first().and_then(Place::playback_alone);
        let steps = next.is_some_and(|next| onward(goal, next));
        (onward(self.in_force(place.at), goal) && !steps).then_some(goal)
    }

    pub(super) fn change_by_degrees(
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
            aim.assumed.goal = false;
            aim.why = String::from("the playback value beside it");
        }
        let words = if place.gradual_words.is_empty() {
            if faster { "faster by degrees" } else { "slower by degrees" }
        } else {
            place.gradual_words.as_str()
        };
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
            free: false,
            assumed: aim.assumed,
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
            self.after_degrees(place, words, &aim, next);
        }
    }

    /// What holds between the end of a change by degrees and a later mark: the tempo reached, if a
    /// mark follows soon or goes back; else the tempo before it is assumed again.
    fn after_degrees(&mut self, place: &Place, words: &str, aim: &Aim, next: Option<&Place>) {
        let near = self.bars_later(place.at, 4);
        let held = next.is_some_and(|next| next.a_tempo || next.primo || next.at <= near);
        let mut segment = Segment {
            at: aim.end,
            quarters_per_minute: aim.to,
            to: None,
            origin: Origin::Term,
            unit: None,
            words: String::new(),
            why: format!("reached by {words}"),
            line: place.line,
            free: false,
            assumed: Assumed::default(),
        };
        if !held {
            segment.quarters_per_minute = self.steady;
            segment.origin = Origin::Assumed;
            segment.why = format!("no tempo follows {words}; the tempo before it is assumed again");
            let limit = say::count(self.settings.gradual_bars as usize, "bar");
            let taken =
                if aim.unbounded { format!(" (taken over {limit})") } else { String::new() };
            let report = format!(
                "no tempo follows {words}{taken}; after it the tempo before is assumed again"
            );
            self.problems.push((place.at, report));
        }
        self.push(segment);
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
        let factor = 1.0 + (factor - 1.0) * degree(&place.gradual_words);
        let mut unbounded = false;
        let end_written = end.is_some() || stated.is_some();
        let end = match (end, stated, next) {
            (Some(end), _, _) => end.min(stop),
            (None, Some(_), _) => stop,
            // Up to the next mark, if it is near enough to belong to this change.
            (None, None, Some(_)) if stop <= self.bars_later(place.at, 4) => stop,
            (None, None, _) => {
                // Without any sign of its end.
                let limit = self.bars_later(place.at, 1);
                unbounded = limit < stop;
                limit.min(stop)
            }
        };
        let assumed = Assumed {
            // A word that goes back ends it too.
            end: !end_written && !next.is_some_and(|next| returns(&next) && end == stop),
            goal: stated.is_none(),
        };
        let (to, why) = match stated {
            Some(to) => (to, String::from("the next tempo mark")),
            None => {
                let share = (factor * 100.0).round() / 100.0;
                (from * factor, format!("{share} of it since no end value is written"))
            }
        };
        Aim { end, to, why, unbounded, assumed }
    }

    /// The end of the last of so many times the bars that a change without an end is given.
    fn bars_later(&self, at: Ticks, times: usize) -> Ticks {
        let bars = &self.movement.bars;
        let first = bars.bar_at(at).map_or(0, |bar| bar.idx());
        let last = first + times * self.settings.gradual_bars.max(1) as usize - 1;
        bars.as_slice().get(last).map_or(bars.end(), |bar| bar.end())
    }
}

/// How far a change by degrees goes, as a share of the ordinary one: "poco rit." half as far, "molto
/// rit." half as far again (common practice has no numbers; the ordinary share is a setting).
fn degree(words: &str) -> f64 {
    let plain = words.to_lowercase();
    let has = |list: &[&str]| {
        plain.split(|letter: char| !letter.is_alphanumeric()).any(|word| list.contains(&word))
    };
    let by_and_by = plain.contains("poco a poco") || plain.contains("peu à peu");
    if has(&["molto", "assai", "sehr", "très", "beaucoup", "much", "molt"]) {
        1.5
    } else if has(&["poco", "peu", "etwas", "slightly", "little", "pochiss"]) && !by_and_by {
        0.5
    } else {
        1.0
    }
}
