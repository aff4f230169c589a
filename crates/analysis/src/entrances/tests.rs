//! Entrances on small scores.

use super::*;
use crate::testing::movement;
use barloom_core::basis::MovementPlan;

fn entrances(movement: &Movement) -> Vec<Entrance> {
    let settings = Settings::default();
    let playing = PlayingTrack::of(movement);
    let tempo = TempoTrack::of(movement, &MovementPlan::default(), &settings);
    let (devices, sounds) = (DevicesTrack::of(movement), Sounds::of(movement));
    let (heard, dynamics) = (HeardNotes::of(movement), DynamicsTrack::of(movement, &playing));
    let context = Context {
        movement,
        playing: &playing,
        tempo: &tempo,
        devices: &devices,
        sounds: &sounds,
        heard: &heard,
        dynamics: &dynamics,
    };
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

/// Voices of a fugue are cued in turn (conducting textbooks, from memory): the answer at the fifth with a
/// tonal change of a semitone is the same line.
#[test]
fn an_answer_takes_up_the_subject() {
    let movement = movement(&[
        "violin: 4/4 c5:1 d5 e5:1/2 f5 g5:1 | a5:1 g5 f5 e5 | d5:4",
        "viola: 4/4 r:4 | r:4 | g4:1 a4 b4:1/2 c5 d5:1",
        "cello: 4/4 c3:4 | c3:4 | r:2 c3:2",
    ]);
    let found = entrances(&movement);
    let viola = found.iter().find(|entrance| entrance.part == PartIdx(1)).unwrap();
    assert_eq!(viola.imitates, Some(PartIdx(0)));
    assert!(viola.reasons.iter().any(|reason| reason.contains("line")), "{:?}", viola.reasons);
    let others = found.iter().filter(|entrance| entrance.part != PartIdx(1));
    assert!(others.map(|entrance| entrance.imitates).all(|imitates| imitates.is_none()));
}

#[test]
fn entries_know_what_they_enter_on() {
    let movement =
        movement(&["violin: 4/4 r:4 | !ppp !+mute r:1/2 c5:7/2", "cello: 4/4 c3:4 | c3:4"]);
    let found = entrances(&movement);
    let violin = found.iter().find(|entrance| entrance.part == PartIdx(0)).unwrap();
    assert_eq!((violin.level, violin.devices.as_slice()), (Some(Level::Ppp), &[Device::Mute][..]));
    assert!(violin.off_beat && violin.n_sounding == 2);
    assert!(violin.reasons.contains(&"enters ppp".to_owned()), "{:?}", violin.reasons);
}
