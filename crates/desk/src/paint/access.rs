//! Names for screen readers and tests: bars, beats, rows and movements as nodes over the drawing.
//!
//! The nodes only sense hovering, so that the pointer meets the grid as one surface; a screen reader's
//! click is answered here.

use super::geometry::{Layout, PartRow, View, names_beside};
use super::input::other_height;
use super::parts::family_title;
use super::prepared::roman;
use super::rows;
use super::strip::Places;
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::camera::Zoom;
use crate::model::view_state::{RowShow, Selection, TrackRow};
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::part::PartIdx;
use egui::accesskit;
use egui::{Id, Rangef, Rect, Role, Sense, Ui, WidgetInfo};

/// Most bars named at once; farther out, bars are not told apart anyway.
const MAX_BARS: u32 = 240;

/// A node; its label is only made when someone listens. Answers whether it was clicked.
fn node(
    ui: &Ui,
    id: Id,
    rect: Rect,
    role: Role,
    selected: Option<bool>,
    label: impl Fn() -> String,
) -> bool {
    let response = ui.interact(rect, id, Sense::hover());
    response.widget_info(|| match selected {
        Some(selected) => WidgetInfo::selected(role, true, selected, label()),
        None => WidgetInfo::labeled(role, true, label()),
    });
    ui.ctx().accesskit_node_builder(id, |node| node.add_action(accesskit::Action::Click));
    ui.input(|input| input.has_accesskit_action_request(id, accesskit::Action::Click))
}

/// "Bar 48, 6/8, beaten in 2, chosen".
pub(super) fn bar_label(view: &View<'_>, idx: BarIndex, bar: &Bar) -> String {
    let mut label = format!("Bar {}, {}", view.movement.bar_name(idx), bar.meter_text());
    if let Some(time) = view.stretch.map(|stretch| stretch.pass(idx)).filter(|time| *time > 1) {
        label.push_str(&format!(", {} time", ordinal(time)));
    }
    if let Some(strokes) = rows::strokes_of(view, idx) {
        let how = if strokes.chosen { "chosen" } else { "proposed" };
        label.push_str(&format!(", beaten in {}, {how}", strokes.pattern));
    }
    if let Some(mark) = &bar.rehearsal {
        label.push_str(&format!(", rehearsal mark {mark}"));
    }
    label
}

/// "2nd", "3rd", "21st".
pub(super) fn ordinal(n: u32) -> String {
    let ending = match (n % 10, n % 100) {
        (1, teen) if teen != 11 => "st",
        (2, teen) if teen != 12 => "nd",
        (3, teen) if teen != 13 => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}

/// Names what is drawn of one movement.
pub(super) fn movement(ui: &Ui, view: &View<'_>, views: &[View<'_>], layout: &Layout) {
    let grid = ui.unique_id().with("grid");
    row_names(ui, &view.ctx, layout, grid, |part| plays_in(view, part));
    let seen = views.iter().filter_map(|view| view.seen);
    let n_seen: u32 = seen.map(|(first, last)| last.0.saturating_sub(first.0) + 1).sum();
    if n_seen > MAX_BARS {
        return;
    }
    for (nth, view) in views.iter().enumerate() {
        bars(ui, view, layout, grid.with(("stretch", nth)));
    }
}

fn bars(ui: &Ui, view: &View<'_>, layout: &Layout, grid: Id) {
    let bottom = layout.tracks.last().map_or(layout.ruler.bottom(), |(_, rect)| rect.bottom());
    for (idx, bar) in view.bars() {
        let (left, right) = view.bar_x(idx);
        let x = Rangef::new(left.max(view.x_range.min), right.min(view.x_range.max));
        let rect = Rect::from_x_y_ranges(x, Rangef::new(layout.ruler.top(), bottom));
        let label = || bar_label(view, idx, bar);
        let selected = Some(view.ctx.view.selection.has_bar(idx));
        if node(ui, grid.with(("bar", idx.0)), rect, Role::Cell, selected, label) {
            let selection = Selection { bars: Some((idx, idx)), ..Selection::default() };
            view.ctx.send(Action::Select(selection));
        }
        if view.zoom == Zoom::Bar {
            beats(ui, view, layout, grid, idx);
        }
    }
}

fn beats(ui: &Ui, view: &View<'_>, layout: &Layout, grid: Id, idx: BarIndex) {
    let row = layout.tracks.iter().find(|(row, _)| *row == TrackRow::Beating);
    let (Some((_, row)), Some(strokes)) = (row, rows::strokes_of(view, idx)) else { return };
    let place = |nth: usize| {
        let offset = strokes.offsets.get(nth)?;
        view.movement.bars.ticks(idx, *offset, view.movement.resolution)
    };
    let end = view.bar_x(idx).1;
    for nth in 0..strokes.offsets.len() {
        let Some(from) = place(nth) else { continue };
        let right = place(nth + 1).map_or(end, |at| view.tick_x(at));
        let left = view.tick_x(from).max(view.x_range.min);
        let rect = Rect::from_x_y_ranges(Rangef::new(left, right), row.y_range());
        let label = || format!("Bar {}, beat {}", view.movement.bar_name(idx), nth + 1);
        let selection = &view.ctx.view.selection;
        let selected = selection.beat == Some(nth) && selection.has_bar(idx);
        if node(ui, grid.with(("beat", idx.0, nth)), rect, Role::Cell, Some(selected), label) {
            let selection =
                Selection { bars: Some((idx, idx)), beat: Some(nth), ..Selection::default() };
            view.ctx.send(Action::Select(selection));
        }
    }
}

/// The bars a part plays in, those in view only.
fn plays_in(view: &View<'_>, part: PartIdx) -> String {
    let (Some((first, last)), Some(tracks)) = (view.seen, view.tracks) else {
        return String::from("not known yet");
    };
    let mut runs: Vec<(BarIndex, BarIndex)> = Vec::new();
    for idx in (first.0..=last.0).map(BarIndex).filter(|idx| tracks.playing.sounds(part, *idx)) {
        match runs.last_mut() {
            Some((_, end)) if end.0 + 1 == idx.0 => *end = idx,
            _ => runs.push((idx, idx)),
        }
    }
    let name = |bar| view.movement.bar_name(bar);
    let spans: Vec<String> = runs
        .iter()
        .take(6)
        .map(
            |(from, to)| {
                if from == to { name(*from) } else { format!("{} to {}", name(*from), name(*to)) }
            },
        )
        .collect();
    match runs.len() {
        0 => String::from("rests in view"),
        n if n > 6 => format!("plays bars {} and further", spans.join(", ")),
        _ => format!("plays bars {}", spans.join(", ")),
    }
}

fn row_names(ui: &Ui, ctx: &Ctx<'_>, layout: &Layout, grid: Id, plays: impl Fn(PartIdx) -> String) {
    for (row, rect) in &layout.tracks {
        let below = egui::pos2(layout.all.left(), layout.ruler.bottom());
        let rect = names_beside(layout, *rect).intersect(Rect::from_min_max(below, layout.all.max));
        if !rect.is_positive() {
            continue;
        }
        let label = || match ctx.view.row_show(*row) {
            RowShow::Thin => format!("{}, thin", row.name()),
            _ => row.name().to_owned(),
        };
        if node(ui, grid.with(("row", *row)), rect, Role::RowHeader, None, label) {
            ctx.send(other_height(ctx, *row));
        }
    }
    for (row, rect) in &layout.rows {
        let names = names_beside(layout, *rect).intersect(layout.all);
        let names = Rect::from_min_max(
            egui::pos2(names.left(), names.top().max(layout.parts.top())),
            names.max,
        );
        match row {
            PartRow::Family { family, folded } => {
                let state = if *folded { "folded" } else { "open" };
                let label = || format!("{}, {state}", family_title(*family));
                if node(ui, grid.with(("family", *family)), names, Role::Button, None, label) {
                    ctx.send(Action::Fold(*family));
                }
            }
            PartRow::Part(part) => {
                let Some(head) = ctx.basis.score.parts.get(part.idx()) else { continue };
                let selected = ctx.view.selection.parts.contains(part);
                let id = grid.with(("part", part.0));
                let label = || head.name.clone();
                if node(ui, id, names, Role::RowHeader, Some(selected), label) {
                    let mut selection = ctx.view.selection.clone();
                    selection.parts = [*part].into();
                    ctx.send(Action::Select(selection));
                }
                let label = || format!("{}: {}", head.name, plays(*part));
                let bars = rect.intersect(layout.parts);
                node(ui, grid.with(("bars of", part.0)), bars, Role::Row, None, label);
            }
        }
    }
}

/// Names what is drawn of the whole work.
pub(super) fn whole(ui: &Ui, ctx: &Ctx<'_>, layout: &Layout, places: &Places) {
    let grid = ui.unique_id().with("grid");
    row_names(ui, ctx, layout, grid, |_| String::from("all movements"));
    for (idx, movement) in ctx.basis.score.movements.iter().enumerate() {
        let y = Rangef::new(layout.ruler.top(), layout.parts.bottom());
        let rect = Rect::from_x_y_ranges(places.span(idx), y);
        let n_bars = movement.bars.len();
        let label = || format!("Movement {} {}, {n_bars} bars", roman(idx + 1), movement.title);
        if node(ui, grid.with(("movement", idx)), rect, Role::Cell, None, label) {
            ctx.send(Action::GoTo { movement: idx, bar: None });
        }
    }
}
