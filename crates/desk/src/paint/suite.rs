//! The whole work on one screen: movements side by side with their names and minutes, sections, meters
//! as ticks, density, levels and part bars.

use super::geometry::{Layout, PartRow, names_beside};
use super::glyphs::{Figures, figures};
use super::parts;
use super::pens::{Pens, fitted, music, music_width, text, width};
use super::prepared::{Prepared, StudyView, roman};
use super::ruler::clock;
use super::strip::Places;
use crate::ctx::Ctx;
use crate::model::view_state::TrackRow;
use barloom_core::bar::BarIndex;
use barloom_core::event::Level;
use barloom_core::score::Movement;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rangef, Rect, Stroke, pos2};

/// What the drawing of one movement needs.
struct One<'a> {
    ctx: &'a Ctx<'a>,
    pens: &'a Pens<'a>,
    prepared: &'a Prepared,
    places: &'a Places,
    idx: usize,
    movement: &'a Movement,
}

impl One<'_> {
    fn span(&self) -> Rangef {
        self.places.span(self.idx)
    }

    fn bar_x(&self, bar: BarIndex) -> (f32, f32) {
        let Some(shown) = self.prepared.suite.get(self.idx) else { return (0.0, 0.0) };
        let (left, right) = shown.columns.bar(bar);
        (self.places.x(self.idx, left), self.places.x(self.idx, right))
    }
}

/// Draws the whole work below the strip.
pub(super) fn paint(
    painter: &Painter,
    ctx: &Ctx<'_>,
    pens: &Pens<'_>,
    layout: &Layout,
    prepared: &Prepared,
) -> Places {
    let places = Places::new(&prepared.suite, layout.ruler.x_range());
    for (idx, movement) in ctx.basis.score.movements.iter().enumerate() {
        let one = One { ctx, pens, prepared, places: &places, idx, movement };
        let study = StudyView::of(ctx, movement, prepared);
        heading(painter, &one, layout);
        for (row, rect) in &layout.tracks {
            let clip = Rect::from_x_y_ranges(one.span(), rect.y_range());
            let painter = painter.with_clip_rect(clip);
            match row {
                TrackRow::Meter => meters(&painter, &one, *rect),
                TrackRow::Groups => sections(&painter, &one, &study, *rect),
                TrackRow::Texture => density(&painter, &one, *rect),
                TrackRow::Dynamics => levels(&painter, &one, *rect),
                _ => {}
            }
        }
        part_bars(painter, &one, layout);
    }
    places
}

fn heading(painter: &Painter, one: &One<'_>, layout: &Layout) {
    let pens = one.pens;
    let span = one.span();
    let (top, bottom) = (layout.ruler.top(), layout.all.bottom());
    let edge = Stroke::new(1.0, pens.light());
    painter.vline(span.min, Rangef::new(top + 0.4 * pens.em, bottom), edge);
    painter.vline(span.max, Rangef::new(layout.ruler.bottom(), bottom), pens.bar_line());
    let number = roman(one.idx + 1);
    let room = span.span() - 0.6 * pens.em;
    let title = if one.movement.title.is_empty() {
        number
    } else {
        format!("{number}  {}", one.movement.title)
    };
    let title = fitted(painter, &title, &pens.mark, room);
    let y = layout.ruler.top() + 0.31 * layout.ruler.height();
    let at = pos2(span.min + 0.4 * pens.em, y);
    text(painter, at, Align2::LEFT_CENTER, &title, &pens.mark, pens.ink());
    let seconds = one.ctx.tracks.movements.get(one.idx).map_or(0.0, |t| t.tempo.seconds());
    let n_bars = one.movement.bars.len();
    let full = format!("{n_bars} bars, {}", clock(seconds));
    let short = clock(seconds);
    let note = if seconds <= 0.0 {
        fitted(painter, &format!("{n_bars} bars"), &pens.small, room)
    } else if width(painter, &full, &pens.small) <= room {
        full
    } else {
        fitted(painter, &short, &pens.small, room)
    };
    let at = pos2(span.min + 0.4 * pens.em, layout.ruler.bottom() - 0.72 * pens.em);
    text(painter, at, Align2::LEFT_CENTER, &note, &pens.small, pens.mid());
}

/// A tick at every change of meter, and the figures where they fit.
fn meters(painter: &Painter, one: &One<'_>, row: Rect) {
    let pens = one.pens;
    let size = 1.45 * pens.em;
    let bars = one.movement.bars.as_slice();
    let mut taken = f32::MIN;
    for (idx, bar) in one.movement.bars.iter() {
        let before = idx.idx().checked_sub(1).and_then(|idx| bars.get(idx));
        if before.is_some_and(|before| before.meter == bar.meter) {
            continue;
        }
        let x = one.bar_x(idx).0;
        painter.vline(
            x + 0.5,
            Rangef::new(row.bottom() - 0.8 * pens.em, row.bottom() - 2.0),
            Stroke::new(1.0, pens.mid()),
        );
        if x < taken {
            continue;
        }
        if let Figures::Pairs(pairs) = figures(&bar.meter)
            && let Some((upper, lower)) = pairs.first()
        {
            let middle = row.top() + 1.05 * pens.em;
            let at = |dy: f32| pos2(x + 2.0, middle + dy);
            music(painter, pens, at(-size / 4.0 * 1.14), upper, size, pens.ink());
            music(painter, pens, at(size / 4.0 * 1.14), lower, size, pens.ink());
            let widest = music_width(painter, pens, upper, size)
                .max(music_width(painter, pens, lower, size));
            taken = x + widest + 5.0;
        }
    }
}

/// The groups of the largest level and of the next.
fn sections(painter: &Painter, one: &One<'_>, study: &StudyView<'_>, row: Rect) {
    let pens = one.pens;
    let lane = 1.5 * pens.em;
    let mut mesh = Mesh::default();
    for (_, group) in &study.groups {
        let depth = study.levels.iter().position(|level| *level == group.level).unwrap_or(0);
        if depth > 1 {
            continue;
        }
        let y = row.top() + 0.45 * pens.em + lane * (depth as f32 + 1.0);
        let y = y.min(row.bottom() - 3.0).round();
        let (x0, x1) = (one.bar_x(group.from).0.round() + 1.0, one.bar_x(group.to).1 - 1.0);
        let thick = if depth == 0 { 1.8 } else { 1.0 };
        let mut add = |top: f32, right: f32, bottom: f32| {
            let rect = Rect::from_min_max(pos2(x0, top), pos2(right.max(x0 + 0.8), bottom));
            mesh.add_colored_rect(rect, pens.ink());
        };
        add(y, x1, y + thick);
        if x1 - x0 < 3.0 {
            continue;
        }
        add(y - 4.0, x0 + 1.0, y);
        if group.name.is_empty() || x1 - x0 < pens.em {
            continue;
        }
        let name = fitted(painter, &group.name, &pens.small_bold, x1 - x0 - 4.0);
        let at = pos2(x0 + 3.0, y - 1.0);
        text(painter, at, Align2::LEFT_BOTTOM, &name, &pens.small_bold, pens.ink());
    }
    painter.add(mesh);
}

/// Columns of at least one point; the fullest bar of a column shows.
fn columns(one: &One<'_>, value: impl Fn(BarIndex) -> Option<f32>) -> Vec<(Rangef, f32)> {
    let mut columns: Vec<(Rangef, f32)> = Vec::new();
    for (idx, _) in one.movement.bars.iter() {
        let Some(value) = value(idx) else { continue };
        let (left, right) = one.bar_x(idx);
        match columns.last_mut() {
            Some((x, most)) if left < x.min + 1.0 => {
                x.max = x.max.max(right);
                *most = most.max(value);
            }
            _ => columns.push((Rangef::new(left, right.max(left + 0.8)), value)),
        }
    }
    columns
}

fn density(painter: &Painter, one: &One<'_>, row: Rect) {
    let Some(tracks) = one.ctx.tracks.movements.get(one.idx) else { return };
    let foot = row.bottom() - 0.4 * one.pens.em;
    let height = row.height() - 0.9 * one.pens.em;
    let mut mesh = Mesh::default();
    for (x, share) in columns(one, |bar| tracks.texture.get(bar.idx()).map(|t| t.share)) {
        let rect = Rect::from_x_y_ranges(x, Rangef::new(foot - share * height, foot));
        mesh.add_colored_rect(rect, one.pens.mid());
    }
    painter.add(mesh);
    painter.hline(row.x_range(), foot, Stroke::new(1.0, one.pens.light()));
}

/// The loudest level of every bar as a line.
fn levels(painter: &Painter, one: &One<'_>, row: Rect) {
    let Some(tracks) = one.ctx.tracks.movements.get(one.idx) else { return };
    let foot = row.bottom() - 0.5 * one.pens.em;
    let height = row.height() - 1.0 * one.pens.em;
    let share = |level: Level| super::part_bars::strength(level);
    let mut line = Vec::new();
    for (x, loud) in columns(one, |bar| tracks.dynamics.band(bar).map(|(_, l)| share(l))) {
        let y = foot - loud * height;
        line.extend([pos2(x.min, y), pos2(x.max, y)]);
    }
    painter.line(line, Stroke::new(1.3, one.pens.ink()));
}

fn part_bars(painter: &Painter, one: &One<'_>, layout: &Layout) {
    let Some(shown) = one.prepared.suite.get(one.idx) else { return };
    let Some(all) = &shown.parts else { return };
    let clip = Rect::from_x_y_ranges(one.span(), layout.parts.y_range());
    let painter = painter.with_clip_rect(clip);
    let x = |axis: f32| one.places.x(one.idx, axis);
    for (row, rect) in &layout.rows {
        if let PartRow::Part(part) = row
            && let Some(part) = all.get(part.idx())
        {
            // A mesh a row: one for all would grow by copying itself again and again.
            let (mut mesh, mut over) = (Mesh::default(), Vec::new());
            let place = (one.span(), *rect);
            let axis = (0.0, shown.columns.end());
            parts::bars(one.pens, &mut mesh, &mut over, part, &x, axis, place);
            painter.add(mesh);
            painter.extend(over);
        }
    }
}

/// Draws the words beside the ruler.
pub(super) fn paint_names(painter: &Painter, ctx: &Ctx<'_>, pens: &Pens<'_>, layout: &Layout) {
    let side = names_beside(layout, layout.ruler);
    let x = side.left() + 1.4 * pens.em;
    let y = side.top() + 0.31 * side.height();
    let at = pos2(x, y);
    text(painter, at, Align2::LEFT_CENTER, "All movements", &pens.body_bold, pens.ink());
    let seconds: f64 = ctx.tracks.movements.iter().map(|t| t.tempo.seconds()).sum();
    let note = if seconds > 0.0 {
        format!("{} in all, written order", clock(seconds))
    } else {
        String::from("reading the score …")
    };
    let note = fitted(painter, &note, &pens.small, side.width() - 2.0 * pens.em);
    let at = pos2(x, side.bottom() - 0.72 * pens.em);
    text(painter, at, Align2::LEFT_CENTER, &note, &pens.small, pens.mid());
}
