//! The printed plan of the example suite, opened with the poppler tools: what another program finds
//! in the file is what we say we printed.

use std::io::Write;
use std::path::Path;
use std::process::Command;

use barloom_analysis::plan::{self, PlanLayer, PlanMark, PlanOptions, Spot, StudyPlan};
use barloom_core::study::{Sign, Study};
use barloom_core::{barmap, score::Score};
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

/// Text that would do harm if the typesetter ever read it as markup.
const HOSTILE: &str = "#import \"x\": * $x^2$ *keep* _low_ [a] @c = ~";

/// User text is printed as it is, in titles, in the bar grid and in lists.
#[test]
fn text_of_the_user_stays_text() {
    let (score, _) = barmap::read("8 x 4/4, 3 x 7/8 (2+2+3), free 6/4", "Night watch").unwrap();
    let mut plan = plan_of(score);
    plan.title = HOSTILE.to_owned();
    plan.layers = vec![PlanLayer {
        name: HOSTILE.to_owned(),
        marks: vec![plan::MarkRow {
            place: String::from("3"),
            parts: HOSTILE.to_owned(),
            sign: Sign::Text,
            text: HOSTILE.to_owned(),
        }],
    }];
    plan.movements[0].marks = vec![PlanMark {
        layer: 0,
        from: Spot { bar: 2, share: 0.0 },
        to: Some(5),
        sign: Sign::Text,
        text: HOSTILE.to_owned(),
        parts: String::new(),
    }];
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.pdf");
    if print_and_open(&plan, Paper::A4, &path).is_none() {
        return;
    }
    let text = outside::tool(Command::new("pdftotext").arg("-raw").arg(&path).arg("-"), WHAT);
    let text = text.unwrap_or_default();
    let text: Vec<&str> = text.split_whitespace().collect();
    let found = text.join(" ").matches(HOSTILE).count();
    // Title page, mark in the grid, name of the layer, mark and parts in the list.
    assert!(found >= 5, "{found} times in {}", text.join(" "));
}

/// A movement typed by hand has bars and no notes, among them one without measure: its plan is read
/// by others as headings and tables, with an outline.
#[test]
fn a_bar_map_is_planned_with_outline_and_tags() {
    let map = "pickup 1/4, 8 x 4/4, 3 x 7/8 (2+2+3), free 6/4, 4 x 3/4, C at 5, \
               tempo Andante quarter = 72 at 1";
    let (score, _) = barmap::read(map, "Night watch").unwrap();
    let plan = plan_of(score);
    assert_eq!(plan.movements[0].bars.len(), 17);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.pdf");
    if print_and_open(&plan, Paper::A4, &path).is_none() {
        return;
    }
    let structure = outside::tool(Command::new("pdfinfo").arg("-struct-text").arg(&path), WHAT);
    let structure = structure.unwrap_or_default();
    for tag in ["H1", "Table", "TH", "TD", "Figure"] {
        assert!(structure.contains(tag), "nothing is tagged as {tag}");
    }
    let file = std::fs::read(&path).unwrap();
    assert!(file.windows(9).any(|bytes| bytes == b"/Outlines"), "there is no outline");
}

fn plan_of(score: Score) -> StudyPlan {
    let (basis, tracks) = works::analyzed(score);
    plan::build(&basis, &tracks, &Study::default(), &[], &PlanOptions::default())
}

fn example_plan() -> StudyPlan {
    let (basis, tracks) = works::analyzed(works::example().score);
    plan::build(&basis, &tracks, &Study::default(), &[], &PlanOptions::default())
}

/// A value in the list that pdfinfo prints.
fn field<'a>(info: &'a str, name: &str) -> &'a str {
    let line = info.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(':'));
    line.map(str::trim).unwrap_or_default()
}
