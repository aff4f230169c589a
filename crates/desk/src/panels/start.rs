//! The start screen: recent studies, opening, the example suite, and changes of an earlier run that
//! were not saved.

use super::bar_map::{BarMapEditor, Ended, bar_map_ui};
use super::{ink, menu};
use crate::ctx::Ctx;
use crate::model::action::{Action, Recovery};
use crate::model::command::Command;
use crate::theme;
use egui::{Id, Key, RichText, ScrollArea, Ui};
use std::path::PathBuf;

/// What lives only while the screen is shown.
#[derive(Default)]
pub(super) struct Start {
    path: String,
    typing: Option<BarMapEditor>,
}

pub(super) fn start_ui(ui: &mut Ui, ctx: Ctx<'_>, start: &mut Start) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let side = ((ui.available_width() - 620.0) / 2.0).max(24.0);
        ui.add_space(ui.available_height() * 0.09 + 12.0);
        ui.horizontal_top(|ui| {
            ui.add_space(side);
            ui.vertical(|ui| {
                ui.set_max_width(620.0);
                heading_ui(ui, ctx);
                found_ui(ui, ctx);
                open_ui(ui, ctx, start);
                recent_ui(ui, ctx);
            });
        });
    });
}

fn heading_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let theme = ctx.theme;
    let font = theme.face(theme::SERIF_SEMIBOLD, theme.sizes.title * 1.5);
    ui.label(RichText::new("Study a score").font(font));
    ink::sentence(
        ui,
        theme,
        "Open a work from MusicXML or MEI files, one for each movement, or a study that you saved. \
         Files can also be dropped on this window.",
    );
}

fn open_ui(ui: &mut Ui, ctx: Ctx<'_>, start: &mut Start) {
    let theme = ctx.theme;
    ink::head(ui, theme, "Open");
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 18.0;
        menu::command_word(ui, ctx, Command::Open);
        menu::command_word(ui, ctx, Command::OpenExample);
        let tip = "Begins a study of music that exists only on paper";
        if ink::word(ui, theme, "Type a bar map…").on_hover_text(tip).clicked() {
            start.typing = Some(BarMapEditor::new(None));
        }
    });
    if let Some(editor) = &mut start.typing {
        match bar_map_ui(ui, ctx, editor, "Begin the study") {
            Some(Ended::Taken(text)) => {
                ctx.send(Action::PutBarMap { source: None, text });
                start.typing = None;
            }
            Some(Ended::Given) => start.typing = None,
            None => {}
        }
    }
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.label(RichText::new("or by path").font(theme.body()).color(theme.ink.tones[0]));
        let id = Id::unique("path on the start screen");
        let hint = "path of a score or study";
        let response = ink::line_edit(ui, id, "Path to open", &mut start.path, hint, 380.0);
        let enter = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        let clicked = ink::word(ui, theme, "Open path").clicked();
        let path = start.path.trim().trim_matches('"');
        if (enter || clicked) && !path.is_empty() {
            ctx.send(Action::Open(vec![PathBuf::from(path)]));
        }
    });
}

fn found_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let theme = ctx.theme;
    if ctx.status.found.is_empty() {
        return;
    }
    ink::head(ui, theme, "Not saved");
    for found in &ctx.status.found {
        ink::body(ui, theme, &found.words);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 18.0;
            for (text, tip, choice) in [
                ("Take them", "Opens the study with these changes", Recovery::Take),
                ("Leave them", "Asks again at the next start", Recovery::Leave),
                ("Throw them away", "They cannot be brought back then", Recovery::Discard),
            ] {
                if ink::word(ui, theme, text).on_hover_text(tip).clicked() {
                    ctx.send(Action::Recover { journal: found.journal.clone(), choice });
                }
            }
        });
        ui.add_space(6.0);
    }
}

fn recent_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let theme = ctx.theme;
    ink::head(ui, theme, "Recent");
    if ctx.status.recent.is_empty() {
        ink::small(ui, theme, "Nothing was opened yet");
    }
    for row in &ctx.status.recent {
        ui.horizontal(|ui| {
            let first = row.paths.first().and_then(|path| path.file_name());
            let mut name =
                first.map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            if row.paths.len() > 1 {
                name.push_str(&format!(" and {} more", row.paths.len() - 1));
            }
            let title = if row.title.is_empty() { name.clone() } else { row.title.clone() };
            let tip: Vec<String> =
                row.paths.iter().map(|path| path.display().to_string()).collect();
            let response = ink::word(ui, theme, &title).on_hover_text(tip.join("\n"));
            if ink::named(response, &format!("{title}, {name}")).clicked() {
                ctx.send(Action::Open(row.paths.clone()));
            }
            ink::small(ui, theme, &format!("{name} · {}", row.when));
            let forget = ink::small_word(ui, theme, "Forget");
            if ink::named(forget, &format!("Forget {title}, {name}")).clicked() {
                ctx.send(Action::ForgetRecent(row.paths.clone()));
            }
        });
    }
}
