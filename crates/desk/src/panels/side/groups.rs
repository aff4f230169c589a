//! The groups that hold the selection: name, level, elision, extension, and their sums.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::model::place;
use crate::panels::{ink, menu};
use barloom_core::bar::BarIndex;
use barloom_core::score::Movement;
use barloom_core::study::{EntryId, Group, Item};
use egui::{DragValue, Id, Ui};

pub(super) fn groups_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
) {
    let theme = ctx.theme;
    let mut groups: Vec<(EntryId, &Group)> = ctx
        .study
        .groups_of(movement.id)
        .into_iter()
        .filter(|(_, group)| group.from <= to && from <= group.to)
        .map(|(entry, group)| (entry.id, group))
        .collect();
    groups.sort_by_key(|(_, group)| std::cmp::Reverse(group.level));
    ink::head_with(ui, theme, "Groups", |ui| menu::command_word(ui, ctx, Command::Group));
    if groups.is_empty() {
        return;
    }
    let sums =
        barloom_analysis::plan::groups_of(ctx.basis, ctx.tracks, ctx.study, ctx.view.movement);
    for (id, group) in groups {
        let sum = sums.iter().find(|sum| {
            (sum.from, sum.to, sum.level) == (group.from.idx(), group.to.idx(), group.level)
        });
        let bars = place::span_words(movement, group.from, group.to);
        let text = match sum {
            Some(sum) if sum.sum.is_empty() => format!("{bars}: {}", sum.text),
            Some(sum) => format!("{bars}: {} = {}", sum.text, sum.sum),
            None => bars.clone(),
        };
        ink::small(ui, theme, &text);
        group_ui(ui, ctx, id, group, &bars);
    }
}

fn group_ui(ui: &mut Ui, ctx: Ctx<'_>, id: EntryId, group: &Group, bars: &str) {
    let theme = ctx.theme;
    let mut edited = group.clone();
    ui.horizontal(|ui| {
        let field = Id::unique("group name").with(id.to_string());
        let label = format!("Name of the group {bars}");
        ink::line_edit(ui, field, &label, &mut edited.name, "name", 90.0);
        ink::small(ui, theme, "level");
        let level = DragValue::new(&mut edited.level).range(1..=6).speed(0.05);
        ink::named(ui.add(level), &format!("Level of the group {bars}"));
        ink::small(ui, theme, "extension");
        let extension = DragValue::new(&mut edited.extension).range(0..=32).speed(0.1);
        ink::named(ui.add(extension), &format!("Extension of the group {bars} in bars"));
    });
    ui.horizontal(|ui| {
        let elision = ink::tick(ui, theme, group.elision, "last bar begins the next");
        if ink::named(elision, &format!("Elision of the group {bars}")).clicked() {
            edited.elision = !group.elision;
        }
        if let Some((from, to)) = ctx.env().span().filter(|span| *span != (group.from, group.to)) {
            let word = ink::small_word(ui, theme, "Set to the selection");
            if ink::named(word, &format!("Set the group {bars} to the selection")).clicked() {
                (edited.from, edited.to) = (from, to);
            }
        }
        let remove = ink::small_word(ui, theme, "Take away");
        if ink::named(remove, &format!("Take away the group {bars}")).clicked() {
            ctx.send(Action::Change(Change::one("remove group", Draft::Remove(id))));
        }
    });
    if edited != *group {
        let change = Change::one("change group", Draft::Change(id, Item::Group(edited)));
        ctx.send(Action::Change(change.within(ink::gesture(&("group", id.to_string())))));
    }
}
