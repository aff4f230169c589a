//! The row of fast and slow attacks together: at each moment a stroke for those that speak at once and
//! a wedge for those that swell, the larger the more care it needs; the parts where there is room, the
//! moments of most care first.

use super::super::geometry::View;
use super::super::pens::{Pens, text, width};
use crate::model::camera::Zoom;
use barloom_analysis::MovementTracks;
use barloom_analysis::mixed::MixedAttack;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::time::Ticks;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Pos2, Rangef, Rect, Stroke, pos2};

/// So many parts of each side are named.
const NAMED: usize = 2;

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let em = view.pens.em;
    let attacks = seen(view);
    let mut mesh = Mesh::default();
    let mut taken: Vec<Rangef> = Vec::new();
    for attack in attacks {
        let x = view.tick_x(attack.at).round();
        sign(painter, &mut mesh, view, x, attack.weight, row);
        taken.push(Rangef::new(x - 1.0, x + SIGN_EMS * em));
    }
    painter.add(mesh);
    if view.zoom <= Zoom::Movement {
        return;
    }
    let mut worst: Vec<&MixedAttack> = attacks.iter().collect();
    worst.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let font = &view.pens.small;
    for attack in worst {
        let words = names(view, attack);
        let left = view.tick_x(attack.at).round() + (SIGN_EMS + 0.2) * em;
        let span = Rangef::new(left, left + width(painter, &words, font) + 0.4 * em);
        if taken.iter().any(|other| span.min < other.max && other.min < span.max) {
            continue;
        }
        let at = pos2(left, row.center().y);
        text(painter, at, Align2::LEFT_CENTER, &words, font, view.pens.dark());
        taken.push(span);
    }
}

/// Width of the sign in ems.
const SIGN_EMS: f32 = 0.75;

/// The stroke and, seen close, the wedge; both grow with the weight.
fn sign(painter: &Painter, mesh: &mut Mesh, view: &View<'_>, x: f32, weight: f32, row: Rect) {
    let share = ((weight - 2.0) / 5.0).clamp(0.3, 1.0);
    let half = share * (0.5 * row.height() - 3.0);
    let at = pos2(x, row.center().y);
    painter.vline(x, Rangef::point(at.y).expand(half), stroke(view.pens, share));
    if view.zoom > Zoom::Movement {
        wedge(mesh, view.pens, at, half);
    }
}

fn stroke(pens: &Pens<'_>, share: f32) -> Stroke {
    Stroke::new(if share > 0.6 { 2.2 } else { 1.4 }, pens.ink())
}

fn wedge(mesh: &mut Mesh, pens: &Pens<'_>, at: Pos2, half: f32) {
    let base = mesh.vertices.len() as u32;
    let right = at.x + SIGN_EMS * pens.em;
    for corner in [pos2(at.x + 2.0, at.y), pos2(right, at.y - half), pos2(right, at.y + half)] {
        mesh.colored_vertex(corner, pens.mid());
    }
    mesh.add_triangle(base, base + 1, base + 2);
}

/// The sign for the legend.
pub(in super::super) fn sample(painter: &Painter, pens: &Pens<'_>, at: Pos2, half: f32) {
    let mut mesh = Mesh::default();
    painter.vline(at.x, Rangef::point(at.y).expand(half), stroke(pens, 1.0));
    wedge(&mut mesh, pens, at, half);
    painter.add(mesh);
}

fn seen<'a>(view: &View<'a>) -> &'a [MixedAttack] {
    let Some(tracks) = view.tracks else { return &[] };
    let (from, to) = view.tick_span();
    let first = tracks.mixed.partition_point(|attack| attack.at < from);
    let last = tracks.mixed.partition_point(|attack| attack.at < to);
    tracks.mixed.get(first..last).unwrap_or_default()
}

/// "Xyl. + Tba.", of each side the first parts.
fn names(view: &View<'_>, attack: &MixedAttack) -> String {
    let side = |parts: &mut dyn Iterator<Item = PartIdx>| {
        let parts: Vec<PartIdx> = parts.collect();
        let named = parts.iter().take(NAMED);
        let short = |part: &PartIdx| view.ctx.basis.score.parts.get(part.idx());
        let named: Vec<&str> = named.filter_map(short).map(|part| part.short.as_str()).collect();
        let more = if parts.len() > NAMED { " …" } else { "" };
        format!("{}{more}", named.join(", "))
    };
    format!("{} + {}", side(&mut attack.fastest()), side(&mut attack.slowest()))
}

/// Where the row has something to show, first and last bar each, in order.
pub(super) fn spans(tracks: &MovementTracks) -> Vec<(BarIndex, BarIndex)> {
    tracks.mixed.iter().map(|attack| (attack.bar, attack.bar)).collect()
}

/// What the row says about a place, in one line.
pub(super) fn words(view: &View<'_>, bar: BarIndex, at: Ticks) -> Option<String> {
    let in_bar = view.tracks?.mixed.iter().filter(|attack| attack.bar == bar);
    let attack = in_bar.min_by_key(|attack| (attack.at.0 - at.0).abs())?;
    let name = view.movement.bar_name(bar);
    Some(format!("Bar {name}: {}. {}", attack.in_words(), attack.advice))
}
