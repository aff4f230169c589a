//! The beating of the selection: what is chosen or proposed and why, other ways as words, the figure.

use super::figure;
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::command::Command;
use crate::model::make;
use crate::panels::{ink, menu};
use barloom_analysis::beating::Proposal;
use barloom_core::bar::BarIndex;
use barloom_core::pattern::Pattern;
use barloom_core::score::Movement;
use egui::Ui;

pub(super) fn beating_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    movement: &Movement,
    from: BarIndex,
    to: BarIndex,
) {
    let theme = ctx.theme;
    let proposals: &[Proposal] =
        ctx.movement_tracks().map(|tracks| tracks.beating.as_slice()).unwrap_or_default();
    let in_force: Vec<(Pattern, u8, bool)> = (from.0..=to.0)
        .filter_map(|bar| make::effective(ctx.study, movement.id, BarIndex(bar), proposals))
        .collect();
    let Some((pattern, nth, chosen)) = in_force.first() else { return };
    ink::head_with(ui, theme, "Beating", |ui| {
        ink::body(ui, theme, &summary(&in_force));
    });
    let proposal = proposals.get(from.idx());
    if let Some(proposal) = proposal.filter(|proposal| !proposal.reason.is_empty()) {
        let what = if *chosen && proposal.pattern != *pattern {
            format!("proposed {}: {}", proposal.pattern, proposal.reason)
        } else {
            proposal.reason.clone()
        };
        ink::small(ui, theme, &what);
    }
    let mut others: Vec<&Pattern> = Vec::new();
    if let Some(proposal) = proposal {
        others.extend(std::iter::once(&proposal.pattern).chain(&proposal.alternatives));
    }
    others.retain(|other| *other != pattern);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        for other in others {
            let response = ink::word(ui, theme, &other.to_string());
            if ink::named(response, &format!("Beat {other}")).clicked()
                && let Ok(change) = make::beat(&ctx.env(), other)
            {
                ctx.send(Action::Change(change));
            }
        }
        menu::command_word(ui, ctx, Command::Beating);
        menu::command_word(ui, ctx, Command::Accept);
        menu::command_word(ui, ctx, Command::Proposal);
        menu::command_word(ui, ctx, Command::CopyBeating);
        menu::command_word(ui, ctx, Command::Figure);
    });
    if ctx.status.settings.figure {
        let groups = proposal.map(|proposal| proposal.groups.as_slice()).unwrap_or_default();
        figure::figure_ui(ui, theme, pattern, *nth, groups);
    }
}

/// "2, chosen"; "2 and 3, some proposed".
fn summary(in_force: &[(Pattern, u8, bool)]) -> String {
    let mut patterns: Vec<String> = Vec::new();
    for (pattern, ..) in in_force {
        let text = pattern.to_string();
        if !patterns.contains(&text) {
            patterns.push(text);
        }
    }
    let n_chosen = in_force.iter().filter(|(_, _, chosen)| *chosen).count();
    let state = match n_chosen {
        0 => "proposed",
        n if n == in_force.len() => "chosen",
        _ => "partly chosen",
    };
    if patterns.len() > 3 {
        return format!("{} patterns, {state}", patterns.len());
    }
    format!("{}, {state}", patterns.join(", "))
}
