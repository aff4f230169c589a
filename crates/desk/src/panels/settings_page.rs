//! Settings of the program.

use super::ink;
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::view_state::{RowShow, TrackRow};
use crate::settings::{Light, Settings, Thresholds};
use barloom_export::Paper;
use egui::{DragValue, Id, ScrollArea, Ui};

pub(super) fn settings_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    let theme = ctx.theme;
    ink::title(ui, theme, "Settings");
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let mut settings = ctx.status.settings.clone();
        light_ui(ui, ctx, &mut settings);
        ink::head(ui, theme, "Bars");
        let equal = ink::tick(
            ui,
            theme,
            ctx.view.equal_bars,
            "Equally wide, not in proportion to their length",
        );
        if equal.clicked() {
            ctx.send(Action::EqualBars(!ctx.view.equal_bars));
        }
        ink::head(ui, theme, "Rows shown");
        TrackRow::ALL.into_iter().for_each(|row| row_ui(ui, ctx, row));
        ink::head(ui, theme, "Side panel");
        if ink::tick(ui, theme, settings.figure, "Draw the figure of the beating").clicked() {
            settings.figure = !settings.figure;
        }
        thresholds_ui(ui, ctx, &mut settings);
        ink::head(ui, theme, "Paper of the plan");
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 14.0;
            for paper in Paper::ALL {
                if ink::one_of(ui, theme, paper.name(), settings.paper() == paper).clicked() {
                    settings.paper = paper.name().to_owned();
                }
            }
        });
        ink::head(ui, theme, "Your name");
        ink::small(ui, theme, "Kept with every mark and decision that you make");
        let width = ui.available_width().min(260.0);
        let id = Id::unique("your name");
        ink::line_edit(ui, id, "Your name", &mut settings.author, "name", width);
        if settings != ctx.status.settings {
            ctx.send(Action::Settings(Box::new(settings)));
        }
    });
}

/// How one track row is shown.
fn row_ui(ui: &mut Ui, ctx: Ctx<'_>, row: TrackRow) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        for show in RowShow::ALL {
            let chosen = ctx.view.row_show(row) == show;
            let response = ink::one_of(ui, ctx.theme, show.name(), chosen);
            let response = ink::named(response, &format!("{}: {}", row.name(), show.name()));
            if response.clicked() {
                ctx.send(Action::ShowRows(vec![row], show));
            }
        }
        ink::body(ui, ctx.theme, row.name());
    });
}

/// What the proposals go by, each with its source.
fn thresholds_ui(ui: &mut Ui, ctx: Ctx<'_>, settings: &mut Settings) {
    let theme = ctx.theme;
    ink::head(ui, theme, "Proposals, in beats a minute");
    for (name, source, value) in settings.thresholds.rows() {
        ui.horizontal(|ui| {
            let field = DragValue::new(value).range(Thresholds::RANGE).speed(0.5).max_decimals(0);
            let field = ui.add(field);
            let label = ink::body(ui, theme, name);
            field.labelled_by(label.id).on_hover_text(source);
        });
    }
    let usual = Thresholds::default();
    if settings.thresholds != usual && ink::word(ui, theme, "The usual values").clicked() {
        settings.thresholds = usual;
    }
}

fn light_ui(ui: &mut Ui, ctx: Ctx<'_>, settings: &mut Settings) {
    let theme = ctx.theme;
    ink::head(ui, theme, "Light");
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        let names =
            [(Light::System, "As the system"), (Light::Light, "Light"), (Light::Dark, "Dark")];
        for (light, name) in names {
            if ink::one_of(ui, theme, name, settings.light == light).clicked() {
                settings.light = light;
            }
        }
    });
    if ink::tick(ui, theme, settings.contrast, "High contrast: ink and paper only").clicked() {
        settings.contrast = !settings.contrast;
    }
    ink::head(ui, theme, "Text size");
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        ink::body(ui, theme, &format!("{:.0} %", settings.text_scale * 100.0));
        for (name, step) in [("Smaller text", -0.1), ("Larger text", 0.1)] {
            if ink::word(ui, theme, name).clicked() {
                let scale = ((settings.text_scale + step) * 10.0).round() / 10.0;
                settings.text_scale = scale.clamp(0.7, 2.0);
            }
        }
    });
}
