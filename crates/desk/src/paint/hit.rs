//! What lies under a place of the screen.

use super::geometry::{Layout, PartRow, View};
use super::rows;
use crate::model::axis::Lane;
use crate::model::camera::Zoom;
use crate::model::view_state::TrackRow;
use barloom_core::bar::BarIndex;
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use egui::Pos2;

/// A band or a name.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Area {
    /// The strip of the whole work.
    Strip,
    /// The ruler over the bars.
    Ruler,
    /// A track row over the bars.
    Track(TrackRow),
    /// A part row over the bars.
    Part(PartIdx),
    /// The head of a family, name or row.
    Family(Family),
    /// The name of a track row.
    TrackName(TrackRow),
    /// The name of a part.
    PartName(PartIdx),
    /// Nothing that answers.
    Nothing,
}

impl Area {
    /// Whether bars can be taken hold of here.
    pub(super) fn has_bars(self) -> bool {
        matches!(self, Self::Ruler | Self::Track(_) | Self::Part(_))
    }
}

/// The area under a place.
pub(super) fn area(layout: &Layout, at: Pos2) -> Area {
    if !layout.all.contains(at) {
        return Area::Nothing;
    }
    let beside = at.x < layout.left;
    if layout.strip.y_range().contains(at.y) {
        return if beside { Area::Nothing } else { Area::Strip };
    }
    if layout.ruler.y_range().contains(at.y) {
        return if beside { Area::Nothing } else { Area::Ruler };
    }
    if let Some((row, _)) = layout.tracks.iter().find(|(_, rect)| rect.y_range().contains(at.y)) {
        return if beside { Area::TrackName(*row) } else { Area::Track(*row) };
    }
    if !layout.parts.y_range().contains(at.y) {
        return Area::Nothing;
    }
    match layout.rows.iter().find(|(_, rect)| rect.y_range().contains(at.y)) {
        Some((PartRow::Family { family, .. }, _)) => Area::Family(*family),
        Some((PartRow::Part(part), _)) if beside => Area::PartName(*part),
        Some((PartRow::Part(part), _)) => Area::Part(*part),
        None => Area::Nothing,
    }
}

/// The bar under a screen's x; the nearest one beyond the ends.
pub(super) fn bar(view: &View<'_>, x: f32) -> Option<BarIndex> {
    view.lane.bar_at(view.axis(x))
}

/// The stroke of the beating under a place, where beats can be told apart.
pub(super) fn beat(view: &View<'_>, area: Area, at: Pos2) -> Option<usize> {
    if view.zoom != Zoom::Bar || area != Area::Track(TrackRow::Beating) {
        return None;
    }
    let idx = bar(view, at.x)?;
    let bar = view.movement.bars.get(idx)?;
    let strokes = rows::strokes_of(view, idx)?;
    let place = view.ticks_at(at.x)? - bar.start;
    let place = view.movement.resolution.quarters(place);
    let after = strokes.offsets.partition_point(|offset| *offset <= place);
    (!strokes.offsets.is_empty()).then(|| after.saturating_sub(1))
}
