//! Bars in words.

use super::*;
use crate::testing::{self, mark, metronome};

fn said(parts: &[&str], bar: u32, only: Option<&[PartIdx]>) -> Vec<String> {
    let mut movement = testing::movement(parts);
    mark(&mut movement, 0, "0", metronome("1", 80.0), "");
    let (basis, tracks) = testing::analyzed(movement);
    bar_in_words(&basis, &tracks, 0, (BarIndex(bar), BarIndex(bar)), only)
}

const PARTS: &[&str] = &[
    "flute: 4/4 !p c5:4 | r:4 | r:4 | !+mute c5:4 | c5:4",
    "flute: 4/4 !pp c5:4 | r:4 | c5:4_ | ~c5:4 | !f !-mute c5:4",
    "piccolo: 4/4 c6:4 | r:4 | r:4 | c6:4 | c6:4",
];

#[test]
fn one_bar_is_said_as_a_musician_would() {
    assert_eq!(said(PARTS, 0, None)[0], "Everyone, pp to p.");
    assert_eq!(said(PARTS, 1, None)[0], "Silence.");
    let solo = said(PARTS, 2, None);
    assert_eq!(solo[0], "Flute 2 alone, pp, after 1 bar of rest.");
    let entry = said(PARTS, 3, None);
    let has = |text: &str| entry.iter().any(|sentence| sentence == text);
    assert!(has("Flute 1 and Piccolo 3 enter after 2 bars of rest."), "{entry:?}");
    assert!(has("Flute 1 muted (\u{201c}+mute\u{201d})."), "{entry:?}");
    assert_eq!(entry.last().unwrap(), "Proposed: quarter = 80: in four.");
    assert_eq!(said(PARTS, 99, None), Vec::<String>::new());
}

#[test]
fn techniques_of_silent_parts_are_left_out() {
    let parts = &["flute: 4/4 !+mute c5:4 | r:4 | c5:4", "flute: 4/4 c5:4 | c5:4 | c5:4"];
    let muted = |bar| said(parts, bar, None).iter().any(|text| text.contains("muted"));
    assert!(muted(0) && !muted(1) && muted(2));
}

#[test]
fn only_the_chosen_parts_are_spoken_of() {
    let said = said(PARTS, 3, Some(&[PartIdx(1)]));
    assert_eq!(said[0], "Flute 2, pp.");
    assert!(said.contains(&"Held over, nobody attacks.".to_owned()), "{said:?}");
}

#[test]
fn growing_meter_and_tempo_are_said_where_they_happen() {
    let parts =
        &["flute: 4/4 !p c5:4 | 3/4 !cresc c5:3 | !f c5:3", "flute: 4/4 c5:4 | c5:3 | c5:3"];
    let said = said(parts, 1, None);
    assert!(said.contains(&"Louder to f: Flute 1.".to_owned()), "{said:?}");
    assert!(said.contains(&"3/4, 4/4 before.".to_owned()), "{said:?}");
}

/// The bar as a conductor says it: line, who doubles it and where, colors, what is struck. Two winds in
/// octaves under held strings, as Rimsky-Korsakov, *Principles of Orchestration*, ch. II, has them.
#[test]
fn the_line_is_said_with_its_doublings_and_the_colors_around_it() {
    let mut movement = testing::movement(&[
        "bassoon: 4/4 !mf d3:1 e3 f3 g3 | a3:1 g3 f3 e3",
        "tuba: 4/4 !mf d2:1 e2 f2 g2 | a2:1 g2 f2 e2",
        "viola: 4/4 !p !+bridge a4:4 | a4:4",
        "timpani: 4/4 !p d3:4 | d3:4",
    ]);
    for part in [2, 3] {
        movement.music[part].notes.iter_mut().for_each(|note| note.tremolo = 255);
    }
    let (basis, tracks) = testing::analyzed(movement);
    let said = bar_in_words(&basis, &tracks, 0, (BarIndex(1), BarIndex(1)), None);
    let has = |text: &str| said.iter().any(|sentence| sentence == text);
    assert!(has("Line: Bassoon 1, Tuba 2 an octave below."), "{said:?}");
    assert!(has("Viola 3 tremolo at the bridge; Timpani 4 roll on D."), "{said:?}");
}

/// Oboe and flute in thirds take over from strings in octaves: two lines, one hand-off.
#[test]
fn a_line_that_is_handed_on_is_said_in_one_sentence() {
    let parts = &[
        "flute: 4/4 r:4 | r:4 | a5:1 b5 c6 d6 | e6:1 d6 c6 b5",
        "oboe: 4/4 r:4 | r:4 | f5:1 g5 a5 b5 | c6:1 b5 a5 g5",
        "violin: 4/4 c5:1 d5 e5 f5 | g5:1 f5 e5 d5 | r:4 | r:4",
        "cello: 4/4 c3:1 d3 e3 f3 | g3:1 f3 e3 d3 | r:4 | r:4",
    ];
    let (basis, tracks) = testing::analyzed(testing::movement(parts));
    let said = |from, to| bar_in_words(&basis, &tracks, 0, (BarIndex(from), BarIndex(to)), None);
    let all = said(0, 3);
    let line = all.iter().find(|text| text.starts_with("Line")).unwrap();
    assert_eq!(
        line,
        "Line: Violin 3, Cello 4 two octaves below; then from bar 3 Flute 1, Oboe 2 in parallel thirds below."
    );
    let here = said(2, 2);
    let has = |text: &str| here.iter().any(|sentence| sentence == text);
    assert!(has("The line goes from Violin 3 and Cello 4 to Flute 1 here."), "{here:?}");
    // Nobody is said to be together who is said to have the line.
    assert!(!here.iter().any(|text| text.starts_with("Together")), "{here:?}");
}

/// Chosen parts hear of their own line only.
#[test]
fn what_others_do_is_not_said_to_chosen_parts() {
    let parts = &[
        "flute: 4/4 c6:1 d6 e6 f6 | g6:1 f6 e6 d6",
        "violin: 4/4 c5:1 d5 e5 f5 | g5:1 f5 e5 d5",
        "bassoon: 4/4 c3:4 | c3:4",
    ];
    let (basis, tracks) = testing::analyzed(testing::movement(parts));
    let bars = (BarIndex(0), BarIndex(1));
    let said = bar_in_words(&basis, &tracks, 0, bars, Some(&[PartIdx(2)]));
    assert!(!said.iter().any(|text| text.contains("Flute")), "{said:?}");
    let said = bar_in_words(&basis, &tracks, 0, bars, Some(&[PartIdx(1)]));
    assert!(said.iter().any(|text| text == "Line: Flute 1, Violin 2 an octave below."), "{said:?}");
}

/// A flute on A3 has no such note (table of orchestral ranges, orchestralibrary: C4, B3 with the longer
/// foot); the violin beside it has.
#[test]
fn notes_past_a_range_are_said_as_they_sound() {
    let parts = &["flute: 4/4 a3:4 | c5:4", "violin: 4/4 a3:4 | c5:4"];
    let said = said(parts, 0, None);
    let past = "Flute 1 below the usual range, down to A3 as it sounds.";
    assert_eq!(said.iter().filter(|text| text.contains("range")).collect::<Vec<_>>(), [past]);
}

/// A change for which there is no time is said with both times; one with time to spare is not.
/// That the mute takes a few seconds to put on: common practice.
#[test]
fn changes_without_time_are_said() {
    let parts = &[
        "violin: 4/4 c5:4 | !+mute c5:4 | r:4 | r:4 | r:4 | r:4 | !-mute c5:4",
        "flute: 4/4 c5:4",
    ];
    let hasty = said(parts, 1, None);
    let is_change = |text: &&String| text.contains("are usual");
    let [change] = hasty.iter().filter(is_change).collect::<Vec<_>>()[..] else {
        panic!("one change, not {hasty:?}")
    };
    assert!(change.starts_with("Violin 1: mute on, 0 s where"), "{change}");
    assert!(change.ends_with("too short."), "{change}");
    assert_eq!(said(parts, 6, None).iter().filter(is_change).count(), 0);
}
