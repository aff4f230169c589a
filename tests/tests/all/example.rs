//! The example suite, its marked study and its printed plan are what they should be.
//!
//! With `BARLOOM_WRITE_EXAMPLES` set, the committed study and plan are written again.

use barloom_analysis::Tracks;
use barloom_analysis::plan::{self, PlanOptions};
use barloom_analysis::settings::Settings;
use barloom_core::diag::Severity;
use barloom_core::import::Watch;
use barloom_core::sidecar;
use barloom_core::study::IdMaker;
use barloom_core::work::{self, Replacements, Work};
use barloom_export::{ExportOptions, Paper, Typeset};
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

const MOVEMENTS: [&str; 6] = [
    "1-low-water.mxl",
    "2-wheel.mxl",
    "3-lock-gates.mxl",
    "4-eel-market.mxl",
    "5-weir-song.mxl",
    "6-spring-tide.mxl",
];

fn folder() -> PathBuf {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples/tide-mill");
    barloom_core::store::resolved(&beside)
}

fn open(paths: &[PathBuf]) -> Work {
    let now = 1_795_564_800;
    work::open(paths, &Replacements::new(), &mut IdMaker::seeded(1), now, &Watch::default())
        .unwrap()
}

fn suite() -> Work {
    let paths: Vec<PathBuf> = MOVEMENTS.iter().map(|name| folder().join(name)).collect();
    open(&paths)
}

/// The committed file equals `made`; with the switch it is written instead.
fn compare(name: &str, made: &[u8]) {
    let path = folder().join(name);
    if std::env::var_os("BARLOOM_WRITE_EXAMPLES").is_some() {
        barloom_core::store::replace(&path, made).unwrap();
    }
    let committed = std::fs::read(&path).unwrap_or_default();
    assert!(
        committed == made,
        "{name} is not what the tests make; write it with BARLOOM_WRITE_EXAMPLES=1"
    );
}

#[test]
fn reading_the_suite_loses_and_assumes_nothing() {
    let work = suite();
    let bad: Vec<String> = work
        .all_diagnostics()
        .iter()
        .filter(|found| found.severity() != Severity::Note)
        .map(ToString::to_string)
        .collect();
    assert!(bad.is_empty(), "{bad:#?}");
    assert_eq!(work.basis.score.movements.len(), 6);
}

#[test]
fn every_note_of_the_suite_is_in_range() {
    let work = suite();
    let tracks = Tracks::of(&work.basis, &Settings::default(), &AtomicBool::new(false)).unwrap();
    let facts = barloom_analysis::facts::facts(&work.basis, &tracks, None, &[]);
    for movement in facts["movements"].as_array().unwrap() {
        let out: Vec<_> = movement["ranges"].as_array().unwrap().iter().collect();
        let outside = |row: &&&serde_json::Value| row["what"].as_str().unwrap().ends_with("range");
        let out: Vec<_> = out.iter().filter(outside).collect();
        assert!(out.is_empty(), "{}: {out:?}", movement["title"]);
    }
}

#[test]
fn the_marked_study_is_what_its_marking_makes_and_opens_again() {
    let fresh = suite();
    let study = barloom_tests::example::mark(&fresh.read, fresh.study_for(&folder())).unwrap();
    let text = sidecar::write(&study);
    compare("the-tide-mill.barloom", text.as_bytes());
    let again = open(&[folder().join("the-tide-mill.barloom")]);
    assert_eq!(again.study, study);
    assert!(!again.fitted, "the study does not fit the scores beside it");
}

#[test]
fn the_printed_plan_of_the_study_is_up_to_date() {
    let work = open(&[folder().join("the-tide-mill.barloom")]);
    let tracks = Tracks::of(&work.basis, &Settings::default(), &AtomicBool::new(false)).unwrap();
    let known = work.all_diagnostics();
    let plan = plan::build(&work.basis, &tracks, &work.study, &known, &PlanOptions::default());
    let options = ExportOptions { paper: Paper::A4, date: Some((2026, 11, 25)) };
    let pdf = Typeset::of(&plan, &options).unwrap().pdf().unwrap();
    compare("the-tide-mill-plan.pdf", &pdf);
}
