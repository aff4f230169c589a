//! The row of fast and slow attacks together.

use super::super::geometry::View;
use barloom_analysis::MovementTracks;
use barloom_core::bar::BarIndex;
use barloom_core::time::Ticks;
use egui::{Painter, Rect};

pub(super) fn paint(_painter: &Painter, _view: &View<'_>, _row: Rect) {}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(_tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    Vec::new()
}

/// What the row says about a place, in one line.
pub(super) fn words(_view: &View<'_>, _bar: BarIndex, _at: Ticks) -> Option<String> {
    None
}
