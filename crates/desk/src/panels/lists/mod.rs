//! The list drawer: one list at a time, filtered by words, each row a jump.

mod layers;
mod movements;

use super::{ink, menu};
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::{self, Command};
use crate::model::draft::{Change, Draft};
use crate::model::lists::{self, Fold, ListRow, Sorting};
use crate::model::view_state::ListKind;
use crate::theme;
use egui::{Id, Response, RichText, ScrollArea, Sense, Ui};
use std::collections::BTreeSet;

/// What lives only while the drawer is open.
#[derive(Default)]
pub(super) struct Lists {
    filter: String,
    sorting: Sorting,
    /// The heads whose rows are shown.
    unfolded: BTreeSet<String>,
    movements: movements::Movements,
}

/// The open list.
pub(super) fn list_ui(ui: &mut Ui, ctx: Ctx<'_>, kind: ListKind, lists: &mut Lists) {
    header_ui(ui, ctx, kind, lists);
    ink::rule(ui, ctx.theme);
    match kind {
        ListKind::Layers => layers::layers_ui(ui, ctx),
        ListKind::Movements => movements::movements_ui(ui, ctx, &mut lists.movements),
        _ => rows_ui(ui, ctx, kind, lists),
    }
}

fn header_ui(ui: &mut Ui, ctx: Ctx<'_>, kind: ListKind, lists: &mut Lists) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        for other in ListKind::ALL {
            if ink::one_of(ui, ctx.theme, other.name(), other == kind).clicked() {
                ctx.send(Action::List(Some(other)));
            }
        }
        if !matches!(kind, ListKind::Layers | ListKind::Movements) {
            let id = Id::unique("filter of the list");
            ink::line_edit(ui, id, "Filter", &mut lists.filter, "filter by words", 150.0);
        }
        let tip = "Closes the list (L or Esc)";
        if ink::word(ui, ctx.theme, "Close list").on_hover_text(tip).clicked() {
            ctx.send(Action::List(None));
        }
    });
}

fn rows_ui(ui: &mut Ui, ctx: Ctx<'_>, kind: ListKind, lists: &mut Lists) {
    if !kind.sortings().is_empty() {
        ui.horizontal(|ui| {
            for sorting in kind.sortings() {
                let chosen = lists.sorting == *sorting;
                if ink::one_of(ui, ctx.theme, sorting.name(), chosen).clicked() {
                    lists.sorting = *sorting;
                }
            }
        });
    }
    let can_accept = command::resolve(Command::AcceptAll, &ctx.env()).is_some();
    if kind == ListKind::Beating && can_accept {
        ui.horizontal(|ui| menu::command_word(ui, ctx, Command::AcceptAll));
    }
    let mut rows = lists::rows(kind, lists.sorting, &ctx.env());
    let all = rows.len();
    let searching = !lists.filter.trim().is_empty();
    rows.retain(|row| row.fits(&lists.filter) && row.fold.is_shown(&lists.unfolded, searching));
    if rows.is_empty() {
        let text = if all == 0 { empty_words(kind) } else { "Nothing here holds these words" };
        ink::small(ui, ctx.theme, text);
        return;
    }
    let height = ctx.theme.sizes.body * 1.55;
    ScrollArea::vertical().auto_shrink(false).show_rows(ui, height, rows.len(), |ui, range| {
        for row in rows.get(range).unwrap_or_default() {
            row_ui(ui, ctx, row, height, &mut lists.unfolded);
        }
    });
}

const fn empty_words(kind: ListKind) -> &'static str {
    match kind {
        ListKind::Marks => "No marks yet: select bars, then W for words or S for a sign",
        ListKind::Cues => "No cues yet: select an entrance, then C",
        ListKind::Entrances => "No entrances, or they are still being computed",
        ListKind::Beating => "No bars, or the proposals are still being computed",
        ListKind::Texture | ListKind::Lead | ListKind::Doublings | ListKind::Strings => {
            "Nothing of the kind, or it is still being computed"
        }
        ListKind::Changes => "No changes of mute, bow, instrument, pedals or drums",
        ListKind::Attacks => "No attacks that need care",
        ListKind::Balance => "Nowhere is the line likely covered",
        ListKind::Ranges => "Nothing is near the end of its range or long without a breath",
        ListKind::Decisions => {
            "No corrections, tempi by hand or decisions on the performing order yet"
        }
        ListKind::Diagnostics => "Nothing odd was found",
        ListKind::Layers | ListKind::Movements => "",
    }
}

fn row_ui(ui: &mut Ui, ctx: Ctx<'_>, row: &ListRow, height: f32, unfolded: &mut BTreeSet<String>) {
    ui.horizontal(|ui| {
        ui.set_height(height);
        let takes = row.entry.is_some();
        let right = if takes { 90.0 } else { 0.0 };
        let response = cells_ui(ui, ctx, row, ui.available_width() - right, height);
        if response.clicked() {
            if let Fold::Head(name) = &row.fold
                && !unfolded.remove(name)
            {
                unfolded.insert(name.clone());
            }
            if let Some((movement, bar)) = row.goes_to {
                ctx.send(Action::GoTo { movement, bar });
            }
            if row.entry.is_some() {
                ctx.send(Action::EditEntry(row.entry));
            }
        }
        if let Some(id) = row.entry {
            let response = ink::small_word(ui, ctx.theme, "Take away");
            let response = ink::named(response, &format!("Take away {}", row.words()));
            if response.clicked() {
                ctx.send(Action::Change(Change::one(
                    format!("remove {}", row.head.to_lowercase()),
                    Draft::Remove(id),
                )));
            }
        }
    });
}

/// The three columns as one thing to click.
fn cells_ui(ui: &mut Ui, ctx: Ctx<'_>, row: &ListRow, width: f32, height: f32) -> Response {
    let theme = ctx.theme;
    let (rect, response) = ui.allocate_exact_size(egui::vec2(width, height), Sense::click());
    let words = row.words();
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &words));
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 0.0, theme.ink.tones[4]);
    }
    let ink = if row.light { theme.ink.tones[1] } else { theme.ink.ink };
    let em = theme.sizes.body;
    let indent = if matches!(row.fold, Fold::Under(_)) { em * 1.2 } else { 0.0 };
    let columns = [
        (indent, em * 7.5, &row.place, theme.face(theme::SEMIBOLD, em)),
        (em * 8.0, em * 12.0, &row.head, theme.body()),
        (em * 20.5, (width - em * 20.5).max(0.0), &row.text, theme.body()),
    ];
    for (left, width, text, font) in columns {
        let cell =
            egui::Rect::from_min_size(rect.min + egui::vec2(left, 0.0), egui::vec2(width, height));
        let text = RichText::new(text).font(font).color(ink);
        let label = egui::WidgetText::from(text);
        let galley =
            label.into_galley(ui, Some(egui::TextWrapMode::Truncate), width, egui::TextStyle::Body);
        let top = cell.center().y - galley.size().y / 2.0;
        ui.painter().galley(egui::pos2(cell.left(), top), galley, ink);
    }
    response.on_hover_text(&words)
}
