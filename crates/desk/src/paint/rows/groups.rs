//! The groups row: flat brackets with a hook at the left, the bar count at the hook, larger levels
//! above with thicker lines, and sums of what they hold. No arcs.

use super::super::geometry::View;
use super::super::hatch;
use super::super::pens::{fitted, text};
use super::super::prepared::StudyView;
use barloom_core::bar::{BarIndex, BarTable};
use barloom_core::study::{Entry, Group};
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rect, pos2};

/// How many bars a group counts: bars split in two by a repeat sign count once.
pub(in super::super) fn counted(bars: &BarTable, from: BarIndex, to: BarIndex) -> usize {
    let within = bars.as_slice().get(from.idx()..=to.idx()).unwrap_or_default();
    within.iter().enumerate().filter(|(idx, bar)| *idx == 0 || !bar.continues).count()
}

pub(super) fn paint(painter: &Painter, view: &View<'_>, study: &StudyView<'_>, row: Rect) {
    let Some((first, last)) = view.seen else { return };
    let pens = view.pens;
    let lane = 1.5 * pens.em;
    let mut mesh = Mesh::default();
    for (entry, group) in &study.groups {
        if group.to < first || group.from > last {
            continue;
        }
        let lane_idx = study.levels.iter().position(|level| *level == group.level).unwrap_or(0);
        let y = row.top() + 0.45 * pens.em + lane * (lane_idx as f32 + 1.0);
        bracket(&mut mesh, view, group, y.round());
        words(painter, view, study, entry, group, y.round());
    }
    painter.add(mesh);
    if study.groups.is_empty() {
        let at = pos2(row.left() + 0.8 * pens.em, row.center().y);
        let hint = "no groups yet: select bars, press G";
        text(painter, at, Align2::LEFT_CENTER, hint, &pens.small, pens.mid());
    }
}

/// The ends of a group's line.
fn ends(view: &View<'_>, group: &Group) -> (f32, f32) {
    let x0 = view.bar_x(group.from).0.round() + 2.0;
    (x0, (view.bar_x(group.to).1 - 3.0).max(x0 + 0.8))
}

/// The line of a group with its hook; thicker for higher levels.
fn bracket(mesh: &mut Mesh, view: &View<'_>, group: &Group, y: f32) {
    let (pens, (x0, x1)) = (view.pens, ends(view, group));
    let thick = 1.0 + 0.7 * f32::from(group.level.saturating_sub(1));
    let mut add = |left, top, right, bottom| {
        let rect = Rect::from_min_max(pos2(left, top), pos2(right, bottom));
        mesh.add_colored_rect(rect, pens.ink());
    };
    add(x0, y, x1, y + thick);
    if x1 - x0 > 3.0 {
        add(x0, (y - 0.75 * pens.em).round(), x0 + 1.2, y);
    }
    if group.elision {
        // The last bar is shared with the group that follows: the line is crossed at its start.
        let x = view.bar_x(group.to).0;
        hatch::slash(mesh, x - 0.6, y + thick / 2.0, 8.0, 1.2, pens.ink());
    }
}

fn words(
    painter: &Painter,
    view: &View<'_>,
    study: &StudyView<'_>,
    entry: &Entry,
    group: &Group,
    y: f32,
) {
    let pens = view.pens;
    let em = pens.em;
    let (x0, x1) = ends(view, group);
    let start = x0.max(view.x_range.min) + 0.45 * em;
    let room = x1.min(view.x_range.max) - start;
    if room < 0.6 * em {
        return;
    }
    let words = heading(view, study, entry, group);
    let baseline = pos2(start, y - 0.2 * em);
    let shown = fitted(painter, &words, &pens.small_bold, room);
    if shown.is_empty() {
        return;
    }
    let end = text(painter, baseline, Align2::LEFT_BOTTOM, &shown, &pens.small_bold, pens.ink());
    let sums = sums(view, study, group);
    let room = x1.min(view.x_range.max) - end.right() - 0.7 * em;
    let shown = fitted(painter, &sums, &pens.words_small, room);
    let at = pos2(end.right() + 0.7 * em, y - 0.15 * em);
    text(painter, at, Align2::LEFT_BOTTOM, &shown, &pens.words_small, pens.dark());
}

/// Count and name: "4", "A 8", "4+1" with an extension, "A 8 = bar 43" for a return.
fn heading(view: &View<'_>, study: &StudyView<'_>, entry: &Entry, group: &Group) -> String {
    let n_bars = counted(&view.movement.bars, group.from, group.to);
    let extension = usize::from(group.extension).min(n_bars);
    let count = if extension > 0 {
        format!("{}+{extension}", n_bars - extension)
    } else {
        n_bars.to_string()
    };
    if group.name.is_empty() {
        return count;
    }
    let first = study
        .groups
        .iter()
        .find(|(_, other)| other.level == group.level && other.name == group.name);
    match first {
        Some((other, origin)) if other.id != entry.id => {
            let bar = view.movement.bar_name(origin.from);
            format!("{count}  {} = bar {bar}", group.name)
        }
        _ => format!("{count}  {}", group.name),
    }
}

/// The counts of what a group holds, two levels deep: "4+4", "(4+4)+(3+3+2)"; empty if it holds
/// nothing.
fn sums(view: &View<'_>, study: &StudyView<'_>, group: &Group) -> String {
    let held = |outer: &Group| -> Vec<&Group> {
        let inside = |inner: &&Group| {
            inner.level < outer.level && outer.from <= inner.from && inner.to <= outer.to
        };
        let inner: Vec<&Group> = study.groups.iter().map(|(_, g)| *g).filter(inside).collect();
        let level = inner.iter().map(|group| group.level).max();
        inner.into_iter().filter(|group| Some(group.level) == level).collect()
    };
    let count = |group: &Group| counted(&view.movement.bars, group.from, group.to).to_string();
    let sum =
        |groups: &[&Group]| groups.iter().map(|group| count(group)).collect::<Vec<_>>().join("+");
    let inner = held(group);
    let deeper: Vec<Vec<&Group>> = inner.iter().map(|group| held(group)).collect();
    if deeper.iter().any(|groups| !groups.is_empty()) {
        let parts: Vec<String> = inner
            .iter()
            .zip(&deeper)
            .map(
                |(group, held)| {
                    if held.is_empty() { count(group) } else { format!("({})", sum(held)) }
                },
            )
            .collect();
        parts.join("+")
    } else {
        sum(&inner)
    }
}
