//! All commands with their keys, found by words; each can be clicked.

use super::ink;
use crate::ctx::Ctx;
use crate::model::command::{self, COMMANDS, CommandRow, Mode, Section};
use egui::{Id, ScrollArea, Ui};

/// What lives only while the page is shown.
#[derive(Default)]
pub(super) struct KeysPage {
    filter: String,
}

pub(super) fn keys_ui(ui: &mut Ui, ctx: Ctx<'_>, page: &mut KeysPage) {
    ui.horizontal(|ui| {
        ink::title(ui, ctx.theme, "Keys and commands");
    });
    let id = Id::unique("filter of the commands");
    let width = ui.available_width() - 10.0;
    ink::line_edit(ui, id, "Filter commands", &mut page.filter, "filter by words", width);
    let filter = page.filter.to_lowercase();
    let fits = |row: &&CommandRow| {
        let text = format!("{} {}", row.label, row.tip).to_lowercase();
        filter.split_whitespace().all(|word| text.contains(word))
    };
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        for section in Section::ALL {
            let mut rows =
                COMMANDS.iter().filter(|row| row.section == section).filter(fits).peekable();
            if rows.peek().is_none() {
                continue;
            }
            ink::head(ui, ctx.theme, section.name());
            for row in rows {
                row_ui(ui, ctx, row);
            }
        }
    });
}

fn row_ui(ui: &mut Ui, ctx: Ctx<'_>, row: &CommandRow) {
    let theme = ctx.theme;
    let keys: Vec<String> = row.keys.iter().map(ToString::to_string).collect();
    let first = if row.mode == Mode::ChoosingSign { "S, then " } else { "" };
    let keys =
        if keys.is_empty() { String::from("–") } else { format!("{first}{}", keys.join(" or ")) };
    let action = command::resolve(row.command, &ctx.env());
    ui.horizontal_wrapped(|ui| {
        let response = match &action {
            Some(_) => ink::word(ui, theme, row.label),
            None => {
                let text = egui::RichText::new(row.label).font(theme.body());
                ui.label(text.color(theme.ink.tones[1]))
            }
        };
        if response.on_hover_text(row.tip).clicked()
            && let Some(action) = action
        {
            ctx.send(action);
        }
        ink::small(ui, theme, &keys);
    });
}
