//! Drawing of the bar grid: pure reading, actions out.
//!
//! [`grid_ui`] sets the order of a frame: what is prepared, laid out, drawn, named for screen readers
//! and asked of the pointer. Everything is drawn from what is visible; what costs more than looking up
//! is kept in [`GridTransient`] for a revision of basis and tracks.

mod access;
mod close;
mod geometry;
mod glyphs;
mod hatch;
mod hit;
mod hover;
mod input;
mod legend;
mod part_bars;
mod parts;
mod passages;
mod pens;
mod prepared;
mod rows;
mod ruler;
mod strip;
mod suite;

use crate::ctx::Ctx;
use crate::model::axis::{Axis, Lane};
use crate::model::camera::Zoom;
use crate::model::view_state::TrackRow;
use crate::panels::selection_menu_ui;
use egui::{Align2, Painter, Rangef, Rect, Sense, Stroke, StrokeKind, Ui, pos2};
use geometry::{Layout, PartRow, Sight, View, names_beside};
use pens::{Pens, text};
use prepared::{Prepared, StudyView};

/// What the grid keeps between frames and may lose at any moment: a drag, precomputed rows.
#[derive(Default)]
pub struct GridTransient {
    width: f32,
    prepared: Prepared,
    strip: strip::Columns,
    drag: Option<input::Drag>,
}

impl GridTransient {
    /// The width of the bars' area in the last frame, in points, for commands that fit bars into it.
    pub fn width(&self) -> f32 {
        if self.width > 0.0 { self.width } else { 1000.0 }
    }

    /// The axis of the movement shown in the last frame.
    pub fn axis(&self) -> &Axis {
        &self.prepared.axis
    }
}

/// The bar grid, filling the given space.
pub fn grid_ui(ui: &mut Ui, ctx: Ctx<'_>, transient: &mut GridTransient) {
    let all = ui.available_rect_before_wrap();
    // The surface comes first: what is named for screen readers lies over it.
    let id = ui.unique_id().with("surface");
    let response = ui.interact(all, id, Sense::click_and_drag());
    let pens = Pens::new(ctx.theme);
    let painter = ui.painter_at(all);
    painter.rect_filled(all, 0.0, pens.paper());
    let Some(movement) = ctx.movement() else {
        let words = "No score is open";
        text(&painter, all.center(), Align2::CENTER_CENTER, words, &pens.body, pens.mid());
        return;
    };
    let GridTransient { width, prepared, strip, drag } = transient;
    prepared.refresh(&ctx);
    let x_range = Rangef::new(all.left() + geometry::names_width(all, &pens), all.right());
    *width = x_range.span();
    let study = StudyView::of(&ctx, movement, prepared);
    let lane = &prepared.axis;
    let camera = ctx.view.camera.held(lane, x_range.span());
    let (left, right) = camera.span(lane, x_range.span());
    let view = View {
        ctx,
        pens: &pens,
        movement,
        tracks: ctx.movement_tracks(),
        columns: lane.columns(),
        lane,
        stretch: None,
        camera,
        scale: camera.scale(lane, x_range.span()),
        zoom: camera.zoom(lane, x_range.span(), pens.em),
        x_range,
        seen: lane.bar_at(left).zip(lane.bar_at(right - 1e-4)),
    };
    let views =
        if view.zoom == Zoom::Suite { vec![view] } else { view.stretches(&prepared.written) };
    let ends = views.iter().filter_map(|view| view.seen);
    let first = ends.clone().map(|(first, _)| first).min();
    let view = View { seen: first.zip(ends.map(|(_, last)| last).max()), ..view };
    let spans = views.iter().map(View::written_span).collect();
    let sight = Sight { zoom: view.zoom, top: camera.top, spans };
    let layout = geometry::layout(all, &ctx, &pens, &sight, &study, prepared);
    let bars = painter.with_clip_rect(Rect::from_x_y_ranges(x_range, all.y_range()));
    rules(&painter, &pens, &layout);
    let in_movement = if view.zoom == Zoom::Suite { &[] } else { views.as_slice() };
    strip::paint(&bars, &ctx, &pens, layout.strip, strip, prepared, in_movement);
    let places = strip::Places::new(&prepared.suite, layout.strip.x_range());
    let whole = if view.zoom == Zoom::Suite {
        Some(suite::paint(&bars, &ctx, &pens, &layout, prepared))
    } else {
        for view in &views {
            // What belongs to a stretch must not run into the next.
            let room = Rect::from_x_y_ranges(view.x_range, all.y_range());
            movement_ui(&bars.with_clip_rect(room), view, prepared, &study, &layout);
        }
        None
    };
    names(&painter, &view, &layout);
    match &whole {
        Some(places) => access::whole(ui, &ctx, &layout, places),
        None => access::movement(ui, &view, &views, &layout),
    }
    if ctx.view.legend {
        legend::legend_ui(ui, &ctx, &pens, all);
    }
    let ground = input::Ground { ctx, layout: &layout, strip: &places, whole: whole.as_ref() };
    input::handle(ui, &ground, &view, &response, drag);
    input::select_for_menu(&ground, &view, &response);
    response.context_menu(|ui| selection_menu_ui(ui, ctx));
    if drag.is_none()
        && let Some(at) = response.hover_pos()
    {
        let words = match &whole {
            Some(places) => hover::words_of_whole(&ctx, &layout, places, at),
            None => {
                let under = views.iter().find(|view| view.x_range.contains(at.x));
                hover::words(under.unwrap_or(&view), prepared, &study, &layout, &places, at)
            }
        };
        if let Some(words) = words {
            response.on_hover_text_at_pointer(words);
        }
    }
}

/// One movement: everything right of the row names.
fn movement_ui(
    painter: &Painter,
    view: &View<'_>,
    prepared: &Prepared,
    study: &StudyView<'_>,
    layout: &Layout,
) {
    seam(painter, view, layout);
    let below = painter.with_clip_rect(Rect::from_x_y_ranges(
        view.x_range,
        Rangef::new(layout.ruler.bottom(), layout.all.bottom()),
    ));
    beat_lines(&below, view, layout);
    let tracks = Rangef::new(layout.ruler.bottom(), layout.parts.top());
    bar_lines(&below, view, tracks);
    ruler::paint(painter, view, study, layout.ruler);
    for (row, rect) in &layout.tracks {
        let seen = rect.intersect(below.clip_rect());
        if !seen.is_positive() {
            continue;
        }
        rows::paint(&painter.with_clip_rect(seen), view, prepared, study, *row, *rect);
    }
    let in_parts = painter.with_clip_rect(layout.parts);
    parts::paint(&in_parts, view, study, layout, &prepared.parts);
    if view.zoom == Zoom::Bar {
        close::paint(&in_parts, view, layout);
    }
    // Over the part bars, under the words of the tracks.
    bar_lines(&below, view, layout.parts.y_range());
    passages::paint(painter, view, layout);
    selection(painter, view, layout);
}

/// Played order: a dark line where play has come from somewhere else.
fn seam(painter: &Painter, view: &View<'_>, layout: &Layout) {
    let Some(stretch) = view.stretch.filter(|stretch| stretch.left > 0.0) else { return };
    let x = view.bar_x(stretch.from).0;
    let y = layout.ruler.top()..=layout.all.bottom();
    painter.vline(x.round() + 1.0, y, Stroke::new(2.0, view.pens.mid()));
}

/// The rules between the bands.
fn rules(painter: &Painter, pens: &Pens<'_>, layout: &Layout) {
    let x = layout.all.x_range();
    painter.hline(x, layout.strip.bottom() - 0.5, pens.row_rule());
    painter.hline(x, layout.ruler.bottom() - 0.5, pens.block_rule());
    let below = |rect: &Rect| rect.bottom() > layout.ruler.bottom();
    for (_, rect) in layout.tracks.iter().filter(|(_, rect)| below(rect)) {
        painter.hline(x, rect.bottom() - 0.5, pens.row_rule());
    }
    painter.hline(x, layout.parts.top() - 0.5, pens.block_rule());
    painter.vline(layout.left - 0.5, layout.ruler.top()..=layout.all.bottom(), pens.row_rule());
}

/// Bar lines, a step darker at rehearsal marks; thinned when they would run together.
fn bar_lines(painter: &Painter, view: &View<'_>, y: Rangef) {
    let pens = view.pens;
    let mut shapes = Vec::new();
    let mut before = f32::MIN;
    for (idx, bar) in view.bars() {
        let x = view.bar_x(idx).0.round() + 0.5;
        let marked = bar.rehearsal.is_some();
        if !marked && x - before < 9.0 {
            continue;
        }
        before = x;
        let stroke = if marked { pens.mark_line() } else { pens.bar_line() };
        shapes.push(egui::Shape::vline(x, y, stroke));
    }
    let end = view.x(view.columns.end()).round() - 0.5;
    if end < view.x_range.max {
        shapes.push(egui::Shape::vline(end, y, Stroke::new(2.0, pens.light())));
    }
    painter.extend(shapes);
}

/// Seen close: a line at every stroke of the beating.
fn beat_lines(painter: &Painter, view: &View<'_>, layout: &Layout) {
    if view.zoom != Zoom::Bar {
        return;
    }
    let pens = view.pens;
    let y = Rangef::new(layout.ruler.bottom(), layout.all.bottom());
    let mut shapes = Vec::new();
    for (idx, _) in view.bars() {
        let Some(strokes) = rows::strokes_of(view, idx) else { continue };
        for offset in strokes.offsets.iter().filter(|offset| !offset.is_zero()) {
            let at = view.movement.bars.ticks(idx, *offset, view.movement.resolution);
            if let Some(at) = at {
                let points = [pos2(view.tick_x(at), y.min), pos2(view.tick_x(at), y.max)];
                let color = pens.row_rule().color;
                shapes.extend(egui::Shape::dashed_line(&points, Stroke::new(1.0, color), 2.0, 4.0));
            }
        }
    }
    painter.extend(shapes);
}

/// The ink frame of the selection: over all rows, or around the chosen part rows with a bracket at
/// the ruler.
fn selection(painter: &Painter, view: &View<'_>, layout: &Layout) {
    let chosen = &view.ctx.view.selection;
    let Some((from, to)) = chosen.span() else { return };
    let stroke = view.ctx.theme.ink.selection();
    let x = Rangef::new(view.bar_x(from).0, view.bar_x(to).1 + 1.0);
    if x.max < view.x_range.min || x.min > view.x_range.max {
        return;
    }
    let frame = |y: Rangef| {
        painter.rect_stroke(Rect::from_x_y_ranges(x, y), 0.0, stroke, StrokeKind::Middle);
    };
    let top = layout.ruler.bottom() - 1.0;
    if let (Some(beat), true) = (chosen.beat, from == to) {
        beat_frame(painter, view, layout, from, beat);
    }
    if chosen.parts.is_empty() {
        frame(Rangef::new(top, layout.all.bottom() - 1.0));
        return;
    }
    painter.hline(x, top, Stroke::new(3.0, stroke.color));
    let in_parts = painter.with_clip_rect(layout.parts.intersect(painter.clip_rect()));
    let framed = |row: &PartRow| matches!(row, PartRow::Part(part) if chosen.parts.contains(part));
    // Rows that follow each other share one frame.
    for run in layout.rows.chunk_by(|(a, _), (b, _)| framed(a) == framed(b)) {
        if let (Some((row, first)), Some((_, last))) = (run.first(), run.last())
            && framed(row)
        {
            let y = Rangef::new(first.top(), last.bottom() - 1.0);
            let rect = Rect::from_x_y_ranges(x, y);
            in_parts.rect_stroke(rect, 0.0, stroke, StrokeKind::Middle);
        }
    }
}

fn beat_frame(
    painter: &Painter,
    view: &View<'_>,
    layout: &Layout,
    idx: barloom_core::bar::BarIndex,
    beat: usize,
) {
    let row = layout.tracks.iter().find(|(row, _)| *row == TrackRow::Beating);
    let (Some((_, row)), Some(strokes)) = (row, rows::strokes_of(view, idx)) else { return };
    let x = |nth: usize| {
        let offset = strokes.offsets.get(nth)?;
        let at = view.movement.bars.ticks(idx, *offset, view.movement.resolution)?;
        Some(view.tick_x(at))
    };
    if let Some(left) = x(beat) {
        let right = x(beat + 1).unwrap_or(view.bar_x(idx).1);
        let rect = Rect::from_x_y_ranges(Rangef::new(left, right), row.y_range()).shrink(1.5);
        painter.rect_stroke(rect, 0.0, Stroke::new(1.2, view.pens.ink()), StrokeKind::Inside);
    }
}

/// The sticky names at the left.
fn names(painter: &Painter, view: &View<'_>, layout: &Layout) {
    let pens = view.pens;
    let side = Rect::from_min_max(layout.all.min, pos2(layout.left - 1.0, layout.all.bottom()));
    let painter = painter.with_clip_rect(side);
    let left = side.left() + 1.4 * pens.em;
    let strip = names_beside(layout, layout.strip);
    let at = pos2(left, strip.center().y);
    text(&painter, at, Align2::LEFT_CENTER, "Whole work", &pens.small, pens.mid());
    if view.zoom == Zoom::Suite {
        suite::paint_names(&painter, &view.ctx, pens, layout);
    } else {
        ruler::paint_names(&painter, view, layout);
    }
    // Scrolled with the parts, track rows go under the ruler.
    let below = Rect::from_min_max(pos2(side.left(), layout.ruler.bottom()), side.max);
    let painter = painter.with_clip_rect(below);
    for (row, rect) in &layout.tracks {
        let side = names_beside(layout, *rect);
        let note = row.note();
        let two_lines = !note.is_empty() && side.height() > 2.9 * pens.em;
        let y = side.center().y - if two_lines { 0.62 * pens.em } else { 0.0 };
        let thin = side.height() < 2.0 * pens.em;
        let (font, color) = if thin { (&pens.small, pens.mid()) } else { (&pens.body, pens.ink()) };
        text(&painter, pos2(left, y), Align2::LEFT_CENTER, row.name(), font, color);
        if two_lines {
            let at = pos2(left, side.center().y + 0.68 * pens.em);
            text(&painter, at, Align2::LEFT_CENTER, note, &pens.small, pens.mid());
        }
    }
    let names = Rect::from_min_max(pos2(side.left(), layout.parts.top()), side.max);
    let chosen = |part| view.ctx.view.selection.parts.contains(&part);
    let heads = &view.ctx.basis.score.parts;
    parts::paint_names(&painter.with_clip_rect(names), heads, pens, layout, &chosen);
}
