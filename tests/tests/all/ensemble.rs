//! Who plays what together, against music21: attacks of all parts at one moment, their sounding
//! pitches, the intervals between parts that begin together; and the low ends of instruments.
//!
//! String quartets, chorales and pieces for several instruments of music21's own corpus, and the
//! orchestral movements of the open test data where it is. What differs stands with its reason in
//! `references/ensemble_differences.toml`.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use barloom_analysis::heard::HeardNotes;
use barloom_core::instrument::InstrumentId;
use barloom_core::time::Quarters;
use serde_json::Value;

use crate::reference::compared::Compared;
use crate::reference::table::Table;
use crate::{outside, works};

const WHAT: &str = "attacks, intervals and ranges against music21";

/// Files of the corpus: quartets, chorales with and without instruments, a concerto.
const CORPUS: [&str; 12] = [
    "haydn/opus1no1/movement1.mxl",
    "haydn/opus74no1/movement2.mxl",
    "mozart/k155/movement1.mxl",
    "mozart/k458/movement1.mxl",
    "mozart/k458/movement4.mxl",
    "beethoven/opus18no1/movement4.mxl",
    "schumann_robert/opus41no1/movement2.mxl",
    "bach/bwv190.7-inst.mxl",
    "bach/bwv248.42-4.mxl",
    "bach/bwv248.64-6.mxl",
    "bach/bwv227.7.mxl",
    "weber/concertino_clarinet.mxl",
];

/// At least this share of all values agrees.
const SHARE: f64 = 0.999;

/// Bar from 0, offset in the bar, and the pitches that each part begins there, upward.
type Moments = BTreeMap<(u64, Quarters), BTreeMap<String, Vec<String>>>;

#[test]
fn parts_begin_together_as_music21_hears_them() {
    let Some(python) = outside::python(WHAT) else { return };
    let files = orchestra();
    let mut compared = Compared::default();
    for line in attacks(&python, &files).lines() {
        let theirs: Value = serde_json::from_str(line).unwrap();
        let name = theirs["name"].as_str().unwrap();
        let ours = ours(Path::new(theirs["path"].as_str().unwrap()));
        compare(&mut compared, name, &ours, &moments(&theirs));
    }
    let counts = compared.counts();
    let (all, differ) =
        counts.values().fold((0, 0), |(all, differ), count| (all + count.0, differ + count.1));
    outside::say(&format!("ensembles against music21: {counts:?}"));
    assert!(all > 20_000, "only {all} values were compared");
    let share = 1.0 - differ as f64 / all as f64;
    let table = Table::read("ensemble_differences.toml");
    let ran = |line: &str| {
        line.starts_with("corpus/") || !files.is_empty() && line.starts_with("orchestra/")
    };
    table.check(compared.differences(), ran);
    assert!(share >= SHARE, "{share} of {all} values agree");
}

/// Classes of music21 and the instruments of ours that they are.
const INSTRUMENTS: &[(&str, &str)] = &[
    ("Piccolo", "piccolo"),
    ("Flute", "flute"),
    ("Oboe", "oboe"),
    ("EnglishHorn", "cor anglais"),
    ("Clarinet", "clarinet"),
    ("BassClarinet", "bass clarinet"),
    ("SopranoSaxophone", "soprano saxophone"),
    ("AltoSaxophone", "alto saxophone"),
    ("TenorSaxophone", "tenor saxophone"),
    ("BaritoneSaxophone", "baritone saxophone"),
    ("Bassoon", "bassoon"),
    ("Contrabassoon", "contrabassoon"),
    ("Horn", "horn"),
    ("Trumpet", "trumpet"),
    ("Trombone", "trombone"),
    ("BassTrombone", "bass trombone"),
    ("Tuba", "tuba"),
    ("Harp", "harp"),
    ("Piano", "piano"),
    ("Harpsichord", "harpsichord"),
    ("PipeOrgan", "organ"),
    ("Accordion", "accordion"),
    ("Mandolin", "mandolin"),
    ("AcousticGuitar", "guitar"),
    ("ElectricGuitar", "electric guitar"),
    ("ElectricBass", "bass guitar"),
    ("Recorder", "recorder"),
    ("Violin", "violin"),
    ("Viola", "viola"),
    ("Violoncello", "cello"),
    ("Contrabass", "double bass"),
];

#[test]
fn low_ends_are_those_of_music21_or_explained() {
    let Some(python) = outside::python(WHAT) else { return };
    let lowest: Value = serde_json::from_str(&script(&python, "music21_ranges.py", &[])).unwrap();
    let mut compared = Compared::default();
    for (class, name) in INSTRUMENTS {
        let (low, _) = InstrumentId::by_name(name).unwrap().get().range.unwrap();
        let theirs = lowest[class].as_i64().unwrap_or_else(|| panic!("no lowest note of {class}"));
        compared.value("instruments", name, "lowest", &low.to_string(), &theirs.to_string());
    }
    Table::read("ensemble_differences.toml")
        .check(compared.differences(), |line| line.starts_with("instruments |"));
}

/// The orchestral movements of the open test data, as names and files.
fn orchestra() -> Vec<String> {
    let Some(data) = outside::data(WHAT) else { return Vec::new() };
    let entries = std::fs::read_dir(data.join("orchestra")).into_iter().flatten();
    let mut paths: Vec<_> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "mxl"));
    paths.sort();
    let named = |path: &std::path::PathBuf| {
        let name = path.file_name()?.to_str()?;
        Some(format!("orchestra/{name}={}", path.display()))
    };
    paths.iter().filter_map(named).collect()
}

fn attacks(python: &Path, files: &[String]) -> String {
    let cache = outside::cache();
    let mut words = vec!["--cache", cache.to_str().unwrap(), "--corpus"];
    words.extend(CORPUS);
    if !files.is_empty() {
        words.push("--file");
        words.extend(files.iter().map(String::as_str));
    }
    script(python, "music21_attacks.py", &words)
}

/// What a script of the references prints.
fn script(python: &Path, name: &str, words: &[&str]) -> String {
    let path = outside::root().join("tests/references").join(name);
    let run = Command::new(python).arg(path).args(words).output().unwrap();
    assert!(run.status.success(), "{name}: {}", String::from_utf8_lossy(&run.stderr));
    String::from_utf8(run.stdout).unwrap()
}

/// The moments of a file as the analyses hear them, in bars of the file.
fn ours(path: &Path) -> Moments {
    let score = works::read(path).unwrap().score;
    let mut moments = Moments::new();
    let mut base = 0;
    for movement in &score.movements {
        let heard = HeardNotes::of(movement);
        for part in heard.parts() {
            let Some(music) = movement.part(part) else { continue };
            for sound in heard.of_part(part) {
                let Some(pitch) = sound.pitch else { continue };
                let (bar, offset) = movement.place(sound.at);
                let moment = moments.entry((base + u64::from(bar.0), offset)).or_default();
                moment.entry(music.source_id.clone()).or_default().push(pitch.midi().to_string());
            }
        }
        base += movement.bars.len() as u64;
    }
    moments
}

/// The moments as the script prints them.
fn moments(theirs: &Value) -> Moments {
    let row = |row: &Value| {
        let at = row[1].as_str().unwrap().parse().unwrap();
        let pitches = |keys: &Value| {
            keys.as_array().unwrap().iter().map(|key| key.as_f64().unwrap().to_string()).collect()
        };
        let parts = row[2].as_object().unwrap().iter();
        let parts = parts.map(|(part, keys)| (part.clone(), pitches(keys))).collect();
        ((row[0].as_u64().unwrap(), at), parts)
    };
    theirs["moments"].as_array().unwrap().iter().map(row).collect()
}

fn compare(compared: &mut Compared, name: &str, ours: &Moments, theirs: &Moments) {
    let none = BTreeMap::new();
    let all: BTreeSet<_> = ours.keys().chain(theirs.keys()).collect();
    for at in all {
        let place = format!("{}+{}", at.0, at.1);
        let (ours, theirs) = (ours.get(at).unwrap_or(&none), theirs.get(at).unwrap_or(&none));
        let who = |parts: &BTreeMap<String, Vec<String>>| {
            parts.keys().cloned().collect::<Vec<_>>().join(" ")
        };
        compared.value(name, &place, "together", &who(ours), &who(theirs));
        for (part, pitches) in ours {
            let Some(other) = theirs.get(part) else { continue };
            let fact = format!("{place} {part}");
            compared.value(name, &fact, "pitches", &pitches.join(" "), &other.join(" "));
        }
        let (ours, theirs) = (intervals(ours), intervals(theirs));
        for (pair, interval) in &ours {
            let Some(other) = theirs.get(pair) else { continue };
            compared.value(name, &format!("{place} {pair}"), "interval", interval, other);
        }
    }
}

/// Semitones between the lowest notes that each pair of parts begins at one moment.
fn intervals(parts: &BTreeMap<String, Vec<String>>) -> BTreeMap<String, String> {
    let low = |pitches: &[String]| -> f64 {
        let keys = pitches.iter().filter_map(|pitch| pitch.parse().ok());
        keys.fold(f64::INFINITY, f64::min)
    };
    let mut found = BTreeMap::new();
    for (one, pitches) in parts {
        for (other, above) in parts.range::<String, _>(one..).skip(1) {
            let interval = low(above) - low(pitches);
            found.insert(format!("{one} {other}"), interval.to_string());
        }
    }
    found
}
