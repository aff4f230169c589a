//! The part rows: bars that say who plays, how loud, muted or not and in what manner.
//!
//! The code combines: a frame around the bar says muted; the pattern inside says the manner; tone and
//! thickness say the level. Rows are drawn into meshes, neighbors narrower than a point as one.

use super::geometry::{Layout, PartRow, View, names_beside};
use super::hatch;
use super::part_bars::{Manner, PartBars, Stretch};
use super::pens::{Pens, fitted, text};
use super::prepared::StudyView;
use crate::model::camera::Zoom;
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rangef, Rect, Shape, Stroke, pos2};

/// Thickness of the loudest bar in ems.
const THICKEST: f32 = 0.98;
/// The same as a share of a row that has become higher.
const THICKEST_SHARE: f32 = 0.5;
/// Thickness of the softest bar as a share of the loudest.
const THINNEST: f32 = 0.34;

/// Collects a row's shapes: one mesh, and lines over it.
pub(super) struct Row<'a, 'b> {
    pens: &'a Pens<'b>,
    mesh: &'a mut Mesh,
    over: &'a mut Vec<Shape>,
    /// Middle of the row.
    y: f32,
    /// Thickness of the loudest bar.
    thickest: f32,
}

/// The bars of a part between two edges of the screen; `x` maps the axis to the screen.
pub(super) fn bars(
    pens: &Pens<'_>,
    mesh: &mut Mesh,
    over: &mut Vec<Shape>,
    part: &PartBars,
    x: &dyn Fn(f32) -> f32,
    (axis_left, axis_right): (f32, f32),
    (x_range, rect): (Rangef, Rect),
) {
    let thickest = (THICKEST * pens.em).max(THICKEST_SHARE * rect.height());
    let mut row = Row { pens, mesh, over, y: rect.center().y, thickest };
    let mut pending: Option<(f32, f32, Stretch)> = None;
    for stretch in part.seen(axis_left, axis_right) {
        let x0 = x(stretch.axis.0).max(x_range.min - 20.0);
        let x1 = x(stretch.axis.1).min(x_range.max + 20.0);
        match &mut pending {
            // What is narrower than a point joins its neighbor; the louder of the two shows.
            Some((left, right, shown))
                if x0 - *right < 0.8 && (x1 - *left < 1.6 || alike(shown, stretch)) =>
            {
                *right = right.max(x1);
                if loudest(stretch) > loudest(shown) {
                    let muted = shown.muted && stretch.muted;
                    *shown = Stretch { muted, ..*stretch };
                }
            }
            _ => {
                if let Some((left, right, shown)) = pending.take() {
                    row.stretch((left, right), &shown);
                }
                pending = Some((x0, x1, *stretch));
            }
        }
    }
    if let Some((left, right, shown)) = pending {
        row.stretch((left, right), &shown);
    }
}

fn loudest(stretch: &Stretch) -> f32 {
    stretch.loudness.map_or(0.0, |(start, end)| start.max(end))
}

fn alike(a: &Stretch, b: &Stretch) -> bool {
    let steady = |s: &Stretch| s.loudness.is_none_or(|(start, end)| start == end);
    (a.muted, a.manner, a.loudness) == (b.muted, b.manner, b.loudness) && steady(a)
}

impl Row<'_, '_> {
    fn thickness(&self, strength: f32) -> f32 {
        let thinnest = self.thickest * THINNEST;
        thinnest + (self.thickest - thinnest) * strength
    }

    fn stretch(&mut self, (x0, x1): (f32, f32), stretch: &Stretch) {
        let (start, end) = stretch.loudness.unwrap_or((0.45, 0.45));
        let x1 = x1.max(x0 + 0.8);
        // In a frame there is less room: the level shows inside it.
        let shrink = if stretch.muted { 0.62 } else { 1.0 };
        let heights = (self.thickness(start) * shrink, self.thickness(end) * shrink);
        let tones = (self.pens.loudness(start), self.pens.loudness(end));
        let wide = x1 - x0 > 7.0;
        if stretch.muted && x1 - x0 > 3.0 {
            let frame = Rect::from_x_y_ranges(
                Rangef::new(x0.round(), x1.round()),
                Rangef::point(self.y).expand(self.thickness(1.0) / 2.0 + 0.5),
            );
            self.frame(frame);
        }
        let inset = if stretch.muted && wide { 2.0 } else { 0.0 };
        let span = (x0 + inset, x1 - inset);
        match stretch.manner {
            _ if !wide => hatch::wedge(self.mesh, span, self.y, heights, tones),
            Manner::Ordinary => hatch::wedge(self.mesh, span, self.y, heights, tones),
            Manner::Struck => self.dots(span, heights, tones),
            Manner::Tremolo => self.slashes(span, heights, tones),
            Manner::Harmonics => self.rings(span, heights, tones.0),
            Manner::Trill => self.wave(span, heights, tones.0),
        }
    }

    /// A frame of one point on whole points: four slim rectangles cost less than an outline.
    fn frame(&mut self, rect: Rect) {
        let color = self.pens.dark();
        let (left, right) = (rect.left(), rect.right());
        let (top, bottom) = (rect.top().round(), rect.bottom().round());
        let mut add = |x0: f32, y0: f32, x1: f32, y1: f32| {
            self.mesh.add_colored_rect(Rect::from_min_max(pos2(x0, y0), pos2(x1, y1)), color);
        };
        add(left, top, right, top + 1.0);
        add(left, bottom - 1.0, right, bottom);
        add(left, top, left + 1.0, bottom);
        add(right - 1.0, top, right, bottom);
    }

    /// Square dots, two rows when thick.
    fn dots(
        &mut self,
        (x0, x1): (f32, f32),
        (h0, h1): (f32, f32),
        (c0, c1): (egui::Color32, egui::Color32),
    ) {
        let gap = 4.5;
        let n = ((x1 - x0) / gap).floor().max(1.0) as usize;
        for nth in 0..n {
            let x = x0 + 1.0 + nth as f32 * gap;
            let share = (x - x0) / (x1 - x0);
            let height = h0 + (h1 - h0) * share;
            let size = (height * 0.28).clamp(1.7, 2.4);
            let color = if share < 0.5 { c0 } else { c1 };
            let rows: &[f32] = if height > 6.5 { &[-0.32, 0.32] } else { &[0.0] };
            for row in rows {
                let at = pos2(x, self.y + row * height - size / 2.0);
                self.mesh.add_colored_rect(Rect::from_min_size(at, egui::Vec2::splat(size)), color);
            }
        }
    }

    /// A solid bar cut by slanted strokes of paper.
    fn slashes(
        &mut self,
        (x0, x1): (f32, f32),
        heights: (f32, f32),
        tones: (egui::Color32, egui::Color32),
    ) {
        hatch::wedge(self.mesh, (x0, x1), self.y, heights, tones);
        let height = heights.0.max(heights.1) + 0.6;
        let (gap, lean) = (6.0, height * 0.35);
        let mut x = x0 + gap * 0.6 + lean;
        while x + lean < x1 - 1.0 {
            hatch::slash(self.mesh, x, self.y, height, 1.7, self.pens.paper());
            x += gap;
        }
    }

    /// Rings on a thin line.
    fn rings(&mut self, (x0, x1): (f32, f32), heights: (f32, f32), color: egui::Color32) {
        let line = Stroke::new((heights.0 * 0.2).max(0.8), color);
        self.over.push(Shape::hline(Rangef::new(x0, x1), self.y, line));
        let radius = (heights.0 * 0.3).clamp(1.8, 3.4);
        let gap = 4.0 * radius;
        let mut x = x0 + radius + 1.0;
        while x + radius < x1 {
            self.over.push(Shape::circle_filled(pos2(x, self.y), radius, self.pens.paper()));
            self.over.push(Shape::circle_stroke(pos2(x, self.y), radius, Stroke::new(1.0, color)));
            x += gap;
        }
    }

    /// A wave.
    fn wave(&mut self, (x0, x1): (f32, f32), heights: (f32, f32), color: egui::Color32) {
        let reach = (heights.0.max(heights.1) * 0.3).max(1.3);
        let n = ((x1 - x0) / 1.6).ceil().clamp(2.0, 2500.0) as usize;
        let points = (0..=n)
            .map(|nth| {
                let x = x0 + (x1 - x0) * nth as f32 / n as f32;
                pos2(x, self.y + ((x - x0) * 0.62).sin() * reach)
            })
            .collect();
        let stroke = Stroke::new((heights.0 * 0.22).clamp(1.0, 2.2), color);
        self.over.push(Shape::line(points, stroke));
    }
}

/// Draws the visible part rows and folded families; `x` and the span of the axis come from the view.
pub(super) fn paint(
    painter: &Painter,
    view: &View<'_>,
    study: &StudyView<'_>,
    layout: &Layout,
    parts: &[PartBars],
) {
    let pens = view.pens;
    let span = view.written_span();
    for (row, rect) in &layout.rows {
        // A mesh a row: one for all would grow by copying itself again and again.
        let (mut mesh, mut over) = (Mesh::default(), Vec::new());
        match row {
            PartRow::Part(part) => {
                painter.hline(rect.x_range(), rect.bottom().round() - 0.5, pens.part_rule());
                if view.zoom == Zoom::Bar {
                    continue;
                }
                if let Some(bars_of) = parts.get(part.idx()) {
                    let place = (view.x_range, *rect);
                    bars(pens, &mut mesh, &mut over, bars_of, &|axis| view.x(axis), span, place);
                }
            }
            PartRow::Family { family, folded: true } => folded(&mut mesh, view, *family, *rect),
            PartRow::Family { .. } => {}
        }
        painter.add(mesh);
        painter.extend(over);
    }
    signs(painter, view, study, layout);
}

/// A folded family: height is the share of its parts that sound in each bar.
fn folded(mesh: &mut Mesh, view: &View<'_>, family: Family, rect: Rect) {
    let Some(tracks) = view.tracks else { return };
    let score = &view.ctx.basis.score;
    let members: Vec<PartIdx> = score
        .parts()
        .filter(|(_, part)| part.instrument.get().family == family)
        .map(|(idx, _)| idx)
        .collect();
    let foot = rect.bottom() - 2.0;
    let height = rect.height() - 5.0;
    for (idx, _) in view.bars() {
        let n = members.iter().filter(|part| tracks.playing.sounds(**part, idx)).count();
        if n == 0 {
            continue;
        }
        let (left, right) = view.bar_x(idx);
        let share = n as f32 / members.len().max(1) as f32;
        let top = foot - (height * share).max(1.5);
        let column = Rect::from_x_y_ranges(Rangef::new(left, right), Rangef::new(top, foot));
        mesh.add_colored_rect(column, view.pens.mid());
    }
}

/// Rings for wanted cues and ticks for marks that concern single parts.
fn signs(painter: &Painter, view: &View<'_>, study: &StudyView<'_>, layout: &Layout) {
    if view.zoom < Zoom::Page {
        return;
    }
    let pens = view.pens;
    let (from, to) = view.tick_span();
    let row_of = |wanted: PartIdx| {
        let found = layout.rows.iter().find(|(row, _)| *row == PartRow::Part(wanted));
        found.map(|(_, rect)| *rect)
    };
    let first = study.cues.partition_point(|cue| cue.at < from);
    for cue in study.cues.iter().skip(first).take_while(|cue| cue.at < to) {
        if let Some(rect) = row_of(cue.part).filter(|_| cue.cue.wanted) {
            let at = pos2(view.tick_x(cue.at) - 0.5 * pens.em, rect.center().y);
            let radius = 0.32 * pens.em;
            painter.circle_filled(at, radius + 1.0, pens.paper());
            painter.circle_stroke(at, radius, Stroke::new(1.4, pens.ink()));
        }
    }
    for mark in study.marks.iter().filter(|mark| mark.from < to && mark.to >= from) {
        for key in &mark.mark.parts {
            let part = view.ctx.basis.score.part_by_key(key);
            if let Some(rect) = part.and_then(row_of) {
                let x = view.tick_x(mark.from).max(view.x_range.min);
                let points = [(0.0, 0.0), (5.0, 0.0), (0.0, 6.0)];
                let points = points.map(|(dx, dy)| pos2(x + dx, rect.top() + 1.0 + dy)).to_vec();
                painter.add(Shape::convex_polygon(points, pens.ink(), Stroke::NONE));
            }
        }
    }
}

/// The name of a family as a heading.
pub(super) fn family_title(family: Family) -> String {
    let mut letters = family.name().chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Draws the sticky names beside the part rows.
pub(super) fn paint_names(
    painter: &Painter,
    view_parts: &[barloom_core::part::Part],
    pens: &Pens<'_>,
    layout: &Layout,
    selected: &dyn Fn(PartIdx) -> bool,
) {
    for (row, rect) in &layout.rows {
        let side = names_beside(layout, *rect);
        let left = side.left() + 1.4 * pens.em;
        match row {
            PartRow::Family { family, folded } => {
                let title = family_title(*family);
                let y = side.bottom() - 0.72 * pens.em;
                let at = pos2(left, y);
                let named =
                    text(painter, at, Align2::LEFT_CENTER, &title, &pens.small_bold, pens.mid());
                triangle(painter, pens, pos2(named.right() + 0.8 * pens.em, y + 0.5), *folded);
            }
            PartRow::Part(part) => {
                let Some(head) = view_parts.get(part.idx()) else { continue };
                let left = left + 1.1 * pens.em;
                let chosen = selected(*part);
                let font = if chosen { &pens.body_bold } else { &pens.body };
                let name = fitted(painter, &head.name, font, side.right() - left - 0.5 * pens.em);
                let at = pos2(left, side.center().y);
                text(painter, at, Align2::LEFT_CENTER, &name, font, pens.ink());
            }
        }
    }
}

/// The sign of a heading that folds: pointing down when open, right when folded.
fn triangle(painter: &Painter, pens: &Pens<'_>, at: egui::Pos2, folded: bool) {
    let points = if folded {
        [(-2.0, -3.5), (3.0, 0.0), (-2.0, 3.5)]
    } else {
        [(-3.5, -2.0), (3.5, -2.0), (0.0, 3.0)]
    };
    let points = points.map(|(dx, dy)| at + egui::vec2(dx, dy)).to_vec();
    painter.add(Shape::convex_polygon(points, pens.mid(), Stroke::NONE));
}
