//! What the first part says for all: rehearsal marks, signs and jumps.

use super::direction::{Direction, Rank, Sign};
use barloom_core::bar::{Bar, Jump, JumpTo, WayOut};
use barloom_core::score::Movement;

/// The directions of the movement as a whole.
pub(super) fn directions(movement: &Movement) -> Vec<Direction> {
    let bars = movement.bars.as_slice();
    let names = Names::of(bars);
    let mut found = Vec::new();
    for (idx, bar) in bars.iter().enumerate() {
        let start =
            |sign: Sign| Direction { rank: Rank::Score, ..Direction::with(idx, bar.start, sign) };
        if let Some(mark) = &bar.rehearsal {
            found.push(start(Sign::Rehearsal(mark.clone())));
        }
        if let Some(name) = &bar.flow.segno {
            let sound = named("segno", name, names.segno);
            found.push(Direction { sound, ..start(Sign::Segno) });
        }
        if let Some(name) = &bar.flow.coda {
            let sound = named("coda", name, names.coda);
            found.push(Direction { sound, ..start(Sign::Coda) });
        }
        if let Some(way) = &bar.flow.to_coda {
            let sound = named("tocoda", &way.name, names.coda);
            found.push(way_out(idx, bar, "To Coda", way, sound));
        }
        if let Some(way) = &bar.flow.fine {
            let sound = vec![("fine", String::from("yes"))];
            found.push(way_out(idx, bar, "Fine", way, sound));
        }
        if let Some(jump) = &bar.flow.jump {
            found.push(jump_back(idx, bar, jump, names));
        }
    }
    found
}

/// What signs without a name are called for playback; `None` where some have names of their own, so
/// that nothing is called by a name that it does not have.
#[derive(Clone, Copy)]
struct Names {
    segno: Option<&'static str>,
    coda: Option<&'static str>,
}

impl Names {
    fn of(bars: &[Bar]) -> Self {
        let segno = |bar: &Bar| bar.flow.segno.as_ref().is_none_or(String::is_empty);
        let coda = |bar: &Bar| bar.flow.coda.as_ref().is_none_or(String::is_empty);
        Self {
            segno: bars.iter().all(segno).then_some("segno"),
            coda: bars.iter().all(coda).then_some("coda"),
        }
    }
}

fn named(
    attribute: &'static str,
    name: &str,
    unnamed: Option<&'static str>,
) -> Vec<(&'static str, String)> {
    let name = if name.is_empty() { unnamed } else { Some(name) };
    name.map(|name| (attribute, name.to_owned())).into_iter().collect()
}

fn jump_back(idx: usize, bar: &Bar, jump: &Jump, names: Names) -> Direction {
    let mut text = jump.to_string();
    if !jump.coda.is_empty() {
        text.push(' ');
        text.push_str(&jump.coda);
    }
    match jump.repeats {
        Some(true) => text.push_str(" con rep."),
        Some(false) => text.push_str(" senza rep."),
        None => {}
    }
    let sound = match jump.to {
        JumpTo::Beginning => vec![("dacapo", String::from("yes"))],
        JumpTo::Segno => named("dalsegno", &jump.segno, names.segno),
    };
    at_end(idx, bar, &text, sound, &jump.passes)
}

fn way_out(
    idx: usize,
    bar: &Bar,
    text: &str,
    way: &WayOut,
    sound: Vec<(&'static str, String)>,
) -> Direction {
    at_end(idx, bar, text, sound, &way.passes)
}

fn at_end(
    idx: usize,
    bar: &Bar,
    text: &str,
    mut sound: Vec<(&'static str, String)>,
    passes: &[u32],
) -> Direction {
    if !passes.is_empty() && !sound.is_empty() {
        let passes: Vec<String> = passes.iter().map(u32::to_string).collect();
        sound.push(("time-only", passes.join(",")));
    }
    let sign = Sign::Words { text: text.to_owned(), bold: false, italic: false };
    Direction { rank: Rank::Jumps, sound, ..Direction::with(idx, bar.end(), sign) }
}
