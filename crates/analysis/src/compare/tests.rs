//! Micro scores set side by side. That the same music in another scoring is described by line, carrier,
//! doubling, accompaniment, dynamics and register is common practice (Rimsky-Korsakov, *Principles of
//! Orchestration*, ch. II and III, shows melodies and their returns so).

use super::*;
use crate::testing::{analyzed, mark, metronome, movement};

fn side_by_side(parts: &[&str], first: (u32, u32), second: (u32, u32)) -> Comparison {
    let mut movement = movement(parts);
    mark(&mut movement, 0, "0", metronome("1", 80.0), "");
    let (basis, tracks) = analyzed(movement);
    let passage = |(from, to)| Passage { movement: 0, from: BarIndex(from), to: BarIndex(to) };
    let settings = CompareSettings::default();
    compare(&basis, &tracks, passage(first), passage(second), &settings).unwrap()
}

fn said(comparison: &Comparison, aspect: Aspect) -> Vec<(bool, usize, usize, &str)> {
    let of = comparison.remarks.iter().filter(|remark| remark.aspect == Some(aspect));
    of.map(|remark| (remark.stayed, remark.from, remark.to, remark.text.as_str())).collect()
}

/// A tune of two bars over held chords, then the same tune on other instruments and otherwise
/// accompanied.
const TUNE: &str = "c5:1 d5:1/2 e5 f5:1 d5 | e5:3/2 d5:1/2 c5:1 b4";
const REST: &str = "r:4 | r:4";

#[test]
fn the_same_bars_beside_themselves_have_stayed() {
    let clarinet = format!("clarinet: 4/4 !p {TUNE}");
    let comparison = side_by_side(&[&clarinet, "viola: 4/4 !p g3:4 | g3:4"], (0, 1), (0, 1));
    assert!(comparison.remarks.iter().all(|remark| remark.stayed), "{comparison:?}");
    assert!(comparison.bars.iter().all(|pair| pair.changed.is_empty() && pair.likeness > 0.99));
    assert_eq!(comparison.transposition, 0);
    assert!(comparison.summary[0].contains("all alike"), "{:?}", comparison.summary);
}

#[test]
fn another_carrier_figure_and_level_are_told() {
    let clarinet = format!("clarinet: 4/4 !p {TUNE} | {REST}");
    // The horn takes the tune an octave lower, bars 3 and 4.
    let low = "c4:1 d4:1/2 e4 f4:1 d4 | e4:3/2 d4:1/2 c4:1 b3";
    let horn = format!("horn: 4/4 !ff {REST} | {low}");
    let parts = [
        clarinet.as_str(),
        horn.as_str(),
        "viola: 4/4 !p g3:4 | g3:4 | !ff g3:1 g3 g3 g3 | g3 g3 g3 g3",
        "cello: 4/4 !p c3:4 | c3:4 | !ff c3:1 c3 c3 c3 | c3 c3 c3 c3",
    ];
    let comparison = side_by_side(&parts, (0, 1), (2, 3));
    assert_eq!(comparison.transposition, 0);
    assert_eq!(said(&comparison, Aspect::Line), [(false, 0, 1, "an octave lower")]);
    let carrier = said(&comparison, Aspect::Carrier);
    assert_eq!(carrier, [(false, 0, 1, "Horn 2 instead of Clarinet 1")]);
    let figure = said(&comparison, Aspect::Accompaniment);
    assert_eq!(figure, [(false, 0, 1, "repeated quarters instead of held notes")]);
    assert_eq!(said(&comparison, Aspect::Level), [(false, 0, 1, "ff instead of p")]);
    assert_eq!(said(&comparison, Aspect::Harmony), [(true, 0, 1, "the same")]);
    assert_eq!(said(&comparison, Aspect::Meter), [(true, 0, 1, "4/4")]);
    let forces = said(&comparison, Aspect::Forces);
    assert_eq!(forces, [(false, 0, 1, "also Horn 2, without Clarinet 1")]);
}

#[test]
fn a_return_in_another_key_stays_itself() {
    // A fourth higher, every note.
    let higher = "f5:1 g5:1/2 a5 bb5:1 g5 | a5:3/2 g5:1/2 f5:1 e5";
    let oboe = format!("oboe: 4/4 {TUNE} | {higher}");
    let bass = "cello: 4/4 c3:2 g3:2 | c3:2 g3:2 | f3:2 c4:2 | f3:2 c4:2";
    let comparison = side_by_side(&[&oboe, bass], (0, 1), (2, 3));
    assert_eq!(comparison.transposition, 5);
    assert_eq!(said(&comparison, Aspect::Line), [(true, 0, 1, "the same notes")]);
    assert_eq!(said(&comparison, Aspect::Harmony), [(true, 0, 1, "the same")]);
    assert!(comparison.summary[1].contains("a fourth higher"), "{:?}", comparison.summary);
}

#[test]
fn who_plays_along_is_told_with_the_interval() {
    let oboe = format!("oboe: 4/4 {TUNE} | {TUNE}");
    let bassoon = format!("bassoon: 4/4 {REST} | c4:1 d4:1/2 e4 f4:1 d4 | e4:3/2 d4:1/2 c4:1 b3");
    let comparison = side_by_side(&[&oboe, &bassoon], (0, 1), (2, 3));
    let doubling = said(&comparison, Aspect::Doubling);
    assert_eq!(doubling, [(false, 0, 1, "with Bassoon 2 an octave below instead of alone")]);
    assert_eq!(said(&comparison, Aspect::Carrier), [(true, 0, 1, "Oboe 1")]);
}

#[test]
fn bars_that_were_put_in_have_no_answer() {
    // The second time a bar stands between the two bars of the tune.
    let parts = "c5:1 d5:1/2 e5 f5:1 d5 | ab4:1/2 ab4 ab4:3 | e5:3/2 d5:1/2 c5:1 b4";
    let oboe = format!("oboe: 4/4 {TUNE} | {parts}");
    let comparison = side_by_side(&[&oboe], (0, 1), (2, 4));
    let pairs: Vec<_> = comparison.bars.iter().map(|pair| (pair.first, pair.second)).collect();
    let bar = |n| Some(BarIndex(n));
    assert_eq!(pairs, [(bar(0), bar(2)), (None, bar(3)), (bar(1), bar(4))]);
    let alone = comparison.remarks.iter().find(|remark| remark.aspect.is_none()).unwrap();
    assert_eq!(alone.text, "only in the second passage");
}

#[test]
fn other_harmony_manner_and_meter_are_told() {
    let parts = [
        "violin: 4/4 c5:4 | 3/4 c5:3",
        "viola: 4/4 e4:4 | 3/4 !+mute eb4:3",
        "cello: 4/4 c3:4 | 3/4 c3:3",
    ];
    let comparison = side_by_side(&parts, (0, 0), (1, 1));
    let harmony = said(&comparison, Aspect::Harmony);
    assert_eq!(harmony, [(false, 0, 0, "C E\u{266d} instead of C E")]);
    assert_eq!(said(&comparison, Aspect::Meter), [(false, 0, 0, "3/4 instead of 4/4")]);
    let manner = said(&comparison, Aspect::Manner);
    assert_eq!(manner, [(false, 0, 0, "Viola 2 muted instead of ordinary")]);
}

#[test]
fn odd_input_is_no_failure() {
    let (basis, tracks) = analyzed(movement(&["4/4 r:4 | free c5:1", "triangle: 4/4 c5:4 | r:1"]));
    let passage = |from, to| Passage { movement: 0, from: BarIndex(from), to: BarIndex(to) };
    let settings = CompareSettings::default();
    let found = compare(&basis, &tracks, passage(0, 0), passage(1, 99), &settings).unwrap();
    assert_eq!((found.second.to, found.bars.len()), (BarIndex(1), 1));
    assert!(compare(&basis, &tracks, passage(9, 9), passage(0, 0), &settings).is_none());
    let other = Passage { movement: 7, ..passage(0, 0) };
    assert!(compare(&basis, &tracks, passage(0, 0), other, &settings).is_none());
    let sheet = sheet(&basis, &tracks, &found);
    assert_eq!(sheet.bars.len(), 1);
}
