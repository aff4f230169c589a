//! What only the rim can do: carries out the effects that the desk asks for.

use crate::app::App;
use crate::example;
use crate::jobs::{ExtractJob, PrintJob, Question, SheetJob, What, as_score};
use crate::model::desk::Effect;
use crate::model::field::Purpose;
use crate::model::status::{FoundJournal, Notice, ago};
use barloom_core::journal::{self, Left, Line};
use barloom_core::part::PartIdx;
use barloom_core::study::Edit;
use barloom_core::work::Replacements;
use barloom_export::ExportOptions;
use barloom_export::musicxml::Excerpt;
use egui::ViewportCommand;
use std::path::PathBuf;
use std::sync::Arc;
use time::OffsetDateTime;

/// Carries out one effect.
pub(crate) fn perform(app: &mut App, ctx: &egui::Context, effect: Effect) {
    match effect {
        Effect::BeginField(text) => app.field().begin(text),
        Effect::EndField { keep_text } => app.field().end(keep_text),
        Effect::ChooseFiles => ask(app, Purpose::OpenPath, false, PathBuf::new()),
        Effect::ChooseMovements => ask(app, Purpose::OpenPath, true, PathBuf::new()),
        Effect::ChooseSavePath(path) => ask(app, Purpose::SavePath, false, path),
        Effect::ChoosePlanPath(path) => ask(app, Purpose::PlanPath, false, path),
        Effect::ChooseSheetPath(path) => ask(app, Purpose::SheetPath, false, path),
        Effect::ChooseBarsPath(path) => ask(app, Purpose::BarsPath, false, path),
        Effect::Open(paths) => open(app, paths, Replacements::new()),
        Effect::OpenExample => {
            let (folder, now) = (app.folders.example(), App::now().unix);
            app.jobs.read(What::Example { folder, now });
        }
        Effect::KeepExample => {
            if let Err(error) = example::keep(&app.folders.example()) {
                app.desk.failed(error.to_string());
            }
        }
        Effect::Reopen { paths, replacements } => open(app, paths, replacements),
        Effect::Recover(path) => {
            let found = app.left.iter().find(|left| left.path == path).cloned();
            if let Some(left) = found {
                app.jobs.read(What::Journal(Box::new(left)));
            }
        }
        Effect::DiscardJournal(path) => discard(app, &path),
        Effect::FindJournals => find_journals(app),
        Effect::AddFiles(paths) => add_files(app, paths),
        Effect::Analyze => {
            if let Some(document) = &app.desk.document {
                let settings = app.desk.status.settings.thresholds.analysis();
                app.jobs.analyze(Arc::clone(document.basis()), settings);
            }
        }
        Effect::Save { path, chosen } => save(app, path.filter(|_| chosen)),
        Effect::Print(path) => print(app, path),
        Effect::PrintSheet(path) => print_sheet(app, path),
        Effect::Extract(path) => extract(app, path),
        Effect::Stop => app.jobs.stop(),
        Effect::KeepSettings => {
            if let Err(error) = app.folders.save_settings(&app.desk.status.settings) {
                app.desk.status.notice = Some(Notice::failed(error.to_string()));
            }
        }
        Effect::KeepRecent => {
            // A list of recent files that cannot be kept is no reason to disturb.
            let _ = app.folders.save_recent(&app.desk.recent);
        }
        Effect::Quit => {
            app.may_close = true;
            ctx.send_viewport_cmd(ViewportCommand::Close);
        }
    }
}

fn ask(app: &App, purpose: Purpose, add: bool, proposed: PathBuf) {
    app.jobs.ask(Question { purpose, add, proposed });
}

fn open(app: &mut App, paths: Vec<PathBuf>, replacements: Replacements) {
    let now = App::now().unix;
    app.jobs.read(What::Files { paths, replacements, now });
}

fn save(app: &mut App, to: Option<PathBuf>) {
    let Some(document) = &mut app.desk.document else { return };
    if let Some(job) = document.snapshot(to) {
        app.jobs.save(job);
    }
}

fn print(app: &mut App, path: PathBuf) {
    if app.desk.status.analyzing {
        app.desk.failed("the tracks are still being computed; print when they are there");
        return;
    }
    let Some(document) = &app.desk.document else { return };
    let (basis, study) = (Arc::clone(document.basis()), document.study().clone());
    let tracks = Arc::clone(&app.desk.tracks);
    let options = ExportOptions { paper: app.desk.status.settings.paper(), date: today() };
    let found = Arc::clone(&app.desk.status.diagnostics);
    app.jobs.print(PrintJob { basis, tracks, study, found, path, options });
}

/// Prints the passages side by side, as far as they are shown.
fn print_sheet(app: &App, path: PathBuf) {
    let Some(beside) = &app.desk.status.beside else { return };
    let sheet = beside.sheet.clone();
    let options = ExportOptions { paper: app.desk.status.settings.paper(), date: today() };
    app.jobs.print_sheet(SheetJob { sheet, path, options });
}

/// Writes the selected bars; without selected parts, all of them.
fn extract(app: &App, path: PathBuf) {
    let Some(document) = &app.desk.document else { return };
    let view = &app.desk.view;
    let Some((from, to)) = view.selection.span() else { return };
    let (basis, study) = (Arc::clone(document.basis()), document.study().clone());
    let mut parts: Vec<PartIdx> = view.selection.parts.iter().copied().collect();
    if parts.is_empty() {
        parts = basis.score.parts().map(|(part, _)| part).collect();
    }
    let excerpt = Excerpt { movement: view.movement, from, to, parts };
    let path = as_score(path);
    app.jobs.extract(ExtractJob { basis, study, excerpt, path });
}

/// The date for the title page, by the clock on the wall where the system tells it.
fn today() -> Option<(i32, u8, u8)> {
    let now = OffsetDateTime::now_local().unwrap_or_else(|_| OffsetDateTime::now_utc());
    Some((now.year(), now.month().into(), now.day()))
}

/// Looks for journals of earlier runs and tells of them on the start screen.
pub(crate) fn find_journals(app: &mut App) {
    let now = App::now().unix;
    match journal::pending(&app.folders.journals()) {
        Ok(left) => app.left = left,
        Err(error) => app.desk.failed(error.to_string()),
    }
    let found = app.left.iter().map(|left| {
        let n = left.n_edits();
        let changes = if n == 1 { "1 change".to_owned() } else { format!("{n} changes") };
        let title =
            if left.header.title.is_empty() { "an untitled work" } else { &left.header.title };
        let at = last_change(left).map(|at| format!(", made {}", ago(now.saturating_sub(at))));
        let when = at.unwrap_or_default();
        let words = format!("{changes} to {title} were not saved{when}.");
        FoundJournal { journal: left.path.clone(), words }
    });
    app.desk.status.found = found.collect();
}

/// When the last change of a journal was made, as far as its entries say.
fn last_change(left: &Left) -> Option<u64> {
    fn of(edit: &Edit) -> Option<u64> {
        match edit {
            Edit::Put(entry) => Some(entry.changed),
            Edit::All(edits) => edits.iter().filter_map(of).max(),
            _ => None,
        }
    }
    let edits = left.lines.iter().filter_map(|line| match line {
        Line::Edit(_, edit) => of(edit),
        _ => None,
    });
    edits.max().filter(|at| *at > 0)
}

fn discard(app: &mut App, path: &PathBuf) {
    let Some(idx) = app.left.iter().position(|left| left.path == *path) else { return };
    let left = app.left.remove(idx);
    if let Err(error) = left.discard() {
        app.desk.failed(error.to_string());
    }
}

fn add_files(app: &mut App, paths: Vec<PathBuf>) {
    if let Some(document) = &app.desk.document {
        let work = Box::new(document.work().clone());
        app.jobs.read(What::More { work, paths });
    }
}
