//! Whether an entrance takes up a line that another part has just played.
//!
//! Its first notes are compared with what the others have begun in the bars before: the same lengths from
//! attack to attack, the same direction, and intervals that differ by a semitone at most, as the answer of
//! a fugue may (common practice).

use super::Entrance;
use crate::heard::{Heard, HeardNotes};
use crate::settings::CueSettings;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// One attack of the top voice.
type Step = (Ticks, i32);

/// Fills whom each entrance imitates.
pub(super) fn find(
    entrances: &mut [Entrance],
    movement: &Movement,
    heard: &HeardNotes,
    settings: &CueSettings,
) {
    let window = movement.resolution.ticks_floor(settings.imitation_quarters).unwrap_or_default();
    let tops: Vec<Vec<Step>> = heard.parts().map(|part| top_voice(heard.of_part(part))).collect();
    let longest = Ticks(window.0 / 2);
    let n_notes = settings.imitation_notes.max(3) as usize;
    for entrance in entrances {
        let own = tops.get(entrance.part.idx()).map(Vec::as_slice).unwrap_or_default();
        let first = own.partition_point(|(at, _)| *at < entrance.at);
        let Some(subject) = own.get(first..first + n_notes) else { continue };
        // What stretches over rests is no subject.
        let length = subject.last().zip(subject.first()).map(|(last, first)| last.0 - first.0);
        if length.is_none_or(|length| length > longest) {
            continue;
        }
        // Repeated notes alone are no line.
        if subject.windows(2).filter(|pair| moves(pair)).count() < 2 {
            continue;
        }
        let mut best: Option<(Ticks, PartIdx)> = None;
        for (idx, other) in tops.iter().enumerate().filter(|(idx, _)| *idx != entrance.part.idx()) {
            let Ok(idx) = u16::try_from(idx) else { break };
            let from = other.partition_point(|(at, _)| *at < entrance.at - window);
            let to = other.partition_point(|(at, _)| *at < entrance.at);
            for start in (from..to).rev() {
                let Some(line) = other.get(start..start + n_notes) else { continue };
                if alike(subject, line) {
                    let begun = line.first().map_or(Ticks::ZERO, |(at, _)| *at);
                    if best.is_none_or(|(known, _)| begun > known) {
                        best = Some((begun, PartIdx(idx)));
                    }
                    break;
                }
            }
        }
        entrance.imitates = best.map(|(_, part)| part);
    }
}

fn moves(pair: &[Step]) -> bool {
    matches!(pair, [before, now] if before.1 != now.1)
}

fn alike(subject: &[Step], line: &[Step]) -> bool {
    subject.windows(2).zip(line.windows(2)).all(|pairs| match pairs {
        ([a, b], [c, d]) => {
            let (own, other) = (b.1 - a.1, d.1 - c.1);
            b.0 - a.0 == d.0 - c.0 && own.signum() == other.signum() && (own - other).abs() <= 2
        }
        _ => false,
    })
}

fn top_voice(sounds: &[Heard]) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for sound in sounds {
        let Some(pitch) = sound.pitch else { continue };
        let pitch = pitch.quarter_tones();
        match steps.last_mut() {
            Some(step) if step.0 == sound.at => step.1 = step.1.max(pitch),
            _ => steps.push((sound.at, pitch)),
        }
    }
    steps
}
