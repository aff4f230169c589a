//! Mutes, bows and instruments against the clock, player by player.

use super::*;
use crate::testing::{analyzed, mark, metronome, movement, ticks};
use barloom_core::event::{Marking, MarkingKind};
use barloom_core::instrument::InstrumentId;
use barloom_core::score::{InHand, StruckInstrument};

/// The changes of a movement of these parts at so many quarters a minute: what, available, wanted,
/// verdict.
fn found(parts: &[&str], tempo: f64) -> Vec<(String, f64, f64, &'static str)> {
    let mut movement = movement(parts);
    mark(&mut movement, 0, "0", metronome("1", tempo), "");
    rows(movement)
}

fn rows(movement: Movement) -> Vec<(String, f64, f64, &'static str)> {
    let (_, tracks) = analyzed(movement);
    let row = |change: &Change| {
        let seconds = (change.available_seconds * 1000.0).round() / 1000.0;
        (change.what.clone(), seconds, change.wanted_seconds, change.verdict.name())
    };
    tracks.movements[0].changes.changes.iter().map(row).collect()
}

/// Off takes "much less time" (Berlioz), half of it here. The words may stand anywhere in the rest.
#[test]
fn where_in_the_rest_the_words_stand_does_not_matter() {
    for part in [
        "violin: 4/4 !+mute c5:4 | !-mute=senza r:4 | r:4 | c5:4",
        "violin: 4/4 !+mute c5:4 | r:4 | r:4 | !-mute=senza c5:4",
        "violin: 4/4 !+mute c5:2 !-mute=senza r:2 | r:4 | r:2 c5:2",
    ] {
        let movement = movement(&[part]);
        let (_, tracks) = analyzed(movement);
        let changes = &tracks.movements[0].changes.changes;
        assert_eq!(changes.len(), 1, "{part}");
        assert_eq!((changes[0].what.as_str(), changes[0].words.as_str()), ("mute off", "senza"));
        assert_eq!(changes[0].available_seconds, 5.0);
    }
}

/// What is on from the first note, or comes off after the last, presses nobody.
#[test]
fn nothing_is_changed_before_the_first_note_and_after_the_last() {
    assert_eq!(found(&["violin: 4/4 !+mute c5:4 | c5:4 | !-mute r:4"], 60.0), []);
    assert_eq!(found(&["violin: 4/4 r:4 | r:4"], 60.0), []);
    assert_eq!(found(&["violin: 4/4 c5:4_ !+mute | ~c5:4 !-mute | c5:4"], 60.0), []);
}

/// Trumpet: 3 to 4 s in or out, at least 5 s for another mute ("Mutes, part one", The Modern Trumpet,
/// 2020). Winds breathe in during the last half beat: 8 s less half a quarter at 120.
#[test]
fn brass_players_breathe_and_swap_mutes() {
    let part = "trumpet: 4/4 c5:4 | r:4 | r:4 | r:4 | r:4 | !+mute c5:4 | r:4 | !-mute c5:4";
    assert_eq!(
        found(&[part], 120.0),
        [("mute on".into(), 7.75, 4.0, "enough"), ("mute off".into(), 1.75, 4.0, "too short")]
    );
    let swap = "trumpet: 4/4 !+mute=straight_mute c5:4 | r:4 | r:4 | !+mute=cup_mute c5:4";
    assert_eq!(found(&[swap], 120.0), [("straight mute to cup mute".into(), 3.75, 5.0, "tight")]);
    let reminder = "trumpet: 4/4 !+mute=straight_mute c5:4 | r:4 | !+mute=con_sord. c5:4";
    assert_eq!(found(&[reminder], 120.0), []);
}

/// 5.75 beats at 100 for another trombone mute were called too fast by the player (Clayville,
/// "Trombone Mutes: What Not To Do").
#[test]
fn a_trombone_cannot_swap_mutes_in_three_and_a_half_seconds() {
    let part = "trombone: 4/4 !+mute=cup c4:4 | c4:2 r:2 | r:4 | !+mute=plunger c4:4";
    let rows = found(&[part], 100.0);
    assert_eq!(rows.len(), 1);
    assert!(rows[0].1 < 3.45 && rows[0].3 == "too short");
}

/// About one beat at 120 between pizzicato and bow is normal, less is harder (Adler, Kennan, in
/// words). A plucked string sounds by itself, so its note gives time; a bowed one may only be left a little early.
#[test]
fn the_hand_is_free_once_the_string_is_plucked() {
    let part = "cello: 4/4 !+plucked c3:1 c3:1 !-plucked c3:1/2 !+plucked c3:1/2 c3:1";
    assert_eq!(
        found(&[part], 120.0),
        [
            ("pizzicato to bow".into(), 0.5, 0.5, "enough"),
            ("bow to pizzicato".into(), 0.125, 0.4, "too short"),
        ]
    );
}

/// Two players on one staff: only the one who plays to the end lacks time.
#[test]
fn players_are_told_apart() {
    let mut movement = movement(&["horn: 4/4 c4:4 | r:4 | r:4 | !+mute c4:4"]);
    mark(&mut movement, 0, "0", metronome("1", 60.0), "");
    let mut second = movement.music[0].notes[0].clone();
    second.onset = ticks("8");
    second.length = ticks("3");
    second.bar = barloom_core::bar::BarIndex(2);
    second.players = PlayerSet::of([1]);
    movement.music[0].notes.insert(1, second);
    let (_, tracks) = analyzed(movement);
    let changes = &tracks.movements[0].changes.changes;
    let row = |change: &Change| (change.players_in_words(), change.available_seconds);
    let seen: Vec<_> = changes.iter().map(row).collect();
    assert_eq!(seen, [("1.".to_owned(), 7.5), ("2.".to_owned(), 0.5)]);
}

fn takes(movement: &mut Movement, at: &str, name: &str, words: &str) {
    let instrument = InstrumentId::by_name(name).unwrap();
    let at = ticks(at);
    let players = PlayerSet::ALL;
    movement.music[0].instruments.push(InHand { at, players, instrument });
    movement.music[0].markings.push(Marking {
        at,
        bar: movement.bars.bar_at(at).unwrap(),
        players,
        staff: None,
        voice: None,
        kind: MarkingKind::Instrument(instrument),
        words: words.into(),
        line: 0,
    });
}

/// Woodwinds: under about 5 s is risky, 8 s and more are safe (Pimentel, "Time required for
/// instrument switches").
#[test]
fn another_woodwind_is_safe_from_eight_seconds_and_risky_under_five() {
    for (bars, available, verdict) in
        [(2, 7.5, "tight"), (1, 3.5, "too short"), (3, 11.5, "enough")]
    {
        let rest = "| r:4 ".repeat(bars);
        let mut movement = movement(&[&format!("flute: 4/4 c5:4 {rest}| d6:4")]);
        mark(&mut movement, 0, "0", metronome("1", 60.0), "");
        takes(&mut movement, "5", "piccolo", "muta in picc.");
        let rows = rows(movement);
        assert_eq!(rows, [("flute to piccolo".into(), available, 8.0, verdict)]);
    }
}

/// Clarinets in B flat and A are two instruments (Pimentel); horns read in another key change nothing.
#[test]
fn clarinets_are_changed_and_crooks_are_not() {
    use barloom_core::pitch::Transposition;
    use barloom_core::score::Transposed;
    for (name, n_changes) in [("clarinet", 1), ("horn", 0)] {
        let mut movement = movement(&[&format!("{name}: 4/4 c5:4 | r:4 | c5:4")]);
        for (at, chromatic) in [("0", -2), ("8", -3)] {
            let transposition = Transposition { chromatic, ..Transposition::default() };
            let mark = Transposed { at: ticks(at), staff: None, transposition };
            movement.music[0].transpositions.push(mark);
        }
        let rows = rows(movement);
        assert_eq!(rows.len(), n_changes, "{name}");
        assert!(rows.iter().all(|row| row.0 == "clarinet in B flat to clarinet in A"));
    }
}

/// The plan's tempo counts: at half the speed there is twice the time (seconds = quarters × 60 /
/// tempo).
#[test]
fn a_slower_plan_gives_more_time() {
    let part = "violin: 4/4 c5:4 | r:4 | !+mute c5:4";
    assert_eq!(found(&[part], 96.0)[0].3, "too short");
    assert_eq!(found(&[part], 48.0)[0].3, "enough");
}

/// Percussion takes 3 to 10 s to another instrument (common practice); what is struck at once or by
/// quick turns is in reach.
#[test]
fn percussion_walks_only_between_instruments_out_of_reach() {
    let strike = |line: &str, which: &[u8]| {
        let mut movement = movement(&[line]);
        mark(&mut movement, 0, "0", metronome("1", 60.0), "");
        let row = |name: &str| StruckInstrument {
            name: name.into(),
            instrument: InstrumentId::by_name(name),
        };
        movement.music[0].struck = vec![row("triangle"), row("tam-tam")];
        for (note, which) in movement.music[0].notes.iter_mut().zip(which) {
            note.struck = *which;
        }
        rows(movement)
    };
    let far = strike("percussion: 4/4 c4:1 r:3 | c4:4", &[1, 2]);
    assert_eq!(far, [("triangle to tam-tam".into(), 3.0, 5.0, "tight")]);
    assert_eq!(strike("percussion: 4/4 c4+e4:1 r:3 | c4:4", &[1, 2, 1]), []);
    assert_eq!(strike("percussion: 4/4 c4:1/2 c4 c4 c4 r:2 | c4:4", &[1, 2, 1, 2, 1]), []);
}

/// A movement without bars, parts without instruments and free bars are answered quietly.
#[test]
fn odd_movements_have_no_changes() {
    assert_eq!(rows(Movement::default()), []);
    assert_eq!(found(&["4/4 free c4:1 !+mute | % | r"], 60.0), []);
    assert_eq!(found(&["harp: 4/4 r:4", "timpani: 4/4 r:4"], 60.0), []);
}
