//! Where things are: the bands of the grid from top to bottom, the part rows, and the way between
//! places of the axis and points of the screen. Pure arithmetic on rectangles.

use super::part_bars::PartBars;
use super::pens::Pens;
use super::prepared::{Prepared, StudyView};
use crate::ctx::Ctx;
use crate::model::axis::{Axis, Lane, Stretch};
use crate::model::camera::{Camera, Zoom};
use crate::model::view_state::{Columns, TrackRow};
use barloom_analysis::MovementTracks;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;
use egui::{Rangef, Rect, pos2};
use std::collections::BTreeSet;

/// The bands of the grid on the screen.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// Everything.
    pub(super) all: Rect,
    /// Right edge of the row names, left edge of the bars.
    pub(super) left: f32,
    /// The strip of the whole work, bars' area only.
    pub(super) strip: Rect,
    /// The ruler, bars' area only.
    pub(super) ruler: Rect,
    /// The track rows in view, bars' area only.
    pub(super) tracks: Vec<(TrackRow, Rect)>,
    /// The window onto the part rows, bars' area only.
    pub(super) parts: Rect,
    /// The part rows that can be seen, unclipped, bars' area only.
    pub(super) rows: Vec<(PartRow, Rect)>,
    /// How far the part rows can be scrolled.
    pub(super) overflow: f32,
}

/// A row below the tracks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PartRow {
    /// The head of a family; folded, it stands for its parts.
    Family {
        /// Which.
        family: Family,
        /// Whether the parts are folded into it.
        folded: bool,
    },
    /// A part.
    Part(PartIdx),
}

/// Share of the room below the ruler that tracks may take before they are scrolled with the parts.
const MOST_TRACKS: f32 = 0.75;

/// Height of a thin track row in ems.
const THIN_EMS: f32 = 1.4;

/// How much higher a part row may become where there is room.
const MOST_STRETCH: f32 = 1.5;

/// Width of the row names in ems of the small text.
const NAMES_EMS: f32 = 15.3;

/// The places of the names beside a band.
pub(super) fn names_beside(layout: &Layout, band: Rect) -> Rect {
    Rect::from_min_max(pos2(layout.all.left(), band.top()), pos2(layout.left, band.bottom()))
}

fn track_height(row: TrackRow, zoom: Zoom, study: &StudyView, prepared: &Prepared) -> f32 {
    match row {
        TrackRow::Meter => 3.2,
        TrackRow::Beating if zoom == Zoom::Bar => 4.8,
        TrackRow::Beating => 3.7,
        TrackRow::Groups => 0.9 + 1.5 * study.n_levels.max(1) as f32,
        TrackRow::Texture | TrackRow::Dynamics => 3.9,
        TrackRow::Devices => 1.8 + 1.35 * prepared.n_device_lanes.clamp(1, 3) as f32,
        TrackRow::Entrances => 3.3,
        TrackRow::Lead => 2.6,
        TrackRow::Doublings | TrackRow::Strings => 4.2,
        TrackRow::Balance | TrackRow::Ranges => 3.3,
        TrackRow::Changes | TrackRow::Attacks => 2.6,
        TrackRow::Marks => 0.7 + 1.45 * study.n_mark_lanes.clamp(1, 4) as f32,
    }
}

/// Heights of a part row and of a family's head in ems.
pub(super) fn part_row_ems(zoom: Zoom) -> (f32, f32) {
    match zoom {
        Zoom::Bar => (3.7, 1.9),
        Zoom::Suite => (1.5, 1.6),
        Zoom::Movement | Zoom::Page => (1.7, 1.8),
    }
}

/// How the music is looked at.
pub(super) struct Sight {
    /// What can be read.
    pub(super) zoom: Zoom,
    /// How far the part rows are scrolled.
    pub(super) top: f32,
    /// The parts of the written axis in view.
    pub(super) spans: Vec<(f32, f32)>,
}

/// Lays the grid out in `all`.
pub(super) fn layout(
    all: Rect,
    ctx: &Ctx<'_>,
    pens: &Pens<'_>,
    sight: &Sight,
    study: &StudyView,
    prepared: &Prepared,
) -> Layout {
    let zoom = sight.zoom;
    let em = pens.em;
    let left = all.left() + names_width(all, pens);
    let mut y = all.top();
    let mut band = |ems: f32| {
        let rect = Rect::from_x_y_ranges(
            Rangef::new(left, all.right()),
            Rangef::new(y, y + (ems * em).round()),
        );
        y = rect.bottom();
        rect
    };
    let strip = band(3.5);
    let ruler = band(4.3);
    let rows: &[TrackRow] = if zoom == Zoom::Suite {
        &[TrackRow::Meter, TrackRow::Groups, TrackRow::Texture, TrackRow::Dynamics]
    } else {
        &TrackRow::ALL
    };
    let mut tracks: Vec<(TrackRow, Rect)> = rows
        .iter()
        .filter(|row| !ctx.view.hidden_rows.contains(row))
        .map(|row| {
            let thin = zoom != Zoom::Suite && ctx.view.thin_rows.contains(row);
            let ems = if thin { THIN_EMS } else { track_height(*row, zoom, study, prepared) };
            (*row, band(ems))
        })
        .collect();
    let tracks_height = y - ruler.bottom();
    let room = all.bottom() - ruler.bottom();
    let as_one = tracks_height > MOST_TRACKS * room;
    let parts_room = if as_one { 0.0 } else { room - tracks_height };
    let heights = PartHeights::of(parts_room, ctx, pens, sight, prepared);
    let height = heights.total + if as_one { tracks_height } else { 0.0 };
    let overflow = (height - if as_one { room } else { parts_room }).max(0.0);
    let top = sight.top.clamp(0.0, overflow).round();
    let first_row = ruler.bottom() + tracks_height - top;
    if as_one {
        for (_, rect) in &mut tracks {
            *rect = rect.translate(egui::vec2(0.0, -top));
        }
    }
    let parts_top = if as_one { first_row.max(ruler.bottom()) } else { y };
    let parts = Rect::from_min_max(pos2(left, parts_top.min(all.bottom())), all.max);
    let rows = part_rows(parts, first_row, ctx, prepared, &heights);
    Layout { all, left, strip, ruler, tracks, parts, rows, overflow }
}

/// Width of the column of row names.
pub(super) fn names_width(all: Rect, pens: &Pens<'_>) -> f32 {
    (NAMES_EMS * pens.em).min(all.width() * 0.4).round()
}

/// How high the part rows are.
struct PartHeights {
    head: f32,
    part: f32,
    resting: f32,
    /// The parts that rest in all that is in view, where such rows are lower.
    rests: BTreeSet<PartIdx>,
    /// All rows with the foot.
    total: f32,
}

impl PartHeights {
    fn of(room: f32, ctx: &Ctx<'_>, pens: &Pens<'_>, sight: &Sight, prepared: &Prepared) -> Self {
        let (part_ems, head_ems) = part_row_ems(sight.zoom);
        let head = (head_ems * pens.em).round();
        let foot = (0.8 * pens.em).round();
        // Seen close, staves open where there is music in view; parts that rest need only a line.
        let resting = (part_row_ems(Zoom::Page).0 * pens.em).round();
        let is_resting = |part: &PartIdx| {
            let plays = |bars: &PartBars| {
                sight.spans.iter().any(|(left, right)| !bars.seen(*left, *right).is_empty())
            };
            sight.zoom == Zoom::Bar && !prepared.parts.get(part.idx()).is_some_and(plays)
        };
        let open = prepared.families.iter().filter(|(family, _)| !ctx.view.folded.contains(family));
        let shown: Vec<PartIdx> = open.flat_map(|(_, members)| members.iter().copied()).collect();
        let rests: BTreeSet<PartIdx> = shown.iter().copied().filter(is_resting).collect();
        let n_open = (shown.len() - rests.len()) as f32;
        let fixed = prepared.families.len() as f32 * head + foot + rests.len() as f32 * resting;
        // Where there is paper to spare, rows take some of it.
        let least = (part_ems * pens.em).round();
        let spare = ((room - fixed) / n_open.max(1.0)).floor();
        let part = spare.clamp(least, (least * MOST_STRETCH).round());
        Self { head, part, resting, rests, total: fixed + n_open * part }
    }
}

/// The part rows that can be seen; the first of all begins at `y`.
fn part_rows(
    parts: Rect,
    mut y: f32,
    ctx: &Ctx<'_>,
    prepared: &Prepared,
    heights: &PartHeights,
) -> Vec<(PartRow, Rect)> {
    let mut rows = Vec::new();
    let mut add = |row: PartRow, height: f32| {
        let rect = Rect::from_x_y_ranges(parts.x_range(), Rangef::new(y, y + height));
        y += height;
        if rect.bottom() > parts.top() && rect.top() < parts.bottom() {
            rows.push((row, rect));
        }
    };
    for (family, members) in &prepared.families {
        let folded = ctx.view.folded.contains(family);
        add(PartRow::Family { family: *family, folded }, heights.head);
        if !folded {
            for part in members {
                let rests = heights.rests.contains(part);
                add(PartRow::Part(*part), if rests { heights.resting } else { heights.part });
            }
        }
    }
    rows
}

/// One movement as it lies on the screen. In played order each stretch is a view of its own, onto the
/// written axis, and one view over all knows the axis in force.
#[derive(Clone, Copy)]
pub(super) struct View<'a> {
    /// Everything to read.
    pub(super) ctx: Ctx<'a>,
    /// Pens and faces.
    pub(super) pens: &'a Pens<'a>,
    /// The movement.
    pub(super) movement: &'a Movement,
    /// Its tracks, if they are there.
    pub(super) tracks: Option<&'a MovementTracks>,
    /// Its written axis.
    pub(super) columns: &'a Columns,
    /// The axis that `camera` stands on: the written one but for the view over all.
    pub(super) lane: &'a Axis,
    /// The stretch of the played order that this view shows.
    pub(super) stretch: Option<&'a Stretch>,
    /// Position, held inside the movement.
    pub(super) camera: Camera,
    /// Points per unit of the axis.
    pub(super) scale: f32,
    /// What can be read.
    pub(super) zoom: Zoom,
    /// Left and right edge of the bars' area.
    pub(super) x_range: Rangef,
    /// First and last bar in view, inclusive; `None` for an empty movement.
    pub(super) seen: Option<(BarIndex, BarIndex)>,
}

impl<'a> View<'a> {
    /// The stretches in view as views of their own, from left to right; this view alone in written
    /// order. `written` is the written axis.
    pub(super) fn stretches(&self, written: &'a Axis) -> Vec<View<'a>> {
        if !self.lane.is_played() {
            return vec![*self];
        }
        let (left, right) = self.camera.span(self.lane, self.x_range.span());
        let views = self.lane.stretches_in(left, right).iter().map(|stretch| {
            let (from, to) = (left.max(stretch.left), right.min(stretch.right));
            let x_range = Rangef::new(self.x(from), self.x(to));
            let start = self.columns.bar(stretch.from).0;
            let (from, to) = (start + from - stretch.left, start + to - stretch.left);
            let camera = Camera { left_quarters: from, ..self.camera };
            let camera = Camera { points_per_quarter: self.scale, ..camera };
            let held = |bar: BarIndex| bar.clamp(stretch.from, stretch.to);
            let ends = self.columns.bar_at(from).zip(self.columns.bar_at(to - 1e-4));
            let seen = ends.map(|(first, last)| (held(first), held(last)));
            View { camera, x_range, seen, lane: written, stretch: Some(stretch), ..*self }
        });
        views.collect()
    }

    /// The part of the written axis in view.
    pub(super) fn written_span(&self) -> (f32, f32) {
        let left = self.camera.left_quarters;
        (left, left + self.x_range.span() / self.scale)
    }
}

impl View<'_> {
    /// The screen's x of a place of the axis.
    pub(super) fn x(&self, axis: f32) -> f32 {
        self.x_range.min + (axis - self.camera.left_quarters) * self.scale
    }

    /// The place of the axis under a screen's x.
    pub(super) fn axis(&self, x: f32) -> f32 {
        self.camera.left_quarters + (x - self.x_range.min) / self.scale
    }

    /// Left and right edge of a bar on the screen.
    pub(super) fn bar_x(&self, bar: BarIndex) -> (f32, f32) {
        let (left, right) = self.columns.bar(bar);
        (self.x(left), self.x(right))
    }

    /// The screen's x of a position.
    pub(super) fn tick_x(&self, at: Ticks) -> f32 {
        self.x(self.columns.x(at, &self.movement.bars))
    }

    /// The bars in view, in order.
    pub(super) fn bars(&self) -> impl Iterator<Item = (BarIndex, &Bar)> {
        let range = self.seen.map_or(0..0, |(first, last)| first.0..last.0 + 1);
        range
            .filter_map(|idx| self.movement.bars.get(BarIndex(idx)).map(|bar| (BarIndex(idx), bar)))
    }

    /// The position under a screen's x: inside the bar there, at the nearest tick.
    pub(super) fn ticks_at(&self, x: f32) -> Option<Ticks> {
        let axis = self.axis(x);
        let bar_idx = self.lane.bar_at(axis)?;
        let bar = self.movement.bars.get(bar_idx)?;
        let (left, right) = self.lane.edges_at(axis)?;
        let share =
            if right > left { ((axis - left) / (right - left)).clamp(0.0, 1.0) } else { 0.0 };
        Some(bar.start + Ticks((f64::from(share) * bar.length.0 as f64) as i64))
    }

    /// The first and one past the last tick in view.
    pub(super) fn tick_span(&self) -> (Ticks, Ticks) {
        let Some((first, last)) = self.seen else { return (Ticks::ZERO, Ticks::ZERO) };
        let start = self.movement.bars.get(first).map_or(Ticks::ZERO, |bar| bar.start);
        let end = self.movement.bars.get(last).map_or(Ticks::ZERO, Bar::end);
        (start, end)
    }
}
