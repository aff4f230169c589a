//! The row of changes of mutes, bows, instruments, pedals and drums: an open triangle where time
//! lacks, thick where the change is hardly to be done, with the seconds there are and what is changed; a
//! short stroke where there is time enough. Where words have no room, those of the worst stay.

use super::super::geometry::View;
use super::super::pens::{fitted, text, width};
use crate::model::camera::Zoom;
use crate::model::lists::change_words;
use barloom_analysis::MovementTracks;
use barloom_analysis::changes::{Change, Verdict};
use barloom_analysis::say;
use barloom_core::bar::BarIndex;
use barloom_core::time::Ticks;
use egui::epaint::PathShape;
use egui::{Align2, Color32, Painter, Rangef, Rect, Stroke, pos2};

/// Width of the triangle in ems.
const SIGN_EMS: f32 = 0.8;

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let pens = view.pens;
    let base = row.center().y + 0.4 * pens.em;
    let mut taken: Vec<Rangef> = Vec::new();
    for change in seen(view) {
        let x = view.tick_x(change.at).round();
        if change.is_short() {
            triangle(painter, view, x, base, change.verdict);
            taken.push(Rangef::new(x - 0.5 * SIGN_EMS * pens.em, x + 0.5 * SIGN_EMS * pens.em));
        } else if view.zoom > Zoom::Movement {
            let y = Rangef::new(base - 0.35 * pens.em, base);
            painter.vline(x, y, Stroke::new(1.0, pens.light()));
        }
    }
    if view.zoom <= Zoom::Movement {
        return;
    }
    let mut worst: Vec<&Change> = seen(view).iter().filter(|change| change.is_short()).collect();
    worst.sort_by(|a, b| b.lack().total_cmp(&a.lack()));
    for change in worst {
        words_beside(painter, view, change, base, &mut taken);
    }
}

/// The seconds and what is changed, as far as there is room between the signs and words so far.
fn words_beside(
    painter: &Painter,
    view: &View<'_>,
    change: &Change,
    base: f32,
    taken: &mut Vec<Rangef>,
) {
    let pens = view.pens;
    let left = view.tick_x(change.at).round() + (0.5 * SIGN_EMS + 0.2) * pens.em;
    let blocked = taken.iter().filter(|other| other.max > left);
    let room = blocked.map(|other| other.min - left).fold(24.0 * pens.em, f32::min);
    let seconds = format!("{} s", say::seconds(change.available_seconds));
    let font = &pens.small;
    if width(painter, &seconds, font) > room {
        return;
    }
    let part = view.ctx.basis.score.parts.get(change.part.idx());
    let part = part.map_or("", |part| part.short.as_str());
    let all = format!("{seconds} {part} {} {}", change.players_in_words(), change.what);
    let all = all.split_whitespace().collect::<Vec<_>>().join(" ");
    let shown = if width(painter, &all, font) <= room {
        all
    } else if room > 6.0 * pens.em {
        fitted(painter, &all, font, room)
    } else {
        seconds
    };
    let at = pos2(left, base + 0.15 * pens.em);
    let drawn = text(painter, at, Align2::LEFT_BOTTOM, &shown, font, pens.dark());
    taken.push(Rangef::new(left, drawn.right() + 0.4 * pens.em));
}

/// An open triangle that stands on a line, its middle at `x`; thick where time is too short.
pub(super) fn triangle(painter: &Painter, view: &View<'_>, x: f32, base: f32, verdict: Verdict) {
    let pens = view.pens;
    let half = 0.5 * SIGN_EMS * pens.em;
    let corners = vec![pos2(x - half, base), pos2(x, base - 1.7 * half), pos2(x + half, base)];
    let thick = if verdict == Verdict::TooShort { 1.8 } else { 1.0 };
    let color: Color32 = if verdict == Verdict::TooShort { pens.ink() } else { pens.dark() };
    painter.add(PathShape::closed_line(corners, Stroke::new(thick, color)));
}

/// The changes in view.
pub(super) fn seen<'a>(view: &View<'a>) -> &'a [Change] {
    let Some(tracks) = view.tracks else { return &[] };
    let changes = &tracks.changes.changes;
    let (from, to) = view.tick_span();
    let first = changes.partition_point(|change| change.at < from);
    let last = changes.partition_point(|change| change.at < to);
    changes.get(first..last).unwrap_or_default()
}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(view: &View<'_>, tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    let short = tracks.changes.changes.iter().filter(|change| change.is_short());
    let bar = |change: &Change| view.movement.place(change.at).0;
    short.map(|change| (bar(change), bar(change))).collect()
}

/// What the row says about a place, in one line: the worst of the bar.
pub(super) fn words(view: &View<'_>, bar: BarIndex, _at: Ticks) -> Option<String> {
    let tracks = view.tracks?;
    let here = view.movement.bars.get(bar)?;
    let changes = &tracks.changes.changes;
    let first = changes.partition_point(|change| change.at < here.start);
    let last = changes.partition_point(|change| change.at < here.end());
    let inside = changes.get(first..last)?;
    let worst = inside.iter().max_by(|a, b| a.lack().total_cmp(&b.lack()))?;
    let part = view.ctx.basis.score.parts.get(worst.part.idx());
    let part = part.map_or("", |part| part.name.as_str());
    let name = view.movement.bar_name(bar);
    let more = match inside.len() - 1 {
        0 => String::new(),
        n => format!(" · and {n} more"),
    };
    Some(format!("Bar {name}: {part}, {}{more}", change_words(worst)))
}
