//! Entrances on small scores.

use super::*;
use crate::testing::movement;
use barloom_core::basis::MovementPlan;

fn entrances(movement: &Movement) -> Vec<Entrance> {
    let settings = Settings::default();
    let playing = PlayingTrack::of(movement);
    let tempo = TempoTrack::of(movement, &MovementPlan::default(), &settings);
    let (devices, sounds) = (DevicesTrack::of(movement), Sounds::of(movement));
    let context =
        Context { movement, playing: &playing, tempo: &tempo, devices: &devices, sounds: &sounds };
    of(context, &settings)
}

/// The rule that counts: whole silent bars, and the exact silence from the last sound on.
#[test]
fn rests_are_counted_in_whole_bars_and_measured_exactly() {
    let movement = movement(&["4/4 c4:2 r:2 | r:4 | r:4 | r:1/2 c4:1/2 c4:3"]);
    let found = entrances(&movement);
    assert_eq!(found.len(), 2);
    assert!(found[0].first && found[0].rest_bars == 0 && found[0].need == 0);
    assert_eq!((found[1].bar, found[1].rest_bars), (BarIndex(3), 2));
    assert_eq!(found[1].offset.to_string(), "1/2");
    assert_eq!(found[1].rest_quarters.to_string(), "21/2");
    // 96 quarters a minute are assumed.
    assert!((found[1].rest_seconds - 10.5 * 60.0 / 96.0).abs() < 1e-9);
    assert!(found[1].reasons.contains(&"off the beat".to_owned()));
}

#[test]
fn split_bars_count_once_and_upbeats_do_not() {
    let mut table = movement(&["4/4 r:1 | r:4 | r:2 | r:2 | r:2 | c4:2"]);
    let bars = table.bars.as_slice().to_vec();
    let with = |idx: usize, pickup: bool, continues: bool| {
        let mut bar = bars[idx].clone();
        (bar.pickup, bar.continues) = (pickup, continues);
        bar
    };
    table.bars = barloom_core::bar::BarTable::new(vec![
        with(0, true, false),
        with(1, false, false),
        with(2, false, false),
        with(3, false, true),
        with(4, false, false),
        with(5, false, true),
    ]);
    let found = entrances(&table);
    // Bar 1 and the whole split bar; the second half of the last bar is where the part enters.
    assert_eq!(found[0].rest_bars, 2);
    assert_eq!(found[0].rest_quarters.to_string(), "11");
}

#[test]
fn a_first_exposed_entrance_needs_a_cue_more_than_a_tutti_does() {
    let movement = movement(&[
        "4/4 c4:4 | r:4 | r:4 | c4:4",
        "4/4 c4:4 | r:4 | c4:4 | c4:4",
        "4/4 r:4 | r:4 | r:4 | !solo c4:4",
    ]);
    let found = entrances(&movement);
    let of = |part: u16, bar: u32| {
        found.iter().find(|e| e.part == PartIdx(part) && e.bar == BarIndex(bar)).unwrap()
    };
    assert_eq!(of(2, 3).need, 5, "{:?}", of(2, 3).reasons);
    assert_eq!(of(2, 3).reasons[0], "first entrance, rest of 3 bars");
    assert_eq!(of(0, 3).need, 0, "{:?}", of(0, 3).reasons);
    assert_eq!(of(1, 2).reasons, ["alone"]);
}
