//! What we read against what music21 reads, file by file and fact by fact.
//!
//! music21 (a published library for computer-aided musicology) is installed from its registry at
//! test time, with its corpus of MusicXML files; nothing of either is copied here.
//! Bar count, bar lengths, meters, printed tempo numbers and played order, and of every part heads,
//! grace notes, lowest and highest sounding pitch, sounding length, entrances and levels must agree.
//! Every difference is a line of `references/differences.toml` under the rule that explains it: a
//! difference without an explanation fails, and so does an explanation whose difference is gone.
//! partitura, a third published reader, is asked wherever the two differ; the table of DEVELOPERS.md
//! says what came of it all.

mod agreement;
pub(crate) mod compared;
mod page;
mod second;
pub(crate) mod table;

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::{outside, works};
use agreement::Agreement;
use table::Table;

const WHAT: &str = "what we read against what music21 reads";

/// Files that must be among those compared: UTF-16, twelve to fifteen parts, transposing parts,
/// odd meters.
const CORPUS_FILES: &[&str] = &[
    "corpus/beethoven/opus132.mxl",
    "corpus/bach/bwv190.7-inst.mxl",
    "corpus/bach/bwv248.42-4.mxl",
    "corpus/bach/bwv248.64-6.mxl",
    "corpus/weber/concertino_clarinet.mxl",
    "corpus/trecento/PMFC_12_11a-Credo PMFC12.11a.xml",
    "corpus/trecento/PMFC_24_9-Gloria Ciconia 9.xml",
];

/// How many MusicXML files the pinned version of music21 brings.
const CORPUS_LEN: usize = 654;

#[test]
fn we_read_what_music21_reads() {
    let Some(python) = outside::python(WHAT) else { return };
    let roots = roots(&library(&python));
    let mut agreement = Agreement::default();
    let mut files = BTreeMap::new();
    for_each_reference(&python, &roots, |theirs| {
        let name = theirs["name"].as_str().unwrap().to_owned();
        let path = Path::new(theirs["path"].as_str().unwrap());
        agreement.compare(&name, &ours(path), theirs);
        files.insert(name, path.to_owned());
    });
    let in_corpus = files.keys().filter(|name| name.starts_with("corpus/")).count();
    assert_eq!(in_corpus, CORPUS_LEN, "files of the corpus");
    for name in CORPUS_FILES {
        assert!(files.contains_key(*name), "{name} was not compared");
    }
    let sides = second::sides(&python, agreement.compared().differences(), &files);
    let page = page::table(agreement.compared().counts(), &sides);
    outside::say(&format!("{} files compared with music21:\n{page}", files.len()));
    let table = Table::read("differences.toml");
    let ran = |line: &str| {
        let label = line.split('/').next().unwrap_or_default();
        label == "corpus" || roots.iter().any(|root| root.starts_with(&format!("{label}=")))
    };
    table.check(agreement.compared().differences(), ran);
    // Without the open data the table would be of other files.
    if roots.iter().any(|root| root.starts_with("suite=")) {
        page::check(&page);
    }
}

/// Our own example suite and the folders of the open test data, each under the label that it has
/// in the table of differences.
fn roots(library: &Path) -> Vec<String> {
    let what = "orchestral movements and the community suite against music21";
    let mut folders = vec![("examples", outside::root().join("examples"))];
    if let Some(data) = outside::data(what) {
        folders.push(("orchestra", data.join("orchestra")));
        folders.push(("suite", data.join("musicxml-suite/xmlFiles")));
    }
    // The library brings an older copy of the suite.
    folders.push(("copy", library.join("musicxml/lilypondTestSuite")));
    let present = folders.into_iter().filter(|(_, folder)| folder.is_dir());
    present.map(|(label, folder)| format!("{label}={}", folder.display())).collect()
}

/// The folder in which music21 is installed.
fn library(python: &Path) -> PathBuf {
    let find = "import music21.common as c; print(c.getSourceFilePath())";
    let found = Command::new(python).args(["-c", find]).output().unwrap();
    PathBuf::from(String::from_utf8(found.stdout).unwrap().trim())
}

/// Calls `each` with the facts of every file as music21 reads it, while it goes on reading.
fn for_each_reference(python: &Path, roots: &[String], mut each: impl FnMut(&Value)) {
    let mut reader = Command::new(python)
        .arg(outside::root().join("tests/references/music21_facts.py"))
        .arg("--corpus")
        .arg("--cache")
        .arg(outside::cache())
        .args(roots)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    for line in BufReader::new(reader.stdout.take().unwrap()).lines() {
        each(&serde_json::from_str(&line.unwrap()).unwrap());
    }
    assert!(reader.wait().unwrap().success(), "music21 stopped with an error");
}

/// Our facts of a file, or why it was refused.
fn ours(path: &Path) -> Result<Value, String> {
    works::read(path).map(works::facts).map_err(|refusal| refusal.to_string())
}
