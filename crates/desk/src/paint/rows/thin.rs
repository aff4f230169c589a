//! A thin row: a line wherever the open row would show something.

use super::super::geometry::View;
use super::super::prepared::StudyView;
use super::{attacks, balance, changes, doublings, lead, ranges, strings};
use crate::model::view_state::TrackRow;
use barloom_core::bar::BarIndex;
use egui::epaint::Mesh;
use egui::{Painter, Rangef, Rect};

pub(super) fn paint(
    painter: &Painter,
    view: &View<'_>,
    study: &StudyView<'_>,
    row: TrackRow,
    rect: Rect,
) {
    let y = rect.center().y.round();
    let mut mesh = Mesh::default();
    for (from, to) in spans(view, study, row) {
        if view.seen.is_none_or(|(first, last)| to < first || from > last) {
            continue;
        }
        let (left, right) = (view.bar_x(from).0, view.bar_x(to).1);
        let x = Rangef::new(left.max(view.x_range.min), (right - 1.0).min(view.x_range.max));
        if x.span() > 0.0 {
            let line = Rect::from_x_y_ranges(x, Rangef::new(y - 1.0, y + 1.0));
            mesh.add_colored_rect(line, view.pens.mid());
        }
    }
    painter.add(mesh);
}

/// First and last bars of what the open row shows.
fn spans(view: &View<'_>, study: &StudyView<'_>, row: TrackRow) -> Vec<(BarIndex, BarIndex)> {
    if row == TrackRow::Groups {
        return study.groups.iter().map(|(_, group)| (group.from, group.to)).collect();
    }
    let Some(tracks) = view.tracks else { return Vec::new() };
    let place = |at| view.movement.place(at).0;
    match row {
        TrackRow::Lead => lead::spans(tracks),
        TrackRow::Doublings => doublings::spans(tracks),
        TrackRow::Balance => balance::spans(tracks),
        TrackRow::Strings => strings::spans(tracks),
        TrackRow::Changes => changes::spans(view, tracks),
        TrackRow::Attacks => attacks::spans(tracks),
        TrackRow::Ranges => ranges::spans(tracks),
        TrackRow::Devices => {
            let spans = tracks.devices.spans.iter();
            spans.map(|span| (place(span.from), place(span.to))).collect()
        }
        TrackRow::Entrances => tracks.entrances.iter().map(|e| (e.bar, e.bar)).collect(),
        _ => Vec::new(),
    }
}
