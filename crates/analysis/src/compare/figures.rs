//! What a part plays in a bar, as an accompaniment is described: held, repeated, tremolo, broken,
//! after the beat. The kinds are those that orchestration books tell apart (common practice).

use crate::heard::Heard;
use crate::say;
use barloom_core::bar::Bar;
use barloom_core::event::Manner;
use barloom_core::score::Movement;
use barloom_core::time::{Quarters, Ticks};

/// What a part plays.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub(super) enum Figure {
    /// Held notes.
    #[default]
    Held,
    /// Tremolo through the stem or between two notes.
    Tremolo,
    /// Trills.
    Trill,
    /// The same note or chord again and again.
    Repeated(Quarters),
    /// Only between the beats.
    AfterBeat,
    /// Even notes by leaps.
    Broken(Quarters),
    /// Even notes by step.
    Running(Quarters),
    /// Short single notes.
    Strokes,
    /// Anything else that moves.
    Moving,
    /// Unpitched strokes.
    Unpitched,
}

impl Figure {
    /// In words: "repeated eighths".
    pub(super) fn words(self) -> String {
        let values = |value: Quarters| format!("{}s", say::note_value(value));
        match self {
            Self::Held => String::from("held notes"),
            Self::Tremolo => String::from("tremolo"),
            Self::Trill => String::from("trills"),
            Self::Repeated(value) => format!("repeated {}", values(value)),
            Self::AfterBeat => String::from("notes between the beats"),
            Self::Broken(value) => format!("broken chords in {}", values(value)),
            Self::Running(value) => format!("running {}", values(value)),
            Self::Strokes => String::from("single strokes"),
            Self::Moving => String::from("moving voices"),
            Self::Unpitched => String::from("drums"),
        }
    }
}

/// The figure of the sounds that reach into a bar, at least one.
pub(super) fn of(movement: &Movement, bar: &Bar, sounds: &[&Heard]) -> Figure {
    let pitched: Vec<&&Heard> = sounds.iter().filter(|sound| sound.pitch.is_some()).collect();
    if pitched.is_empty() {
        return Figure::Unpitched;
    }
    let trembles = |sound: &&&&Heard| sound.tremolo > 0 || sound.manner.any(Manner::TREMOLO_PAIR);
    if pitched.iter().filter(trembles).count() * 2 > pitched.len() {
        return Figure::Tremolo;
    }
    if pitched.iter().filter(|sound| sound.manner.any(Manner::TRILL)).count() * 2 > pitched.len() {
        return Figure::Trill;
    }
    // The moments of attack, each with its pitches upward.
    let mut moments: Vec<(Ticks, Vec<i32>)> = Vec::new();
    let mut longest = Ticks::ZERO;
    for sound in pitched {
        let reach = sound.end.min(bar.end()) - sound.at.max(bar.start);
        longest = longest.max(reach);
        let Some(pitch) = sound.pitch.filter(|_| sound.at >= bar.start) else { continue };
        match moments.last_mut() {
            Some((at, pitches)) if *at == sound.at => pitches.push(pitch.quarter_tones()),
            _ => moments.push((sound.at, vec![pitch.quarter_tones()])),
        }
    }
    match moments.as_slice() {
        [] => Figure::Held,
        [_] if longest.0 * 2 >= bar.length.0 => Figure::Held,
        [_] => Figure::Strokes,
        _ => of_moments(movement, bar, &moments),
    }
}

fn of_moments(movement: &Movement, bar: &Bar, moments: &[(Ticks, Vec<i32>)]) -> Figure {
    let gaps: Vec<Ticks> = moments.windows(2).filter_map(gap).collect();
    let even = gaps.windows(2).all(|pair| pair.first() == pair.last());
    let value = gaps.iter().min().copied().unwrap_or_default();
    let quarters = movement.resolution.quarters(value);
    let whole_beat = |at: Ticks| {
        let (bar, offset) = movement.place(at);
        movement.beat(bar, offset).is_some_and(|beat| beat.denominator() == 1)
    };
    let measured = !bar.meter.is_unmeasured();
    if measured && !moments.iter().any(|(at, _)| whole_beat(*at)) {
        return Figure::AfterBeat;
    }
    let same = moments.windows(2).filter(|pair| match pair {
        [(_, before), (_, now)] => before == now,
        _ => false,
    });
    let n_moves = moments.len() - 1;
    let n_same = same.count();
    if n_same == n_moves && even {
        return Figure::Repeated(quarters);
    }
    if n_same * 4 >= n_moves * 3 && n_moves >= 3 && value.0 * 2 >= bar.length.0 / 8 {
        return Figure::Repeated(quarters);
    }
    let top = |pitches: &[i32]| pitches.last().copied().unwrap_or_default();
    let steps = moments.windows(2).filter(|pair| match pair {
        [(_, before), (_, now)] => {
            let move_ = (top(now) - top(before)).abs();
            (1..=4).contains(&move_)
        }
        _ => false,
    });
    match (even && n_moves >= 3, steps.count() * 2 > n_moves) {
        (true, true) => Figure::Running(quarters),
        (true, false) => Figure::Broken(quarters),
        (false, _) => Figure::Moving,
    }
}

fn gap(pair: &[(Ticks, Vec<i32>)]) -> Option<Ticks> {
    match pair {
        [(before, _), (now, _)] => Some(*now - *before),
        _ => None,
    }
}
