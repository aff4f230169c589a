//! `barloom compare` as it is run: text, JSON and PDF, and what is refused.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;
use std::process::{Command, Output};

fn compare(words: &[&str]) -> Output {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/tide-mill");
    let mut command = Command::new(env!("CARGO_BIN_EXE_barloom"));
    command.current_dir(example).args(["compare", "the-tide-mill.barloom"]).args(words);
    command.output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn a_passage_beside_itself_has_stayed() {
    let run = compare(&["--bars", "1:1..8", "--with", "1:1..8"]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let said = text(&run.stdout);
    assert!(said.contains("all alike in line and harmony"), "{said}");
    assert!(said.contains("What stays") && !said.contains("What changes"), "{said}");
}

#[test]
fn json_and_pdf_are_written_and_wrong_bars_refused() {
    let run = compare(&["--bars", "1:1..4", "--with", "2:1..6", "--json"]);
    let facts: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!((&facts["first"]["to"], &facts["second"]["movement"]), (&3.into(), &1.into()));
    assert!(facts["bars"].as_array().unwrap().len() >= 6);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("out.pdf");
    let path = path.to_str().unwrap();
    let run = compare(&["--bars", "1:1..4", "--with", "2:1..4", "-o", path, "--date", "none"]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    assert!(std::fs::read(path).unwrap().starts_with(b"%PDF-"));
    let run = compare(&["--bars", "1:1..4", "--with", "9:1..4"]);
    assert_eq!(run.status.code(), Some(2));
    assert!(text(&run.stderr).contains("there is no movement 9"), "{}", text(&run.stderr));
}
