//! The side panel: everything about the selection, in words first.

mod beating;
mod changes;
mod corrections;
mod cues;
mod figure;
mod groups;
mod marks;
mod order;
mod parts;
mod tempo;
mod work;

use super::ink;
use crate::ctx::Ctx;
use crate::model::place;
use barloom_analysis::words::bar_in_words;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use egui::{ScrollArea, Ui};

/// What lives only while the panel is shown.
#[derive(Default)]
pub(super) struct Side {
    corrections: corrections::Corrections,
    /// Whether the evidence behind tempo and levels is unfolded.
    why: bool,
}

pub(super) fn side_ui(ui: &mut Ui, ctx: Ctx<'_>, side: &mut Side) {
    ScrollArea::vertical().id_salt("side panel").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        let Some((movement, (from, to))) = ctx.movement().zip(ctx.env().span()) else {
            work::work_ui(ui, ctx);
            return;
        };
        heading_ui(ui, ctx, movement, from, to);
        words_ui(ui, ctx, from, to);
        beating::beating_ui(ui, ctx, movement, from, to);
        cues::cues_ui(ui, ctx, movement, from, to);
        groups::groups_ui(ui, ctx, movement, from, to);
        marks::marks_ui(ui, ctx, movement, from, to);
        tempo::tempo_ui(ui, ctx, movement, from, &mut side.why);
        parts::parts_ui(ui, ctx, movement, from, to, side.why);
        changes::changes_ui(ui, ctx, movement, from, to);
        order::order_ui(ui, ctx, movement, from, to);
        corrections::corrections_ui(ui, ctx, movement, from, to, &mut side.corrections);
        ui.add_space(20.0);
    });
}

/// "Bar 48" and under it "III, 1 before D · 6/8 · 2.3 s".
fn heading_ui(ui: &mut Ui, ctx: Ctx<'_>, movement: &Movement, from: BarIndex, to: BarIndex) {
    let heading = if from == to {
        place::bar_title(movement, from)
    } else {
        let words = place::span_words(movement, from, to);
        format!("B{}", words.trim_start_matches('b'))
    };
    ink::title(ui, ctx.theme, &heading);
    let mut facts = Vec::new();
    let mark = place::from_mark(movement, from);
    let number = (ctx.basis.score.movements.len() > 1).then(|| place::roman(ctx.view.movement + 1));
    let place: Vec<String> = number.into_iter().chain(mark).collect();
    if !place.is_empty() {
        facts.push(place.join(", "));
    }
    if from != to {
        facts.push(format!("{} bars", to.0 - from.0 + 1));
    }
    facts.push(meters(movement, from, to));
    if let Some(tracks) = ctx.movement_tracks() {
        let seconds: f64 = (from.0..=to.0).map(|bar| tracks.tempo.bar_length(BarIndex(bar))).sum();
        facts.push(seconds_words(seconds));
    }
    if let Some(beat) = ctx.view.selection.beat {
        facts.push(format!("beat {}", beat + 1));
    }
    ink::small(ui, ctx.theme, &facts.join(" · "));
    let parts: Vec<String> = ctx.env().parts().map(|(_, part)| part.name.clone()).collect();
    if !parts.is_empty() {
        ink::body(ui, ctx.theme, &parts.join(", "));
    }
}

/// The meters of a span, at most three by name.
fn meters(movement: &Movement, from: BarIndex, to: BarIndex) -> String {
    let mut meters: Vec<String> = Vec::new();
    for (bar, row) in movement.bars.iter().skip(from.idx()).take_while(|(bar, _)| *bar <= to) {
        let meter = row.meter.to_string();
        if meters.last() != Some(&meter) {
            meters.push(meter);
        }
        if meters.len() > 3 && bar < to {
            return String::from("changing meters");
        }
    }
    meters.join(", ")
}

fn seconds_words(seconds: f64) -> String {
    if seconds < 60.0 { format!("{seconds:.1} s") } else { place::clock(seconds) }
}

/// The selection in sentences; a long one is a matter for the lists.
fn words_ui(ui: &mut Ui, ctx: Ctx<'_>, from: BarIndex, to: BarIndex) {
    const MOST_BARS: u32 = 32;
    if to.0 - from.0 >= MOST_BARS {
        return;
    }
    let parts: Vec<PartIdx> = ctx.env().parts().map(|(idx, _)| idx).collect();
    let parts = (!parts.is_empty()).then_some(parts.as_slice());
    let movement = ctx.view.movement;
    let words = bar_in_words(ctx.basis, ctx.tracks, movement, (from, to), parts);
    if words.is_empty() {
        return;
    }
    ink::head(ui, ctx.theme, "In words");
    for sentence in words {
        ink::sentence(ui, ctx.theme, &sentence);
    }
}
