//! The tempo at the selection: value, origin, and why.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::panels::{ink, menu};
use barloom_analysis::say;
use barloom_analysis::tempo::Segment;
use barloom_analysis::why::{Question, why};
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Quarters;
use egui::Ui;

pub(super) fn tempo_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    open: &mut bool,
) {
    let theme = ctx.theme;
    let Some(tracks) = ctx.movement_tracks() else { return };
    let Some(bar) = movement.bars.get(from) else { return };
    let Some(segment) = tracks.tempo.segment_at(bar.start) else { return };
    ink::head_with(ui, theme, "Tempo", |ui| menu::command_word(ui, ctx, Command::Tempo));
    ui.horizontal_wrapped(|ui| {
        ink::body(ui, theme, &in_words(segment, tracks.tempo.quarters_per_minute(bar.start)));
        if ink::small_word(ui, theme, "why?").clicked() {
            *open = !*open;
        }
    });
    if *open {
        evidence_ui(ui, ctx, movement, (from, None), &[Question::Tempo, Question::Meter]);
    }
    for (entry, tempo) in ctx.study.tempi_of(movement.id) {
        if tempo.at.bar != from {
            continue;
        }
        ui.horizontal(|ui| {
            ink::small(ui, theme, &format!("by hand here: {}", entry.item.summary()));
            if ink::small_word(ui, theme, "Take away tempo").clicked() {
                let change = Change::one("remove tempo", Draft::Remove(entry.id));
                ctx.send(Action::Change(change));
            }
        });
    }
}

/// The words, notes and lines behind values at a bar; each a jump to where it stands.
pub(super) fn evidence_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    (bar, part): (BarIndex, Option<PartIdx>),
    questions: &[Question],
) {
    for question in questions {
        let shown = ctx.view.movement;
        for evidence in why(ctx.basis, ctx.tracks, shown, bar, part, *question) {
            let place = movement.bar_name(evidence.at.bar);
            let line =
                if evidence.line > 0 { format!(", line {}", evidence.line) } else { String::new() };
            let text = format!("{} (bar {place}{line})", evidence.text);
            if ink::small_word(ui, ctx.theme, &text).clicked() {
                ctx.send(Action::GoTo { movement: shown, bar: Some(evidence.at.bar) });
            }
        }
    }
}

/// "dotted quarter = 52 (printed), to 60 by degrees".
fn in_words(segment: &Segment, now: f64) -> String {
    let unit = segment.unit.unwrap_or(Quarters::ONE);
    let per_minute = |quarters: f64| quarters / unit.as_f64().max(1e-6);
    let note = say::note_value(unit);
    let words =
        if segment.words.is_empty() { String::new() } else { format!("{}, ", segment.words) };
    let change =
        segment.to.map(|to| format!(", by degrees to {:.0}", per_minute(to))).unwrap_or_default();
    format!("{words}{note} = {:.0}{change} ({})", per_minute(now), segment.origin)
}
