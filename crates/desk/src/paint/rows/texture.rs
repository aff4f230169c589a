//! The texture row: height is the share of the parts that sound; hatching and words say the class.

use super::super::geometry::View;
use super::super::hatch::{self, Hatch};
use super::super::pens::{text, width};
use crate::model::camera::Zoom;
use crate::model::place::span_words;
use barloom_analysis::texture::{BarTexture, TextureClass, TextureSpan, span_at};
use barloom_core::bar::BarIndex;
use egui::epaint::Mesh;
use egui::{Align2, Painter, Rangef, Rect, Stroke, pos2};

/// What is drawn of a bar.
struct Seen<'a> {
    bar: BarIndex,
    texture: &'a BarTexture,
    class: TextureClass,
}

const fn hatch_of(class: TextureClass) -> Hatch {
    match class {
        TextureClass::Silence | TextureClass::Solo => Hatch::Empty,
        TextureClass::Octaves => Hatch::Level,
        TextureClass::Melody => Hatch::Slanted,
        TextureClass::Homophony => Hatch::Upright,
        TextureClass::Polyphony => Hatch::Crossed,
        TextureClass::Tutti => Hatch::Solid,
    }
}

/// What the row says about a bar, in one line.
pub(super) fn line(view: &View<'_>, bar: BarIndex) -> Option<String> {
    let tracks = view.tracks?;
    let texture = tracks.texture.get(bar.idx())?;
    let name = view.movement.bar_name(bar);
    let Some(span) = span_at(&tracks.textures, bar) else { return Some(format!("Bar {name}")) };
    let share = (texture.share * 100.0).round();
    let here = match texture.n_sounding {
        0 => return Some(format!("Bar {name}: silence")),
        1 => format!("Bar {name}: {}, one part alone", span.words()),
        n => format!("Bar {name}: {}; {n} parts ({share} %) sound", span.words()),
    };
    let mut said = vec![here];
    if span.n_lines > 1 {
        let span_words = span_words(view.movement, span.from, span.to);
        said.push(format!("{span_words}: {}", span.numbers()));
    }
    said.push(span.strength());
    said.retain(|words| !words.is_empty());
    Some(said.join("; "))
}

pub(super) fn paint(painter: &Painter, view: &View<'_>, row: Rect) {
    let Some(tracks) = view.tracks else { return };
    let foot = row.bottom() - 0.45 * view.pens.em;
    let height = row.height() - 1.5 * view.pens.em;
    let top = |texture: &BarTexture| foot - (texture.share * height).max(0.0);
    let seen = |bar: BarIndex| {
        let class = span_at(&tracks.textures, bar).map_or(TextureClass::Silence, |span| span.class);
        Some(Seen { bar, texture: tracks.texture.get(bar.idx())?, class })
    };
    let bars: Vec<Seen<'_>> = view.bars().filter_map(|(bar, _)| seen(bar)).collect();
    if view.zoom <= Zoom::Movement {
        tones(painter, view, &bars, foot, &top);
    } else {
        hatched(painter, view, &bars, foot, &top);
    }
    let outline = Stroke::new(1.2, view.pens.dark());
    let mut before: Option<f32> = None;
    for Seen { bar, texture, .. } in &bars {
        let (left, right) = view.bar_x(*bar);
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
    bars: &[Seen<'_>],
    foot: f32,
    top: &dyn Fn(&BarTexture) -> f32,
) {
    let (ink, tone) = (view.pens.dark(), view.pens.mid());
    for Seen { bar, texture, class } in bars {
        let (left, right) = view.bar_x(*bar);
        let x = Rangef::new(left.max(view.x_range.min), right.min(view.x_range.max));
        let rect = Rect::from_x_y_ranges(x, Rangef::new(top(texture), foot));
        hatch::fill(painter, rect, hatch_of(*class), view.x(0.0), ink, tone);
    }
}

/// A column of a point or more: left and right, top, whether it is a tutti.
type Column = (Rangef, f32, bool);

/// Where bars are too narrow for hatching, tones, a darker one for a tutti; one mesh for all.
fn tones(
    painter: &Painter,
    view: &View<'_>,
    bars: &[Seen<'_>],
    foot: f32,
    top: &dyn Fn(&BarTexture) -> f32,
) {
    let mut mesh = Mesh::default();
    let mut pending: Option<Column> = None;
    for Seen { bar, texture, class } in bars {
        let (left, right) = view.bar_x(*bar);
        let (y, tutti) = (top(texture), *class == TextureClass::Tutti);
        // Bars narrower than a point share a column; the fullest one shows.
        match &mut pending {
            Some((x, column_top, column_tutti)) if right - x.min < 1.0 => {
                x.max = right;
                *column_top = column_top.min(y);
                *column_tutti |= tutti;
            }
            _ => {
                flush(&mut mesh, pending.take(), foot, view);
                pending = Some((Rangef::new(left, right), y, tutti));
            }
        }
    }
    flush(&mut mesh, pending, foot, view);
    painter.add(mesh);
}

fn flush(mesh: &mut Mesh, column: Option<Column>, foot: f32, view: &View<'_>) {
    if let Some((x, top, tutti)) = column {
        let rect = Rect::from_x_y_ranges(x, Rangef::new(top, foot));
        mesh.add_colored_rect(rect, if tutti { view.pens.mid() } else { view.pens.light() });
    }
}

/// The class at the start of each run of bars, when the run has room for the word.
fn words(painter: &Painter, view: &View<'_>, bars: &[Seen<'_>], top: &dyn Fn(&BarTexture) -> f32) {
    if view.zoom <= Zoom::Movement {
        return;
    }
    let font = &view.pens.words_small;
    let Some(tracks) = view.tracks else { return };
    for run in bars.chunk_by(|a, b| a.class == b.class) {
        let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
        let left = view.bar_x(first.bar).0.max(view.x_range.min);
        let room = view.bar_x(last.bar).1.min(view.x_range.max) - left - 0.8 * view.pens.em;
        // A tutti says how it is set where it is set in one way.
        let of = |seen: &Seen<'_>| span_at(&tracks.textures, seen.bar);
        let relation = of(first).map(|span| span.relation);
        let one_way = run.iter().all(|seen| of(seen).map(|span| span.relation) == relation);
        let full = of(first).filter(|_| one_way).map(TextureSpan::words);
        let words = [full.as_deref(), Some(first.class.words()), Some(first.class.short())];
        let fits = |words: &&str| width(painter, words, font) <= room;
        let Some(words) = words.into_iter().flatten().find(fits) else { continue };
        let needed = width(painter, words, font) + 0.8 * view.pens.em;
        // Over the highest bar that the word reaches.
        let under = |seen: &&Seen<'_>| view.bar_x(seen.bar).0 < left + needed;
        let tops = run.iter().take_while(under).map(|seen| top(seen.texture));
        let at = pos2(left + 0.4 * view.pens.em, tops.fold(f32::MAX, f32::min) - 1.0);
        text(painter, at, Align2::LEFT_BOTTOM, words, font, view.pens.dark());
    }
}
