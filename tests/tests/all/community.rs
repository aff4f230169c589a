//! The community MusicXML test suite: small files, each with an odd case, collected for the authors
//! of importers (MIT license). Every file is read, or refused with a message that names it; the
//! reader panics on none and every finding has a place.

mod notes;
mod rhythm;

use std::path::PathBuf;

use crate::{outside, works};

const WHAT: &str = "the community MusicXML test suite";

/// How many score files the suite holds at least.
const SUITE_LEN: usize = 149;

#[test]
fn every_file_of_the_suite_is_read_or_refused() {
    let Some(data) = outside::data(WHAT) else { return };
    let folder = data.join("musicxml-suite/xmlFiles");
    let entries = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
    let files: Vec<PathBuf> = entries.filter(|path| path.is_file()).collect();
    assert!(files.len() >= SUITE_LEN, "only {} files in the suite", files.len());
    for path in files {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        match works::read(&path) {
            Ok(import) => {
                for finding in &import.diagnostics {
                    assert_eq!(finding.place.file, name, "a finding without a place: {finding}");
                }
                works::facts(import);
            }
            Err(refusal) => assert!(refusal.to_string().contains(&name), "{name}: {refusal}"),
        }
    }
}
