//! The catalog's lowest notes beside music21's.
//!
//! music21 (`music21.instrument`) has lowest notes for some instruments, mostly as written in the part
//! and for a few as they sound. Where the two differ, the reason stands in the table below; highest
//! notes it has only for keyboards, harp and a few others.

use barloom_core::instrument::InstrumentId;
use serde_json::Value;
use std::process::Command;

use crate::outside;

const WHAT: &str = "lowest notes beside music21's";

/// music21's class and our name, how many semitones lower ours reaches, and why.
const PAIRS: &[(&str, &str, i64, &str)] = &[
    ("Piccolo", "piccolo", 0, ""),
    ("Flute", "flute", 1, "the B foot"),
    ("Oboe", "oboe", 0, ""),
    ("EnglishHorn", "cor anglais", 0, ""),
    ("Clarinet", "clarinet", 1, "the clarinet in A shares the row"),
    ("BassClarinet", "bass clarinet", 3, "instruments down to written C"),
    ("SopranoSaxophone", "soprano saxophone", 0, ""),
    ("AltoSaxophone", "alto saxophone", 0, ""),
    ("TenorSaxophone", "tenor saxophone", 0, ""),
    ("BaritoneSaxophone", "baritone saxophone", 1, "the low A key"),
    ("Bassoon", "bassoon", 0, ""),
    ("Horn", "horn", 1, "music21 gives what sounds, C; the table of ranges has B"),
    ("Trumpet", "trumpet", 0, ""),
    ("Trombone", "trombone", 6, "pedal notes"),
    ("BassTrombone", "bass trombone", 0, ""),
    ("Tuba", "tuba", 0, ""),
    ("Harp", "harp", 1, "the lowest string may be C flat"),
    ("Piano", "piano", 0, ""),
    ("Harpsichord", "harpsichord", 0, ""),
    ("AcousticGuitar", "guitar", 0, ""),
    ("Mandolin", "mandolin", 0, ""),
    ("Violin", "violin", 0, ""),
    ("Viola", "viola", 0, ""),
    ("Violoncello", "cello", 0, ""),
    ("Contrabass", "double bass", 4, "the extension or fifth string to C"),
    // music21 leaves the transposition of the contrabassoon out.
    ("Contrabassoon", "contrabassoon", 12, "written; it sounds an octave lower"),
];

#[test]
fn lowest_notes_are_those_of_music21_or_the_difference_has_a_reason() {
    let Some(python) = outside::python(WHAT) else { return };
    let script = outside::root().join("tests/references/music21_ranges.py");
    let run = Command::new(python).arg(script).output().unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let rows: Vec<Value> = serde_json::from_slice(&run.stdout).unwrap();
    let mut wrong = Vec::new();
    for (class, name, expected, why) in PAIRS {
        let row = rows.iter().find(|row| row["name"] == *class);
        let row = row.unwrap_or_else(|| panic!("music21 has no {class}"));
        let written = row["lowest"].as_i64().unwrap();
        let sounds = if *class == "Horn" { 0 } else { row["sounds"].as_i64().unwrap() };
        let (low, _) = InstrumentId::by_name(name).unwrap().get().range.unwrap();
        let lower = written + sounds - i64::from(low);
        if lower != *expected {
            wrong.push(format!("{name} reaches {lower} lower, not {expected} {why}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    outside::say(&format!("{} lowest notes compared with music21", PAIRS.len()));
}
