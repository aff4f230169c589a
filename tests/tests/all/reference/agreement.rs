//! Compares the facts of one file at a time and collects where they differ.
//!
//! Bars are named by their 0-based index in the file.

use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;

use barloom_core::meter::Meter;
use barloom_core::time::Quarters;
use serde_json::Value;

use super::compared::{Compared, plain};

/// Facts of a part that are compared, in the order of the summary.
const PART_FACTS: [&str; 5] = ["notes", "graces", "lowest", "highest", "sounding_quarters"];

/// The facts of all files that were compared.
#[derive(Default)]
pub(super) struct Agreement {
    compared: Compared,
}

impl Agreement {
    /// Compares our facts of a file, or our refusal, with theirs.
    pub(super) fn compare(&mut self, name: &str, ours: &Result<Value, String>, theirs: &Value) {
        let refusal = theirs.get("refused").and_then(Value::as_str);
        let us = if ours.is_ok() { "read" } else { "refused" };
        let them = if refusal.is_none() { "read" } else { "refused" };
        self.compared.value(name, "file", "reading", us, them);
        let (Ok(ours), None) = (ours, refusal) else { return };
        self.bars(name, &bars(ours), theirs);
        self.parts(name, &parts(ours), &theirs["parts"]);
        self.compared.list(name, "file", "tempo", &tempi(ours), &entries(&theirs["tempi"]));
        // What has no repeats for music21 has nothing to compare.
        if let Some(played) = theirs["played"].as_u64() {
            self.compared.value(
                name,
                "file",
                "played",
                &played_bars(ours).to_string(),
                &played.to_string(),
            );
        }
    }

    /// What was compared, and what differs.
    pub(super) fn compared(&self) -> &Compared {
        &self.compared
    }

    fn bars(&mut self, name: &str, ours: &[(String, String)], theirs: &Value) {
        let lengths = theirs["lengths"].as_array().unwrap();
        let meters = theirs["meters"].as_array().unwrap();
        self.compared.value(
            name,
            "file",
            "bars",
            &ours.len().to_string(),
            &lengths.len().to_string(),
        );
        if ours.len() != lengths.len() {
            return;
        }
        for (bar, (length, meter)) in ours.iter().enumerate() {
            let place = format!("bar {bar}");
            self.compared.value(name, &place, "length", length, lengths[bar].as_str().unwrap());
            // Where a file states no meter, music21 says so, and we say which one we assume.
            if let Some(theirs) = meters[bar].as_str() {
                self.compared.value(name, &place, "meter", &terms(meter), &terms(theirs));
            }
        }
    }

    fn parts(&mut self, name: &str, ours: &BTreeMap<String, Counts>, theirs: &Value) {
        let theirs: BTreeMap<&str, &Value> = theirs
            .as_array()
            .unwrap()
            .iter()
            .map(|part| (part["id"].as_str().unwrap(), part))
            .collect();
        let our_ids: Vec<&str> = ours.keys().map(String::as_str).collect();
        let their_ids: Vec<&str> = theirs.keys().copied().collect();
        self.compared.value(name, "file", "parts", &our_ids.join(" "), &their_ids.join(" "));
        for (id, part) in theirs {
            let Some(counts) = ours.get(id) else { continue };
            for fact in PART_FACTS {
                self.compared.value(name, id, fact, &counts.fact(fact), &plain(&part[fact]));
            }
            self.compared.list(
                name,
                id,
                "entrance",
                &counts.entrances,
                &entries(&part["entrances"]),
            );
            // Levels that stand with words need not be read as signs by the library.
            let signs = entries(&part["levels"]);
            let worded = counts.worded_levels.intersection(&signs).cloned();
            let levels = counts.levels.iter().cloned().chain(worded).collect();
            self.compared.list(name, id, "level", &levels, &signs);
        }
    }
}

/// What a part plays in all movements of a file.
#[derive(Default)]
struct Counts {
    notes: u64,
    graces: u64,
    lowest: Option<f64>,
    highest: Option<f64>,
    sounding: Quarters,
    entrances: BTreeSet<String>,
    levels: BTreeSet<String>,
    worded_levels: BTreeSet<String>,
}

impl Counts {
    /// Adds a movement whose first bar is the bar `base` of the file.
    fn add(&mut self, part: &Value, base: u64) {
        let rows = |list: &str| part[list].as_array().unwrap().clone();
        self.entrances.extend(rows("entrances").iter().map(|row| entry(row, base, None)));
        for row in rows("dynamics") {
            let plain = row["words"] == "";
            let levels = if plain { &mut self.levels } else { &mut self.worded_levels };
            levels.insert(entry(&row, base, Some("level")));
        }
        self.notes += part["notes"].as_u64().unwrap();
        self.graces += part["graces"].as_u64().unwrap();
        let joined = |kept: Option<f64>, new: Option<f64>, pick: fn(f64, f64) -> f64| {
            kept.zip(new).map(|(kept, new)| pick(kept, new)).or(kept).or(new)
        };
        self.lowest = joined(self.lowest, part["lowest"].as_f64(), f64::min);
        self.highest = joined(self.highest, part["highest"].as_f64(), f64::max);
        let sounding = part["sounding_quarters"].as_str().unwrap().parse().unwrap();
        self.sounding = self.sounding.checked_add(sounding).unwrap();
    }

    fn fact(&self, fact: &str) -> String {
        let pitch = |pitch: Option<f64>| pitch.map_or(String::from("none"), |p| p.to_string());
        match fact {
            "notes" => self.notes.to_string(),
            "graces" => self.graces.to_string(),
            "lowest" => pitch(self.lowest),
            "highest" => pitch(self.highest),
            _ => self.sounding.to_string(),
        }
    }
}

/// Length and meter of every bar of a file, movement after movement.
fn bars(facts: &Value) -> Vec<(String, String)> {
    let movements = facts["movements"].as_array().unwrap();
    let bars = movements.iter().flat_map(|movement| movement["bars"].as_array().unwrap());
    bars.map(|bar| (plain(&bar["length"]), plain(&bar["meter"]))).collect()
}

/// The counts of every part by its id in the file, summed over the movements of the file.
fn parts(facts: &Value) -> BTreeMap<String, Counts> {
    let mut found: BTreeMap<String, Counts> = BTreeMap::new();
    for (base, movement) in movements(facts) {
        for part in movement["parts"].as_array().unwrap() {
            found.entry(plain(&part["id"])).or_default().add(part, base);
        }
    }
    found
}

/// The movements of a file, each with the index that its first bar has in the file.
fn movements(facts: &Value) -> impl Iterator<Item = (u64, &Value)> {
    let movements = facts["movements"].as_array().unwrap().iter();
    movements.scan(0, |next, movement| {
        let base = *next;
        *next += movement["bars"].as_array().unwrap().len() as u64;
        Some((base, movement))
    })
}

/// The printed tempo marks of a file.
fn tempi(facts: &Value) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (base, movement) in movements(facts) {
        let marks = movement["tempi"].as_array().unwrap().iter();
        let printed = marks.filter(|mark| mark["origin"] == "printed");
        found.extend(printed.map(|mark| entry(mark, base, Some("quarters_per_minute"))));
    }
    found
}

/// How many bars are played, repeats and jumps followed.
fn played_bars(facts: &Value) -> u64 {
    let spans = movements(facts).flat_map(|(_, movement)| movement["played"].as_array().unwrap());
    spans.map(|span| span[1].as_u64().unwrap() + 1 - span[0].as_u64().unwrap()).sum()
}

/// A row of our facts as an entry: bar of the file, offset, and what stands there.
fn entry(row: &Value, base: u64, what: Option<&str>) -> String {
    let bar = row["bar"].as_u64().unwrap() + base;
    let what = what.map_or(String::new(), |what| format!(" {}", number(&row[what])));
    format!("{bar}+{}{what}", plain(&row["at"]))
}

/// The entries of a list of theirs: bar of the file, offset, and what stands there.
pub(super) fn entries(list: &Value) -> BTreeSet<String> {
    let row = |row: &Value| {
        let row = row.as_array().unwrap();
        let what = row.get(2).map_or(String::new(), |what| format!(" {}", number(what)));
        format!("{}+{}{what}", row[0], plain(&row[1]))
    };
    list.as_array().unwrap().iter().map(row).collect()
}

/// A JSON value without quotes; whole numbers without a fraction.
fn number(value: &Value) -> String {
    match value.as_f64() {
        Some(number) => number.to_string(),
        None => plain(value),
    }
}

/// A meter with every group under its own figure, so that `3+2/8` and `3/8+2/8` read alike.
fn terms(meter: &str) -> String {
    let Ok(parsed) = Meter::from_str(meter) else { return meter.to_owned() };
    let terms = parsed.terms.iter();
    let groups =
        terms.flat_map(|term| term.groups.iter().map(move |g| format!("{g}/{}", term.unit)));
    let groups: Vec<String> = groups.collect();
    if groups.is_empty() { meter.to_owned() } else { groups.join("+") }
}
