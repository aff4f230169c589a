//! Long stretches in which a wind player finds no place to breathe or has no bar of rest.
//!
//! Breath and endurance depend on the player, the level and the register: the figures are settings for a
//! first look (common practice), and the players know better.

use crate::heard::HeardNotes;
use crate::playing::PlayingTrack;
use crate::settings::ComfortSettings;
use crate::tempo::TempoTrack;
use barloom_core::bar::BarIndex;
use barloom_core::event::{Marking, MarkingKind, NoteTraits};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// What is long about a stretch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum StretchKind {
    /// No breath: no rest, breath mark, caesura or fermata, and no long note that ends a slur.
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
        let walk = Breaths { movement, tempo, settings, marks, slurs: slurs(music) };
        walk.stretches(heard, part, longest, &mut found);
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

/// What tells where the player of one part may breathe.
struct Breaths<'a> {
    movement: &'a Movement,
    tempo: &'a TempoTrack,
    settings: &'a ComfortSettings,
    /// Breath marks, caesuras and fermatas.
    marks: Vec<Ticks>,
    /// From the first note of a slur to the end of its last one; by start, none inside another.
    slurs: Vec<(Ticks, Ticks)>,
}

impl Breaths<'_> {
    /// Sound without a place to breathe that lasts longer than a breath.
    fn stretches(
        &self,
        heard: &HeardNotes,
        part: PartIdx,
        longest: f64,
        found: &mut Vec<LongStretch>,
    ) {
        let bars = &self.movement.bars;
        let mut close = |(from, to): (Ticks, Ticks)| {
            let seconds = self.seconds(from, to);
            let last = bars.bar_at(Ticks(to.0.saturating_sub(1)));
            if let (Some(from), Some(to), true) = (bars.bar_at(from), last, seconds >= longest) {
                found.push(LongStretch { part, kind: StretchKind::Breath, from, to, seconds });
            }
        };
        // Since when nobody has breathed, where the last sound ends, and when it began.
        let mut open: Option<(Ticks, Ticks, Ticks)> = None;
        for sound in heard.of_part(part) {
            let Some((from, to, last)) = open else {
                open = Some((sound.at, sound.end, sound.at));
                continue;
            };
            if sound.at >= to && self.can_breathe(last, to, sound.at) {
                close((from, to));
                open = Some((sound.at, sound.end, sound.at));
            } else {
                open = Some((from, to.max(sound.end), sound.at));
            }
        }
        if let Some((from, to, _)) = open {
            close((from, to));
        }
    }

    fn seconds(&self, from: Ticks, to: Ticks) -> f64 {
        self.tempo.seconds_at(to) - self.tempo.seconds_at(from)
    }

    /// Whether there is a breath between a sound that lasts from `last` to `to` and one at `next`: in a
    /// gap, at a mark, or by shortening a long note that no slur joins to the next.
    fn can_breathe(&self, last: Ticks, to: Ticks, next: Ticks) -> bool {
        if self.seconds(to, next) >= self.settings.breath_gap_seconds {
            return true;
        }
        let first = self.marks.partition_point(|mark| *mark < last);
        let marked = self.marks.get(first).is_some_and(|mark| *mark < next);
        marked
            || self.seconds(last, to) >= self.settings.breath_note_seconds && !self.is_slurred(next)
    }

    /// Whether a slur leads over this place.
    fn is_slurred(&self, at: Ticks) -> bool {
        let after = self.slurs.partition_point(|(from, _)| *from < at);
        let slur = after.checked_sub(1).and_then(|idx| self.slurs.get(idx));
        slur.is_some_and(|(_, to)| *to > at)
    }
}

/// The slurs of a part, those that lie in another left out, as are those without an end.
fn slurs(music: &PartMusic) -> Vec<(Ticks, Ticks)> {
    let mut slurs: Vec<(Ticks, Ticks)> = Vec::new();
    // By staff and voice, where the slurs began that are open.
    let mut open: Vec<((u8, u8), Ticks)> = Vec::new();
    for note in music.notes.iter().filter(|note| note.sounds()) {
        let voice = (note.staff, note.voice);
        if note.traits.any(NoteTraits::SLUR_ENDS)
            && let Some(idx) = open.iter().rposition(|(own, _)| *own == voice)
        {
            let (_, from) = open.swap_remove(idx);
            slurs.push((from, note.onset + note.length));
        }
        if note.traits.any(NoteTraits::SLUR_BEGINS) {
            open.retain(|(own, from)| *own != voice || *from < note.onset);
            open.push((voice, note.onset));
        }
    }
    slurs.sort_unstable_by_key(|(from, to)| (*from, std::cmp::Reverse(*to)));
    let mut reach = Ticks(i64::MIN);
    slurs.retain(|(_, to)| {
        let further = *to > reach;
        reach = reach.max(*to);
        further
    });
    slurs
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

    /// Seven bars of 4/4 at 60 under one slur are 28 s; a rest gives breath, and strings need none.
    #[test]
    fn a_line_without_a_rest_is_told() {
        let line = "c4:4( | d4:4 | e4:4 | f4:4 | e4:4 | d4:4 | c4:4)";
        let breath = [(StretchKind::Breath, 0, 6)];
        assert_eq!(stretches(&format!("oboe: 4/4 {line}"), 60.0), breath);
        assert_eq!(stretches(&format!("viola: 4/4 {line}"), 60.0), []);
        assert_eq!(stretches(&format!("oboe: 4/4 {line}"), 120.0), []);
        let rested = "c4:4( | d4:4 | e4:4 | f4:3) r:1 | e4:4( | d4:4 | c4:4)";
        assert_eq!(stretches(&format!("oboe: 4/4 {rested}"), 60.0), []);
    }

    /// Between slurs, and between long notes that are tongued, players breathe; in a run of short ones
    /// they must leave one out (common practice).
    #[test]
    fn long_notes_lend_a_breath_and_runs_do_not() {
        let phrases = "c4:4( | d4:4 | e4:4) | f4:4( | e4:4 | d4:4 | c4:4)";
        assert_eq!(stretches(&format!("oboe: 4/4 {phrases}"), 60.0), []);
        let tongued = ["c4:1 d4 e4 f4"; 7].join(" | ");
        assert_eq!(stretches(&format!("oboe: 4/4 {tongued}"), 60.0), []);
        let run = ["c4:1/4 d4 e4 f4 c4 d4 e4 f4 c4 d4 e4 f4 c4 d4 e4 f4"; 7].join(" | ");
        assert_eq!(stretches(&format!("oboe: 4/4 {run}"), 60.0), [(StretchKind::Breath, 0, 6)]);
    }

    #[test]
    fn minutes_without_a_bar_of_rest_are_told() {
        let bars = vec!["c4:3 r:1"; 60].join(" | ");
        let found = stretches(&format!("horn: 4/4 {bars}"), 60.0);
        assert_eq!(found, [(StretchKind::Rest, 0, 59)]);
    }
}
