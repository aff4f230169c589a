//! Energy sums (physics) and the relations of Rimsky-Korsakov, *Principles of Orchestration*, ch. I.

use super::*;
use crate::testing::{analyzed, movement};

fn near(value: f32, expected: f32) {
    assert!((value - expected).abs() < 0.006, "{value} is not {expected}");
}

#[test]
fn energies_add() {
    for (players, expected) in [(2.0, 3.01), (4.0, 6.02), (8.0, 9.03), (14.0, 11.46), (16.0, 12.04)]
    {
        near(db(players), expected);
    }
    near(sum([90.0, 80.0]).unwrap(), 90.41);
    near(sum([80.0, 80.0]).unwrap(), 83.01);
    assert_eq!(sum([]), None);
}

/// Loud: 1 trumpet = 1 trombone = 1 tuba = 2 horns; 1 horn = 2 clarinets = 2 oboes = 2 flutes = 2
/// bassoons; a string section = 2 woodwinds. Soft: all winds equal, a string section = 1 wind.
#[test]
fn brass_woodwinds_and_strings_are_related_as_in_the_book() {
    let settings = BalanceSettings::default();
    let estimate = Estimate { settings: &settings };
    let level = |name: &str, level: Level, n: u32| {
        // No register: only the relations are looked at.
        estimate.level(InstrumentId::by_name(name).unwrap(), level, n, &[], 0.0)
    };
    let forte = |name: &str, n: u32| level(name, Level::F, n);
    for brass in ["trumpet", "trombone", "tuba"] {
        near(forte(brass, 1), forte("horn", 2));
    }
    for wood in ["clarinet", "oboe", "flute", "bassoon"] {
        near(forte("horn", 1), forte(wood, 2));
        near(forte("violin", 1), forte(wood, 2));
    }
    for wind in ["trumpet", "horn", "oboe", "tuba"] {
        near(level(wind, Level::P, 1), level("violin", Level::P, 1));
    }
}

#[test]
fn a_flute_under_three_loud_trumpets_is_likely_covered() {
    let (_, tracks) = analyzed(movement(&[
        "flute: 4/4 !mf c5:1( d5:1/2 e5 f5:1 g5) | a5:1( g5:1/2 f5 e5:2)",
        "trumpet: 4/4 !ff g4:4 | g4:4",
        "trumpet: 4/4 !ff e4:4 | e4:4",
        "trumpet: 4/4 !ff c4:4 | c4:4",
    ]));
    let track = &tracks.movements[0];
    assert_eq!(track.leading[0].parts, [PartIdx(0)]);
    assert_eq!(track.balance.covered.len(), 1, "{:?}", track.balance);
    let covered = &track.balance.covered[0];
    assert_eq!((covered.part, covered.from.0, covered.to.0), (PartIdx(0), 0, 1));
    assert!(covered.margin_db < -10.0);
}

#[test]
fn a_soft_accompaniment_covers_nothing() {
    let (_, tracks) = analyzed(movement(&[
        "flute: 4/4 !mf c6:1( d6:1/2 e6 f6:1 g6) | a6:1( g6:1/2 f6 e6:2)",
        "violin: 4/4 !pp e4:4 | e4:4",
        "cello: 4/4 !pp c3:4 | c3:4",
    ]));
    let balance = &tracks.movements[0].balance;
    assert!(balance.covered.is_empty());
    assert!(balance.margins[0].unwrap() > 6.0, "{:?}", balance.margins);
}

/// An entry without a sign comes in as loud as those who have one (common practice): the trumpets do not
/// keep the ff of the bar before their rest.
#[test]
fn a_part_without_a_sign_after_a_rest_comes_in_as_the_others_are() {
    let covered = |second: &str| {
        let trumpet = format!("trumpet: 4/4 !ff c5:4 | r:4 | {second}g4:4 | g4:4");
        let (_, tracks) = analyzed(movement(&[
            "flute: 4/4 !ff c6:4 | !p r:4 | c5:1( d5:1/2 e5 f5:1 g5) | a5:1( g5:1/2 f5 e5:2)",
            "violin: 4/4 !ff c5:4 | !p g4:4 | g4:4 | g4:4",
            &trumpet,
            &trumpet,
            &trumpet,
        ]));
        tracks.movements[0].balance.covered.len()
    };
    assert_eq!(covered(""), 0);
    assert_eq!(covered("!ff "), 1);
}

/// A forte that ends after an eighth does not cover the rest of the bar.
#[test]
fn the_level_that_holds_longest_counts() {
    let (_, tracks) = analyzed(movement(&[
        "flute: 4/4 !p c5:1( d5:1/2 e5 f5:1 g5)",
        "horn: 4/4 !ff c4:1/2 !p c4:7/2",
    ]));
    let margin = tracks.movements[0].balance.margins[0].unwrap();
    assert!(margin > -6.0, "{margin}");
}

/// Two of three have a newer p: the ff of the horn is left over (common practice of editors). A sign
/// in the bar itself is meant.
#[test]
fn a_sign_far_from_all_newer_ones_is_left_over() {
    let covered = |sign: &str| {
        let horn = format!("horn: 4/4 !ff e4:4 | e4:4 | {sign}f4:4 | f4:4");
        let (_, tracks) = analyzed(movement(&[
            "violin: 4/4 !ff g4:4 | c5:1 b4 a4 g4 | !p c5:1( d5:1/2 e5 f5:1 g5) | g5:1( f5:1/2 e5 d5:2)",
            "violin: 4/4 !ff c4:4 | c4:4 | !p c4:4 | c4:4",
            "viola: 4/4 !ff c4:4 | c4:4 | !p c4:4 | c4:4",
            &horn,
        ]));
        tracks.movements[0].balance.covered.len()
    };
    assert_eq!(covered(""), 0);
    assert_eq!(covered("!ff "), 1);
}
