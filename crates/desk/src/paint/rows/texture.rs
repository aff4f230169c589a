//! The texture row: height is the share of the parts that sound; hatching and words say the class.

use super::super::geometry::View;
use super::super::hatch::{self, Hatch};
use super::super::pens::{text, width};
use crate::model::camera::Zoom;
use barloom_analysis::texture::BarTexture;
use barloom_core::bar::BarIndex;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rangef, Rect, Stroke, pos2};

/// How much of the orchestra sounds.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Class {
    Silence,
    One,
    Few,
    Half,
    Most,
    Tutti,
}

impl Class {
    fn of(texture: &BarTexture) -> Self {
        match texture.n_sounding {
            0 => Self::Silence,
            1 => Self::One,
            _ if texture.share >= 0.9 => Self::Tutti,
            _ if texture.share >= 0.65 => Self::Most,
            _ if texture.share >= 0.35 => Self::Half,
            _ => Self::Few,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Silence => "silence",
            Self::One => "one part",
            Self::Few => "few parts",
            Self::Half => "about half",
            Self::Most => "most",
            Self::Tutti => "tutti",
        }
    }

    const fn hatch(self) -> Hatch {
        match self {
            Self::Silence | Self::One => Hatch::Empty,
            Self::Few => Hatch::Sparse,
            Self::Half => Hatch::Slanted,
            Self::Most => Hatch::Crossed,
            Self::Tutti => Hatch::Solid,
        }
    }
}

/// The class of a bar in words.
pub(in super::super) fn class_words(texture: &BarTexture) -> &'static str {
    Class::of(texture).words()
}

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let Some(tracks) = view.tracks else { return };
    let foot = row.bottom() - 0.45 * view.pens.em;
    let height = row.height() - 1.5 * view.pens.em;
    let top = |texture: &BarTexture| foot - (texture.share * height).max(0.0);
    let bars: Vec<(BarIndex, &BarTexture)> =
        view.bars().filter_map(|(idx, _)| Some((idx, tracks.texture.get(idx.idx())?))).collect();
    if view.zoom <= Zoom::Movement {
        tones(painter, view, &bars, foot, &top);
    } else {
        hatched(painter, view, &bars, foot, &top);
    }
    let outline = Stroke::new(1.2, view.pens.dark());
    let mut before: Option<f32> = None;
    for (idx, texture) in &bars {
        let (left, right) = view.bar_x(*idx);
        let y = top(texture).round() + 0.5;
        if texture.n_sounding > 0 && right - left >= 1.5 {
            painter.hline(Rangef::new(left, right), y, outline);
        }
        if let Some(before) = before.filter(|before| (before - y).abs() > 1.0)
            && right - left >= 6.0
        {
            painter.vline(left, Rangef::new(before.min(y), before.max(y)), outline);
        }
        before = Some(y);
    }
    painter.hline(row.x_range(), foot, Stroke::new(1.0, view.pens.light()));
    words(painter, view, &bars, &top);
}

fn hatched(
    painter: &Painter,
    view: &View<'_>,
    bars: &[(BarIndex, &BarTexture)],
    foot: f32,
    top: &dyn Fn(&BarTexture) -> f32,
) {
    let (ink, tone) = (view.pens.dark(), view.pens.mid());
    for (idx, texture) in bars {
        let (left, right) = view.bar_x(*idx);
        let x = Rangef::new(left.max(view.x_range.min), right.min(view.x_range.max));
        let rect = Rect::from_x_y_ranges(x, Rangef::new(top(texture), foot));
        hatch::fill(painter, rect, Class::of(texture).hatch(), view.x(0.0), ink, tone);
    }
}

/// Where bars are too narrow for hatching, tones; one mesh for all.
fn tones(
    painter: &Painter,
    view: &View<'_>,
    bars: &[(BarIndex, &BarTexture)],
    foot: f32,
    top: &dyn Fn(&BarTexture) -> f32,
) {
    let mut mesh = Mesh::default();
    let mut pending: Option<(Rangef, f32)> = None;
    for (idx, texture) in bars {
        let (left, right) = view.bar_x(*idx);
        let y = top(texture);
        // Bars narrower than a point share a column; the fullest one shows.
        match &mut pending {
            Some((x, column_top)) if right - x.min < 1.0 => {
                x.max = right;
                *column_top = column_top.min(y);
            }
            _ => {
                flush(&mut mesh, pending.take(), foot, view);
                pending = Some((Rangef::new(left, right), y));
            }
        }
    }
    flush(&mut mesh, pending, foot, view);
    painter.add(mesh);
}

fn flush(mesh: &mut Mesh, column: Option<(Rangef, f32)>, foot: f32, view: &View<'_>) {
    if let Some((x, top)) = column {
        let rect = Rect::from_x_y_ranges(x, Rangef::new(top, foot));
        mesh.add_colored_rect(rect, view.pens.light());
    }
}

/// The class at the start of each run of bars, when the run has room for the word.
fn words(
    painter: &Painter,
    view: &View<'_>,
    bars: &[(BarIndex, &BarTexture)],
    top: &dyn Fn(&BarTexture) -> f32,
) {
    if view.zoom <= Zoom::Movement {
        return;
    }
    let font = &view.pens.words_small;
    for run in bars.chunk_by(|(_, a), (_, b)| Class::of(a) == Class::of(b)) {
        let (Some((first, texture)), Some((last, _))) = (run.first(), run.last()) else { continue };
        let words = Class::of(texture).words();
        let left = view.bar_x(*first).0.max(view.x_range.min);
        let needed = width(painter, words, font) + 0.8 * view.pens.em;
        if view.bar_x(*last).1.min(view.x_range.max) - left < needed {
            continue;
        }
        // Over the highest bar that the word reaches.
        let under = |(idx, _): &&(BarIndex, &BarTexture)| view.bar_x(*idx).0 < left + needed;
        let over = run.iter().take_while(under).map(|(_, t)| top(t)).fold(f32::MAX, f32::min);
        let at = pos2(left + 0.4 * view.pens.em, over - 1.0);
        text(painter, at, Align2::LEFT_BOTTOM, words, font, view.pens.dark());
    }
}
