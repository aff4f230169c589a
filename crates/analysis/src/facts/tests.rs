//! The contract of the facts on small scores.

use super::*;
use crate::settings::Settings;
use crate::testing::{mark, metronome, movement, ticks};
use barloom_core::bar::BarIndex;
use barloom_core::part_bars::OwnMeter;
use barloom_core::study::{BarSeen, Beating, Edit, Entry, IdMaker, Item, MovementRow, OrderKey};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

fn of(movement: Movement, study: Option<&Study>) -> Value {
    let score = Score { movements: vec![Arc::new(movement)], ..Score::default() };
    let basis = Basis::of(score);
    let tracks = Tracks::of(&basis, &Settings::default(), &AtomicBool::new(false)).unwrap();
    facts(&basis, &tracks, study, &[])
}

#[test]
fn every_key_is_there_in_order() {
    let value = of(movement(&["4/4 c4:4"]), None);
    let keys = |value: &Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(&value), ["barloom", "movements", "diagnostics"]);
    let movement = &value["movements"][0];
    assert_eq!(
        keys(movement).join(" "),
        "title source quarters seconds played_quarters played_seconds bars played tempi swing parts \
         players texture doublings leading strings contradictions mixed_attacks changes harps timpani \
         cues cue_clashes seats balance ranges stretches keys chords \
         cadences groups sections returns"
    );
    assert_eq!(
        keys(&movement["bars"][0]).join(" "),
        "index label start length nominal meter other_meter pickup continues rehearsal seconds \
         pattern pattern_origin alternatives beat_groups beats"
    );
    assert_eq!(
        keys(&movement["parts"][0]).join(" "),
        "id name instrument family transposition notes graces lowest highest sounding_quarters \
         playing entrances dynamics hairpins accents devices seats marks meters repeated \
         part_transposition in_hand struck tunings pedals"
    );
}

/// Heads that begin a sound are counted; ties are not, grace notes apart, cue notes nowhere.
#[test]
fn notes_are_counted_by_the_rule() {
    let value = of(movement(&["4/4 g'b4 c4+e4:2_ ~c4+e4:1 ?c6:1 | r:4 | d4:1/2 r:7/2"]), None);
    let part = &value["movements"][0]["parts"][0];
    assert_eq!((&part["notes"], &part["graces"]), (&json!(3), &json!(1)));
    assert_eq!((&part["lowest"], &part["highest"]), (&json!(60), &json!(71)));
    assert_eq!(part["sounding_quarters"], "13/2");
    assert_eq!(part["playing"], json!([[0, 0], [2, 2]]));
    let entrance = &part["entrances"][1];
    let keys = ["bar", "at", "rest_bars", "rest_quarters", "first"];
    let expected = [json!(2), json!("0"), json!(1), json!("5"), json!(false)];
    assert_eq!(keys.map(|key| entrance[key].clone()), expected);
    assert_eq!((&entrance["sounding"], &entrance["off_beat"]), (&json!(1), &json!(false)));
}

/// A part doubled an octave below (MusicXML 4.0, `double`) sounds there too; a harmonic counts as the
/// heads that write it and sounds at its overtone.
#[test]
fn doublings_and_harmonics_are_where_they_sound() {
    use barloom_core::event::NoteTraits;
    use barloom_core::pitch::{Doubling, SoundingPitch, Transposition};
    use barloom_core::score::Transposed;
    let mut doubled = movement(&["cello: 4/4 c3:4"]);
    let doubling = Some(Doubling::Below);
    let transposition = Transposition { doubled: doubling, ..Transposition::default() };
    let mark = Transposed { at: ticks("0"), staff: None, transposition };
    doubled.music[0].transpositions.push(mark);
    let part = &of(doubled, None)["movements"][0]["parts"][0];
    assert_eq!((&part["lowest"], &part["highest"]), (&json!(36), &json!(48)));
    let mut harmonic = movement(&["violin: 4/4 a4+d5:4"]);
    let notes = &mut harmonic.music[0].notes;
    notes[0].sounding = None;
    notes[0].traits.set(NoteTraits::GRIP);
    notes[1].sounding = Some(SoundingPitch::from_midi(93));
    let part = &of(harmonic, None)["movements"][0]["parts"][0];
    assert_eq!((&part["lowest"], &part["highest"]), (&json!(93), &json!(93)));
    assert_eq!((&part["notes"], &part["sounding_quarters"]), (&json!(2), &json!("8")));
}

#[test]
fn signs_that_stand_for_music_name_what_is_heard() {
    let value = of(movement(&["4/4 c4:4 | % | %"]), None);
    let part = &value["movements"][0]["parts"][0];
    assert_eq!((&part["notes"], &part["playing"]), (&json!(1), &json!([[0, 2]])));
    assert_eq!(
        part["repeated"],
        json!([
            {"bar": 1, "staff": null, "sign": "bar repeat", "of": 0},
            {"bar": 2, "staff": null, "sign": "bar repeat", "of": 0}
        ])
    );
}

#[test]
fn a_part_says_which_meter_it_has_for_itself() {
    let mut movement = movement(&["2/4 c4:2 | c4:2", "2/4 e4:2 | e4:2"]);
    let meter = "6/8".parse().unwrap();
    let (from, to) = (BarIndex(0), BarIndex(1));
    movement.music[1].meters.push(OwnMeter { from, to, staff: None, meter });
    let value = of(movement, None);
    let parts = &value["movements"][0]["parts"];
    assert_eq!(parts[0]["meters"], json!([]));
    assert_eq!(parts[1]["meters"], json!([{"from": 0, "to": 1, "staff": null, "meter": "6/8"}]));
}

#[test]
fn bars_carry_their_beating_and_their_seconds() {
    let mut movement = movement(&["6/8 c4:3 | c4:3"]);
    mark(&mut movement, 0, "0", metronome("3/2", 72.0), "Andante");
    let value = of(movement, None);
    let bar = &value["movements"][0]["bars"][0];
    assert_eq!((&bar["pattern"], &bar["pattern_origin"]), (&json!("2"), &json!("proposed")));
    assert_eq!((&bar["seconds"], &bar["beat_groups"]), (&json!(1.667), &json!([3, 3])));
    assert_eq!(
        bar["beats"],
        json!([
            {"at": "0", "beat": "active", "attacks": 1, "stroke": "plain"},
            {"at": "3/2", "beat": "held", "attacks": 0, "stroke": ""}
        ])
    );
    assert_eq!(
        value["movements"][0]["tempi"],
        json!([{"bar": 0, "at": "0", "quarters_per_minute": 108.0, "origin": "printed",
            "words": "Andante", "until": null, "to": null, "assumed": [], "free": false}])
    );
}

#[test]
fn a_study_gives_the_chosen_pattern() {
    let movement = movement(&["3/4 c4:3 | c4:3"]);
    let mut study = Study::default();
    let seen = |label: &str| BarSeen {
        label: label.to_owned(),
        length: movement.resolution.quarters(movement.bars.as_slice()[0].length),
        meter: String::from("3/4"),
        exact: 0,
        shape: 0,
        parts: Vec::new(),
    };
    study.movements.push(MovementRow {
        id: movement.id,
        title: String::new(),
        spans: Vec::new(),
        bars: vec![seen("1"), seen("2")],
    });
    let beating = |bar: u32, nth: u8| Beating {
        movement: movement.id,
        bar: BarIndex(bar),
        pattern: "2 bars of 1".parse().unwrap(),
        nth,
    };
    let mut ids = IdMaker::seeded(1);
    for nth in 0..2 {
        let entry = Entry {
            id: ids.next_id(),
            author: String::new(),
            changed: 0,
            order: OrderKey::default(),
            item: Item::Beating(beating(u32::from(nth), nth)),
        };
        study.apply(Edit::Put(entry)).unwrap();
    }
    let value = of(movement, Some(&study));
    let bars = &value["movements"][0]["bars"];
    assert_eq!(
        (&bars[0]["pattern"], &bars[0]["pattern_origin"]),
        (&json!("2 bars of 1"), &json!("chosen"))
    );
    assert_eq!(bars[0]["beats"][0]["beat"], "active");
    assert_eq!(
        bars[1]["beats"],
        json!([{"at": "0", "beat": "joined", "attacks": 0, "stroke": ""}])
    );
}

#[test]
fn devices_are_listed_as_states_with_their_words() {
    let value = of(movement(&["4/4 !+mute=sord. c4:4 | c4:2 !-mute=senza c4:2"]), None);
    assert_eq!(
        value["movements"][0]["parts"][0]["devices"],
        json!([
            {"bar": 0, "at": "0", "device": "mute", "state": "on", "words": "sord."},
            {"bar": 1, "at": "2", "device": "mute", "state": "off", "words": "senza"}
        ])
    );
}

#[test]
fn a_change_by_degrees_says_where_it_ends() {
    let mut movement = movement(&["4/4 c4:4 | c4:4"]);
    mark(&mut movement, 0, "0", metronome("1", 100.0), "");
    let kind = barloom_core::score::TempoKind::Gradual { faster: false, end: None };
    mark(&mut movement, 1, "0", kind, "rit.");
    let value = of(movement, None);
    assert_eq!(
        value["movements"][0]["tempi"][1],
        json!({"bar": 1, "at": "0", "quarters_per_minute": 100.0, "origin": "term",
            "words": "rit.", "until": {"bar": 1, "at": "4"}, "to": 80.0,
            "assumed": ["until", "to"], "free": false})
    );
}
