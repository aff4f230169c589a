//! The mutes and bows row: a dotted rule for muted, a plain one for the rest, the words as printed
//! with the parts they bind; an open triangle with the seconds where a change lacks time.

use super::super::geometry::View;
use super::super::pens::{fitted, text, width};
use super::super::prepared::{DeviceRun, Prepared};
use super::changes;
use crate::model::camera::Zoom;
use barloom_core::event::Device;
use egui::epaint::Mesh;
use egui::{Align2, Color32, Painter, Rect, pos2};

/// Names at most this many parts beside the words.
const MAX_NAMED: usize = 3;

pub(super) fn paint(painter: &Painter, view: &View<'_>, prepared: &Prepared, row: Rect) {
    let (from, to) = view.tick_span();
    let pens = view.pens;
    let lane_height = 1.35 * pens.em;
    let seen = |run: &&DeviceRun| run.from < to && run.to > from;
    let mut taken = [f32::MIN; 3];
    // Runs narrower than this cannot be told apart.
    let narrowest = if view.zoom <= Zoom::Movement { 2.0 } else { 0.0 };
    let runs: Vec<&DeviceRun> = prepared
        .devices
        .iter()
        .filter(seen)
        .filter(|run| view.x(run.axis.1) - view.x(run.axis.0) >= narrowest)
        .collect();
    // From right to left, to know where the next run of each lane begins.
    let mut next = [row.right(); 3];
    let mut limits = vec![row.right(); runs.len()];
    for (run, limit) in runs.iter().zip(&mut limits).rev() {
        if let Some(next) = next.get_mut(run.lane) {
            *limit = std::mem::replace(next, view.x(run.axis.0));
        }
    }
    // All rules are one mesh: there may be thousands.
    let mut mesh = Mesh::default();
    for (run, limit) in runs.iter().zip(limits) {
        let y = row.top() + 1.35 * pens.em + lane_height * (run.lane as f32 + 1.0);
        let Some(free_from) = taken.get_mut(run.lane) else { continue };
        rule(&mut mesh, view, run, y.round());
        *free_from = words(painter, view, run, y.round(), *free_from, limit);
    }
    painter.add(mesh);
    lacks(painter, view, row);
}

/// A triangle at the top edge where a mute or the bow is changed with too little time, with the
/// seconds there are; where they stand too close, the first.
fn lacks(painter: &Painter, view: &View<'_>, row: Rect) {
    use barloom_analysis::changes::ChangeKind as Kind;
    let pens = view.pens;
    let of_hands = [Kind::MuteOn, Kind::MuteOff, Kind::MuteSwap, Kind::ToPlucked, Kind::ToBowed];
    let base = row.top() + 1.25 * pens.em;
    let mut free_from = f32::MIN;
    for change in changes::seen(view) {
        let x = view.tick_x(change.at).round();
        if !change.is_short() || !of_hands.contains(&change.kind) || x < free_from {
            continue;
        }
        changes::triangle(painter, view, x, base, change.verdict);
        free_from = x + pens.em;
        if view.zoom > Zoom::Movement {
            let seconds = barloom_analysis::say::seconds(change.available_seconds);
            let at = pos2(x + 0.55 * pens.em, base + 0.15 * pens.em);
            let words = format!("{seconds} s");
            let drawn = text(painter, at, Align2::LEFT_BOTTOM, &words, &pens.small, pens.dark());
            free_from = drawn.right() + 0.6 * pens.em;
        }
    }
}

/// The rule of a run: dotted for muted, with a hook at its start and a short one at its end.
fn rule(mesh: &mut Mesh, view: &View<'_>, run: &DeviceRun, y: f32) {
    let pens = view.pens;
    let (x0, x1) = (view.x(run.axis.0), view.x(run.axis.1).min(view.x_range.max));
    let left = x0.max(view.x_range.min).round();
    let mut add = |x: f32, top: f32, width: f32, bottom: f32, color: Color32| {
        mesh.add_colored_rect(Rect::from_min_max(pos2(x, top), pos2(x + width, bottom)), color);
    };
    if run.device == Device::Mute {
        let mut x = left + 2.0;
        while x < x1 {
            add(x, y, 1.6, y + 1.6, pens.dark());
            x += 4.0;
        }
    } else {
        add(left + 1.0, y, x1 - left - 1.0, y + 1.0, pens.mid());
    }
    if x0 >= view.x_range.min && x1 - x0 > 4.0 {
        add(left, y - 0.6 * pens.em, 1.0, y + 1.0, pens.dark());
    }
    if run.ended && x1 < view.x_range.max && x1 - x0 > 8.0 {
        add(x1.round() - 1.0, y - 0.3 * pens.em, 1.0, y + 1.0, pens.dark());
    }
}

/// The words over a run; answers where words of the same lane may go on.
fn words(
    painter: &Painter,
    view: &View<'_>,
    run: &DeviceRun,
    y: f32,
    free_from: f32,
    next: f32,
) -> f32 {
    let pens = view.pens;
    let em = pens.em;
    let x1 = view.x(run.axis.1).min(view.x_range.max);
    let left = view.x(run.axis.0).max(view.x_range.min);
    if view.zoom <= Zoom::Movement && x1 - left < 3.0 * em {
        return free_from;
    }
    let start = (left + 0.4 * em).max(free_from);
    let room = next - start - 0.4 * em;
    if room < 1.4 * em {
        return free_from;
    }
    let words = format!("{} {}", run.words, named(view, run));
    let font = &pens.words_small;
    // Without the parts rather than cut in the middle of them.
    let shown = if width(painter, &words, font) <= room {
        words
    } else {
        fitted(painter, &run.words, font, room)
    };
    if shown.is_empty() {
        return free_from;
    }
    let color = if run.device == Device::Mute { pens.ink() } else { pens.dark() };
    let at = pos2(start, y - 1.0);
    text(painter, at, Align2::LEFT_BOTTOM, &shown, font, color).right() + 0.4 * em
}

/// The parts a run binds, by their short names.
pub(in super::super) fn named(view: &View<'_>, run: &DeviceRun) -> String {
    let parts = &view.ctx.basis.score.parts;
    let mut names: Vec<&str> = run
        .parts
        .iter()
        .take(MAX_NAMED)
        .filter_map(|part| parts.get(part.idx()).map(|part| part.short.as_str()))
        .collect();
    let more = run.parts.len().saturating_sub(MAX_NAMED);
    let more = format!("and {more} more");
    if run.parts.len() > MAX_NAMED {
        names.push(&more);
    }
    names.join(", ")
}
