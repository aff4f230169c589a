//! The menu: all commands from the table, section by section.

use super::ink;
use crate::ctx::Ctx;
use crate::model::command::{self, COMMANDS, Command, CommandRow, Mode, Section};
use egui::{Button, RichText, Ui};

/// The word that opens the menu.
pub(super) fn menu_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    ui.menu_button(RichText::new("Menu").font(ctx.theme.body()), |ui| {
        for section in Section::ALL {
            section_ui(ui, ctx, section);
        }
    });
}

/// The menu of the selection: what can be done with bars and parts.
pub(crate) fn selection_menu_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    for section in [Section::Beating, Section::Marks, Section::Plan] {
        section_ui(ui, ctx, section);
    }
}

fn section_ui(ui: &mut Ui, ctx: Ctx<'_>, section: Section) {
    ui.menu_button(section.name(), |ui| {
        ui.set_min_width(240.0);
        for row in COMMANDS.iter().filter(|row| row.section == section) {
            command_ui(ui, ctx, row);
        }
    });
}

/// One command as a line of a menu: its name, its key at the right, gray while it is not available.
pub(super) fn command_ui(ui: &mut Ui, ctx: Ctx<'_>, row: &CommandRow) {
    let action = command::resolve(row.command, &ctx.env());
    let key = row.keys.first().map(ToString::to_string).unwrap_or_default();
    let key = match row.mode {
        Mode::ChoosingSign => format!("S {key}"),
        Mode::Ordinary => key,
    };
    let step = match row.command {
        Command::Undo => ctx.status.undo.as_deref(),
        Command::Redo => ctx.status.redo.as_deref(),
        _ => None,
    };
    let label = step.map_or_else(|| row.label.to_owned(), |step| format!("{} {step}", row.label));
    let button = Button::new(label).right_text(key).frame_when_inactive(false);
    let response = ui.add_enabled(action.is_some(), button).on_hover_text(row.tip);
    if response.clicked() {
        if let Some(action) = action {
            ctx.send(action);
        }
        ui.close();
    }
}

/// A command as a word that can be clicked; nothing while it is not available.
pub(super) fn command_word(ui: &mut Ui, ctx: Ctx<'_>, command: Command) {
    let Some(action) = command::resolve(command, &ctx.env()) else { return };
    let row = command.row();
    let tip = match row.keys.first() {
        Some(key) => format!("{} ({key})", row.tip),
        None => row.tip.to_owned(),
    };
    if ink::word(ui, ctx.theme, row.label).on_hover_text(tip).clicked() {
        ctx.send(action);
    }
}
