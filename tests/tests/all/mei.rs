//! Two files of the same music agree: what we read from a MusicXML file against what we read from
//! the same music in MEI.
//!
//! verovio (a published engraving library) is installed from its registry at test time and converts
//! the files; nothing of it is copied here. Compared are our own example suite, the orchestral
//! movements, the community suite and every eighth file of music21's corpus. Every difference is a
//! line of `references/mei_differences.toml` under the rule that explains it, mostly what the
//! conversion loses; one without an explanation fails, and so does an explanation whose difference
//! is gone.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::reference::compared::{Compared, plain};
use crate::reference::table::Table;
use crate::{outside, works};

const WHAT: &str = "the same music in MEI and in MusicXML";

/// Facts of a bar that are compared.
const BAR_FACTS: [&str; 7] =
    ["length", "nominal", "meter", "label", "pickup", "continues", "rehearsal"];
/// Facts of a part that are single values.
const PART_FACTS: [&str; 6] =
    ["notes", "graces", "lowest", "highest", "sounding_quarters", "playing"];
/// Facts of a part that are lists.
const PART_LISTS: [&str; 3] = ["entrances", "dynamics", "devices"];

#[test]
fn the_same_music_in_mei_and_musicxml_agrees() {
    let Some(python) = outside::python(WHAT) else { return };
    let roots = roots();
    let mut twins = Twins::default();
    let mut unconverted = Vec::new();
    let mut n_files = 0;
    for_each_pair(&python, &roots, |pair| {
        let name = pair["name"].as_str().unwrap();
        let Some(mei) = pair["mei"].as_str() else {
            unconverted.push(name.to_owned());
            return;
        };
        n_files += 1;
        twins.compare(name, &read(pair["path"].as_str().unwrap()), &read(mei));
    });
    outside::say(&twins.summary(n_files));
    let ran = |line: &str| {
        let label = line.split('/').next().unwrap_or_default();
        label == "corpus" || roots.iter().any(|root| root.starts_with(&format!("{label}=")))
    };
    // Some files of the corpus the converter does not open, among them those in UTF-16.
    assert!(unconverted.len() <= 6, "not converted: {unconverted:?}");
    assert!(n_files > 80, "only {n_files} files");
    Table::read("mei_differences.toml").check(twins.compared.differences(), ran);
}

/// Documents that come with the references: of other versions, in UTF-16, with fewer names than ours.
#[test]
fn documents_of_other_writers_are_read() {
    let Some(python) = outside::python("MEI documents that come with the references") else {
        return;
    };
    let find =
        "import music21, partitura; print(music21.__path__[0]); print(partitura.__path__[0])";
    let found = Command::new(python).args(["-c", find]).output().unwrap();
    let found = String::from_utf8(found.stdout).unwrap();
    let (library, other) = found.trim().split_once('\n').unwrap();
    let facts = |path: String| read(&path).unwrap_or_else(|refusal| panic!("{path}: {refusal}"));
    let bars = |facts: &Value| rows(&rows(facts, "movements")[0], "bars").len();
    let notes = |facts: &Value| {
        let parts = rows(&rows(facts, "movements")[0], "parts").iter();
        parts.map(|part| part["notes"].as_u64().unwrap()).collect::<Vec<_>>()
    };
    let [wide, narrow] = ["notes_in_utf16", "notes_in_utf8"]
        .map(|name| facts(format!("{library}/mei/test/{name}.mei")));
    assert_eq!((bars(&wide), bars(&narrow)), (26, 26));
    assert_eq!(notes(&wide), notes(&narrow));
    let small = facts(format!("{library}/mei/test/test_file.mei"));
    assert_eq!((bars(&small), notes(&small).len()), (9, 2));
    // A chord of two heads and a whole note on two staves of one part.
    let piano = facts(format!("{other}/assets/score_example.mei"));
    assert_eq!((bars(&piano), notes(&piano)), (1, vec![3]));
}

fn read(path: &str) -> Result<Value, String> {
    works::read(Path::new(path)).map(works::facts).map_err(|refusal| refusal.to_string())
}

/// Our own example suite and the folders of the open test data, each under its label.
fn roots() -> Vec<String> {
    let what = "orchestral movements and the community suite in MEI";
    let mut folders = vec![("examples", outside::root().join("examples"))];
    if let Some(data) = outside::data(what) {
        folders.push(("orchestra", data.join("orchestra")));
        folders.push(("suite", data.join("musicxml-suite/xmlFiles")));
    }
    let present = folders.into_iter().filter(|(_, folder)| folder.is_dir());
    present.map(|(label, folder)| format!("{label}={}", folder.display())).collect()
}

/// Calls `each` with every file and its conversion, while further ones are converted.
fn for_each_pair(python: &Path, roots: &[String], mut each: impl FnMut(&Value)) {
    let mut converter = Command::new(python)
        .arg(outside::root().join("tests/references/mei_of.py"))
        .args(["--corpus", "--every", "8", "--cache"])
        .arg(outside::cache())
        .args(roots)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    for line in BufReader::new(converter.stdout.take().unwrap()).lines() {
        each(&serde_json::from_str(&line.unwrap()).unwrap());
    }
    assert!(converter.wait().unwrap().success(), "verovio stopped with an error");
}

/// The facts of all files that were compared, those from MusicXML as ours, those from MEI as theirs.
#[derive(Default)]
struct Twins {
    compared: Compared,
}

impl Twins {
    fn compare(
        &mut self,
        name: &str,
        ours: &Result<Value, String>,
        theirs: &Result<Value, String>,
    ) {
        let reading =
            |facts: &Result<Value, String>| if facts.is_ok() { "read" } else { "refused" };
        self.compared.value(name, "file", "reading", reading(ours), reading(theirs));
        let (Ok(ours), Ok(theirs)) = (ours, theirs) else { return };
        let count = |facts: &Value| facts["movements"].as_array().unwrap().len();
        self.compared.value(
            name,
            "file",
            "movements",
            &count(ours).to_string(),
            &count(theirs).to_string(),
        );
        let pairs = rows(ours, "movements").iter().zip(rows(theirs, "movements"));
        for (nth, (ours, theirs)) in pairs.enumerate() {
            let file = if nth == 0 { name.to_owned() } else { format!("{name}#{}", nth + 1) };
            self.movement(&file, ours, theirs);
        }
    }

    fn movement(&mut self, name: &str, ours: &Value, theirs: &Value) {
        let (bars, other) = (rows(ours, "bars"), rows(theirs, "bars"));
        self.compared.value(
            name,
            "file",
            "bars",
            &bars.len().to_string(),
            &other.len().to_string(),
        );
        if bars.len() == other.len() {
            for (idx, (bar, other)) in bars.iter().zip(other).enumerate() {
                for fact in BAR_FACTS {
                    let place = format!("bar {idx}");
                    self.compared.value(
                        name,
                        &place,
                        fact,
                        &plain(&bar[fact]),
                        &plain(&other[fact]),
                    );
                }
            }
        }
        self.compared.value(
            name,
            "file",
            "played",
            &plain(&ours["played"]),
            &plain(&theirs["played"]),
        );
        self.compared.list(name, "file", "tempi", &tempi(ours), &tempi(theirs));
        let (parts, other) = (rows(ours, "parts"), rows(theirs, "parts"));
        self.compared.value(
            name,
            "file",
            "parts",
            &parts.len().to_string(),
            &other.len().to_string(),
        );
        for (nth, (part, other)) in parts.iter().zip(other).enumerate() {
            let place = format!("part {}", nth + 1);
            for fact in PART_FACTS {
                self.compared.value(name, &place, fact, &plain(&part[fact]), &plain(&other[fact]));
            }
            for fact in PART_LISTS {
                self.compared.list(name, &place, fact, &entries(part, fact), &entries(other, fact));
            }
        }
    }

    /// A table in words: fact, values compared, values that differ.
    fn summary(&self, files: usize) -> String {
        let mut text = format!("{files} files compared with their conversions to MEI:\n");
        for (fact, (compared, differ)) in self.compared.counts() {
            text += &format!("  {fact:<18} {compared:>6} compared, {differ:>3} differ\n");
        }
        text
    }
}

fn rows<'v>(value: &'v Value, list: &str) -> &'v Vec<Value> {
    value[list].as_array().unwrap()
}

fn tempi(movement: &Value) -> BTreeSet<String> {
    let tempo = |row: &Value| {
        let rate = row["quarters_per_minute"].as_f64().unwrap();
        format!("{} {} {rate:.2} {}", row["bar"], plain(&row["at"]), plain(&row["origin"]))
    };
    rows(movement, "tempi").iter().map(tempo).collect()
}

/// The entries of a list of a part, in words.
fn entries(part: &Value, list: &str) -> BTreeSet<String> {
    let entry = |row: &Value| {
        let keys = ["level", "device", "state", "rest_bars", "rest_quarters"];
        let more = keys.iter().filter_map(|key| row.get(*key)).map(plain);
        let words: Vec<String> =
            [plain(&row["bar"]), plain(&row["at"])].into_iter().chain(more).collect();
        words.join(" ")
    };
    rows(part, list).iter().map(entry).collect()
}
