//! One file a panel: a drawing function and the state that lives only while it is open. Panels read
//! a [`Ctx`] and queue actions; [`desk_ui`] lays them out.

mod bar_map;
mod foot;
mod ink;
mod keys_page;
mod lists;
mod menu;
mod passages;
mod settings_page;
mod side;
mod start;
mod title;

use crate::ctx::Ctx;
use crate::model::view_state::SidePage;
use crate::paint::{self, GridTransient};
use egui::{CentralPanel, Frame, Margin, Panel};

pub(crate) use menu::selection_menu_ui;
pub use title::Field;

/// What lives only while panels are open, and may be lost at any moment.
#[derive(Default)]
pub struct Panels {
    /// The field of the title line.
    pub field: Field,
    /// The grid.
    pub grid: GridTransient,
    start: start::Start,
    lists: lists::Lists,
    keys: keys_page::KeysPage,
    side: side::Side,
    settings: settings_page::SettingsPage,
}

/// The whole window.
pub fn desk_ui(ui: &mut egui::Ui, ctx: Ctx<'_>, panels: &mut Panels) {
    let ink = &ctx.theme.ink;
    let strip = |fill| Frame::new().fill(fill).inner_margin(Margin::symmetric(14, 6));
    Panel::top("title line")
        .frame(strip(ink.paper))
        .show(ui, |ui| title::title_ui(ui, ctx, &mut panels.field));
    Panel::bottom("foot line").frame(strip(ink.panel)).show(ui, |ui| foot::foot_ui(ui, ctx));
    if foot::has_message(ctx) {
        Panel::bottom("messages").frame(strip(ink.paper)).show(ui, |ui| foot::message_ui(ui, ctx));
    }
    if ctx.status.open || ctx.view.side != SidePage::Selection {
        let height = ui.available_height();
        Panel::right("side panel")
            .default_size(310.0)
            .size_range(220.0..=520.0)
            .frame(Frame::new().fill(ink.panel).inner_margin(Margin::symmetric(16, 10)))
            .show(ui, |ui| {
                ui.set_min_height(height - 20.0);
                match ctx.view.side {
                    SidePage::Selection => side::side_ui(ui, ctx, &mut panels.side),
                    SidePage::Keys => keys_page::keys_ui(ui, ctx, &mut panels.keys),
                    SidePage::Settings => settings_page::settings_ui(ui, ctx, &mut panels.settings),
                }
            });
    }
    if let Some(kind) = ctx.view.list.filter(|_| ctx.status.open) {
        Panel::bottom("list")
            .default_size(240.0)
            .size_range(120.0..=600.0)
            .resizable(true)
            .frame(strip(ink.paper))
            .show(ui, |ui| lists::list_ui(ui, ctx, kind, &mut panels.lists));
    }
    if let Some(beside) = ctx.status.beside.as_ref().filter(|_| ctx.status.open) {
        Panel::bottom("passages")
            .default_size(300.0)
            .size_range(140.0..=700.0)
            .resizable(true)
            .frame(strip(ink.paper))
            .show(ui, |ui| passages::passages_ui(ui, ctx, beside));
    }
    CentralPanel::default().frame(Frame::new().fill(ink.paper)).show(ui, |ui| {
        if ctx.status.open {
            paint::grid_ui(ui, ctx, &mut panels.grid);
        } else {
            start::start_ui(ui, ctx, &mut panels.start);
        }
    });
}

#[cfg(test)]
mod tests;
