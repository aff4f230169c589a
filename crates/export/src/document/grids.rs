//! The bar grid of a movement: which rows are drawn, how high, and all its lines.

use super::{Files, room, summary};
use crate::figures::grid::{self, Frame, NAME, ROW_PT};
use crate::figures::layout::{System, systems};
use crate::figures::parts;
use crate::options::Paper;
use barloom_analysis::plan::{PlanMovement, PlanRow, StudyPlan};
use serde_json::{Value, json};

/// Room between two lines on a page, and what the heading takes from the first.
const GAP_PT: f64 = 14.0;
const HEADING_PT: f64 = 46.0;
/// Bounds of the column of names.
const NAMES_PT: (f64, f64) = (80.0, 104.0);

pub(super) fn movement(
    plan: &StudyPlan,
    movement: &PlanMovement,
    paper: Paper,
    files: &mut Files,
) -> Value {
    let (all, tacet) = sounding(&movement.rows);
    let (sections, _) = sounding(&movement.section_rows);
    let all = Layout::of(plan, movement, paper, all);
    let sections = Layout::of(plan, movement, paper, sections);
    // Every part has its own row unless rows by instrument save a quarter of the pages.
    let layout = if sections.n_pages * 4 <= all.n_pages * 3 { sections } else { all };
    let draw = |line: &System| grid::draw(&layout.frame, line);
    json!({
        "movement": summary(movement),
        "tacet": tacet.join(", "),
        "lines": layout.lines.iter().map(|line| files.add(draw(line))).collect::<Vec<_>>(),
    })
}

/// A movement laid out with some choice of rows.
struct Layout<'a> {
    frame: Frame<'a>,
    lines: Vec<System>,
    n_pages: usize,
}

impl<'a> Layout<'a> {
    fn of(
        plan: &'a StudyPlan,
        movement: &'a PlanMovement,
        paper: Paper,
        rows: Vec<&'a PlanRow>,
    ) -> Self {
        let (width_pt, page_pt) = room(paper);
        let names_pt = names_pt(&rows);
        let lines = systems(movement, names_pt, width_pt);
        let bare = Frame { plan, movement, rows: Vec::new(), names_pt, width_pt, row_pt: ROW_PT.0 };
        let tracks: Vec<f64> = lines.iter().map(|line| grid::draw(&bare, line).height).collect();
        let pages = |row_pt: f64| {
            let rows_pt = parts::height(&rows, row_pt);
            n_pages(tracks.iter().map(|tracks| tracks + rows_pt), page_pt)
        };
        let n_pages = pages(ROW_PT.0);
        // The widest distance that costs no page.
        let step = |step: u32| ROW_PT.0 + (ROW_PT.1 - ROW_PT.0) * f64::from(step) / 22.0;
        let widest = (0..=22).rev().map(step).find(|row_pt| pages(*row_pt) <= n_pages);
        let frame = Frame { rows, row_pt: widest.unwrap_or(ROW_PT.0), ..bare };
        Self { frame, lines, n_pages }
    }
}

/// The rows that sound at all, and the names of those that do not.
fn sounding(rows: &[PlanRow]) -> (Vec<&PlanRow>, Vec<&str>) {
    let sounds = |row: &&PlanRow| row.sounds.iter().any(Option::is_some);
    let (sounding, silent): (Vec<&PlanRow>, Vec<&PlanRow>) = rows.iter().partition(sounds);
    (sounding, silent.into_iter().map(|row| row.name.as_str()).collect())
}

fn names_pt(rows: &[&PlanRow]) -> f64 {
    let widest = rows.iter().map(|row| NAME.width(&row.name)).fold(0.0, f64::max);
    (widest + 7.0).clamp(NAMES_PT.0, NAMES_PT.1)
}

/// Pages that lines of these heights take, filled from the top, with a heading on the first.
fn n_pages(lines: impl Iterator<Item = f64>, page_pt: f64) -> usize {
    let (mut pages, mut used) = (1, HEADING_PT);
    for line in lines {
        if used + line > page_pt && used > 0.0 {
            pages += 1;
            used = 0.0;
        }
        used += line + GAP_PT;
    }
    pages
}
