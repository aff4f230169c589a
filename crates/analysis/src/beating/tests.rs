//! Proposals against the cases of the conducting books.

use super::*;
use crate::testing::{mark, metronome, movement};
use barloom_core::basis::MovementPlan;
use barloom_core::score::TempoKind;

fn proposals(movement: &Movement) -> Vec<Proposal> {
    let settings = Settings::default();
    let tempo = TempoTrack::of(movement, &MovementPlan::default(), &settings);
    propose(movement, &tempo, &settings)
}

/// Pattern and alternatives of one bar of a meter at a metronome mark.
fn at(meter: &str, unit: &str, per_minute: f64) -> (String, Vec<String>) {
    let mut movement = movement(&[meter]);
    mark(&mut movement, 0, "0", metronome(unit, per_minute), "");
    let proposal = proposals(&movement).remove(0);
    let alternatives = proposal.alternatives.iter().map(Pattern::to_string).collect();
    (proposal.pattern.to_string(), alternatives)
}

fn pattern(meter: &str, unit: &str, per_minute: f64) -> String {
    at(meter, unit, per_minute).0
}

/// Gehrkens, *Essentials in Conducting* (1919) p. 25: very rapid 4/4 in two, very rapid triple in
/// one, adagio 4/4 in eight.
#[test]
fn simple_meters_merge_when_fast_and_divide_when_slow() {
    assert_eq!(pattern("4/4", "1", 96.0), "4");
    assert_eq!(pattern("4/4", "1", 176.0), "2");
    assert_eq!(pattern("3/4", "1", 180.0), "1");
    assert_eq!(pattern("2/4", "1", 152.0), "1");
    assert_eq!(pattern("4/4", "1", 36.0), "4/2");
    assert_eq!(pattern("3/4", "1", 38.0), "3/2");
    assert_eq!(pattern("3/2", "2", 60.0), "3");
    assert_eq!(pattern("3/8", "1/2", 160.0), "1");
}

/// Gehrkens pp. 25-27: 6/8, 9/8, 12/8 in 2, 3, 4 when ordinary or fast, in 6, 9, 12 when very slow.
#[test]
fn compound_meters_are_beaten_in_dotted_beats_or_in_all() {
    for (meter, ordinary, slow) in [("6/8", "2", "6"), ("9/8", "3", "9"), ("12/8", "4", "12")] {
        assert_eq!(pattern(meter, "3/2", 52.0), ordinary);
        assert_eq!(pattern(meter, "3/2", 100.0), ordinary);
        assert_eq!(pattern(meter, "1/2", 120.0), slow);
    }
    assert_eq!(pattern("6/4", "3", 60.0), "2");
}

/// "5.1 Subdividing" (open university conducting course): a slow 2/2 becomes a pattern of four, and
/// below 40 more information is needed. Labuta, *Basic Conducting Techniques* ch. 5: consider it
/// when the metronome approaches 50.
#[test]
fn division_is_offered_below_fifty_and_made_below_forty() {
    assert_eq!(pattern("2/2", "2", 38.0), "4");
    assert_eq!(pattern("2/2", "2", 108.0), "2");
    assert_eq!(at("4/4", "1", 45.0), ("4".into(), vec!["4/2".into()]));
    assert_eq!(at("4/4", "1", 60.0), ("4".into(), vec![]));
    assert_eq!(at("4/4", "1", 130.0), ("4".into(), vec!["2".into()]));
    assert_eq!(at("3/4", "1", 150.0), ("1".into(), vec!["3".into(), "1(2 of 3)".into()]));
}

/// Mann, "Asymmetric and Subdivided Meters", *Music in Motion* ch. 9: fast, as many strokes as
/// groups; slow, as many as units.
#[test]
fn irregular_meters_follow_the_rule_of_groups() {
    for (meter, fast, slow) in [
        ("2+2+3/8", "2+2+3", "7"),
        ("3+2/8", "3+2", "5"),
        ("3+3+2/8", "3+3+2", "8"),
        ("3+2+2+3/8", "3+2+2+3", "10"),
        ("2+2+2+3/8", "2+2+2+3", "9"),
    ] {
        assert_eq!(pattern(meter, "1/2", 220.0), fast);
        assert_eq!(pattern(meter, "1/2", 110.0), slow);
    }
    assert_eq!(pattern("3+3+3+3/8", "3/2", 80.0), "4");
    assert_eq!(pattern("2/4+3/8", "1/2", 220.0), "2+2+3");
}

#[test]
fn groups_come_from_the_beams_before_custom() {
    let bar = "c4:1/2[ c4= c4= c4[ c4= c4[ c4=";
    let plain = "c4:1/2 c4 c4 c4 c4 c4 c4";
    let mut movement = movement(&[&format!("7/8 {bar} | {plain} | 5/8 {}", &plain[..19])]);
    mark(&mut movement, 0, "0", metronome("1/2", 210.0), "");
    let found = proposals(&movement);
    assert_eq!(found[0].pattern.to_string(), "3+2+2");
    assert!(found[0].reason.contains("eighth = 210, above 140: in three, 3+2+2, from the beams"));
    assert_eq!(found[1].pattern.to_string(), "3+2+2");
    assert!(found[1].reason.contains("bars around"), "{}", found[1].reason);
    assert_eq!(found[2].pattern.to_string(), "3+2");
    assert_eq!(found[2].alternatives[0].to_string(), "2+3");
}

#[test]
fn accents_decide_where_beams_say_nothing() {
    let mut movement = movement(&["5/8 c4:1/2 c4 c4> c4 c4"]);
    mark(&mut movement, 0, "0", metronome("1/2", 210.0), "");
    let found = proposals(&movement);
    assert_eq!(found[0].pattern.to_string(), "2+3");
    assert!(found[0].reason.contains("accents"));
}

#[test]
fn nine_eight_is_compound_unless_the_beams_mix_twos_and_threes() {
    let threes = "c4:1/2[ c4= c4= c4[ c4= c4= c4[ c4= c4=";
    let mixed = "c4:1/2[ c4= c4[ c4= c4[ c4= c4[ c4= c4=";
    let mut movement = movement(&[&format!("9/8 {threes} | {mixed}")]);
    mark(&mut movement, 0, "0", metronome("1/2", 240.0), "");
    let found = proposals(&movement);
    assert_eq!(found[0].pattern.to_string(), "3");
    assert_eq!(found[1].pattern.to_string(), "2+2+2+3");
}

/// A beam after a rest begins where the rest ends, not where a group does.
#[test]
fn rests_inside_compound_groups_do_not_break_them() {
    let threes = "c4:1/2[ c4= c4= c4[ c4= c4= c4[ c4= c4= c4[ c4= c4=";
    let answers = "12/8 r:5 c4:1/2[ c4=";
    let found = proposals(&movement(&[&format!("12/8 {threes}"), answers, answers, answers]));
    assert_eq!(found[0].groups, [3, 3, 3, 3]);
}

#[test]
fn reasons_name_the_rate_and_what_it_rests_on() {
    let mut movement = movement(&["6/8 | "]);
    assert!(proposals(&movement)[0].reason.ends_with("the tempo is assumed"));
    mark(&mut movement, 0, "0", metronome("3/2", 52.0), "");
    assert_eq!(proposals(&movement)[0].reason, "dotted quarter = 52: in two");
}

/// A ritardando that only touches the threshold does not change the pattern; a new tempo does.
#[test]
fn a_pattern_is_kept_while_the_tempo_drifts() {
    let mut movement = movement(&["4/4 | | | | | "]);
    mark(&mut movement, 0, "0", metronome("1", 150.0), "");
    mark(&mut movement, 1, "0", TempoKind::Gradual { faster: false, end: None }, "rit.");
    mark(&mut movement, 4, "0", metronome("1", 130.0), "");
    let found = proposals(&movement);
    let patterns: Vec<String> = found.iter().map(|p| p.pattern.to_string()).collect();
    assert_eq!(patterns, ["2", "2", "2", "2", "4", "4"]);
    assert!(found[3].reason.contains("kept from the bar before"), "{}", found[3].reason);
}

#[test]
fn strokes_fall_where_the_pattern_says() {
    let at = |pattern: &str, nth: u8, meter: &str, length: &str| -> Vec<String> {
        let found = strokes(
            &pattern.parse().unwrap(),
            nth,
            &meter.parse().unwrap(),
            length.parse().unwrap(),
        );
        found.iter().map(Quarters::to_string).collect()
    };
    assert_eq!(at("4", 0, "4/4", "4"), ["0", "1", "2", "3"]);
    assert_eq!(at("2", 0, "6/8", "3"), ["0", "3/2"]);
    assert_eq!(at("3/2", 0, "3/4", "3"), ["0", "1/2", "1", "3/2", "2", "5/2"]);
    assert_eq!(at("2+2+3", 0, "7/8", "7/2"), ["0", "1", "2"]);
    assert_eq!(at("3", 0, "7/8", "7/2"), ["0", "1", "2"]);
    assert_eq!(at("1(half)", 0, "2/4", "2"), ["0", "1"]);
    assert_eq!(at("1(2 of 3)", 0, "3/4", "3"), ["0", "1"]);
    assert_eq!(at("4", 0, "4/4", "2"), ["0", "1"]);
    assert_eq!(at("4", 0, "4/4", "6"), ["0", "1", "2", "3", "4", "5"]);
    assert_eq!(at("4 bars of 4", 2, "3/4", "3"), ["0"]);
    assert_eq!(at("2 bars of 3", 0, "2/4", "2"), ["0", "4/3"]);
    assert_eq!(at("2 bars of 3", 1, "2/4", "2"), ["2/3"]);
}

#[test]
fn an_upbeat_has_the_last_strokes_of_its_meter() {
    let table = movement(&["4/4 r:1 | r:4"]);
    assert_eq!(proposals(&table)[0].strokes, [Quarters::ZERO]);
    // Half a beat: the preparation falls on the beat before, outside the bar (Labuta, fractional
    // beat preparations).
    let table = movement(&["4/4 r:1/2 | r:4"]);
    assert!(proposals(&table)[0].strokes.is_empty());
}

#[test]
fn strange_meters_are_answered_without_a_pattern_nobody_knows() {
    for meter in
        ["1/4", "8/4", "13/8", "21/16", "15/8", "18/8", "99/4", "4/1", "1/1", "24/16", "free c4:4"]
    {
        let proposal = proposals(&movement(&[meter])).remove(0);
        assert!(proposal.pattern.is_valid(), "{meter}: {}", proposal.pattern);
        assert!(!proposal.reason.is_empty());
        assert!(!proposal.strokes.is_empty(), "{meter}");
    }
    assert_eq!(pattern("15/8", "3/2", 80.0), "5");
    assert_eq!(pattern("8/8", "1/2", 200.0), "3+3+2");
}
