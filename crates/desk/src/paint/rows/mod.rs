//! The track rows: one file a row, each a drawing function over the visible bars.

mod beating;
mod devices;
mod dynamics;
mod entrances;
mod groups;
mod marks;
mod meter;
mod texture;

pub(super) use beating::{slur, stroke, strokes_of};
pub(super) use devices::named as parts_named;
pub(super) use groups::counted;
pub(super) use texture::class_words;

use super::geometry::View;
use super::prepared::{Prepared, StudyView};
use crate::model::view_state::TrackRow;
use egui::{Painter, Rect};

/// Draws one track row into its rectangle; the painter is clipped to the bars' area.
pub(super) fn paint(
    painter: &Painter,
    view: &View<'_>,
    prepared: &Prepared,
    study: &StudyView<'_>,
    row: TrackRow,
    rect: Rect,
) {
    match row {
        TrackRow::Meter => meter::paint(painter, view, rect),
        TrackRow::Beating => beating::paint(painter, view, prepared, study, rect),
        TrackRow::Groups => groups::paint(painter, view, study, rect),
        TrackRow::Texture => texture::paint(painter, view, rect),
        TrackRow::Dynamics => dynamics::paint(painter, view, prepared, rect),
        TrackRow::Devices => devices::paint(painter, view, prepared, rect),
        TrackRow::Entrances => entrances::paint(painter, view, study, rect),
        TrackRow::Marks => marks::paint(painter, view, study, rect),
    }
}
