//! The track rows: one file a row, each a drawing function over the visible bars.

mod attacks;
mod balance;
mod beating;
mod changes;
mod devices;
mod doublings;
mod dynamics;
mod entrances;
mod groups;
mod lead;
mod marks;
mod meter;
mod ranges;
mod strings;
mod texture;
mod thin;

pub(super) use attacks::sample as attack_sample;
pub(super) use beating::{slur, stroke, strokes_of};
pub(super) use devices::named as parts_named;
pub(super) use groups::counted;
pub(super) use lead::sign as handed;

use super::geometry::View;
use super::prepared::{Prepared, StudyView};
use crate::model::view_state::TrackRow;
use barloom_core::bar::BarIndex;
use barloom_core::time::Ticks;
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
    if view.ctx.view.thin_rows.contains(&row) {
        thin::paint(painter, view, study, row, rect);
        return;
    }
    match row {
        TrackRow::Meter => meter::paint(painter, view, rect),
        TrackRow::Beating => beating::paint(painter, view, prepared, study, rect),
        TrackRow::Groups => groups::paint(painter, view, study, rect),
        TrackRow::Texture => texture::paint(painter, view, rect),
        TrackRow::Dynamics => dynamics::paint(painter, view, prepared, rect),
        TrackRow::Devices => devices::paint(painter, view, prepared, rect),
        TrackRow::Entrances => entrances::paint(painter, view, study, rect),
        TrackRow::Marks => marks::paint(painter, view, study, rect),
        TrackRow::Lead => lead::paint(painter, view, rect),
        TrackRow::Doublings => doublings::paint(painter, view, rect),
        TrackRow::Balance => balance::paint(painter, view, rect),
        TrackRow::Strings => strings::paint(painter, view, rect),
        TrackRow::Changes => changes::paint(painter, view, rect),
        TrackRow::Attacks => attacks::paint(painter, view, rect),
        TrackRow::Ranges => ranges::paint(painter, view, rect),
    }
}

/// What a row of the ensemble says about a place; `None` for other rows.
pub(super) fn ensemble_words(
    view: &View<'_>,
    row: TrackRow,
    bar: BarIndex,
    at: Ticks,
) -> Option<String> {
    match row {
        TrackRow::Texture => texture::line(view, bar),
        TrackRow::Lead => lead::words(view, bar, at),
        TrackRow::Doublings => doublings::words(view, bar, at),
        TrackRow::Balance => balance::words(view, bar, at),
        TrackRow::Strings => strings::words(view, bar, at),
        TrackRow::Changes => changes::words(view, bar, at),
        TrackRow::Attacks => attacks::words(view, bar, at),
        TrackRow::Ranges => ranges::words(view, bar, at),
        _ => None,
    }
}
