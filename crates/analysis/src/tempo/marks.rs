//! Tempo marks gathered by place: whatever stands at one moment, from the score and from the plan,
//! in one record.

use super::terms;
use crate::say;
use barloom_core::basis::MovementPlan;
use barloom_core::meter::Meter;
use barloom_core::score::{Movement, TempoKind, TempoMark};
use barloom_core::study::PlanTempoValue;
use barloom_core::time::{Quarters, Ticks};

/// A printed metronome mark reduced to numbers.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Metronome {
    pub(super) unit: Quarters,
    pub(super) per_minute: f64,
    pub(super) up_to: Option<f64>,
    pub(super) about: bool,
}

impl Metronome {
    /// The value taken: the middle of a range.
    pub(super) fn taken(&self) -> f64 {
        self.up_to.map_or(self.per_minute, |up_to| (self.per_minute + up_to) / 2.0)
    }

    pub(super) fn quarters_per_minute(&self) -> f64 {
        self.taken() * self.unit.as_f64()
    }

    /// "quarter = 60", "half = about 60 to 66".
    pub(super) fn text(&self) -> String {
        let about = if self.about { "about " } else { "" };
        let up_to = self.up_to.map(|up_to| format!(" to {}", say::rate(up_to))).unwrap_or_default();
        format!("{} = {about}{}{up_to}", say::note_value(self.unit), say::rate(self.per_minute))
    }
}

/// Everything about tempo that stands at one moment.
#[derive(Clone, PartialEq, Debug, Default)]
pub(super) struct Place {
    pub(super) at: Ticks,
    pub(super) plan: Option<PlanTempoValue>,
    pub(super) printed: Option<Metronome>,
    pub(super) equation: Option<(Quarters, Quarters)>,
    pub(super) playback: Option<f64>,
    pub(super) a_tempo: bool,
    pub(super) primo: bool,
    /// A tempo word with a value, or one that compares, or one that nobody can weigh.
    pub(super) term: Option<String>,
    /// Faster or slower by degrees, with the written end.
    pub(super) gradual: Option<(bool, Option<Ticks>)>,
    pub(super) gradual_words: String,
    /// No clock holds from here.
    pub(super) free: bool,
    /// The words beside the marks other than the gradual one.
    pub(super) words: String,
    pub(super) line: u32,
    /// The meter in force.
    pub(super) meter: Meter,
    /// Marks of one kind that disagree with each other.
    pub(super) rivals: Vec<String>,
}

impl Place {
    /// The value that stands here whatever was before, if one does; not the plan's "as before".
    pub(super) fn absolute(&self) -> Option<f64> {
        match &self.plan {
            Some(PlanTempoValue::Beats { unit, per_minute }) => {
                return Some(unit.as_f64() * per_minute).filter(|value| *value > 0.0);
            }
            Some(PlanTempoValue::Term(term)) => {
                if let Some(reading) = terms::read(term, &self.meter) {
                    return Some(reading.quarters_per_minute());
                }
            }
            Some(PlanTempoValue::AsBefore) => return None,
            None => {}
        }
        if let Some(printed) = &self.printed {
            return Some(printed.quarters_per_minute());
        }
        if self.equation.is_some() {
            return None;
        }
        if self.playback.is_some() {
            return self.playback;
        }
        if self.a_tempo || self.primo {
            return None;
        }
        let term = self.term.as_deref()?;
        terms::read(term, &self.meter).map(|reading| reading.quarters_per_minute())
    }

    /// The equation as (old, new). The left note is the old value (common practice), but in older
    /// scores it may be the new one; where the playback, or else the tempo word, fits that reading
    /// and not the first, it is taken.
    pub(super) fn equation_read(&self, now: f64) -> Option<(Quarters, Quarters, bool)> {
        let (left, right) = self.equation?;
        let term = self.term.as_deref().and_then(|term| terms::read(term, &self.meter));
        let wanted = self.playback.or_else(|| term.map(|term| term.quarters_per_minute()));
        let ratio = right.as_f64() / left.as_f64();
        let miss = |value: f64| wanted.map_or(0.0, |wanted| (value / wanted).ln().abs());
        let turned = miss(now / ratio) < 0.25 && miss(now * ratio) > 0.5;
        Some(if turned { (right, left, true) } else { (left, right, false) })
    }

    /// The playback value, when nothing else sets the tempo here.
    pub(super) fn playback_alone(&self) -> Option<f64> {
        let spoken = self.plan.is_some()
            || self.printed.is_some()
            || self.equation.is_some()
            || self.a_tempo
            || self.primo
            || self.term.is_some();
        self.playback.filter(|_| !spoken)
    }

    /// Whether anything but a change by degrees stands here.
    pub(super) fn sets_tempo(&self) -> bool {
        self.plan.is_some()
            || self.printed.is_some()
            || self.equation.is_some()
            || self.playback.is_some()
            || self.a_tempo
            || self.primo
            || self.term.is_some()
    }

    fn take(&mut self, mark: &TempoMark) {
        match &mark.kind {
            TempoKind::Metronome { unit, per_minute, up_to, about } => {
                let mark = Metronome {
                    unit: *unit,
                    per_minute: *per_minute,
                    up_to: *up_to,
                    about: *about,
                };
                let value = mark.quarters_per_minute();
                if !value.is_finite() || value <= 0.0 {
                    return;
                }
                match &self.printed {
                    Some(first) if *first != mark => self.rivals.push(format!(
                        "two metronome marks stand here, {} and {}; the first counts",
                        first.text(),
                        mark.text()
                    )),
                    Some(_) => {}
                    None => self.printed = Some(mark),
                }
            }
            TempoKind::Equation { old, new } => {
                if old.as_f64() > 0.0 && new.as_f64() > 0.0 {
                    self.equation.get_or_insert((*old, *new));
                }
            }
            TempoKind::Playback(value) => {
                if *value > 0.0 {
                    self.playback.get_or_insert(*value);
                }
            }
            TempoKind::Term => {
                self.term.get_or_insert_with(|| mark.words.clone());
            }
            TempoKind::Gradual { faster, end } => {
                let end = end.filter(|end| *end > mark.at);
                self.gradual.get_or_insert((*faster, end));
                self.gradual_words.clone_from(&mark.words);
                self.line = if self.line == 0 { mark.line } else { self.line };
                return;
            }
            TempoKind::ATempo => self.a_tempo = true,
            TempoKind::TempoPrimo => self.primo = true,
            TempoKind::Free => self.free = true,
            TempoKind::Swing { .. } | TempoKind::Straight => return,
        }
        let words = without_brackets(&mark.words);
        if self.words.is_empty() || matches!(mark.kind, TempoKind::Term) && !words.is_empty() {
            self.words = words;
        }
        if self.line == 0 || !matches!(mark.kind, TempoKind::Playback(_)) && self.playback.is_some()
        {
            self.line = mark.line;
        }
    }
}

/// The words without the brackets that stood around a metronome mark.
fn without_brackets(words: &str) -> String {
    let plain = words.replace("[]", "").replace("()", "").replace("[ ]", "").replace("( )", "");
    plain.trim().to_owned()
}

/// All places of a movement, sorted, one for each moment.
pub(super) fn places(movement: &Movement, plan: &MovementPlan) -> Vec<Place> {
    let mut marks: Vec<&TempoMark> = movement.tempi.iter().collect();
    marks.sort_by_key(|mark| mark.at);
    let mut moments: Vec<Ticks> = marks.iter().map(|mark| mark.at).collect();
    moments.extend(plan.tempi.iter().map(|(at, _)| *at));
    moments.retain(|at| *at < movement.bars.end() && *at >= Ticks::ZERO);
    moments.sort_unstable();
    moments.dedup();
    let mut places = Vec::with_capacity(moments.len());
    for at in moments {
        let bar = movement.bars.bar_at(at).and_then(|bar| movement.bars.get(bar));
        let meter = bar.map(|bar| bar.meter.clone()).unwrap_or_default();
        let mut place = Place { at, meter, ..Place::default() };
        let first = marks.partition_point(|mark| mark.at < at);
        for mark in marks.iter().skip(first).take_while(|mark| mark.at == at) {
            place.take(mark);
        }
        let planned = plan.tempi.iter().rfind(|(planned, _)| *planned == at);
        place.plan = planned.map(|(_, value)| value.clone());
        places.push(place);
    }
    places
}
