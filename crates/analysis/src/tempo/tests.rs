//! Tempo against published arithmetic and the order of precedence.

use super::*;
use crate::testing::{mark, metronome, movement, quarters};
use barloom_core::score::TempoKind;
use barloom_core::study::PlanTempoValue;

fn track(movement: &Movement) -> TempoTrack {
    TempoTrack::of(movement, &MovementPlan::default(), &Settings::default())
}

fn bars_of(meter: &str, n: usize) -> String {
    format!("{meter}{}", " |".repeat(n - 1))
}

fn seconds_of(meter: &str, n_bars: usize, unit: &str, per_minute: f64) -> f64 {
    let mut movement = movement(&[&bars_of(meter, n_bars)]);
    mark(&mut movement, 0, "0", metronome(unit, per_minute), "");
    track(&movement).seconds()
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 5e-4
}

/// MusicXML 4.0: `sound tempo` is in quarter notes per minute, whatever the beat unit; so seconds
/// are quarters x 60 / tempo.
#[test]
fn durations_follow_from_quarters_a_minute() {
    assert!(close(seconds_of("4/4", 1, "1", 60.0), 4.0));
    assert!(close(seconds_of("6/8", 1, "3/2", 72.0), 1.6667));
    assert!(close(seconds_of("5/8", 1, "1/2", 200.0), 1.5));
    assert!(close(seconds_of("3/4", 100, "1", 108.0), 166.6667));
    assert!(close(seconds_of("3/4", 2, "1", 144.0), 2.5));
}

/// MusicXML 4.0: dotted quarter = 72 is tempo 108, half = 60 is 120, eighth = 100 is 50.
#[test]
fn metronome_marks_become_quarters_a_minute() {
    for (unit, per_minute, quarters) in
        [("3/2", 72.0, 108.0), ("2", 60.0, 120.0), ("1/2", 100.0, 50.0)]
    {
        let mut movement = movement(&["4/4"]);
        mark(&mut movement, 0, "0", metronome(unit, per_minute), "Andante");
        let track = track(&movement);
        assert_eq!(track.segments[0].quarters_per_minute, quarters);
        assert_eq!(track.segments[0].origin, Origin::Printed);
        assert_eq!(track.segments[0].words, "Andante");
    }
}

/// Metric modulation, by arithmetic: the note on the left is the old value.
#[test]
fn equations_use_the_value_in_force() {
    for (before, old, new, after) in
        [(120.0, "3/2", "1", 80.0), (120.0, "1/3", "1/2", 180.0), (96.0, "1", "3/2", 144.0)]
    {
        let mut movement = movement(&["4/4 | "]);
        mark(&mut movement, 0, "0", metronome("1", before), "");
        let (old, new) = (quarters(old), quarters(new));
        mark(&mut movement, 1, "0", TempoKind::Equation { old, new }, "");
        let track = track(&movement);
        assert!(close(track.segments[1].quarters_per_minute, after));
        assert_eq!(track.segments[1].origin, Origin::Equation);
    }
}

#[test]
fn the_same_beat_in_another_meter_keeps_its_length() {
    let mut movement = movement(&["2/4 | 6/8"]);
    mark(&mut movement, 0, "0", metronome("1", 96.0), "");
    mark(&mut movement, 1, "0", TempoKind::Term, "L'istesso tempo");
    assert_eq!(track(&movement).segments[1].quarters_per_minute, 144.0);
}

#[test]
fn the_plan_counts_before_the_page_and_the_page_before_playback() {
    let mut movement = movement(&["4/4 | | | "]);
    mark(&mut movement, 0, "0", TempoKind::Term, "Allegro");
    mark(&mut movement, 0, "0", TempoKind::Playback(90.0), "");
    mark(&mut movement, 1, "0", metronome("1", 100.0), "");
    mark(&mut movement, 1, "0", TempoKind::Playback(60.0), "");
    mark(&mut movement, 2, "0", TempoKind::Playback(100.0), "");
    mark(&mut movement, 3, "0", metronome("1", 120.0), "");
    let start = movement.bars.as_slice()[3].start;
    let plan = MovementPlan {
        tempi: vec![(start, PlanTempoValue::Beats { unit: quarters("2"), per_minute: 63.0 })],
        ..MovementPlan::default()
    };
    let track = TempoTrack::of(&movement, &plan, &Settings::default());
    let seen: Vec<_> = track.segments.iter().map(|s| (s.quarters_per_minute, s.origin)).collect();
    assert_eq!(
        seen,
        [(90.0, Origin::Playback), (100.0, Origin::Printed), (126.0, Origin::Plan)],
        "a playback value that repeats the tempo is no segment"
    );
    assert_eq!(track.segments[0].words, "Allegro");
    assert_eq!(track.problems.len(), 1, "{:?}", track.problems);
    assert!(track.problems[0].1.contains("the printed mark counts"));
}

#[test]
fn an_equation_that_playback_contradicts_is_reported() {
    let mut movement = movement(&["4/4 | "]);
    mark(&mut movement, 0, "0", metronome("1", 100.0), "");
    let equation = TempoKind::Equation { old: quarters("1"), new: quarters("2") };
    mark(&mut movement, 1, "0", equation, "");
    mark(&mut movement, 1, "0", TempoKind::Playback(187.0), "");
    let track = track(&movement);
    assert_eq!(track.segments[1].quarters_per_minute, 200.0);
    assert!(track.problems[0].1.contains("187"), "{:?}", track.problems);
}

#[test]
fn nothing_stated_is_said_to_be_assumed() {
    let track = track(&movement(&["4/4"]));
    assert_eq!(track.segments[0].origin, Origin::Assumed);
    assert!(close(track.seconds(), 2.5));
    assert_eq!(track.problems.len(), 1);
}

#[test]
fn an_upbeat_takes_the_tempo_of_the_bar_it_leads_to() {
    let mut movement = movement(&["4/4 r:1 | r:4"]);
    mark(&mut movement, 1, "0", metronome("1", 60.0), "");
    let track = track(&movement);
    assert!(close(track.seconds(), 5.0));
    assert!(track.problems.is_empty());
}

/// rit. and accel. have no number: even change over the written span, to the next mark, else to
/// 0.8 or 1.2 of the tempo (common practice). The integral of 60 / v over 8 quarters from 120 to 60
/// is 8 ln 2.
#[test]
fn changes_by_degrees_are_even_and_exact() {
    let mut movement = movement(&["4/4 | | | "]);
    mark(&mut movement, 0, "0", metronome("1", 120.0), "");
    mark(&mut movement, 1, "0", TempoKind::Gradual { faster: false, end: None }, "rit.");
    mark(&mut movement, 3, "0", metronome("1", 60.0), "");
    let track = track(&movement);
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    assert_eq!(track.segments[1].to, Some(60.0));
    assert_eq!(track.quarters_per_minute(at(2)), 90.0);
    assert!(close(track.seconds_at(at(3)) - track.seconds_at(at(1)), 8.0 * 2f64.ln()));
    // Quarters played one by one in the middle of each give nearly the same.
    let summed: f64 = (0..800).map(|n| 0.6 / (120.0 - 60.0 * (f64::from(n) + 0.5) / 800.0)).sum();
    assert!(close(summed, 8.0 * 2f64.ln()));
}

#[test]
fn a_tempo_goes_back_to_before_the_ritardando_and_tempo_primo_to_the_first() {
    let mut movement = movement(&["4/4 | | | | | "]);
    mark(&mut movement, 0, "0", metronome("1", 120.0), "Allegro");
    mark(&mut movement, 1, "0", metronome("1", 80.0), "Andante");
    mark(&mut movement, 2, "0", TempoKind::Gradual { faster: false, end: None }, "rit.");
    mark(&mut movement, 2, "2", TempoKind::Playback(70.0), "");
    mark(&mut movement, 2, "3", TempoKind::Playback(60.0), "");
    mark(&mut movement, 3, "0", TempoKind::ATempo, "a tempo");
    mark(&mut movement, 4, "0", TempoKind::TempoPrimo, "Tempo I");
    let track = track(&movement);
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    assert_eq!(track.quarters_per_minute(at(3)), 80.0);
    assert_eq!(track.segment_at(at(3)).unwrap().origin, Origin::Printed);
    assert_eq!(track.quarters_per_minute(at(4)), 120.0);
}

#[test]
fn a_ritardando_without_an_end_is_bounded_and_reported() {
    let mut movement = movement(&[&bars_of("4/4", 20)]);
    mark(&mut movement, 0, "0", metronome("1", 100.0), "");
    mark(&mut movement, 2, "0", TempoKind::Gradual { faster: false, end: None }, "rit.");
    // The same word in another part a beat later starts nothing new.
    mark(&mut movement, 2, "1", TempoKind::Gradual { faster: false, end: None }, "rit.");
    let track = track(&movement);
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    assert!(track.quarters_per_minute(at(5)) < 90.0);
    assert_eq!(track.quarters_per_minute(at(6)), 100.0);
    assert_eq!(track.segments[2].origin, Origin::Assumed);
    assert_eq!(track.problems.len(), 1);
    assert_eq!(track.segments.len(), 3);
}

#[test]
fn the_plan_can_go_back_to_the_tempo_before() {
    let mut movement = movement(&["4/4 | | "]);
    mark(&mut movement, 0, "0", metronome("1", 100.0), "");
    mark(&mut movement, 1, "0", metronome("1", 60.0), "");
    let start = movement.bars.as_slice()[2].start;
    let plan =
        MovementPlan { tempi: vec![(start, PlanTempoValue::AsBefore)], ..Default::default() };
    let track = TempoTrack::of(&movement, &plan, &Settings::default());
    assert_eq!(track.segments[2].quarters_per_minute, 100.0);
    assert_eq!(track.segments[2].origin, Origin::Plan);
}

#[test]
fn cuts_shorten_and_pauses_lengthen_what_is_played_only() {
    let mut movement = movement(&["4/4 | | "]);
    mark(&mut movement, 0, "0", metronome("1", 60.0), "");
    let plan = MovementPlan {
        cuts: vec![(BarIndex(1), BarIndex(1))],
        pauses: vec![(BarIndex(0), 2.5)],
        ..Default::default()
    };
    let track = TempoTrack::of(&movement, &plan, &Settings::default());
    assert_eq!(track.played, [(BarIndex(0), BarIndex(0)), (BarIndex(2), BarIndex(2))]);
    assert!(close(track.seconds(), 12.0) && close(track.played_seconds, 10.5));
    assert_eq!(track.played_quarters.to_string(), "8");
    assert_eq!(track.bar_at_seconds(4.5, &movement.bars), Some(BarIndex(1)));
}

/// Older scores write the new value on the left; the playback tells.
#[test]
fn an_equation_may_be_written_the_other_way_round() {
    let mut movement = movement(&["3/4 | 2/4"]);
    mark(&mut movement, 0, "0", metronome("1", 100.0), "");
    let equation = TempoKind::Equation { old: quarters("2"), new: quarters("1") };
    mark(&mut movement, 1, "0", equation, "");
    assert_eq!(track(&movement).segments[1].quarters_per_minute, 50.0);
    mark(&mut movement, 1, "0", TempoKind::Playback(187.0), "");
    let track = track(&movement);
    assert_eq!(track.segments[1].quarters_per_minute, 200.0);
    assert!(track.problems[0].1.contains("on the left"), "{:?}", track.problems);
}

#[test]
fn a_title_that_names_a_tempo_is_better_than_none() {
    let mut movement = movement(&["3/8"]);
    movement.title = String::from("II. Andante con moto");
    let track = track(&movement);
    assert_eq!(track.segments[0].origin, Origin::Assumed);
    assert_eq!(track.segments[0].quarters_per_minute, 85.75 / 2.0);
    assert_eq!(track.problems.len(), 1);
}

#[test]
fn a_ritardando_holds_until_the_word_that_goes_back() {
    let mut movement = movement(&[&bars_of("4/4", 30)]);
    mark(&mut movement, 0, "0", metronome("1", 100.0), "");
    mark(&mut movement, 2, "0", TempoKind::Gradual { faster: false, end: None }, "rit.");
    mark(&mut movement, 25, "0", TempoKind::ATempo, "a tempo");
    let track = track(&movement);
    let at = |bar: usize| movement.bars.as_slice()[bar].start;
    assert_eq!(track.quarters_per_minute(at(20)), 80.0);
    assert_eq!(track.quarters_per_minute(at(25)), 100.0);
    assert!(track.problems.is_empty());
}

/// A repeat is played twice, and takes twice its time.
#[test]
fn repeats_are_played() {
    let mut movement = movement(&["4/4 | | "]);
    mark(&mut movement, 0, "0", metronome("1", 60.0), "");
    let mut bars = movement.bars.as_slice().to_vec();
    bars[1].flow.repeat_end = Some(2);
    movement.bars = BarTable::new(bars);
    let track = track(&movement);
    let bar = BarIndex;
    assert_eq!(track.played, [(bar(0), bar(1)), (bar(0), bar(2))]);
    assert!(close(track.played_seconds, 20.0) && close(track.seconds(), 12.0));
    assert_eq!(track.played_quarters.to_string(), "20");
}
