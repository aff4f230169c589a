//! The legend: every sign of the grid, drawn by the code that draws the grid, beside its meaning.

use super::hatch::{self, Hatch};
use super::part_bars::{Manner, PartBars, Stretch};
use super::parts;
use super::pens::Pens;
use super::rows;
use crate::ctx::Ctx;
use crate::model::action::Action;
use barloom_core::time::Ticks;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rangef, Rect, RichText, Sense, Stroke, Ui, pos2, vec2};

/// A sample of the legend.
#[derive(Clone, Copy)]
enum Sample {
    Bar { manner: Manner, muted: bool, loudness: (f32, f32) },
    Strokes { chosen: bool },
    Held,
    Lift,
    Hatch(Hatch),
    Handed,
    Dotted,
    Entrance { cue: bool },
    Mark,
    Attack,
    Covered,
}

const fn bar(manner: Manner, muted: bool) -> Sample {
    Sample::Bar { manner, muted, loudness: (0.6, 0.6) }
}

/// What is explained, under its headings.
const SIGNS: [(&str, &[(Sample, &str)]); 5] = [
    (
        "Part rows",
        &[
            (
                Sample::Bar { manner: Manner::Ordinary, muted: false, loudness: (0.0, 1.0) },
                "plays; thicker and darker is louder",
            ),
            (bar(Manner::Struck, false), "plucked or struck"),
            (bar(Manner::Tremolo, false), "tremolo, roll, flutter-tongue"),
            (bar(Manner::Harmonics, false), "harmonics"),
            (bar(Manner::Trill, false), "trill"),
            (bar(Manner::Ordinary, true), "in a frame: muted or stopped"),
            (bar(Manner::Struck, true), "muted and plucked"),
            (Sample::Mark, "a mark for this part"),
        ],
    ),
    (
        "Beating",
        &[
            (Sample::Strokes { chosen: true }, "chosen: full strokes"),
            (Sample::Strokes { chosen: false }, "proposed: open strokes"),
            (Sample::Held, "held, or joined to the next bar"),
            (Sample::Lift, "lift or breath"),
        ],
    ),
    (
        "Texture and line",
        &[
            (Sample::Hatch(Hatch::Level), "unison or octaves"),
            (Sample::Hatch(Hatch::Slanted), "melody and accompaniment"),
            (Sample::Hatch(Hatch::Upright), "homophony: all in one rhythm"),
            (Sample::Hatch(Hatch::Crossed), "polyphony"),
            (Sample::Hatch(Hatch::Solid), "tutti"),
            (Sample::Handed, "the line goes to other parts"),
        ],
    ),
    (
        "Mutes, bows and entrances",
        &[
            (Sample::Dotted, "muted so long"),
            (Sample::Entrance { cue: false }, "an entry, with the rest before it"),
            (Sample::Entrance { cue: true }, "a cue is wanted"),
        ],
    ),
    (
        "Attacks and balance",
        &[
            (Sample::Attack, "fast and slow sounds begin together; larger needs more care"),
            (
                Sample::Covered,
                "the line over or under the rest; hatched: likely covered (estimate)",
            ),
        ],
    ),
];

/// Draws the legend over the lower right corner of the grid.
pub(super) fn legend_ui(ui: &Ui, ctx: &Ctx<'_>, pens: &Pens<'_>, all: Rect) {
    let corner = pos2(all.right() - pens.em, all.bottom() - pens.em);
    let id = ui.unique_id().with("legend");
    egui::Area::new(id)
        .order(egui::Order::Middle)
        .fixed_pos(corner)
        .pivot(Align2::RIGHT_BOTTOM)
        .constrain_to(all)
        .show(ui.ctx(), |ui| {
            egui::Frame::new()
                .fill(pens.theme.ink.panel)
                .stroke(Stroke::new(1.0, pens.mid()))
                .inner_margin(pens.em)
                .show(ui, |ui| content_ui(ui, ctx, pens));
        });
}

fn content_ui(ui: &mut Ui, ctx: &Ctx<'_>, pens: &Pens<'_>) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Signs of the grid").font(pens.body_bold.clone()));
        ui.add_space(pens.em);
        if ui.button("Close").clicked() {
            ctx.send(Action::Legend(false));
        }
    });
    ui.add_space(0.3 * pens.em);
    ui.horizontal_top(|ui| {
        let (left, right) = SIGNS.split_at(1);
        for column in [left, right] {
            ui.vertical(|ui| {
                for (heading, signs) in column {
                    ui.label(
                        RichText::new(*heading).font(pens.small_bold.clone()).color(pens.mid()),
                    );
                    for (sample, words) in *signs {
                        line_ui(ui, pens, *sample, words);
                    }
                    ui.add_space(0.4 * pens.em);
                }
            });
            ui.add_space(pens.em);
        }
    });
}

fn line_ui(ui: &mut Ui, pens: &Pens<'_>, sample: Sample, words: &str) {
    ui.horizontal(|ui| {
        let size = vec2(5.0, 1.6) * pens.em;
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        draw(ui.painter(), pens, sample, rect.shrink2(vec2(1.0, 1.0)));
        ui.label(RichText::new(words).font(pens.small.clone()));
    });
}

fn draw(painter: &Painter, pens: &Pens<'_>, sample: Sample, rect: Rect) {
    let ink = Stroke::new(1.3, pens.ink());
    let middle = rect.center();
    match sample {
        Sample::Bar { manner, muted, loudness } => {
            let stretch = Stretch {
                from: Ticks::ZERO,
                to: Ticks(1),
                loudness: Some(loudness),
                muted,
                manner,
                axis: (0.0, 1.0),
            };
            let part = PartBars { stretches: vec![stretch] };
            let (mut mesh, mut over) = (Mesh::default(), Vec::new());
            let x = |axis: f32| rect.left() + axis * rect.width();
            let place = (rect.x_range(), rect);
            parts::bars(pens, &mut mesh, &mut over, &part, &x, (0.0, 1.0), place);
            painter.add(mesh);
            painter.extend(over);
        }
        Sample::Strokes { chosen } => {
            let color = if chosen { pens.ink() } else { pens.mid() };
            for nth in 0..4 {
                let x = rect.left() + 4.0 + nth as f32 * rect.width() / 4.0;
                let y = Rangef::point(middle.y).expand(5.5);
                rows::stroke(painter, x, y, 10.0, chosen, color);
            }
        }
        Sample::Held => rows::slur(painter, (rect.left(), rect.right()), middle.y, pens.ink()),
        Sample::Lift => {
            let points = [(-3.0, -4.0), (0.0, 5.0), (3.0, -4.0)];
            painter.line(points.map(|(dx, dy)| middle + vec2(dx, dy)).to_vec(), ink);
        }
        Sample::Hatch(pattern) => {
            hatch::fill(painter, rect, pattern, rect.left(), pens.dark(), pens.mid());
            painter.hline(rect.x_range(), rect.top(), Stroke::new(1.2, pens.dark()));
        }
        Sample::Handed => {
            let mut mesh = Mesh::default();
            rows::handed(&mut mesh, pens, pos2(middle.x - 0.3 * pens.em, middle.y));
            painter.add(mesh);
        }
        Sample::Dotted => {
            let span = [pos2(rect.left(), middle.y), pos2(rect.right(), middle.y)];
            painter.extend(egui::Shape::dotted_line(&span, pens.dark(), 3.6, 0.8));
        }
        Sample::Entrance { cue } => {
            let x = middle.x;
            let tail = Rangef::new(rect.left(), x);
            painter.hline(tail, middle.y, Stroke::new(1.6, pens.light()));
            let width = if cue { 2.4 } else { 1.4 };
            painter.vline(x, rect.y_range(), Stroke::new(width, pens.ink()));
            if cue {
                painter.circle_stroke(pos2(x + pens.em, middle.y), 0.32 * pens.em, ink);
            }
        }
        Sample::Attack => rows::attack_sample(painter, pens, middle, 0.45 * rect.height()),
        Sample::Covered => {
            let (left, right) = (rect.left(), rect.right());
            let lower = Rect::from_min_max(pos2(middle.x, middle.y), rect.max);
            hatch::fill(painter, lower, Hatch::Slanted, left, pens.dark(), pens.mid());
            painter.hline(rect.x_range(), middle.y, Stroke::new(1.0, pens.light()));
            let (over, under) = (rect.top() + 2.0, rect.bottom() - 2.0);
            let line = [(left, over), (middle.x, over), (middle.x, under), (right, under)];
            painter.line(line.map(|(x, y)| pos2(x, y)).to_vec(), Stroke::new(1.4, pens.dark()));
        }
        Sample::Mark => {
            let points = [(0.0, 0.0), (5.0, 0.0), (0.0, 6.0)];
            let corner = middle - vec2(2.0, 3.0);
            let points = points.map(|(dx, dy)| corner + vec2(dx, dy)).to_vec();
            painter.add(egui::Shape::convex_polygon(points, pens.ink(), Stroke::NONE));
        }
    }
}
