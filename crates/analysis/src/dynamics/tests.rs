//! Levels, hairpins and the band on small scores.

use super::*;
use crate::testing::movement;

fn track(parts: &[&str]) -> (Movement, DynamicsTrack) {
    let movement = movement(parts);
    let playing = PlayingTrack::of(&movement);
    let track = DynamicsTrack::of(&movement, &playing);
    (movement, track)
}

#[test]
fn a_level_holds_until_the_next_and_fp_leaves_piano() {
    let (movement, track) = track(&["4/4 c4:4 | !f c4 | c4:2 !fp c4:2 | c4:4"]);
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    let levels: Vec<_> = (0..4).map(|bar| track.level_at(PartIdx(0), at(bar))).collect();
    assert_eq!(levels, [None, Some(Level::F), Some(Level::F), Some(Level::P)]);
    assert_eq!(track.parts[0].accents.len(), 1);
    assert_eq!(track.band(BarIndex(0)), None);
    assert_eq!(track.band(BarIndex(2)), Some((Level::P, Level::F)));
}

#[test]
fn the_loudest_player_gives_the_level_of_a_part() {
    let (movement, track) = track(&["4/4 !p c4:4 | !1:ff c4:4 | !2:pp c4:4 | !mf c4:4"]);
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    let level = |bar: usize| track.level_at(PartIdx(0), at(bar));
    assert_eq!(level(1), Some(Level::Ff));
    assert_eq!(level(2), Some(Level::Ff));
    assert_eq!(level(3), Some(Level::Mf));
}

#[test]
fn cresc_in_words_lasts_until_the_next_level_or_silence() {
    let (movement, track) =
        track(&["4/4 !p c4:4 | !cresc c4:4 | c4:4 | !f c4:4 | !dim c4:4 | c4:4 | r:4"]);
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    let hairpins = &track.parts[0].hairpins;
    assert_eq!((hairpins[0].from, hairpins[0].to), (at(1), at(3)));
    assert_eq!((hairpins[0].target, hairpins[0].end_written), (Some(Level::F), true));
    assert_eq!((hairpins[1].to, hairpins[1].end_written), (at(6), false));
}

#[test]
fn the_band_spans_the_parts_that_sound() {
    let (_, track) = track(&["4/4 !pp c4:4 | r:4", "4/4 !ff c4:4 | c4:4", "4/4 !fff r:4"]);
    assert_eq!(track.band(BarIndex(0)), Some((Level::Pp, Level::Ff)));
    assert_eq!(track.band(BarIndex(1)), Some((Level::Ff, Level::Ff)));
}

/// Two staves hold two levels; a level for the whole part ends both (common practice).
#[test]
fn each_staff_keeps_its_level() {
    let mut movement = movement(&["4/4 c4:4 | c4:4 | c4:4"]);
    movement.music[0].staves = 2;
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    let level = |bar: usize, staff: Option<u8>, level: Level| Marking {
        at: at(bar),
        bar: BarIndex(bar as u32),
        players: PlayerSet::ALL,
        staff,
        voice: None,
        kind: MarkingKind::Level(level),
        words: "".into(),
        line: 0,
    };
    let marks = vec![
        level(0, Some(1), Level::F),
        level(0, Some(2), Level::P),
        level(1, Some(1), Level::Pp),
        level(2, None, Level::Mf),
    ];
    let at = [at(0), at(1), at(2)];
    movement.music[0].markings = marks;
    let track = DynamicsTrack::of(&movement, &PlayingTrack::of(&movement));
    let found: Vec<_> = at.iter().map(|at| track.level_at(PartIdx(0), *at)).collect();
    // In the second bar the lower staff is still at p.
    assert_eq!(found, [Some(Level::F), Some(Level::P), Some(Level::Mf)]);
}

/// The words "al ff" name the goal; the place where it is reached is not written, so the level in force
/// stays what is written.
#[test]
fn a_growth_with_a_goal_leads_there() {
    let mut movement = movement(&["4/4 !p c4:4 | !cresc c4:4 | c4:4 | r:4 | c4:4"]);
    for marking in &mut movement.music[0].markings {
        if let MarkingKind::Growing { to, .. } = &mut marking.kind {
            *to = Some(Level::Ff);
        }
    }
    let track = DynamicsTrack::of(&movement, &PlayingTrack::of(&movement));
    let hairpin = &track.parts[0].hairpins[0];
    assert_eq!((hairpin.target, hairpin.end_written), (Some(Level::Ff), false));
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    assert_eq!(track.level_at(PartIdx(0), at(4)), Some(Level::P));
}

/// A circle at the end of a hairpin is nothing (MusicXML 4.0, `wedge`: "niente").
#[test]
fn a_hairpin_to_nothing_ends_there() {
    let mut movement = movement(&["4/4 !p c4:4 | !dim c4:4 | c4:4"]);
    let end = movement.bars.as_slice()[2].start;
    for marking in &mut movement.music[0].markings {
        if let MarkingKind::Growing { .. } = marking.kind {
            marking.kind = MarkingKind::Hairpin { louder: false, end, niente: true };
        }
    }
    let track = DynamicsTrack::of(&movement, &PlayingTrack::of(&movement));
    assert_eq!(track.parts[0].hairpins[0].target, Some(Level::N));
    assert_eq!(track.level_at(PartIdx(0), end), Some(Level::N));
    assert!(track.parts[0].changes.last().unwrap().implied);
}
