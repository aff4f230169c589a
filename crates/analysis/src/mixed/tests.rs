//! Micro scores for mixed attacks; classes as textbooks of orchestration order them (common practice),
//! and the figures of Rasch 1979 and the Lucerne project only as the reason why it matters.

use super::*;
use crate::testing::{analyzed, movement};

fn found(parts: &[&str]) -> Vec<MixedAttack> {
    let (_, tracks) = analyzed(movement(parts));
    tracks.movements[0].mixed.clone()
}

#[test]
fn xylophone_and_soft_tuba_after_silence_are_told() {
    let seen = found(&["xylophone: 4/4 r:4 | c5:1 r:3 | r:4", "tuba: 4/4 r:4 | !p c2:2 r:2 | r:4"]);
    assert_eq!(seen.len(), 1);
    let attack = &seen[0];
    assert_eq!(attack.bar, BarIndex(1));
    let classes: Vec<&str> = attack.voices.iter().map(|(_, class)| class.name()).collect();
    assert_eq!(classes, ["instant", "slow"]);
    assert!(
        attack.advice.contains("Give the preparation to the tuba: breathe with it"),
        "{}",
        attack.advice
    );
    assert!(attack.advice.contains("The stroke of the xylophone waits"), "{}", attack.advice);
}

#[test]
fn two_of_one_class_are_no_matter() {
    let seen = found(&["harp: 4/4 r:4 | c5:1 r:3", "xylophone: 4/4 r:4 | c5:1 r:3"]);
    assert_eq!(seen, []);
    let seen = found(&["oboe: 4/4 r:4 | c5:2 r:2", "bassoon: 4/4 r:4 | c3:2 r:2"]);
    assert_eq!(seen, []);
}

#[test]
fn bow_and_finger_in_unison_are_told_inside_the_strings() {
    let seen = found(&[
        "violin: 4/4 r:4 | !p c5:2( d5) | r:4",
        "cello: 4/4 r:4 | !p !+plucked c3:1 r:3 | r:4",
    ]);
    assert_eq!(seen.len(), 1, "{seen:?}");
    assert!(seen[0].advice.contains("pizzicato of the cellos"));
}

#[test]
fn a_passage_that_goes_on_is_told_once() {
    let seen = found(&[
        "harp: 4/4 r:4 | c5:1 c5 c5 c5 | c5:1 c5 c5 c5",
        "violin: 4/4 !p r:4 | c5:1( d5) e5( f5) | g5:1( f5) e5( d5)",
    ]);
    assert_eq!(seen.len(), 1, "{seen:?}");
}

#[test]
fn the_worst_comes_first() {
    let seen = found(&[
        "xylophone: 4/4 r:4 | c5:1 r:3 | r:4 | c5:1 r:3",
        "tuba: 4/4 r:4 | !p c2:2 r:2 | r:4 | !ff c2:2 r:2",
    ]);
    let order: Vec<u32> = worst_first(&seen).iter().map(|attack| attack.bar.0).collect();
    assert_eq!(order, [1, 3]);
}
