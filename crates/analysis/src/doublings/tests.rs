//! Micro scores for doublings. What a doubling is, and that octaves count as doublings of one line,
//! is as in Rimsky-Korsakov, *Principles of Orchestration*, ch. II and III (melody in unison, in
//! octaves, doubled in thirds and sixths).

use super::*;
use crate::testing::movement;

fn found(parts: &[&str]) -> Vec<Doubling> {
    let movement = movement(parts);
    of(&movement, &HeardNotes::of(&movement), &Settings::default())
}

fn rows(parts: &[&str]) -> Vec<(u16, u16, u32, u32, i32)> {
    let row = |d: &Doubling| (d.part.0, d.by.0, d.first_bar.0, d.last_bar.0, d.interval);
    found(parts).iter().map(row).collect()
}

#[test]
fn a_line_in_octaves_is_one_doubling_over_its_bars() {
    let seen = rows(&[
        "flute: 4/4 c5:1 d5 e5 g5 | f5:1 e5 d5:2 | r:4",
        "clarinet: 4/4 c4:1 d4 e4 g4 | f4:1 e4 d4:2 | r:4",
        "horn: 4/4 g3:4 | g3:4 | r:4",
    ]);
    assert_eq!(seen, [(0, 1, 0, 1, -12)]);
}

#[test]
fn rests_and_octave_breaks_do_not_end_it() {
    let seen = rows(&[
        "violin: 4/4 c5:1 d5 e5 f5 | g5:1 a5 b5 c6 | d6:1 c6 b5 a5 | g5:4",
        "flute: 4/4 c5:1 r:1 e5:1 f5 | g5:1 a5 b4 c5 | d5:1 c5 b4 a5 | g5:4",
    ]);
    assert_eq!(seen, [(0, 1, 0, 3, 0)]);
}

#[test]
fn repeated_notes_match_held_ones() {
    let seen = rows(&[
        "violin: 4/4 c5:1/2 c5 c5 c5 d5:1/2 d5 d5 d5 | e5:1/2 e5 e5 e5 f5:1/2 f5 f5 f5",
        "oboe: 4/4 c5:2 d5 | e5:2 f5",
    ]);
    assert_eq!(seen, [(0, 1, 0, 1, 0)]);
}

#[test]
fn chords_that_meet_by_chance_are_no_doublings() {
    // Four-part chords: parts often have the same pitch class, never the same line.
    assert_eq!(
        rows(&[
            "violin: 4/4 e5:1 f5 d5 e5 | c5:1 d5 b4 c5",
            "violin: 4/4 c5:1 a4 b4 c5 | a4:1 a4 g4 g4",
            "viola: 4/4 g4:1 f4 g4 g4 | e4:1 f4 d4 e4",
            "cello: 4/4 c3:1 d3 g3 c3 | a3:1 f3 g3 c3",
        ])
        .iter()
        .filter(|(_, _, _, _, interval)| interval % 12 == 0)
        .count(),
        0
    );
}

#[test]
fn a_held_pedal_doubles_nothing() {
    assert_eq!(rows(&["horn: 4/4 c4:4 | c4:4 | c4:4", "cello: 4/4 c3:4 | c3:4 | c3:4"]), []);
}

#[test]
fn thirds_are_parallel_and_told_apart() {
    let seen = found(&[
        "oboe: 4/4 e5:1 f5 g5 a5 | g5:1 f5 e5 d5",
        "oboe: 4/4 c5:1 d5 e5 f5 | e5:1 d5 c5 b4",
    ]);
    assert_eq!(seen.len(), 1);
    assert!(seen[0].parallel);
    assert_eq!(interval_words(seen[0].interval, true), "in parallel thirds below");
}

#[test]
fn a_phrase_of_three_notes_counts_when_both_play_just_it() {
    let seen =
        rows(&["trumpet: 4/4 r:4 | r:1 c5 e5 g5 | r:4", "horn: 4/4 r:4 | r:1 c4 e4 g4 | r:4"]);
    assert_eq!(seen, [(0, 1, 1, 1, -12)]);
}

#[test]
fn only_the_first_notes_or_only_the_beats_are_told() {
    let seen = found(&[
        "violin: 4/4 r:4 | c5:1 e5 g5 a5 | b5:1 c6 d6 e6 | r:4",
        "trumpet: 4/4 r:4 | c5:1 e5 g5 r | r:4 | r:4",
    ]);
    let extents: Vec<Extent> = seen.iter().map(|doubling| doubling.extent).collect();
    assert_eq!(extents, [Extent::FirstNotes]);
    let seen = found(&[
        "cello: 4/4 c3:1/2 d3 e3 c3 f3:1/2 e3 d3 c3 | g3:1/2 f3 e3 d3 c3:1/2 b2 a2 g2",
        "double bass: 4/4 c2:1 e2 f2 d2 | g2:1 e2 c2 a1",
    ]);
    let extents: Vec<Extent> = seen.iter().map(|doubling| doubling.extent).collect();
    assert_eq!(extents, [Extent::StrongBeats]);
    assert_eq!((seen[0].part, seen[0].interval), (PartIdx(0), -12));
}

#[test]
fn pairs_on_one_line_make_a_group() {
    let doublings = found(&[
        "flute: 4/4 c6:1 d6 e6 g6 | f6:1 e6 d6 c6",
        "oboe: 4/4 c5:1 d5 e5 g5 | f5:1 e5 d5 c5",
        "bassoon: 4/4 c4:1 d4 e4 g4 | f4:1 e4 d4 c4",
    ]);
    assert_eq!(doublings.len(), 3);
    let groups = groups(&doublings);
    assert_eq!(groups.len(), 1);
    let expected = [(PartIdx(0), 0), (PartIdx(1), -12), (PartIdx(2), -24)];
    assert_eq!((groups[0].parts.as_slice(), groups[0].to), (&expected[..], BarIndex(1)));
}

#[test]
fn intervals_are_said_as_players_say_them() {
    let said = [0, 12, -12, 24, -36].map(|interval| interval_words(interval, false));
    let expected = [
        "in unison",
        "an octave above",
        "an octave below",
        "two octaves above",
        "three octaves below",
    ];
    assert_eq!(said, expected);
}
