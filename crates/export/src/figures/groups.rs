//! Groups of a line: flat brackets with a hook at the left, the count at the hook, higher levels
//! thicker and higher, sums below.

use super::canvas::{Canvas, Ink, Type};
use super::grid::{Frame, NAME};
use super::layout::System;
use crate::fonts::Face;
use barloom_analysis::plan::{PlanGroup, Spot};

const LEVEL_PT: f64 = 12.5;
const SUM_PT: f64 = 11.0;
const COUNT: Type = Type::new(Face::SansBold, 9.5, Ink::BLACK);
const TITLE: Type = Type::new(Face::Serif, 8.5, Ink::BLACK);
const SUM: Type = Type::new(Face::Italic, 9.0, Ink::DARK);

/// Draws the groups; answers the height, 0 if the line has none.
pub(crate) fn draw(frame: &Frame<'_>, system: &System, canvas: &mut Canvas, top: f64) -> f64 {
    let groups = &frame.movement.groups;
    let mut levels: Vec<u8> = groups.iter().map(|group| group.level).collect();
    levels.sort_unstable_by(|a, b| b.cmp(a));
    levels.dedup();
    let any_here = groups.iter().any(|group| group.to >= system.first && group.from < system.end());
    if !any_here {
        return 0.0;
    }
    frame.name(canvas, top + 11.0, NAME, "Groups");
    for group in groups {
        let row = levels.iter().position(|level| *level == group.level).unwrap_or(0);
        bracket(system, canvas, top + 3.0 + LEVEL_PT * row as f64, group);
    }
    let levels_pt = 3.0 + LEVEL_PT * levels.len() as f64;
    let sums = sums(system, canvas, top + levels_pt + SUM_PT - 3.0, groups);
    levels_pt + if sums { SUM_PT } else { 1.5 }
}

fn bracket(system: &System, canvas: &mut Canvas, y: f64, group: &PlanGroup) {
    if group.to < system.first || group.from >= system.end() {
        return;
    }
    let begins = group.from >= system.first;
    let from = system.x(Spot { bar: group.from, share: 0.0 }) + 1.2;
    let to = system.x(Spot { bar: group.to, share: 1.0 }) - 1.6;
    let width = 0.7 + 0.55 * f64::from(group.level.saturating_sub(1));
    canvas.line((from, y), (to, y), width, Ink::BLACK);
    if begins {
        canvas.line((from, y), (from, y + 6.5), width.max(0.8), Ink::BLACK);
        let count = canvas.label(from + 3.0, y + 8.8, COUNT, &group.text);
        let room = to - from - count - 8.0;
        let title = TITLE.fitted(&group.name, room);
        canvas.label(from + 6.0 + count, y + 8.8, TITLE, &title);
    } else if !group.name.is_empty() {
        let goes_on = TITLE.fitted(&format!("({})", group.name), to - from - 4.0);
        canvas.label(from + 3.0, y + 8.8, Type { ink: Ink::DARK, ..TITLE }, &goes_on);
    }
}

/// Sums under the middle of what is seen of their group; of nested groups the widest that begins
/// here. Answers whether there are any.
fn sums(system: &System, canvas: &mut Canvas, y: f64, groups: &[PlanGroup]) -> bool {
    let mut placed: Vec<(f64, f64)> = Vec::new();
    for group in groups.iter().filter(|group| !group.sum.is_empty()) {
        if group.from < system.first || group.from >= system.end() {
            continue;
        }
        let from = system.x(Spot { bar: group.from, share: 0.0 });
        let text = SUM.fitted(&group.sum, system.right() - system.left());
        let width = SUM.width(&text);
        let x = from.min(system.right() - width).max(system.left()) + 3.0;
        if placed.iter().all(|(a, b)| x + width <= *a || x >= *b) {
            canvas.label(x, y, SUM, &text);
            placed.push((x, x + width + 6.0));
        }
    }
    !placed.is_empty()
}
