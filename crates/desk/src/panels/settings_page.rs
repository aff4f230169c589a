//! Settings of the program.

use super::ink;
use crate::ctx::Ctx;
use crate::model::action::Action;
use crate::model::view_state::{RowShow, TrackRow};
use crate::settings::{Light, SECTIONS, Section, Settings, Threshold, Thresholds};
use barloom_export::Paper;
use egui::{DragValue, Id, ScrollArea, Ui};

/// What lives only while the page is shown.
#[derive(Default)]
pub(super) struct SettingsPage {
    filter: String,
}

pub(super) fn settings_ui(ui: &mut Ui, ctx: Ctx<'_>, page: &mut SettingsPage) {
    let theme = ctx.theme;
    ink::title(ui, theme, "Settings");
    let id = Id::unique("filter of the settings");
    let width = ui.available_width() - 10.0;
    ink::line_edit(ui, id, "Filter settings", &mut page.filter, "filter by words", width);
    let filter = Filter::of(&page.filter);
    ScrollArea::vertical().id_salt("settings").auto_shrink(false).show(ui, |ui| {
        let mut settings = ctx.status.settings.clone();
        if filter.fits("Light dark high contrast text size") {
            light_ui(ui, ctx, &mut settings);
        }
        if filter.fits("Bars equally wide") {
            bars_ui(ui, ctx);
        }
        if filter.fits("Rows shown open thin hidden") {
            ink::head(ui, theme, "Rows shown");
            TrackRow::ALL.into_iter().for_each(|row| row_ui(ui, ctx, row));
        }
        if filter.fits("Side panel figure of the beating") {
            ink::head(ui, theme, "Side panel");
            if ink::tick(ui, theme, settings.figure, "Draw the figure of the beating").clicked() {
                settings.figure = !settings.figure;
            }
        }
        if filter.fits("Paper of the plan") {
            paper_ui(ui, ctx, &mut settings);
        }
        if filter.fits("Your name author") {
            author_ui(ui, ctx, &mut settings);
        }
        for section in SECTIONS {
            section_ui(ui, ctx, section, &filter, &mut settings.thresholds);
        }
        if settings != ctx.status.settings {
            ctx.send(Action::Settings(Box::new(settings)));
        }
    });
}

/// Words that are all looked for.
struct Filter(Vec<String>);

impl Filter {
    fn of(text: &str) -> Self {
        Self(text.to_lowercase().split_whitespace().map(str::to_owned).collect())
    }

    fn fits(&self, text: &str) -> bool {
        let text = text.to_lowercase();
        self.0.iter().all(|word| text.contains(word))
    }
}

fn bars_ui(ui: &mut Ui, ctx: Ctx<'_>) {
    ink::head(ui, ctx.theme, "Bars");
    let words = "Equally wide, not in proportion to their length";
    if ink::tick(ui, ctx.theme, ctx.view.equal_bars, words).clicked() {
        ctx.send(Action::EqualBars(!ctx.view.equal_bars));
    }
}

fn paper_ui(ui: &mut Ui, ctx: Ctx<'_>, settings: &mut Settings) {
    ink::head(ui, ctx.theme, "Paper of the plan");
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 14.0;
        for paper in Paper::ALL {
            if ink::one_of(ui, ctx.theme, paper.name(), settings.paper() == paper).clicked() {
                settings.paper = paper.name().to_owned();
            }
        }
    });
}

fn author_ui(ui: &mut Ui, ctx: Ctx<'_>, settings: &mut Settings) {
    ink::head(ui, ctx.theme, "Your name");
    ink::small(ui, ctx.theme, "Kept with every mark and decision that you make");
    let width = ui.available_width().min(260.0);
    let id = Id::unique("your name");
    ink::line_edit(ui, id, "Your name", &mut settings.author, "name", width);
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

/// The thresholds of one analysis, each with its source under it.
fn section_ui(
    ui: &mut Ui,
    ctx: Ctx<'_>,
    section: &'static Section,
    filter: &Filter,
    thresholds: &mut Thresholds,
) {
    let theme = ctx.theme;
    let fits = |row: &&Threshold| {
        filter
            .fits(&format!("thresholds {} {} {} {}", section.name, row.name, row.unit, row.source))
    };
    let rows: Vec<&Threshold> = section.rows.iter().filter(fits).collect();
    if rows.is_empty() {
        return;
    }
    let changed = section.rows.iter().any(|row| thresholds.is_changed(row));
    ink::head_with(ui, theme, section.name, |ui| {
        let name = format!("The usual values of {}", section.name);
        if changed && ink::named(ink::small_word(ui, theme, "The usual values"), &name).clicked() {
            thresholds.reset(section);
        }
    });
    if !section.note.is_empty() {
        ink::small(ui, theme, section.note);
    }
    for row in rows {
        threshold_ui(ui, ctx, row, thresholds);
    }
}

fn threshold_ui(ui: &mut Ui, ctx: Ctx<'_>, row: &Threshold, thresholds: &mut Thresholds) {
    let theme = ctx.theme;
    let mut value = thresholds.value(row);
    ui.horizontal(|ui| {
        let field = DragValue::new(&mut value)
            .range(row.range.0..=row.range.1)
            .speed(row.speed())
            .max_decimals(row.decimals);
        let field = ui.add(field);
        let text = match row.unit {
            "" => row.name.to_owned(),
            unit => format!("{} ({unit})", row.name),
        };
        let label = ink::body(ui, theme, &text);
        if field.labelled_by(label.id).changed() {
            thresholds.put(row, value);
        }
    });
    let usual = format!("Usual {}: {}", row.usual(), row.source);
    ink::small(ui, theme, &usual);
    ui.add_space(4.0);
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
