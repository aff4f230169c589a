//! The strip of the whole work: the share of parts sounding in every bar of all movements, and a
//! frame for what is in view. Owns the way between the strip's x and movement and axis.

use super::geometry::View;
use super::pens::{Pens, text};
use super::prepared::{Prepared, SuiteMovement, roman};
use crate::ctx::Ctx;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rangef, Rect, Stroke, StrokeKind, pos2};

/// Room between movements in points.
const GAP: f32 = 7.0;
/// Width of one column of the strip, with the space after it.
const COLUMN: f32 = 3.0;

/// Where each movement lies in a span of the screen.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Places {
    spans: Vec<Rangef>,
    ends: Vec<f32>,
}

impl Places {
    /// Movements side by side in proportion to their weight, with gaps.
    pub(super) fn new(suite: &[SuiteMovement], x_range: Rangef) -> Self {
        let total: f32 = suite.iter().map(|movement| movement.weight).sum();
        let gaps = GAP * suite.len().saturating_sub(1) as f32;
        let room = (x_range.span() - gaps).max(1.0);
        let mut left = x_range.min;
        let spans = suite
            .iter()
            .map(|movement| {
                let share =
                    if total > 0.0 { movement.weight / total } else { 1.0 / suite.len() as f32 };
                let span = Rangef::new(left, left + room * share);
                left = span.max + GAP;
                span
            })
            .collect();
        Self { spans, ends: suite.iter().map(|movement| movement.columns.end()).collect() }
    }

    /// The span of a movement.
    pub(super) fn span(&self, movement: usize) -> Rangef {
        self.spans.get(movement).copied().unwrap_or(Rangef::NOTHING)
    }

    /// The screen's x of a place in a movement.
    pub(super) fn x(&self, movement: usize, axis: f32) -> f32 {
        let end = self.ends.get(movement).copied().unwrap_or(0.0);
        let share = if end > 0.0 { axis / end } else { 0.0 };
        let span = self.span(movement);
        span.min + span.span() * share
    }

    /// The movement and the place in it under a screen's x; the nearest ones from the gaps and beyond
    /// the ends. `None` without movements.
    pub(super) fn at(&self, x: f32) -> Option<(usize, f32)> {
        let after = self.spans.partition_point(|span| span.min <= x + GAP / 2.0);
        let movement = after.saturating_sub(1);
        let span = self.spans.get(movement)?;
        let end = self.ends.get(movement).copied().unwrap_or(0.0);
        let share = if span.span() > 0.0 { (x - span.min) / span.span() } else { 0.0 };
        Some((movement, share.clamp(0.0, 1.0) * end))
    }

    /// How many movements there are.
    pub(super) fn len(&self) -> usize {
        self.spans.len()
    }
}

/// The heights of the strip's columns for one width, kept between frames.
#[derive(Default)]
pub(super) struct Columns {
    key: Option<(u64, u64, usize, u32)>,
    places: Places,
    /// Movement, x from the left edge of the strip, share 0 to 1.
    columns: Vec<(usize, f32, f32)>,
}

impl Columns {
    /// Works the columns out again if the tracks, the axis or the width have changed.
    fn refresh(&mut self, ctx: &Ctx<'_>, places: &Places) {
        let tracks = &ctx.tracks.movements;
        let key = (
            ctx.basis.revision,
            ctx.tracks.revision,
            tracks.as_ptr() as usize ^ tracks.len(),
            places.len() as u32,
        );
        if self.key == Some(key) && self.places == *places {
            return;
        }
        self.key = Some(key);
        self.places = places.clone();
        self.columns.clear();
        let movements = ctx.basis.score.movements.iter().zip(tracks).enumerate();
        for (idx, (movement, tracks)) in movements {
            let axis = crate::model::view_state::Columns::of(
                &movement.bars,
                movement.resolution,
                ctx.view.equal_bars,
            );
            let span = places.span(idx);
            let n_columns = (span.span() / COLUMN).floor().max(1.0) as usize;
            let mut heights = vec![0.0_f32; n_columns];
            for (bar, texture) in (0_usize..).zip(&tracks.texture) {
                let (left, right) = axis.bar(barloom_core::bar::BarIndex::from(bar));
                let column = |at: f32| ((places.x(idx, at) - span.min) / COLUMN) as usize;
                let (first, last) = (column(left), column(right - 1e-3));
                let last = last.max(first).min(n_columns - 1);
                if let Some(covered) = heights.get_mut(first.min(last)..=last) {
                    for height in covered {
                        *height = height.max(texture.share);
                    }
                }
            }
            let placed = heights.into_iter().enumerate();
            self.columns.extend(
                placed.map(|(column, share)| (idx, span.min + column as f32 * COLUMN, share)),
            );
        }
    }
}

/// Draws the strip; `views` are the stretches of the movement in view, none when all are shown.
pub(super) fn paint(
    painter: &Painter,
    ctx: &Ctx<'_>,
    pens: &Pens<'_>,
    strip: Rect,
    columns: &mut Columns,
    prepared: &Prepared,
    views: &[View<'_>],
) {
    let places = Places::new(&prepared.suite, strip.x_range());
    columns.refresh(ctx, &places);
    let foot = strip.bottom() - 0.55 * pens.em;
    let height = strip.height() - 1.35 * pens.em;
    let shown = ctx.view.movement;
    let seen: Vec<Rangef> = views
        .iter()
        .map(|view| {
            let (left, right) = view.written_span();
            Rangef::new(places.x(shown, left), places.x(shown, right.min(view.columns.end())))
        })
        .collect();
    let mut mesh = Mesh::default();
    for (movement, x, share) in &columns.columns {
        let covered = |seen: &Rangef| seen.contains(x + COLUMN / 2.0);
        let inside = *movement == shown && seen.iter().any(covered);
        let color = if inside {
            pens.dark()
        } else if *movement == shown {
            pens.mid()
        } else {
            pens.light()
        };
        let top = foot - (share * height).max(0.6);
        mesh.add_colored_rect(
            Rect::from_min_max(pos2(*x, top), pos2(x + COLUMN - 1.0, foot)),
            color,
        );
    }
    painter.add(mesh);
    for movement in 0..places.len() {
        let span = places.span(movement);
        painter.hline(span, foot + 0.5, Stroke::new(1.0, pens.light()));
        let number = roman(movement + 1);
        let color = if movement == shown { pens.ink() } else { pens.mid() };
        let font = if movement == shown { &pens.small_bold } else { &pens.small };
        if span.span() > 1.6 * pens.em {
            let at = pos2(span.min, strip.top() + 1.5);
            text(painter, at, Align2::LEFT_TOP, &number, font, color);
        }
    }
    for seen in joined(seen) {
        let frame = Rect::from_x_y_ranges(
            Rangef::new(seen.min - 1.5, seen.max.max(seen.min + 3.0) + 1.5),
            Rangef::new(strip.top() + 3.0, foot + 3.0),
        );
        painter.rect_stroke(frame, 0.0, Stroke::new(1.3, pens.ink()), StrokeKind::Inside);
    }
}

/// Spans in order, with those that overlap or touch made one.
fn joined(mut spans: Vec<Rangef>) -> Vec<Rangef> {
    spans.sort_by(|a, b| a.min.total_cmp(&b.min));
    let mut joined: Vec<Rangef> = Vec::new();
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.min <= last.max + 1.0 => last.max = last.max.max(span.max),
            _ => joined.push(span),
        }
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::view_state::Columns as Axis;

    fn suite(weights: &[f32]) -> Vec<SuiteMovement> {
        weights
            .iter()
            .map(|weight| SuiteMovement { columns: Axis::default(), weight: *weight, parts: None })
            .collect()
    }

    #[test]
    fn every_place_of_the_strip_belongs_to_one_movement() {
        let places = Places::new(&suite(&[10.0, 30.0, 20.0]), Rangef::new(100.0, 714.0));
        assert_eq!(places.span(0), Rangef::new(100.0, 200.0));
        assert_eq!(places.span(1), Rangef::new(207.0, 507.0));
        assert_eq!(places.span(2), Rangef::new(514.0, 714.0));
        assert_eq!(places.at(-50.0).unwrap().0, 0);
        assert_eq!(places.at(202.0).unwrap().0, 0);
        assert_eq!(places.at(205.0).unwrap().0, 1);
        assert_eq!(places.at(9999.0).unwrap().0, 2);
        assert_eq!(Places::new(&[], Rangef::new(0.0, 10.0)).at(5.0), None);
    }
}
