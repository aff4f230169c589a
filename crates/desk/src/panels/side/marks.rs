//! The marks on the selection by layer, edited in place, and the choice of signs.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::model::place;
use crate::panels::{ink, menu};
use barloom_core::bar::BarIndex;
use barloom_core::score::Movement;
use barloom_core::study::{Entry, EntryId, Item, Layer, Mark, Sign};
use egui::{ComboBox, Id, TextEdit, Ui};

pub(super) fn marks_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
) {
    let theme = ctx.theme;
    ink::head_with(ui, theme, "Marks here", |ui| {
        menu::command_word(ui, ctx, Command::ChooseSign);
        menu::command_word(ui, ctx, Command::Words);
    });
    let layers = ctx.study.layers();
    let here = |mark: &Mark| {
        let last = mark.to.unwrap_or(mark.from.bar);
        mark.from.movement == movement.id && mark.from.bar <= to && from <= last
    };
    for (layer_entry, layer) in &layers {
        let marks: Vec<(&Entry, &Mark)> =
            ctx.study.marks_of(layer_entry.id).into_iter().filter(|(_, mark)| here(mark)).collect();
        if marks.is_empty() {
            continue;
        }
        let state = match (layer.shown, layer.locked) {
            (false, true) => " (hidden, locked)",
            (false, false) => " (hidden)",
            (true, true) => " (locked)",
            (true, false) => "",
        };
        ink::small(ui, theme, &format!("{}{state}", layer.name));
        for (entry, mark) in marks {
            mark_ui(ui, ctx, movement, entry.id, mark, layer, &layers);
        }
    }
}

fn mark_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    id: EntryId,
    mark: &Mark,
    layer: &Layer,
    layers: &[(&Entry, &Layer)],
) {
    let theme = ctx.theme;
    let mut edited = mark.clone();
    let bars = place::span_words(movement, mark.from.bar, mark.to.unwrap_or(mark.from.bar));
    let open = !layer.locked;
    let field = Id::unique("mark").with(id.to_string());
    let name =
        format!("{} in {bars}", if mark.sign == Sign::Text { "Words" } else { mark.sign.name() });
    let edit = TextEdit::multiline(&mut edited.text)
        .id(field)
        .desired_rows(1)
        .desired_width(f32::INFINITY)
        .interactive(open)
        .hint_text(mark.sign.name());
    let response = ink::named(ui.add(edit), &name);
    if ctx.view.editing == Some(id) && open {
        response.request_focus();
        ctx.send(Action::EditEntry(None));
    }
    ui.horizontal_wrapped(|ui| {
        let parts: Vec<String> =
            mark.parts.iter().map(|key| place::part_name(&ctx.basis.score, key)).collect();
        let parts =
            if parts.is_empty() { String::new() } else { format!(" · {}", parts.join(", ")) };
        ink::small(ui, theme, &format!("{bars}{parts}"));
        if !open {
            return;
        }
        combo(
            ui,
            &format!("Sign of the mark in {bars}"),
            (field, "sign"),
            mark.sign.name(),
            |ui| {
                for sign in Sign::ALL {
                    ui.selectable_value(&mut edited.sign, sign, sign.name());
                }
            },
        );
        combo(ui, &format!("Layer of the mark in {bars}"), (field, "layer"), &layer.name, |ui| {
            for (entry, layer) in layers.iter().filter(|(_, layer)| !layer.locked) {
                ui.selectable_value(&mut edited.layer, entry.id, &layer.name);
            }
        });
        if let Some(moved) = to_selection(ctx, mark) {
            let word = ink::small_word(ui, theme, "Set to the selection");
            if ink::named(word, &format!("Set the mark in {bars} to the selection")).clicked() {
                edited = moved;
            }
        }
        let remove = ink::small_word(ui, theme, "Take away");
        if ink::named(remove, &format!("Take away the mark in {bars}")).clicked() {
            ctx.send(Action::Change(Change::one("remove mark", Draft::Remove(id))));
        }
    });
    // A mark of words alone goes when its words are gone and the field is left.
    let empty = edited.sign == Sign::Text && edited.text.trim().is_empty();
    if edited != *mark {
        let change = Change::one("change mark", Draft::Change(id, Item::Mark(edited)));
        ctx.send(Action::Change(change.within(ink::gesture(&("mark", id.to_string())))));
    } else if empty && response.lost_focus() {
        ctx.send(Action::Change(Change::one("remove mark", Draft::Remove(id))));
    }
}

/// The mark on the bars and parts that are selected now; `None` if it is there already.
fn to_selection(ctx: Ctx<'_>, mark: &Mark) -> Option<Mark> {
    let env = ctx.env();
    let (from, to) = env.span()?;
    let to = (from != to).then_some(to);
    // A mark at a beat stays there while its bar is the one selected.
    let at = if mark.from.bar == from && to.is_none() { mark.from } else { env.place()? };
    let moved = Mark { from: at, to, parts: env.part_keys(), ..mark.clone() };
    (moved != *mark).then_some(moved)
}

/// A choice from a short list, with its accessible name.
fn combo(
    ui: &mut Ui,
    name: &str,
    id: (Id, &'static str),
    present: &str,
    choices: impl FnOnce(&mut Ui),
) {
    let shown = ComboBox::from_id_salt(id).selected_text(present).width(70.0).show_ui(ui, choices);
    ink::named(shown.response, name);
}
