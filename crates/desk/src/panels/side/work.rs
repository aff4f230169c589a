//! What the side panel shows while nothing is selected: the movement as a whole.

use crate::ctx::Ctx;
use crate::model::command::Command;
use crate::model::place;
use crate::panels::{ink, menu};
use egui::Ui;

pub(super) fn work_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let theme = ctx.theme;
    let Some(movement) = ctx.movement() else {
        ink::title(ui, theme, "No movement");
        ink::body(
            ui,
            theme,
            "This study has no movements; add score files in the list of movements.",
        );
        return;
    };
    ink::title(ui, theme, &place::movement_name(&ctx.basis.score, ctx.view.movement));
    let n_bars = movement.bars.iter().filter(|(_, bar)| !bar.continues).count();
    let n_parts = movement.parts().count();
    let mut facts = vec![format!("{n_bars} bars"), format!("{n_parts} parts")];
    if let Some(tracks) = ctx.movement_tracks() {
        facts.push(place::clock(tracks.tempo.seconds()));
        let played = tracks.tempo.played_seconds;
        if (played - tracks.tempo.seconds()).abs() >= 1.0 {
            facts.push(format!("{} as performed", place::clock(played)));
        }
    }
    ink::small(ui, theme, &facts.join(" · "));
    chosen_ui(ui, ctx);
    ink::head(ui, theme, "To begin");
    ink::body(ui, theme, "Click a bar, or walk with the arrow keys; hold Shift to select more.");
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        for command in [
            Command::AcceptAll,
            Command::WholeWork,
            Command::FitMovement,
            Command::Legend,
            Command::Plan,
            Command::Keys,
        ] {
            menu::command_word(ui, ctx, command);
        }
    });
}

/// How far the movement has been decided.
fn chosen_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let Some(movement) = ctx.movement() else { return };
    let chosen = ctx.study.beatings_of(movement.id).len();
    let n_bars = movement.bars.len();
    let cues = ctx.study.cues().filter(|(_, cue)| cue.at.movement == movement.id && cue.wanted);
    let marks = ctx.study.marks().filter(|(_, mark)| mark.from.movement == movement.id).count();
    ink::head(ui, ctx.theme, "So far");
    let text = format!(
        "Beating chosen in {chosen} of {n_bars} bars, {} cues, {marks} marks.",
        cues.count()
    );
    ink::body(ui, ctx.theme, &text);
}
