//! Movements as MusicXML 4.0, written from the model and never from the text of a source: what was
//! read from other formats, joined by hand or corrected is written alike.
//!
//! [`mod@select`] and [`mod@excerpt`] say which bars are written, [`carried`] what is in force at the first.
//! [`header`] writes what stands before the music, [`part`] walks through the bars of a part and
//! writes what the others prepare or draw:
//!
//! - notes: [`layers`] puts them into voices, [`lines`] finds slurs and beams, [`hanging`] what hangs on
//!   them; [`note`] and [`notations`] write them, with [`value`]s;
//! - directions: [`markings`] makes them from the part, [`tempi`] from the tempo marks, [`flow`] from
//!   rehearsal marks and jumps, [`study`](mod@study) from what the conductor wrote; [`direction`] writes
//!   them, [`metronome`] what is drawn with note values;
//! - bars: [`meters`] finds the signatures of a part, [`styles`] its signs for repeated bars;
//!   [`attributes`] and [`barline`] write what their names say.
//!
//! Reading back what was written gives the same music and markings. Nothing here touches files.

mod attributes;
mod barline;
mod carried;
mod container;
mod direction;
mod excerpt;
mod flow;
mod hanging;
mod header;
mod layers;
mod lines;
mod markings;
mod meters;
mod metronome;
mod notations;
mod note;
mod part;
mod select;
mod study;
mod styles;
mod tempi;
mod value;
mod xml;

pub use excerpt::Excerpt;
pub use select::{SelectError, select};

use barloom_core::basis::Basis;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic, Score};
use barloom_core::study::Study;
use direction::{Direction, Sign};
use markings::Gather;
use part::{BarName, PartWriter};
use study::Extra;
use xml::Xml;

/// A movement with some of its parts as the text of a MusicXML 4.0 document. Parts that the movement
/// lacks are left out; without any part the document has no music and is not valid.
pub fn movement(score: &Score, movement: &Movement, parts: &[PartIdx]) -> String {
    document(score, movement, parts, &[])
}

/// Why nothing was written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WriteError {
    /// The work has no such movement, the movement no such parts, or no bars at all.
    #[error("there are no such bars or parts to write")]
    Nothing,
    /// The archive of a compressed score cannot be made.
    #[error("the compressed score cannot be written ({0})")]
    Archive(String),
}

/// Bars and parts of a work as a MusicXML 4.0 file: what holds at the first bar is stated there, and
/// what crosses an edge is cut cleanly. With a study, what the conductor wrote and decided is in it.
/// `compressed` gives the archive form (.mxl).
///
/// # Errors
/// See [`WriteError`].
pub fn excerpt(
    basis: &Basis,
    excerpt: &Excerpt,
    study: Option<&Study>,
    compressed: bool,
) -> Result<Vec<u8>, WriteError> {
    let piece = excerpt::piece(basis, excerpt).ok_or(WriteError::Nothing)?;
    let movement = basis.score.movements.get(excerpt.movement).ok_or(WriteError::Nothing)?;
    let present = |part: &PartIdx| piece.part(*part).is_some_and(|music| music.present);
    let parts: Vec<PartIdx> = excerpt.parts.iter().copied().filter(present).collect();
    if parts.is_empty() {
        return Err(WriteError::Nothing);
    }
    let score = &basis.score;
    let extras = study
        .map(|study| study::extras(score, movement, &piece, excerpt.from, &parts, study))
        .unwrap_or_default();
    let text = document(score, &piece, &parts, &extras);
    if compressed { container::compressed(&text) } else { Ok(text.into_bytes()) }
}

fn document(score: &Score, movement: &Movement, parts: &[PartIdx], extras: &[Extra]) -> String {
    let listed = header::listed(score, movement, parts);
    let mut xml = Xml::new(header::PROLOG);
    xml.open("score-partwise", &[("version", "4.0")]);
    header::write(&mut xml, score, movement, &listed);
    let music: Vec<&PartMusic> = listed.iter().map(|part| part.music).collect();
    let tempi = tempi::directions(movement, &music);
    let names = bar_names(movement);
    let division = division(movement, &music);
    for (place, part) in listed.iter().enumerate() {
        let mut gather = Gather::new(movement);
        if place == 0 {
            gather.found = flow::directions(movement);
        }
        let here = |tempo: &&tempi::TempoDirection| tempo.part == place;
        for tempo in tempi.iter().filter(here) {
            gather.with_dashes(tempo.direction.clone(), tempo.end);
        }
        let said = |marking: &barloom_core::event::Marking| {
            tempi.iter().filter(here).any(|tempo| says(&tempo.direction, marking))
        };
        gather.markings(part.music, said);
        gather.instruments(part);
        for extra in extras.iter().filter(|extra| extra.part.unwrap_or(0) == place) {
            gather.with_dashes(extra.direction.clone(), extra.end);
        }
        PartWriter::new(movement, part, &names, gather.found, division).write(&mut xml);
    }
    xml.finish()
}

/// Whether the words of a marking stand in a tempo direction already.
fn says(direction: &Direction, marking: &barloom_core::event::Marking) -> bool {
    direction.at == marking.at
        && direction.signs.iter().any(|sign| match sign {
            Sign::Words { text, .. } => tempi::same_letters(text, &marking.words),
            _ => false,
        })
}

/// How the bars are named: the number is the label. A movement that was joined from several may
/// number its bars from 1 again behind a thick barline; there the numbers in the file go on and the
/// labels are given as texts, so that it stays one movement.
fn bar_names(movement: &Movement) -> Vec<BarName> {
    let bars = movement.bars.as_slice();
    let number_of = |label: &str| label.parse::<u32>().ok();
    let mut names = Vec::with_capacity(bars.len());
    let (mut highest, mut added) = (0u32, 0u32);
    for (idx, bar) in bars.iter().enumerate() {
        let before = idx.checked_sub(1).and_then(|before| bars.get(before));
        let ended = before.is_some_and(|before| before.ends_thick());
        let next = bars.get(idx + 1).map(|next| next.label.as_str());
        let begins_again = matches!((bar.label.as_str(), next), ("0" | "1", _) | ("", Some("1")));
        if ended && begins_again {
            added = highest;
        }
        names.push(match number_of(&bar.label) {
            Some(number) if added > 0 => {
                let number = number.saturating_add(added);
                highest = highest.max(number);
                let text = Some(bar.label.clone());
                BarName { number: number.to_string(), text, implicit: false }
            }
            number => {
                highest = highest.max(number.unwrap_or(0));
                unmoved_name(idx, &bar.label, bar.pickup)
            }
        });
    }
    names
}

fn unmoved_name(idx: usize, label: &str, pickup: bool) -> BarName {
    let number = match (label.is_empty(), pickup) {
        (false, _) => label.to_owned(),
        (true, true) => String::from("0"),
        (true, false) => format!("X{idx}"),
    };
    BarName { number, text: None, implicit: label.is_empty() }
}

/// The most ticks that every position and length of the music is a multiple of, and that divides a
/// quarter.
fn division(movement: &Movement, parts: &[&PartMusic]) -> i64 {
    let mut division = i64::from(movement.resolution.ticks_per_quarter());
    let mut take = |ticks: i64| division = gcd(division, ticks);
    for (_, bar) in movement.bars.iter() {
        take(bar.length.0);
    }
    for mark in &movement.tempi {
        take(mark.at.0);
    }
    for music in parts {
        for note in &music.notes {
            take(note.onset.0);
            take(note.length.0);
        }
        for rest in &music.rests {
            take(rest.onset.0);
            take(rest.length.0);
        }
        for marking in &music.markings {
            take(marking.at.0);
            if let barloom_core::event::MarkingKind::Hairpin { end, .. } = marking.kind {
                take(end.0);
            }
        }
        let places = music.clefs.iter().map(|clef| clef.at);
        let places = places.chain(music.keys.iter().map(|key| key.at));
        let places = places.chain(music.transpositions.iter().map(|mark| mark.at));
        let places = places.chain(music.part_transpositions.iter().map(|mark| mark.at));
        places.chain(music.instruments.iter().map(|taken| taken.at)).for_each(|at| take(at.0));
    }
    division
}

fn gcd(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.abs().max(1)
}

#[cfg(test)]
mod tests;
