//! That the table holds every field, and that changes are kept in a form that either version reads.

use super::*;
use std::collections::BTreeSet;

#[test]
fn untouched_thresholds_are_those_of_the_analyses() {
    assert_eq!(Thresholds::default().analysis(), Settings::default());
}

/// The numbers in the settings, each once: their text is all that a struct without names can be asked.
fn n_numbers(settings: &Settings) -> usize {
    let text = format!("{settings:?}");
    let words = text.split([' ', ',', '(', ')', '[', ']', '{', '}']);
    words.filter(|word| word.starts_with(|c: char| c.is_ascii_digit() || c == '-')).count()
}

#[test]
fn every_number_of_the_settings_has_a_row() {
    let usual = Settings::default();
    let missing = "a field of the settings of the analyses has no row in the table of thresholds";
    assert_eq!(rows().count(), n_numbers(&usual), "{missing}");
    let (mut keys, mut names) = (BTreeSet::new(), BTreeSet::new());
    for section in SECTIONS {
        for row in section.rows {
            assert!(keys.insert(row.key) && !row.key.contains(' '), "{}", row.key);
            assert!(names.insert((section.name, row.name)), "{}", row.name);
            assert!(!row.source.is_empty() && !row.source.ends_with('.'), "{}", row.name);
            let (low, high) = row.range;
            assert!(low <= row.usual() && row.usual() <= high, "{}", row.name);
            assert_eq!(row.within(row.usual()), row.usual(), "{}: more digits than shown", row.key);
            // Each row moves a field of its own.
            let mut changed = usual.clone();
            let other = if row.usual() == high { low } else { high };
            (row.set)(&mut changed, other);
            assert_eq!((row.get)(&changed), other, "{}", row.key);
            assert_ne!(changed, usual, "{}", row.key);
            (row.set)(&mut changed, row.usual());
            assert_eq!(changed, usual, "{} moves more than one field", row.key);
        }
    }
}

#[test]
fn impossible_values_are_drawn_into_the_range() {
    let mut odd = Thresholds::default();
    odd.changed.insert(String::from("merge_above_bpm"), 1e9);
    odd.changed.insert(String::from("divide_below_bpm"), f64::NAN);
    odd.changed.insert(String::from("of a later version"), 3.0);
    let settings = odd.analysis();
    assert_eq!((settings.merge_above_bpm, settings.divide_below_bpm), (300.0, 40.0));
}

#[test]
fn changes_are_kept_and_what_the_first_version_wrote_is_read() {
    let row = |key: &str| rows().find(|row| row.key == key).unwrap();
    let mut thresholds = Thresholds::default();
    thresholds.put(row("changes.horn_mute_seconds"), 6.25);
    thresholds.put(row("merge_above_bpm"), 150.0);
    thresholds.put(row("cue.rests.long.bars"), 20.0);
    let text = ron::to_string(&thresholds).unwrap();
    assert!(text.contains("merge_above:150"), "the first version reads it: {text}");
    assert_eq!(ron::from_str::<Thresholds>(&text).unwrap(), thresholds);
    let settings = thresholds.analysis();
    assert_eq!(settings.changes.horn_mute_seconds, 6.25);
    assert_eq!(settings.cue.rests.last(), Some(&(20, 3)));
    let first = "(divide_below: 40.0, offer_divided_below: 55.0, merge_above: 140.0)";
    let read: Thresholds = ron::from_str(first).unwrap();
    assert_eq!(read.analysis().offer_divided_below_bpm, 55.0);
    assert_eq!(read.changed.len(), 1);
    // The usual value is no change, and a section is reset as a whole.
    thresholds.put(row("merge_above_bpm"), 140.0);
    assert!(!thresholds.is_changed(row("merge_above_bpm")));
    for section in SECTIONS {
        thresholds.reset(section);
    }
    assert_eq!(thresholds, Thresholds::default());
}
