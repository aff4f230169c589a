//! Long stretches in which a wind player finds no place to breathe or has no bar of rest.
//!
//! Breath and endurance depend on the player, the level and the register: the figures are settings for a
//! first look (common practice), and the players know better.

use crate::heard::HeardNotes;
use crate::playing::PlayingTrack;
use crate::settings::ComfortSettings;
use crate::tempo::TempoTrack;
use barloom_core::bar::BarIndex;
use barloom_core::event::{Marking, MarkingKind};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// What is long about a stretch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum StretchKind {
    /// No breath: no rest, breath mark, caesura or fermata.
    Breath,
    /// No bar of rest.
    Rest,
}

impl StretchKind {
    /// What is missing, in words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Breath => "breath",
            Self::Rest => "bar of rest",
        }
    }
}

/// A long stretch of one part.
#[derive(Clone, PartialEq, Debug)]
pub struct LongStretch {
    /// The part.
    pub part: PartIdx,
    /// What is long.
    pub kind: StretchKind,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// How long, at the tempo in force.
    pub seconds: f64,
}

impl LongStretch {
    /// "28 s without a breath", "3.5 min without a bar of rest".
    pub fn in_words(&self) -> String {
        let long = if self.seconds < 100.0 {
            format!("{:.0} s", self.seconds)
        } else {
            format!("{:.1} min", self.seconds / 60.0)
        };
        format!("{long} without a {}", self.kind.name())
    }
}

/// The long stretches of winds, longest first. Condensed parts whose players alternate are judged as if
/// one played all of it.
pub fn of(
    movement: &Movement,
    heard: &HeardNotes,
    playing: &PlayingTrack,
    tempo: &TempoTrack,
    settings: &ComfortSettings,
) -> Vec<LongStretch> {
    let mut found = Vec::new();
    for (part, music) in movement.parts() {
        let taken = music.instruments.first().map(|taken| taken.instrument.get());
        let Some(instrument) = taken else { continue };
        if !matches!(instrument.family, Family::Woodwinds | Family::Brass) {
            continue;
        }
        let short_breathed = matches!(instrument.name, "tuba" | "flute" | "contrabassoon");
        let longest =
            if short_breathed { settings.short_breath_seconds } else { settings.breath_seconds };
        let marks: Vec<Ticks> =
            music.markings.iter().filter(|mark| is_breath(mark)).map(|mark| mark.at).collect();
        breaths(movement, heard, tempo, (part, longest), &marks, settings, &mut found);
        for (from, to) in playing.runs(part) {
            let bars = &movement.bars;
            let (Some(first), Some(last)) = (bars.get(from), bars.get(to)) else { continue };
            let seconds = tempo.seconds_at(last.end()) - tempo.seconds_at(first.start);
            if seconds >= settings.rest_seconds {
                let kind = StretchKind::Rest;
                found.push(LongStretch { part, kind, from, to, seconds });
            }
        }
    }
    found.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
    found
}

fn is_breath(marking: &Marking) -> bool {
    matches!(
        marking.kind,
        MarkingKind::Breath(_) | MarkingKind::Caesura(_) | MarkingKind::Fermata(..)
    )
}

/// Sound without a gap that lasts longer than a breath.
fn breaths(
    movement: &Movement,
    heard: &HeardNotes,
    tempo: &TempoTrack,
    (part, longest): (PartIdx, f64),
    marks: &[Ticks],
    settings: &ComfortSettings,
    found: &mut Vec<LongStretch>,
) {
    let mut open: Option<(Ticks, Ticks)> = None;
    let mut close = |(from, to): (Ticks, Ticks)| {
        let seconds = tempo.seconds_at(to) - tempo.seconds_at(from);
        let bars = &movement.bars;
        let last = bars.bar_at(Ticks(to.0.saturating_sub(1)));
        if let (Some(from), Some(to), true) = (bars.bar_at(from), last, seconds >= longest) {
            found.push(LongStretch { part, kind: StretchKind::Breath, from, to, seconds });
        }
    };
    for sound in heard.of_part(part) {
        let Some((from, to)) = open else {
            open = Some((sound.at, sound.end));
            continue;
        };
        let gap = tempo.seconds_at(sound.at) - tempo.seconds_at(to.min(sound.at));
        let first = marks.partition_point(|mark| *mark <= from);
        let marked = marks.get(first).is_some_and(|mark| *mark <= sound.at);
        if gap >= settings.breath_gap_seconds || marked && sound.at >= to {
            close((from, to));
            open = Some((sound.at, sound.end));
        } else {
            open = Some((from, to.max(sound.end)));
        }
    }
    if let Some(open) = open {
        close(open);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{analyzed, mark, metronome, movement};

    fn stretches(part: &str, per_minute: f64) -> Vec<(StretchKind, u32, u32)> {
        let mut movement = movement(&[part]);
        mark(&mut movement, 0, "0", metronome("1", per_minute), "");
        let (_, tracks) = analyzed(movement);
        let row = |found: &LongStretch| (found.kind, found.from.0, found.to.0);
        tracks.movements[0].stretches.iter().map(row).collect()
    }

    /// Eight bars of 4/4 at 60 are 32 s; a rest gives breath, and strings need none.
    #[test]
    fn a_line_without_a_rest_is_told() {
        let line = "c4:4 | d4:4 | e4:4 | f4:4 | g4:4 | f4:4 | e4:4 | d4:4";
        let breath = [(StretchKind::Breath, 0, 7)];
        assert_eq!(stretches(&format!("oboe: 4/4 {line}"), 60.0), breath);
        assert_eq!(stretches(&format!("viola: 4/4 {line}"), 60.0), []);
        assert_eq!(stretches(&format!("oboe: 4/4 {line}"), 120.0), []);
        let rested = "c4:4 | d4:4 | e4:4 | f4:3 r:1 | g4:4 | f4:4 | e4:4 | d4:4";
        assert_eq!(stretches(&format!("oboe: 4/4 {rested}"), 60.0), []);
    }

    #[test]
    fn minutes_without_a_bar_of_rest_are_told() {
        let bars = vec!["c4:3 r:1"; 60].join(" | ");
        let found = stretches(&format!("horn: 4/4 {bars}"), 60.0);
        assert_eq!(found, [(StretchKind::Rest, 0, 59)]);
    }
}
