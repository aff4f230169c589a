//! Micro scores for the colors of the strings and for what does not fit together.

use super::*;
use crate::testing::{analyzed, movement};

fn spans(parts: &[&str]) -> Vec<(&'static str, u32, u32, usize, bool)> {
    let (_, tracks) = analyzed(movement(parts));
    let row = |span: &MannerSpan| {
        (span.manner.name(), span.from.0, span.to.0, span.parts.len(), span.all)
    };
    tracks.movements[0].manners.iter().map(row).collect()
}

fn contradicting(parts: &[&str]) -> Vec<(u32, String)> {
    let (basis, tracks) = analyzed(movement(parts));
    let movement = &basis.score.movements[0];
    let row = |found: &Contradiction| (movement.place(found.at).0.0, found.what.clone());
    tracks.movements[0].contradictions.iter().map(row).collect()
}

#[test]
fn plucked_and_muted_are_told_with_who_and_whether_all() {
    let seen = spans(&[
        "violin: 4/4 !+mute c5:4 | c5:4 | !-mute c5:4",
        "cello: 4/4 !+plucked c3:1 r:3 | r:4 | !-plucked c3:4",
    ]);
    assert_eq!(seen, [("plucked", 0, 0, 1, false), ("muted", 0, 1, 1, false)]);
    let seen = spans(&["violin: 4/4 !+plucked c5:4", "cello: 4/4 !+plucked c3:4"]);
    assert_eq!(seen, [("plucked", 0, 0, 2, true)]);
}

/// A rest does not end a pizzicato: what is in force goes on until "arco" (common practice).
#[test]
fn a_short_rest_does_not_break_a_manner() {
    let seen = spans(&[
        "violin: 4/4 !+plucked c5:4 | r:4 | c5:4 | c5:4",
        "cello: 4/4 !+plucked c3:4 | c3:4 | c3:4 | c3:4",
    ]);
    assert_eq!(seen, [("plucked", 0, 3, 2, true)]);
    let line = ["!+plucked c5:4", "r:4", "r:4", "r:4", "c5:4"].join(" | ");
    let seen =
        spans(&[&format!("violin: 4/4 {line}"), "cello: 4/4 c3:4 | c3:4 | c3:4 | c3:4 | c3:4"]);
    assert_eq!(seen, [("plucked", 0, 0, 1, false), ("plucked", 4, 4, 1, false)]);
}

#[test]
fn a_state_without_notes_is_not_heard() {
    assert_eq!(spans(&["violin: 4/4 !+bridge r:4 | r:4", "cello: 4/4 c3:4 | c3:4"]), []);
}

/// Horns are half as strong as trumpets in forte (Rimsky-Korsakov, ch. I): two cover no pizzicato; and one
/// stroke of it is no passage.
#[test]
fn two_horns_or_a_single_stroke_are_no_question() {
    let horns = contradicting(&[
        "horn: 4/4 !f c4:4 | c4:4",
        "horn: 4/4 !f e4:4 | e4:4",
        "viola: 4/4 !f r:4 | !+plucked c4:1 c4 c4 c4 | !-plucked c4:4",
    ]);
    assert_eq!(horns, []);
    let stroke = contradicting(&[
        "trumpet: 4/4 !ff c5:4",
        "trombone: 4/4 !ff c4:4",
        "viola: 4/4 !f !+plucked c4:1 r:3 | !-plucked c4:4",
    ]);
    assert_eq!(stroke, []);
}

/// What stands in force from long before may only have been left standing; one louder part over several
/// is a solo.
#[test]
fn old_levels_and_solos_are_no_question() {
    let old = contradicting(&[
        "oboe: 4/4 !p g4:4 | a4:4 | r:4 | c5:1 d5 e5 f5 | g5:1 f5 e5 d5",
        "clarinet: 4/4 !p e4:4 | f4:4 | r:4 | !ff c5:1 d5 e5 f5 | g5:1 f5 e5 d5",
    ]);
    assert_eq!(old, []);
    let solo = ["violin: 4/4 !f g5:4", "violin: 4/4 !p c5:4", "viola: 4/4 !p e4:4"];
    assert_eq!(contradicting(&solo), []);
}

#[test]
fn a_solo_of_a_section_without_a_tutti_is_asked_about() {
    let seen = contradicting(&["violin: 4/4 !solo=Solo c5:4 | r:4 | c5:4"]);
    assert_eq!(seen, [(0, String::from("\u{201c}Solo\u{201d}: no tutti follows"))]);
}

/// Pizzicato is easily covered (Rimsky-Korsakov, *Principles of Orchestration*, ch. I).
#[test]
fn pizzicato_against_loud_brass_is_asked_about() {
    let seen = contradicting(&[
        "trumpet: 4/4 !ff c5:4 | c5:4",
        "trombone: 4/4 !ff c4:4 | c4:4",
        "viola: 4/4 !f r:4 | !+plucked c4:1 c4 c4 c4 | !-plucked c4:4",
    ]);
    assert_eq!(seen, [(1, String::from("pizzicato against loud brass: hardly heard"))]);
}

#[test]
fn one_line_and_one_attack_at_levels_far_apart_are_asked_about() {
    let seen = contradicting(&[
        "oboe: 4/4 !p c5:1 d5 e5 f5 | g5:1 f5 e5 d5",
        "clarinet: 4/4 !ff c5:1 d5 e5 f5 | g5:1 f5 e5 d5",
    ]);
    assert_eq!(seen.len(), 1, "{seen:?}");
    let seen = contradicting(&["oboe: 4/4 !p c5:4", "flute: 4/4 !f e5:4"]);
    assert_eq!(seen, [(0, String::from("one attack, from p to f"))]);
    // A solo over its accompaniment is no contradiction: the winds are f, the strings p.
    assert_eq!(contradicting(&["oboe: 4/4 !f c5:4", "violin: 4/4 !p e4:4"]), []);
}
