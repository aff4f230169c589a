//! The movements: rename, reorder, join, split at the selection, add more.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::model::place;
use crate::panels::bar_map::{BarMapEditor, Ended, bar_map_ui};
use crate::panels::{ink, menu};
use barloom_core::arrange::{join_edit, reorder_edit, retitle_edit, split_edit};
use barloom_core::bar::MovementId;
use barloom_core::study::{Edit, MovementRow, SourceRow};
use egui::{Id, ScrollArea, Ui};

/// What lives only while the list is open.
#[derive(Default)]
pub(super) struct Movements {
    /// The bar map being typed, with the source it belongs to.
    typing: Option<(Option<usize>, BarMapEditor)>,
}

pub(super) fn movements_ui(ui: &mut Ui, ctx: Ctx<'_>, state: &mut Movements) {
    if let Some((source, editor)) = &mut state.typing {
        let accept = if source.is_some() { "Take the changed map" } else { "Add the movement" };
        match bar_map_ui(ui, ctx, editor, accept) {
            Some(Ended::Taken(text)) => {
                ctx.send(Action::PutBarMap { source: *source, text });
                state.typing = None;
            }
            Some(Ended::Given) => state.typing = None,
            None => {}
        }
        return;
    }
    let ids: Vec<MovementId> = ctx.study.movements.iter().map(|row| row.id).collect();
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        for (idx, row) in ctx.study.movements.iter().enumerate() {
            ui.horizontal(|ui| {
                movement_ui(ui, ctx, idx, row, &ids);
                map_ui(ui, ctx, idx, row, state);
            });
        }
        ui.add_space(6.0);
        ui.horizontal(|ui| {
            split_ui(ui, ctx);
            ui.spacing_mut().item_spacing.x = 14.0;
            menu::command_word(ui, ctx, Command::AddMovements);
            if ink::word(ui, ctx.theme, "Type a bar map…")
                .on_hover_text("Adds a movement that exists only on paper")
                .clicked()
            {
                state.typing = Some((None, BarMapEditor::new(None)));
            }
        });
    });
}

fn movement_ui(ui: &mut Ui, ctx: Ctx<'_>, idx: usize, row: &MovementRow, ids: &[MovementId]) {
    let theme = ctx.theme;
    let number = place::roman(idx + 1);
    let font = theme.face(crate::theme::SEMIBOLD, theme.sizes.body);
    ui.add_sized(
        [28.0, theme.sizes.body * 1.6],
        egui::Label::new(egui::RichText::new(&number).font(font)),
    );
    let mut title = row.title.clone();
    let field = Id::unique("movement title").with(row.id.0);
    let label = format!("Title of movement {number}");
    if ink::line_edit(ui, field, &label, &mut title, "title", 200.0).changed()
        && let Some(edit) = retitle_edit(ctx.study, row.id, &title)
    {
        let change = Change::one("rename movement", Draft::Raw(edit));
        ctx.send(Action::Change(change.within(ink::gesture(&("movement", row.id.0)))));
    }
    ink::small(ui, theme, &about(ctx, idx, row));
    if ink::named(ink::small_word(ui, theme, "Go"), &format!("Go to movement {number}")).clicked() {
        ctx.send(Action::GoTo { movement: idx, bar: None });
    }
    for (name, other) in [("Up", idx.checked_sub(1)), ("Down", Some(idx + 1))] {
        let Some(other) = other.filter(|other| *other < ids.len()) else { continue };
        let mut order = ids.to_vec();
        order.swap(idx, other);
        let response = ink::small_word(ui, theme, name);
        let response =
            ink::named(response, &format!("Move movement {number} {}", name.to_lowercase()));
        if response.clicked() {
            send(ctx, "reorder movements", reorder_edit(ctx.study, &order));
        }
    }
    if idx > 0 {
        let response = ink::small_word(ui, theme, "Join to the one before");
        if ink::named(response, &format!("Join movement {number} to the one before")).clicked() {
            send(ctx, "join movements", join_edit(ctx.study, row.id));
        }
    }
    if ids.len() > 1 {
        let response = ink::small_word(ui, theme, "Take away");
        if ink::named(response, &format!("Take away movement {number}")).clicked() {
            send(ctx, "take a movement away", Some(without(ctx, row.id)));
        }
    }
}

/// Opens the text of a movement that was typed.
fn map_ui(ui: &mut Ui, ctx: Ctx<'_>, idx: usize, row: &MovementRow, state: &mut Movements) {
    let source = row.spans.first().map(|span| span.source);
    let text = source.and_then(|source| match ctx.study.sources.get(source)? {
        SourceRow::BarMap { text } => Some(text.as_str()),
        SourceRow::File { .. } => None,
    });
    let Some(text) = text else { return };
    let response = ink::small_word(ui, ctx.theme, "Bar map…");
    let name = format!("Bar map of movement {}", place::roman(idx + 1));
    if ink::named(response, &name).clicked() {
        state.typing = Some((source, BarMapEditor::new(Some(text))));
    }
}

/// "58 bars, 3:20".
fn about(ctx: Ctx<'_>, idx: usize, row: &MovementRow) -> String {
    let seconds = ctx.tracks.movements.get(idx).map(|tracks| tracks.tempo.seconds());
    let time = seconds.map(|seconds| format!(", {}", place::clock(seconds))).unwrap_or_default();
    format!("{} bars{time}", row.bars.len())
}

fn without(ctx: Ctx<'_>, id: MovementId) -> Edit {
    let rest = ctx.study.movements.iter().filter(|row| row.id != id).cloned().collect();
    Edit::Arrange {
        sources: ctx.study.sources.clone(),
        movements: rest,
        parts: ctx.study.parts.clone(),
        moved: Vec::new(),
    }
}

fn split_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let env = ctx.env();
    let Some((from, _)) = env.span().filter(|(from, _)| from.0 > 0) else {
        ink::small(ui, ctx.theme, "Select a bar to split a movement before it");
        return;
    };
    let Some(movement) = env.movement() else { return };
    let text = format!("Split before bar {}", movement.bar_name(from));
    if ink::word(ui, ctx.theme, &text).clicked() {
        send(ctx, "split movement", split_edit(ctx.study, movement.id, from, ""));
    }
}

fn send(ctx: Ctx<'_>, label: &str, edit: Option<Edit>) {
    if let Some(edit) = edit {
        ctx.send(Action::Change(Change::one(label, Draft::Raw(edit))));
    }
}
