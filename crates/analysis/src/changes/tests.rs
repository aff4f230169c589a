//! Micro scores for changes against the clock, with the figures of players' handbooks beside them.

use super::*;
use crate::testing::{analyzed, mark, metronome, movement};
use barloom_core::score::{InHand, Movement};

fn at_tempo(parts: &[&str], unit: &str, per_minute: f64) -> Movement {
    let mut movement = movement(parts);
    mark(&mut movement, 0, "0", metronome(unit, per_minute), "");
    movement
}

fn changes(movement: Movement) -> Vec<Change> {
    let (_, tracks) = analyzed(movement);
    tracks.movements[0].changes.changes.clone()
}

/// Two bars of 3/4 at quarter = 144 last 6 × 60/144 = 2.5 s; Berlioz (*Treatise on Instrumentation*) asks
/// for about two bars of moderate 4/4 to put mutes on, 5 s at 96.
#[test]
fn a_mute_in_two_quick_bars_is_too_short() {
    let parts = ["violin: 3/4 c5:3 | r:3 | r:3 | !+mute c5:3"];
    let found = changes(at_tempo(&parts, "1", 144.0));
    assert_eq!(found.len(), 1);
    let change = &found[0];
    assert!((change.available_seconds - 2.5).abs() < 1e-6, "{change:?}");
    assert_eq!((change.wanted_seconds, change.verdict), (5.0, Verdict::TooShort));
}

/// Four bars of 4/4 at 120 last 8 s.
#[test]
fn a_mute_in_four_bars_of_four_has_enough() {
    // The word stands early in the rest: what counts is the silence.
    let parts = ["violin: 4/4 c5:4 | !+mute r:4 | r:4 | r:4 | r:4 | c5:4"];
    let found = changes(at_tempo(&parts, "1", 120.0));
    assert!((found[0].available_seconds - 8.0).abs() < 1e-6);
    assert_eq!(found[0].verdict, Verdict::Enough);
}

/// 5.75 beats at 100 are 3.45 s, which a trombonist calls too fast for two mutes (Clayville, "Trombone
/// Mutes: What Not To Do"); with the breath taken off it is tight for one.
#[test]
fn trombones_lose_their_breath() {
    let parts = ["trombone: 4/4 c3:4 | c3:9/4 r:7/4 | r:4 | !+mute c3:4"];
    let found = changes(at_tempo(&parts, "1", 100.0));
    assert!((found[0].available_seconds - (3.45 - 0.3)).abs() < 1e-6, "{:?}", found[0]);
    assert_eq!(found[0].verdict, Verdict::Tight);
}

/// Under about 5 s is risky, 8 to 10 safe (Pimentel, "Time required for instrument switches").
#[test]
fn a_change_of_instrument_is_timed_for_its_player() {
    let mut movement = at_tempo(&["clarinet: 4/4 c5:4 | r:4 | r:4 | c4:4"], "1", 120.0);
    let bass = barloom_core::instrument::InstrumentId::by_name("bass clarinet").unwrap();
    let at = movement.bars.as_slice()[2].start;
    movement.music[0].instruments.push(InHand { at, players: PlayerSet::ALL, instrument: bass });
    let found = changes(movement);
    assert_eq!(found[0].what, "clarinet to bass clarinet");
    // Two bars of 4/4 at 120 less half a beat.
    assert!((found[0].available_seconds - 3.75).abs() < 1e-6);
    assert_eq!(found[0].verdict, Verdict::TooShort);
}

/// Below about half a second the change is hard (common practice); the pizzicato frees the hand at once.
#[test]
fn bow_and_finger() {
    let parts = ["violin: 4/4 c5:2 !+plucked c5:1 c5:1 | !-plucked c5:4"];
    let slow = changes(at_tempo(&parts, "1", 60.0));
    let seen: Vec<_> = slow.iter().map(|change| (change.kind, change.verdict)).collect();
    let both = [(ChangeKind::ToPlucked, Verdict::Enough), (ChangeKind::ToBowed, Verdict::Enough)];
    assert_eq!(seen, both);
    let parts = ["violin: 4/4 c5:1/2 !+plucked c5:1/2 !-plucked c5:1/2 c5:5/2"];
    let quick = changes(at_tempo(&parts, "1", 132.0));
    assert!(quick.iter().all(|change| change.verdict == Verdict::TooShort), "{quick:?}");
}

#[test]
fn what_comes_before_the_first_note_has_no_clock() {
    let parts = ["violin: 4/4 !+mute c5:4 | c5:4"];
    assert_eq!(changes(at_tempo(&parts, "1", 120.0)), []);
}

fn harp(part: &str, per_minute: f64) -> harp::HarpPlan {
    let (_, tracks) = analyzed(at_tempo(&[part], "1", per_minute));
    tracks.movements[0].changes.harps[0].clone()
}

/// C to A major moves F, C and G: three pedals, C on the left, F and G on the right foot, so that they
/// need two moments at least (order D C B | E F G A; Sibelius Academy, "Pedaling").
#[test]
fn from_c_to_a_major_three_pedals_move() {
    let part = "harp: 4/4 c4:1/2 d4 e4 f4 g4:1/2 a4 b4 c5 | a3:1/2 b3 c#4 d4 e4:1/2 f#4 g#4 a4";
    let plan = harp(part, 60.0);
    let moved: Vec<usize> = plan.moves.iter().map(|one| one.pedal).collect();
    assert_eq!(moved, [1, 4, 5]);
    assert_eq!(harp::pedals_in_words(plan.settings[0].pedals), "D C B | E F G A");
    assert!(plan.impossible.is_empty() && plan.settings.len() == 1);
}

/// From C to G major one pedal moves, to F major one, to D flat major five (counted on the circle of
/// fifths).
#[test]
fn neighbors_on_the_circle_differ_by_one_pedal() {
    let scale = "c4:1/2 d4 e4 f4 g4:1/2 a4 b4 c5";
    for (next, n_moves) in [
        ("g3:1/2 a3 b3 c4 d4:1/2 e4 f#4 g4", 1),
        ("f3:1/2 g3 a3 bb3 c4:1/2 d4 e4 f4", 1),
        ("db4:1/2 eb4 f4 gb4 ab4:1/2 bb4 c5 db5", 5),
    ] {
        let plan = harp(&format!("harp: 4/4 {scale} | {next}"), 60.0);
        assert_eq!(plan.moves.len(), n_moves, "{next}");
    }
}

#[test]
fn a_letter_in_two_positions_at_once_is_spelled_anew_or_told() {
    // C and C sharp: the sharp is played as D flat. With D natural beside it nothing is left.
    assert!(harp("harp: 4/4 c4+c#4:4", 60.0).impossible.is_empty());
    let plan = harp("harp: 4/4 c4+c#4+d4:4", 60.0);
    assert_eq!(plan.impossible.len(), 1);
    assert_eq!(plan.impossible[0].1, "C is asked for in two positions at once");
}

#[test]
fn a_rest_brings_a_new_setting_and_haste_is_seen() {
    let plan = harp("harp: 4/4 c4:1 d4 g4 a4 | r:4 | db4:1 f4 ab4 db5", 60.0);
    assert_eq!(plan.settings.len(), 2);
    assert_eq!(harp::pedals_in_words(plan.settings[1].pedals), "Db C B | E F G Ab");
    // Four pedals of one foot between two quick notes.
    let quick = "harp: 4/4 e4+f4+g4+a4:1/4 eb4+f#4+g#4+ab4:1/4 r:7/2";
    let found = changes(at_tempo(&[quick], "1", 120.0));
    assert_eq!((found[0].kind, found[0].verdict), (ChangeKind::Pedals, Verdict::TooShort));
}

fn drums(part: &str, per_minute: f64) -> timpani::TimpaniPlan {
    let (_, tracks) = analyzed(at_tempo(&[part], "1", per_minute));
    tracks.movements[0].changes.timpani[0].clone()
}

/// Ranges of Hancock, "Timpani Notes": 32 inch D2–A2, 29 F2–C3, 26 Bb2–F3, 23 D3–A3.
#[test]
fn tonic_and_dominant_stay_where_they_are() {
    let plan = drums("timpani: 4/4 d3:1 d3 a2:2 | d3:2 a2:2 | a2:1 a2 d3:2", 120.0);
    assert!(plan.retunings.is_empty() && plan.impossible.is_empty());
    assert_eq!(plan.initial.iter().flatten().count(), 2);
}

#[test]
fn a_fifth_pitch_tunes_one_drum_and_its_time_is_measured() {
    // Four pitches on four drums, then a fifth after two bars of rest.
    let plan = drums("timpani: 4/4 f2:1 bb2 c3 e3 | r:4 | r:4 | eb3:1 f2 bb2 c3", 120.0);
    assert_eq!(plan.retunings.len(), 1, "{plan:?}");
    let (from, to) = (plan.retunings[0].from, plan.retunings[0].to);
    assert_eq!((timpani::key_name(from).as_str(), timpani::key_name(to).as_str()), ("E3", "Eb3"));
    let part = "timpani: 4/4 f2:1 bb2 c3 e3 | r:4 | r:4 | eb3:1 f2 bb2 c3";
    let found = changes(at_tempo(&[part], "1", 120.0));
    assert!((found[0].available_seconds - 4.0).abs() < 1e-6);
    assert_eq!((found[0].kind, found[0].verdict), (ChangeKind::Tuning, Verdict::Enough));
}

#[test]
fn what_no_drum_has_is_told() {
    let plan = drums("timpani: 4/4 c2:4 | f2+g2+c3+e3+f3:4", 60.0);
    assert_eq!(plan.impossible.len(), 2);
    assert_eq!(plan.impossible[0].1, "C2 lies outside the drums, D2 to A3");
}

#[test]
fn the_worst_comes_first() {
    let part = "violin: 4/4 c5:4 | r:4 | r:4 | r:4 | !+mute c5:4 | r:1 !-mute c5:3";
    let (_, tracks) = analyzed(at_tempo(&[part], "1", 120.0));
    let track = &tracks.movements[0].changes;
    let kinds: Vec<ChangeKind> = track.worst_first().iter().map(|change| change.kind).collect();
    assert_eq!(kinds, [ChangeKind::MuteOff, ChangeKind::MuteOn]);
}

/// A string that still sounds must not be moved; each letter has its own end, and ties go on (Sibelius
/// Academy, "Pedaling").
#[test]
fn every_string_is_free_at_its_own_end() {
    // E is held through, C is free after one quarter, until the third.
    let free = changes(at_tempo(&["harp: 4/4 c4:1 e4:1 c#4:2"], "1", 60.0));
    assert_eq!((free.len(), free[0].available_seconds), (1, 1.0));
    let tied = changes(at_tempo(&["harp: 4/4 c4:1_ ~c4:1 c#4:2"], "1", 60.0));
    assert_eq!((tied[0].available_seconds, tied[0].verdict), (0.0, Verdict::TooShort));
}

/// C, F and G sharp in a rest: one pedal of the left foot, two of the right, two instants.
#[test]
fn the_feet_share_the_moves_of_a_rest() {
    let part = "harp: 4/4 c4:1 f4 g4 r | r:4 | c#4:1 f#4 g#4 r";
    let plan = harp(part, 60.0);
    assert_eq!((plan.settings[1].n_changed, plan.settings[1].instants), (3, 2));
    let words: Vec<String> = plan.moves.iter().map(harp::Move::in_words).collect();
    assert_eq!(words, ["C to C#", "F to F#", "G to G#"]);
    assert_eq!(plan.pedals_at(plan.settings[1].at), [0, 1, 0, 0, 1, 1, 0]);
}
