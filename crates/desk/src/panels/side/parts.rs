//! Levels and techniques of the parts in the selection, each with the words or sign that made it so.

use super::tempo::evidence_ui;
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::make;
use crate::panels::ink;
use barloom_analysis::MovementTracks;
use barloom_analysis::seating;
use barloom_analysis::why::Question;
use barloom_core::bar::BarIndex;
use barloom_core::part::{Part, PartIdx};
use barloom_core::score::Movement;
use barloom_core::study::{Depth, Side};
use egui::{ComboBox, Ui};

/// Without selected parts so many are told at most.
const MOST: usize = 10;

pub(super) fn parts_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
    why: bool,
) {
    let theme = ctx.theme;
    let Some(tracks) = ctx.movement_tracks() else { return };
    let selected: Vec<(PartIdx, &Part)> = ctx.env().parts().collect();
    let named = !selected.is_empty();
    let sounding = || {
        let sounds = |part| (from.0..=to.0).any(|bar| tracks.playing.sounds(part, BarIndex(bar)));
        ctx.basis.score.parts().filter(|(idx, _)| sounds(*idx)).collect()
    };
    let parts: Vec<(PartIdx, &Part)> = if named { selected } else { sounding() };
    if parts.is_empty() {
        return;
    }
    ink::head(ui, theme, if named { "Selected parts" } else { "Sounding" });
    for (idx, part) in parts.iter().take(MOST) {
        let facts = facts(tracks, movement, *idx, from, named);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            ink::body(ui, theme, &part.name);
            ink::small(ui, theme, &facts);
        });
        if named {
            seat_ui(ui, ctx, part);
        }
        if why && named {
            let questions =
                [Question::Playing, Question::Level, Question::Device, Question::Entrance];
            evidence_ui(ui, ctx, movement, (from, Some(*idx)), &questions);
        }
    }
    if parts.len() > MOST {
        let more = parts.len() - MOST;
        ink::small(ui, theme, &format!("and {more} more: select a part to see its level"));
    }
}

/// Where the part sits, to be changed.
fn seat_ui(ui: &mut Ui, ctx: Ctx<'_>, part: &Part) {
    let decided = ctx.study.seat(&part.key).map(|(_, seat)| seat.clone());
    let usual = || seating::usual(&ctx.basis.score).into_iter().find(|s| s.part == part.key);
    let Some(seat) = decided.or_else(usual) else { return };
    let mut new = seat.clone();
    ui.horizontal(|ui| {
        ink::small(ui, ctx.theme, "sits");
        let shown = ComboBox::from_id_salt(("side", &part.key.0))
            .selected_text(seat.side.name())
            .width(84.0)
            .show_ui(ui, |ui| {
                for side in Side::ALL {
                    ui.selectable_value(&mut new.side, side, side.name());
                }
            });
        ink::named(shown.response, &format!("Side of {}", part.name));
        let shown = ComboBox::from_id_salt(("depth", &part.key.0))
            .selected_text(seat.depth.name())
            .width(70.0)
            .show_ui(ui, |ui| {
                for depth in Depth::ALL {
                    ui.selectable_value(&mut new.depth, depth, depth.name());
                }
            });
        ink::named(shown.response, &format!("Depth of {}", part.name));
    });
    if new != seat {
        ctx.send(Action::Change(make::seat(&ctx.env(), new)));
    }
}

/// "pp (bar 41, line 210) · con sord. since bar 43 · rests".
fn facts(
    tracks: &MovementTracks,
    movement: &Movement,
    part: PartIdx,
    from: BarIndex,
    evidence: bool,
) -> String {
    let Some(bar) = movement.bars.get(from) else { return String::new() };
    let mut facts = Vec::new();
    if evidence && !tracks.playing.sounds(part, from) {
        facts.push(String::from("rests"));
    }
    // A level or a mute may be written with the first note, after the start of the bar.
    let at = match tracks.playing.sounds(part, from) {
        true => barloom_core::time::Ticks(bar.end().0 - 1).max(bar.start),
        false => bar.start,
    };
    if let Some(dynamics) = tracks.dynamics.parts.get(part.idx()) {
        let after = dynamics.changes.partition_point(|change| change.at <= at);
        if let Some(change) = dynamics.changes.get(..after).and_then(<[_]>::last) {
            let words =
                if change.words.is_empty() { String::new() } else { format!(" {}", change.words) };
            let since = movement.bar_name(movement.place(change.at).0);
            let line =
                if change.line > 0 { format!(", line {}", change.line) } else { String::new() };
            let source = if evidence { format!(" (bar {since}{line})") } else { String::new() };
            facts.push(format!("{}{words}{source}", change.level));
        }
        let hairpin = dynamics.hairpins.iter().find(|pin| pin.from <= at && bar.start < pin.to);
        if let Some(hairpin) = hairpin {
            facts.push(String::from(if hairpin.louder { "growing" } else { "fading" }));
        }
    }
    for span in tracks.devices.at(part, at) {
        let words = if span.words.is_empty() { span.device.name() } else { span.words.as_str() };
        let since = movement.bar_name(movement.place(span.from).0);
        let line = if span.line > 0 { format!(", line {}", span.line) } else { String::new() };
        let end = if span.ended { "" } else { ", never ended" };
        if evidence {
            facts.push(format!("{words} since bar {since}{line}{end}"));
        } else {
            facts.push(words.to_owned());
        }
    }
    facts.join(" · ")
}
