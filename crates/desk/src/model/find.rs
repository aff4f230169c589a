//! Finding: what a text in the field of the title line names.
//!
//! The first that fits is taken, in this order: a rehearsal mark of the movement shown; a movement
//! ("III"); a movement and a place in it ("III 48"); a time ("3:20"); a printed bar label; a place
//! counted from a rehearsal mark ("4 before D", "3 after D", "bar 3 of D"); a rehearsal mark of
//! another movement; a movement's title; a part's name. Anything else is looked for in the marks
//! and in the words of the score, from the selection on and round again.

use super::env::Env;
use super::place::from_roman;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// A movement.
    Movement(usize),
    /// A bar of a movement.
    Bar(usize, BarIndex),
    /// A part.
    Part(PartIdx),
    /// Words of a mark or of the score.
    Words {
        /// The movement.
        movement: usize,
        /// The bar.
        bar: BarIndex,
        /// The words they were found in.
        words: String,
        /// Which of the places it is, 1-based.
        nth: usize,
        /// How many places there are.
        of: usize,
    },
}

/// What a text names; `None` if nothing.
pub fn find(text: &str, env: &Env<'_>) -> Option<Found> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    named(text, env).or_else(|| words(text, env))
}

/// Places, movements and parts, without looking into words.
fn named(text: &str, env: &Env<'_>) -> Option<Found> {
    let movements = &env.basis.score.movements;
    let shown = env.view.movement;
    let here = movements.get(shown)?;
    if let Some(bar) = by_rehearsal(text, here) {
        return Some(Found::Bar(shown, bar));
    }
    if let Some(idx) = movement_number(text).filter(|idx| *idx < movements.len()) {
        return Some(Found::Movement(idx));
    }
    if let Some((figure, rest)) = text.split_once([' ', ',', '.'])
        && let Some(idx) = movement_number(figure)
        && let Some(movement) = movements.get(idx)
        && let Some(bar) = place_in(rest.trim(), idx, movement, env)
    {
        return Some(Found::Bar(idx, bar));
    }
    if let Some(bar) = place_in(text, shown, here, env) {
        return Some(Found::Bar(shown, bar));
    }
    let others = || movements.iter().enumerate().filter(|(idx, _)| *idx != shown);
    if let Some(found) = others().find_map(|(idx, m)| Some((idx, by_rehearsal(text, m)?))) {
        return Some(Found::Bar(found.0, found.1));
    }
    let wanted = text.to_lowercase();
    let titled = movements
        .iter()
        .position(|m| wanted.chars().count() > 2 && m.title.to_lowercase().starts_with(&wanted));
    titled.map(Found::Movement).or_else(|| part(&wanted, env).map(Found::Part))
}

fn movement_number(text: &str) -> Option<usize> {
    from_roman(text)?.checked_sub(1)
}

/// A place inside one movement: time, label, or counted from a rehearsal mark.
fn place_in(text: &str, idx: usize, movement: &Movement, env: &Env<'_>) -> Option<BarIndex> {
    by_time(text, idx, movement, env)
        .or_else(|| by_label(text, movement))
        .or_else(|| counted(text, movement))
        .or_else(|| by_rehearsal(text, movement))
}

fn by_time(text: &str, idx: usize, movement: &Movement, env: &Env<'_>) -> Option<BarIndex> {
    let (minutes, seconds) = text.split_once(':')?;
    let (minutes, seconds): (u32, f64) =
        (minutes.trim().parse().ok()?, seconds.trim().parse().ok()?);
    let tracks = env.tracks.movements.get(idx)?;
    tracks.tempo.bar_at_seconds(f64::from(minutes) * 60.0 + seconds, &movement.bars)
}

fn by_label(text: &str, movement: &Movement) -> Option<BarIndex> {
    let text = text.strip_prefix("bar ").or_else(|| text.strip_prefix("Bar ")).unwrap_or(text);
    movement.bars.by_label(text.trim())
}

fn by_rehearsal(text: &str, movement: &Movement) -> Option<BarIndex> {
    let is = |exact: bool| {
        movement.bars.iter().find(|(_, bar)| {
            bar.rehearsal.as_ref().is_some_and(|mark| {
                if exact { mark == text } else { mark.eq_ignore_ascii_case(text) }
            })
        })
    };
    is(true).or_else(|| is(false)).map(|(idx, _)| idx)
}

/// "4 before D", "3 after D" (3 bars on from it), "bar 3 of D" (the bar of the mark is bar 1).
fn counted(text: &str, movement: &Movement) -> Option<BarIndex> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let (count, way, mark) = match words.as_slice() {
        [count, way, mark] => (count, *way, mark),
        ["bar" | "Bar", count, "of", mark] => (count, "of", mark),
        _ => return None,
    };
    let count: u32 = count.parse().ok()?;
    let mark = by_rehearsal(mark, movement)?;
    let bar = match way {
        "before" => mark.0.checked_sub(count)?,
        "after" => mark.0.checked_add(count)?,
        "of" => mark.0.checked_add(count.checked_sub(1)?)?,
        _ => return None,
    };
    movement.bars.get(BarIndex(bar)).map(|_| BarIndex(bar))
}

fn part(wanted: &str, env: &Env<'_>) -> Option<PartIdx> {
    let score = &env.basis.score;
    let named = |fits: &dyn Fn(&str) -> bool| {
        let fits = |name: &str| fits(&name.to_lowercase());
        score.parts().find(|(_, part)| fits(&part.name) || fits(&part.short)).map(|(idx, _)| idx)
    };
    let begins = || named(&|name| wanted.chars().count() > 1 && name.starts_with(wanted));
    named(&|name| name == wanted).or_else(begins)
}

/// A place where words stand.
type Spot = (usize, BarIndex, String);

fn words(text: &str, env: &Env<'_>) -> Option<Found> {
    let spots = spots(&text.to_lowercase(), env);
    let here = (env.view.movement, env.span().map(|(from, _)| from));
    // From the selection on; without one from the start of the movement shown.
    let after = |spot: &Spot| match here.1 {
        Some(bar) => (spot.0, spot.1) > (here.0, bar),
        None => spot.0 >= here.0,
    };
    let nth = spots.iter().position(after).unwrap_or(0);
    let of = spots.len();
    let (movement, bar, words) = spots.into_iter().nth(nth)?;
    Some(Found::Words { movement, bar, words, nth: nth + 1, of })
}

/// Every bar with a fitting text, in order, once.
fn spots(wanted: &str, env: &Env<'_>) -> Vec<Spot> {
    let fits = |text: &str| text.to_lowercase().contains(wanted);
    let mut found: Vec<Spot> = Vec::new();
    for (_, mark) in env.study.marks() {
        if let Some((idx, _)) = env.basis.score.movement(mark.from.movement)
            && (fits(&mark.text) || fits(mark.sign.name()))
        {
            let words = if mark.text.is_empty() { mark.sign.name() } else { &mark.text };
            found.push((idx, mark.from.bar, words.to_owned()));
        }
    }
    for (idx, movement) in env.basis.score.movements.iter().enumerate() {
        let tempi = movement.tempi.iter().filter(|tempo| fits(&tempo.words));
        found.extend(tempi.map(|tempo| (idx, tempo.bar, tempo.words.clone())));
        for (_, music) in movement.parts() {
            let markings = music.markings.iter().filter(|m| !m.words.is_empty() && fits(&m.words));
            found.extend(markings.map(|marking| (idx, marking.bar, marking.words.to_string())));
        }
    }
    // A mark comes before words of the score in the same bar: the sort is stable.
    found.sort_by_key(|(movement, bar, _)| (*movement, *bar));
    found.dedup_by_key(|(movement, bar, _)| (*movement, *bar));
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::status::Status;
    use crate::model::view_state::ViewState;
    use crate::testing;
    use barloom_analysis::Tracks;
    use barloom_core::study::Study;

    fn check(text: &str, expected: Option<Found>) {
        let basis = testing::basis();
        let env = Env {
            basis: &basis,
            tracks: &Tracks::default(),
            study: &Study::default(),
            view: &ViewState { movement: 1, ..ViewState::default() },
            status: &Status::default(),
        };
        assert_eq!(find(text, &env), expected, "{text}");
    }

    #[test]
    fn places_movements_and_parts_are_found() {
        // The second movement of the sample has rehearsal marks C at bar 5 and D at bar 9.
        let bar = |movement, bar| Some(Found::Bar(movement, BarIndex(bar)));
        check("5", bar(1, 4));
        check("bar 5", bar(1, 4));
        check("d", bar(1, 8));
        check("4 before D", bar(1, 4));
        check("3 after D", bar(1, 11));
        check("bar 3 of D", bar(1, 10));
        check("I 3", bar(0, 2));
        check("i, 3", bar(0, 2));
        check("II D", bar(1, 8));
        check("II", Some(Found::Movement(1)));
        check("Low water", Some(Found::Movement(0)));
        check("vio", Some(Found::Part(PartIdx(2))));
        check("99 before D", None);
        check("IX", None);
        check("", None);
    }

    #[test]
    fn other_words_are_looked_for_in_the_score() {
        let words = |movement, bar, words: &str, nth, of| {
            Some(Found::Words { movement, bar: BarIndex(bar), words: words.into(), nth, of })
        };
        check("largamente", words(1, 0, "Largamente", 1, 1));
        check("sord", words(1, 2, "con sord.", 1, 2));
        check("nothing of the kind", None);
    }
}
