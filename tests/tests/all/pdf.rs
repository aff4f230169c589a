//! The printed plan of the example suite, opened with the poppler tools: what another program finds
//! in the file is what we say we printed.

use std::io::Write;
use std::path::Path;
use std::process::Command;

use barloom_analysis::plan::{self, PlanOptions, StudyPlan};
use barloom_core::study::Study;
use barloom_export::{ExportOptions, Paper, Typeset};

use crate::{outside, works};

const WHAT: &str = "the printed plan opened with the poppler tools";

#[test]
fn another_program_finds_the_pages_and_the_words() {
    let mut plan = example_plan();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.pdf");
    let Some(n_pages) = print_and_open(&plan, Paper::A4, &path) else { return };
    assert_text(&path, &plan, n_pages);
    // The other sheets need no whole suite, which takes long to set without optimization.
    plan.movements.truncate(1);
    for paper in [Paper::Letter, Paper::A3] {
        print_and_open(&plan, paper, &path);
    }
}

/// Prints a plan into a file and compares what pdfinfo says of it; the number of pages, or nothing
/// without the tool.
fn print_and_open(plan: &StudyPlan, paper: Paper, path: &Path) -> Option<usize> {
    let pages = Typeset::of(plan, &ExportOptions { paper, date: Some((2027, 3, 1)) }).unwrap();
    let mut file = std::fs::File::create(path).unwrap();
    file.write_all(&pages.pdf().unwrap()).unwrap();
    let info = outside::tool(Command::new("pdfinfo").arg(path), WHAT)?;
    assert_eq!(field(&info, "Pages"), pages.n_pages().to_string());
    assert_eq!(field(&info, "Tagged"), "yes");
    let size = field(&info, "Page size");
    let mut sides = size.split(" x ").map(|side| side.split(' ').next().unwrap());
    for wanted in <[f64; 2]>::from(paper.size_pt()) {
        let side: f64 = sides.next().unwrap().parse().unwrap();
        assert!((side - wanted).abs() < 0.5, "{size} for {paper:?}");
    }
    Some(pages.n_pages())
}

/// Every movement's heading stands in the text, and every page has words on it.
fn assert_text(path: &Path, plan: &StudyPlan, n_pages: usize) {
    let Some(text) = outside::tool(Command::new("pdftotext").arg(path).arg("-"), WHAT) else {
        return;
    };
    assert!(text.contains(&plan.title), "the title is missing");
    assert_eq!(plan.movements.len(), 6);
    for movement in &plan.movements {
        assert!(text.contains(&movement.heading), "{} is missing", movement.heading);
    }
    let pages: Vec<&str> = text.trim_end_matches('\u{c}').split('\u{c}').collect();
    assert_eq!(pages.len(), n_pages);
    let empty = pages.iter().position(|page| page.trim().is_empty());
    assert_eq!(empty, None, "a page without a word");
}

fn example_plan() -> StudyPlan {
    let (basis, tracks) = works::analyzed(works::example().score);
    plan::build(&basis, &tracks, &Study::default(), &PlanOptions::default())
}

/// A value in the list that pdfinfo prints.
fn field<'a>(info: &'a str, name: &str) -> &'a str {
    let line = info.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(':'));
    line.map(str::trim).unwrap_or_default()
}
