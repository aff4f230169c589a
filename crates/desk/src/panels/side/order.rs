//! The performing order at the selection: repeats, cuts, pauses.

use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::draft::{Change, Draft};
use crate::panels::{ink, menu};
use barloom_core::bar::BarIndex;
use barloom_core::score::Movement;
use barloom_core::study::Subject;
use egui::Ui;

pub(super) fn order_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
) {
    let theme = ctx.theme;
    ink::head(ui, theme, "Performing order");
    for (bar, row) in movement.bars.iter().skip(from.idx()).take_while(|(bar, _)| *bar <= to) {
        let Some(times) = row.flow.repeat_end else { continue };
        let decided = ctx.study.decision(&Subject::Repeat(movement.id, bar));
        let state = decided
            .map_or_else(|| format!("repeat, played {times} times"), |entry| entry.item.summary());
        ink::body(ui, theme, &format!("bar {}: {state}", movement.bar_name(bar)));
    }
    let touching = ctx.study.order_of(movement.id).into_iter().filter(|(entry, _)| {
        let first = entry.item.place().map(|place| place.bar);
        let last = entry.item.last_bar().map(|(_, bar)| bar);
        first.zip(last).is_some_and(|(first, last)| first <= to && from <= last)
    });
    for (entry, _) in touching {
        ui.horizontal(|ui| {
            let words = entry.item.summary();
            ink::body(ui, theme, &words);
            let remove = ink::small_word(ui, theme, "Take away");
            if ink::named(remove, &format!("Take away {words}")).clicked() {
                let change = Change::one("change the performing order", Draft::Remove(entry.id));
                ctx.send(Action::Change(change));
            }
        });
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        for command in [Command::Repeat, Command::Cut, Command::Pause] {
            menu::command_word(ui, ctx, command);
        }
    });
}
