//! What each part does in each bar, as far as it tells a line from an accompaniment: how often it
//! moves, by steps or leaps, in even or varied rhythm, how high.
//!
//! That melodies move by small steps in varied rhythm and figures repeat themselves evenly is common
//! practice; no published figure is claimed for it.

use crate::heard::{Heard, HeardNotes};
use barloom_core::event::NoteTraits;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// One part in one bar.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub(crate) struct BarLine {
    /// Moments at which it begins a pitched sound.
    pub(crate) attacks: u32,
    /// Moments at which it begins an unpitched one.
    pub(crate) strokes: u32,
    /// Attacks on another pitch than the one before.
    pub(crate) moves: u32,
    /// Different pitches, by the top voice.
    pub(crate) distinct: u32,
    /// Share of the moves that are by step, 0 to 1; thirds count half.
    pub(crate) stepwise: f32,
    /// Different lengths from attack to attack.
    pub(crate) rhythms: u32,
    /// Mean of the top voice in semitones (MIDI), weighted by length; 0 when nothing pitched sounds.
    pub(crate) height: f32,
    /// Share of the bar in which something pitched sounds, 0 to 1.
    pub(crate) sounding: f32,
    /// Some of it lies under slurs.
    pub(crate) slurred: bool,
    /// Tremolo strokes on more than half of its attacks.
    pub(crate) tremolo: bool,
    /// The most pitches begun together.
    pub(crate) chord: u32,
}

/// The top voice: moment, end, pitch in quarter tones.
type Top = (Ticks, Ticks, i32);

impl BarLine {
    /// Whether the part sounds with pitch.
    pub(crate) fn is_pitched(&self) -> bool {
        self.sounding > 0.0
    }

    /// Repeats one pattern evenly: many attacks in one rhythm, by leaps or on the same pitches again.
    pub(crate) fn is_figure(&self) -> bool {
        let even = self.rhythms <= 1 && self.attacks >= 4;
        let circling = self.distinct * 2 <= self.attacks && self.distinct <= 4;
        let leaping = self.stepwise < 0.35;
        self.tremolo || even && (circling && self.stepwise < 0.7 || leaping && self.attacks >= 6)
    }

    /// How much of a line it is, 0 to 1.
    pub(crate) fn melodic(&self) -> f32 {
        if self.attacks == 0 {
            return 0.0;
        }
        let activity = self.moves.min(6) as f32 / 6.0;
        let variety = self.distinct.min(4) as f32 / 4.0;
        let rhythm = self.rhythms.saturating_sub(1).min(2) as f32 / 2.0;
        let repeated = 1.0 - (self.moves as f32 / self.attacks as f32).min(1.0);
        // One step is no line yet: an accompaniment steps from chord to chord, too.
        let stepwise = self.stepwise * self.moves.min(3) as f32 / 3.0;
        let slurred = if self.slurred { 0.1 } else { 0.0 };
        let figure = if self.is_figure() { 0.4 } else { 0.0 };
        let sum = 0.35 * activity + 0.2 * variety + 0.2 * stepwise + 0.2 * rhythm + slurred;
        (sum - figure - 0.35 * repeated).clamp(0.0, 1.0)
    }
}

/// The bars of every part.
#[derive(Clone, Debug, Default)]
pub(crate) struct BarLines {
    /// By part, then by bar; a part that never sounds has no bars.
    parts: Vec<Vec<BarLine>>,
    /// The parts that have any.
    playing: Vec<usize>,
}

impl BarLines {
    /// Looks at all parts of a movement.
    pub(crate) fn of(movement: &Movement, heard: &HeardNotes) -> Self {
        let of = |part| of_part(movement, heard.of_part(part));
        let parts: Vec<Vec<BarLine>> = heard.parts().map(of).collect();
        let plays = |(idx, bars): (usize, &Vec<BarLine>)| (!bars.is_empty()).then_some(idx);
        let playing = parts.iter().enumerate().filter_map(plays).collect();
        Self { parts, playing }
    }

    /// One part in one bar; silence where there is none.
    pub(crate) fn at(&self, part: usize, bar: usize) -> BarLine {
        self.parts.get(part).and_then(|bars| bars.get(bar)).copied().unwrap_or_default()
    }

    /// How many parts there are.
    pub(crate) fn n_parts(&self) -> usize {
        self.parts.len()
    }

    /// The parts that play at all, in score order: most loops over bars need no others.
    pub(crate) fn playing(&self) -> impl Iterator<Item = usize> {
        self.playing.iter().copied()
    }

    /// The parts that sound in a bar with pitch.
    pub(crate) fn pitched_in(&self, bar: usize) -> impl Iterator<Item = usize> {
        self.playing().filter(move |part| self.at(*part, bar).is_pitched())
    }

    /// The place of a part.
    pub(crate) fn part(idx: usize) -> Option<PartIdx> {
        u16::try_from(idx).ok().map(PartIdx)
    }
}

fn of_part(movement: &Movement, sounds: &[Heard]) -> Vec<BarLine> {
    if sounds.is_empty() {
        return Vec::new();
    }
    let mut bars = vec![BarLine::default(); movement.bars.len()];
    let mut first = 0;
    let mut before: Option<i32> = None;
    for (idx, bar) in movement.bars.iter() {
        let (from, to) = (bar.start, bar.end());
        // Sounds are sorted by attack: those that reach into the bar are few and near.
        let begun = sounds.partition_point(|sound| sound.at < to);
        while sounds.get(first).is_some_and(|sound| sound.end <= from) {
            first += 1;
        }
        let here = sounds.get(first..begun.max(first)).unwrap_or_default();
        if let Some(line) = bars.get_mut(idx.idx()) {
            *line = one(here, from, to, &mut before);
        }
    }
    bars
}

fn one(sounds: &[Heard], from: Ticks, to: Ticks, before: &mut Option<i32>) -> BarLine {
    let mut line = BarLine::default();
    let mut tops: Vec<Top> = Vec::new();
    let mut reach: Vec<(Ticks, Ticks)> = Vec::new();
    let mut tremoli = 0;
    let mut together = (Ticks(i64::MIN), 0);
    for sound in sounds.iter().filter(|sound| sound.end > from && sound.at < to) {
        let Some(pitch) = sound.pitch else {
            line.strokes += u32::from(sound.at >= from);
            continue;
        };
        let pitch = pitch.quarter_tones();
        reach.push((sound.at.max(from), sound.end.min(to)));
        if together.0 == sound.at {
            together.1 += 1;
        } else {
            together = (sound.at, 1);
        }
        line.chord = line.chord.max(together.1);
        match tops.last_mut() {
            Some(top) if top.0 == sound.at => {
                top.2 = top.2.max(pitch);
                top.1 = top.1.max(sound.end);
            }
            _ => tops.push((sound.at, sound.end, pitch)),
        }
        line.slurred |= sound.traits.any(NoteTraits::SLUR_BEGINS | NoteTraits::SLUR_ENDS);
        tremoli += u32::from(sound.tremolo > 0 && sound.at >= from);
    }
    line.sounding = share(&reach, from, to);
    line.height = height(&tops, from, to);
    let mut steps = 0.0;
    let mut pitches: Vec<i32> = Vec::new();
    let mut lengths: Vec<Ticks> = Vec::new();
    let mut last: Option<Ticks> = None;
    for (at, _, pitch) in tops.iter().filter(|(at, ..)| *at >= from) {
        line.attacks += 1;
        pitches.push(*pitch);
        if let Some(old) = *before
            && old != *pitch
        {
            line.moves += 1;
            steps += match (pitch - old).abs() {
                1..=4 => 1.0,
                5..=8 => 0.5,
                _ => 0.0,
            };
        }
        lengths.extend(last.map(|last| *at - last));
        last = Some(*at);
        *before = Some(*pitch);
    }
    lengths.extend(last.map(|last| to - last));
    lengths.sort_unstable();
    lengths.dedup();
    pitches.sort_unstable();
    pitches.dedup();
    line.rhythms = lengths.len() as u32;
    line.distinct = pitches.len() as u32;
    line.stepwise = if line.moves > 0 { steps / line.moves as f32 } else { 0.0 };
    line.tremolo = line.attacks > 0 && tremoli * 2 > line.attacks;
    line
}

/// Share of [from, to) that spans sorted by start cover.
fn share(reach: &[(Ticks, Ticks)], from: Ticks, to: Ticks) -> f32 {
    let mut covered = 0;
    let mut until = from;
    for (begin, end) in reach {
        covered += (*end - (*begin).max(until)).0.max(0);
        until = until.max(*end);
    }
    if to > from { covered as f32 / (to - from).0 as f32 } else { 0.0 }
}

fn height(tops: &[Top], from: Ticks, to: Ticks) -> f32 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for (nth, (at, end, pitch)) in tops.iter().enumerate() {
        let next = tops.get(nth + 1).map_or(to, |next| next.0);
        let length = (*end).min(next).min(to) - (*at).max(from);
        let length = length.0.max(1) as f32;
        sum += *pitch as f32 / 2.0 * length;
        weight += length;
    }
    if weight > 0.0 { sum / weight } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    fn line(part: &str) -> BarLine {
        let movement = movement(&[part]);
        BarLines::of(&movement, &HeardNotes::of(&movement)).at(0, 0)
    }

    #[test]
    fn a_tune_is_more_of_a_line_than_a_figure_or_a_held_note() {
        let tune = line("4/4 c5:1 d5:1/2 e5 f5:1 e5:1");
        let figure = line("4/4 c4:1/2 g4 e4 g4 c4:1/2 g4 e4 g4");
        let repeated = line("4/4 c4:1/2 c4 c4 c4 c4:1/2 c4 c4 c4");
        let held = line("4/4 c5:4");
        assert!(figure.is_figure() && !tune.is_figure());
        for other in [figure, repeated, held] {
            assert!(tune.melodic() > other.melodic() + 0.3, "{tune:?} {other:?}");
        }
    }

    #[test]
    fn a_running_scale_is_no_figure() {
        let scale = line("4/4 c5:1/2 d5 e5 f5 g5:1/2 a5 b5 c6");
        assert!(!scale.is_figure() && scale.melodic() > 0.5, "{scale:?}");
    }

    #[test]
    fn height_and_share_follow_the_lengths() {
        let line = line("4/4 c4:3 c5:1");
        assert_eq!((line.height, line.sounding), (63.0, 1.0));
    }
}
