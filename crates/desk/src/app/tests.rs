//! The whole program without a screen: widgets found by their accessible names, threads and files
//! real, folders temporary.

use super::*;
use crate::model::view_state::Selection;
use barloom_core::bar::BarIndex;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use std::path::Path;

fn harness(folder: &Path, paths: Vec<PathBuf>) -> Harness<'static, App> {
    let folders = Folders::inside(folder);
    Harness::builder()
        .with_size([1280.0, 1000.0])
        .with_max_steps(8)
        .build_eframe(move |creation| App::new(&creation.egui_ctx, folders, paths))
}

/// Runs frames until something holds; fails after a minute.
fn wait(harness: &mut Harness<'_, App>, holds: impl Fn(&App) -> bool) {
    let begun = Instant::now();
    loop {
        harness.run_steps(2);
        if holds(harness.state()) {
            harness.run_steps(2);
            return;
        }
        let notice = &harness.state().desk.status.notice;
        assert!(begun.elapsed() < Duration::from_secs(60), "nothing came of it: {notice:?}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

fn ready(app: &App) -> bool {
    app.desk.status.open && !app.desk.status.analyzing
}

fn first_movement() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/tide-mill/1-low-water.mxl")
}

fn select(harness: &mut Harness<'_, App>, from: u32, to: u32) {
    let bars = Some((BarIndex(from), BarIndex(to)));
    harness.state_mut().desk.view.selection = Selection { bars, ..Selection::default() };
    harness.run_steps(2);
}

fn type_text(harness: &mut Harness<'_, App>, text: &str) {
    harness.event(egui::Event::Text(text.to_owned()));
    harness.run_steps(2);
}

fn press(harness: &mut Harness<'_, App>, key: egui::Key) {
    harness.key_press(key);
    harness.run_steps(3);
}

#[test]
fn the_example_suite_opens_from_the_start_screen() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = harness(folder.path(), Vec::new());
    harness.run_steps(3);
    harness.get_by_label("Study a score");
    harness.get_by_label("Open the example suite").click();
    wait(&mut harness, ready);
    assert_eq!(harness.state().desk.basis().score.movements.len(), 6);
    harness.get_by_label("III Lock gates").click();
    harness.run_steps(3);
    assert_eq!(harness.state().desk.view.movement, 2);
    assert!(!harness.state().desk.status.unsaved, "opening is no change");
    let kept = Folders::inside(folder.path()).example().join("1-low-water.mxl");
    assert!(!kept.exists(), "nothing was marked yet");
    press(&mut harness, egui::Key::ArrowRight);
    press(&mut harness, egui::Key::Num4);
    assert!(kept.is_file(), "the suite is copied when it is marked");
}

#[test]
fn a_bar_is_beaten_marked_undone_and_saved_with_keys() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = harness(folder.path(), vec![first_movement()]);
    wait(&mut harness, ready);
    press(&mut harness, egui::Key::ArrowRight);
    harness.get_by_label("Bar 1");
    press(&mut harness, egui::Key::Num3);
    harness.get_by_label("3, chosen");
    press(&mut harness, egui::Key::W);
    type_text(&mut harness, "breathe with the oboe");
    press(&mut harness, egui::Key::Enter);
    assert_eq!(harness.state().desk.study().marks().count(), 1);
    harness.get_by_label("Words in bar 1");
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::Z);
    harness.run_steps(3);
    assert_eq!(harness.state().desk.study().marks().count(), 0);
    let path = folder.path().join("low.barloom");
    harness.state_mut().desk.view.purpose = crate::model::field::Purpose::SavePath;
    harness.state_mut().field().begin(path.display().to_string());
    harness.run_steps(3);
    press(&mut harness, egui::Key::Enter);
    wait(&mut harness, |app| app.desk.status.path.is_some());
    assert!(path.is_file());
    assert!(!harness.state().desk.status.unsaved);
}

#[test]
fn a_list_jumps_to_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = harness(folder.path(), vec![first_movement()]);
    wait(&mut harness, ready);
    select(&mut harness, 20, 20);
    press(&mut harness, egui::Key::W);
    type_text(&mut harness, "look up");
    press(&mut harness, egui::Key::Enter);
    select(&mut harness, 0, 0);
    press(&mut harness, egui::Key::M);
    harness.get_by_label("21 · Hands · look up").click();
    harness.run_steps(3);
    let bars = harness.state().desk.view.selection.span();
    assert_eq!(bars, Some((BarIndex(20), BarIndex(20))));
}

#[test]
fn changes_of_a_run_that_was_cut_off_are_offered_and_taken() {
    let folder = tempfile::tempdir().unwrap();
    let mut first = harness(folder.path(), vec![first_movement()]);
    wait(&mut first, ready);
    press(&mut first, egui::Key::ArrowRight);
    press(&mut first, egui::Key::Num2);
    // The program ends without a word; the journal is all there is.
    drop(first);
    let mut second = harness(folder.path(), Vec::new());
    second.run_steps(3);
    second.get_by_label("Take them").click();
    wait(&mut second, ready);
    assert!(second.state().desk.status.unsaved);
    press(&mut second, egui::Key::ArrowRight);
    second.get_by_label("2, chosen");
    assert!(second.state().desk.status.found.is_empty());
}

#[test]
fn a_file_that_is_no_score_says_so_and_keeps_what_is_open() {
    let folder = tempfile::tempdir().unwrap();
    let bad = folder.path().join("letter.musicxml");
    barloom_core::store::replace(&bad, b"<letter/>").unwrap();
    let mut harness = harness(folder.path(), vec![first_movement()]);
    wait(&mut harness, ready);
    harness.state_mut().queue.send(crate::model::action::Action::Open(vec![bad]));
    wait(&mut harness, |app| app.desk.status.notice.is_some());
    let notice = harness.state().desk.status.notice.clone().unwrap();
    assert!(notice.failed && notice.text.contains("letter.musicxml"), "{}", notice.text);
    assert!(harness.state().desk.status.open);
}
