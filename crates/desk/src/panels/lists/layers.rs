//! The layers: make, rename, order, show, hide, lock, and choose the one for new marks.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::panels::{ink, menu};
use barloom_core::study::{EntryId, Item, Layer, OrderKey};
use egui::{Id, ScrollArea, Ui};

pub(super) fn layers_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let layers: Vec<(EntryId, OrderKey, Layer, usize)> = ctx
        .study
        .layers()
        .into_iter()
        .map(|(entry, layer)| {
            let n_marks = ctx.study.marks_of(entry.id).len();
            (entry.id, entry.order.clone(), layer.clone(), n_marks)
        })
        .collect();
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        for (idx, (id, _, layer, n_marks)) in layers.iter().enumerate() {
            ui.horizontal(|ui| {
                layer_ui(ui, ctx, (*id, layer), *n_marks);
                move_ui(ui, ctx, &layers, idx);
            });
        }
        ui.add_space(6.0);
        menu::command_word(ui, ctx, Command::Layer);
    });
}

fn layer_ui(ui: &mut Ui, ctx: Ctx<'_>, (id, layer): (EntryId, &Layer), n_marks: usize) {
    let theme = ctx.theme;
    let put = |label: &str, layer: Layer| {
        Action::Change(Change::one(label, Draft::Change(id, Item::Layer(layer))))
    };
    let mut name = layer.name.clone();
    let field = Id::unique("layer name").with(id.to_string());
    let label = format!("Name of layer {}", layer.name);
    if ink::line_edit(ui, field, &label, &mut name, "name", 160.0).changed()
        && !name.trim().is_empty()
    {
        let layer = Layer { name, ..layer.clone() };
        let change = Change::one("rename layer", Draft::Change(id, Item::Layer(layer)));
        ctx.send(Action::Change(change.within(ink::gesture(&("layer", id.to_string())))));
    }
    let present = ctx.view.layer.or_else(|| ctx.study.layers().first().map(|(e, _)| e.id));
    let response = ink::one_of(ui, theme, "new marks here", present == Some(id));
    if ink::named(response, &format!("New marks go to layer {}", layer.name)).clicked() {
        ctx.send(Action::UseLayer(id));
    }
    let shown = ink::tick(ui, theme, layer.shown, "shown");
    if ink::named(shown, &format!("Layer {} shown", layer.name)).clicked() {
        let label = if layer.shown { "hide layer" } else { "show layer" };
        ctx.send(put(label, Layer { shown: !layer.shown, ..layer.clone() }));
    }
    let locked = ink::tick(ui, theme, layer.locked, "locked");
    if ink::named(locked, &format!("Layer {} locked", layer.name)).clicked() {
        let label = if layer.locked { "unlock layer" } else { "lock layer" };
        ctx.send(put(label, Layer { locked: !layer.locked, ..layer.clone() }));
    }
    let plural = if n_marks == 1 { "mark" } else { "marks" };
    ink::small(ui, theme, &format!("{n_marks} {plural}"));
    if n_marks == 0 {
        let remove = ink::small_word(ui, theme, "Take away");
        if ink::named(remove, &format!("Take away layer {}", layer.name)).clicked() {
            ctx.send(Action::Change(Change::one("remove layer", Draft::Remove(id))));
        }
    }
}

/// Up and down in the order.
fn move_ui(ui: &mut Ui, ctx: Ctx<'_>, layers: &[(EntryId, OrderKey, Layer, usize)], idx: usize) {
    let Some((id, _, layer, _)) = layers.get(idx) else { return };
    let key = |idx: Option<usize>| idx.and_then(|idx| layers.get(idx)).map(|(_, key, ..)| key);
    let ways = [
        ("Up", idx > 0, key(idx.checked_sub(2)), key(idx.checked_sub(1))),
        ("Down", idx + 1 < layers.len(), key(Some(idx + 1)), key(Some(idx + 2))),
    ];
    for (name, possible, before, after) in ways {
        if !possible {
            continue;
        }
        let response = ink::small_word(ui, ctx.theme, name);
        if ink::named(response, &format!("Move layer {} {}", layer.name, name.to_lowercase()))
            .clicked()
        {
            let order = OrderKey::between(before, after);
            ctx.send(Action::Change(Change::one("move layer", Draft::Move(*id, order))));
        }
    }
}
