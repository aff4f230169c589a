//! Tests of the document without a window.

use super::*;
use barloom_core::bar::{BarAddress, BarIndex, MovementId};
use barloom_core::journal;
use barloom_core::part::PartKey;
use barloom_core::study::{Correction, Cue, Item, SourceRow};
use std::time::Duration;

fn work() -> Work {
    let basis = crate::testing::basis();
    let mut ids = IdMaker::seeded(1);
    let source = SourceRow::File { path: "mill.musicxml".into(), fingerprint: 1 };
    let study = Study::for_score(&basis.score, vec![source], &mut ids, 0);
    let found = PathBuf::from("/scores/mill.musicxml");
    Work::new(basis.score, study, None, vec![found], Vec::new())
}

fn document(journals: Option<&Path>) -> Document {
    Document::new(work(), journals.map(Path::to_path_buf), IdMaker::seeded(2))
}

fn cue(document: &mut Document, bar: u32, who: &str) -> Edit {
    let item = Item::Cue(Cue {
        at: BarAddress::start_of(MovementId(1), BarIndex(bar)),
        part: PartKey("horn".into()),
        wanted: true,
        who: who.into(),
        how: String::new(),
    });
    let mut ids = IdMaker::seeded(u64::from(bar) + 10);
    Edit::Put(document.study().new_entry(item, &mut ids, 0))
}

fn apply(document: &mut Document, edit: Edit, label: &str, gesture: Option<GestureKey>) {
    document.apply(edit, label, gesture, Instant::now()).unwrap();
}

#[test]
fn steps_are_undone_and_redone_under_their_labels() {
    let mut document = document(None);
    let now = Instant::now();
    let fresh = document.study().clone();
    let edit = cue(&mut document, 3, "");
    apply(&mut document, edit, "add cue", None);
    apply(&mut document, Edit::Title("Other".into()), "rename the study", None);
    let changed = document.study().clone();
    assert_eq!(document.undo_label(), Some("rename the study"));
    assert_eq!(document.undo(now).as_deref(), Some("rename the study"));
    assert_eq!(document.undo(now).as_deref(), Some("add cue"));
    assert_eq!(document.undo(now), None);
    assert_eq!(document.study(), &fresh);
    assert_eq!(document.redo_label(), Some("add cue"));
    while document.redo(now).is_some() {}
    assert_eq!(document.study(), &changed);
    document.undo(now);
    let edit = cue(&mut document, 5, "");
    apply(&mut document, edit, "add cue", None);
    assert_eq!(document.redo_label(), None);
}

#[test]
fn a_burst_of_typing_is_one_step() {
    let mut document = document(None);
    let fresh = document.study().clone();
    for who in ["", "1", "1.", "1. s", "1. solo"] {
        let edit = cue(&mut document, 3, who);
        apply(&mut document, edit, "change cue", Some(7));
    }
    document.end_gesture();
    let edit = cue(&mut document, 3, "2.");
    apply(&mut document, edit, "change cue", Some(7));
    document.undo(Instant::now());
    let whose = document.study().cues().next().unwrap().1.who.clone();
    assert_eq!(whose, "1. solo");
    document.undo(Instant::now());
    assert_eq!(document.study(), &fresh);
    document.redo(Instant::now());
    assert_eq!(document.study().cues().next().unwrap().1.who, "1. solo");
}

#[test]
fn the_basis_follows_corrections_and_nothing_else() {
    let mut document = document(None);
    let first = document.basis().revision;
    let edit = cue(&mut document, 3, "");
    apply(&mut document, edit, "add cue", None);
    assert_eq!(document.basis().revision, first);
    let renumber = Item::Correction(Correction::Renumber {
        movement: MovementId(1),
        bar: BarIndex(2),
        number: 103,
    });
    let entry = document.study().new_entry(renumber, &mut IdMaker::seeded(90), 0);
    apply(&mut document, Edit::Put(entry), "renumber", None);
    let labels = |document: &Document| {
        let bars = document.basis().score.movements[0].bars.as_slice();
        bars.iter().map(|bar| bar.label.clone()).collect::<Vec<_>>()
    };
    assert_eq!(labels(&document)[1..5], ["2", "103", "104", "105"]);
    assert!(document.basis().revision > first);
    document.undo(Instant::now());
    assert_eq!(labels(&document)[2], "3");
    assert!(Arc::ptr_eq(&document.basis().score.movements[1], &document.work().read.movements[1]));
}

#[test]
fn a_typed_movement_comes_and_goes_with_undo() {
    let mut document = document(None);
    let edit = cue(&mut document, 3, "");
    apply(&mut document, edit, "add cue", None);
    let fresh = document.study().clone();
    let text = "title: Interlude; parts: 2 horns, piccolo; 4 x 3/4";
    let added = document.work().put_bar_map(None, text).unwrap();
    document.add(&added, "add movement", Instant::now()).unwrap();
    let titles = |document: &Document| {
        let movements = document.basis().score.movements.iter();
        movements.map(|m| format!("{} {}", m.title, m.bars.len())).collect::<Vec<_>>()
    };
    assert_eq!(titles(&document), ["Low water 8", "Lock gates 16", "Interlude 4"]);
    assert_eq!(document.basis().score.parts.len(), 5);
    let source = document.study().sources.len() - 1;
    let longer = "title: Interlude; 2 x 2/4, 4 x 3/4";
    let retyped = document.work().put_bar_map(Some(source), longer).unwrap();
    document.add(&retyped, "change movement", Instant::now()).unwrap();
    assert_eq!(titles(&document)[2], "Interlude 6");
    document.undo(Instant::now());
    assert_eq!(titles(&document)[2], "Interlude 4");
    document.undo(Instant::now());
    assert_eq!(document.study(), &fresh);
    assert_eq!(titles(&document).len(), 2);
    assert_eq!(document.basis().score.parts.len(), 3);
    document.redo(Instant::now());
    assert_eq!(titles(&document).len(), 3);
}

#[test]
fn saving_marks_what_was_saved_and_not_what_came_after() {
    let folder = tempfile::tempdir().unwrap();
    let journals = folder.path().join("journals");
    let path = folder.path().join("mill.barloom");
    let mut document = document(Some(&journals));
    assert!(document.is_unsaved());
    let edit = cue(&mut document, 3, "");
    apply(&mut document, edit, "add cue", None);
    let job = document.snapshot(Some(path.clone())).unwrap();
    assert!(document.snapshot(None).is_none(), "two saves at once");
    let edit = cue(&mut document, 4, "");
    apply(&mut document, edit, "add cue", None);
    document.finish_save(job.run(), Instant::now()).unwrap();
    assert!(document.is_unsaved());
    assert_eq!(document.n_unsaved(), 1);
    document.undo(Instant::now());
    assert!(!document.is_unsaved(), "the saved state is back");
    document.redo(Instant::now());
    let job = document.snapshot(None).unwrap();
    document.finish_save(job.run(), Instant::now()).unwrap();
    assert!(!document.is_unsaved());
    let read = sidecar::read(&std::fs::read(&path).unwrap()).unwrap();
    assert_eq!(&read, document.study());
    assert_eq!(read.version, 2);
    assert_eq!(std::fs::read_dir(&journals).unwrap().count(), 0, "a journal without use is left");
}

#[test]
fn a_failed_save_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let journals = folder.path().join("journals");
    let path = folder.path().join("mill.barloom");
    let mut document = document(Some(&journals));
    let job = document.snapshot(Some(path.clone())).unwrap();
    document.finish_save(job.run(), Instant::now()).unwrap();
    let edit = cue(&mut document, 3, "");
    apply(&mut document, edit, "add cue", None);
    store::replace(&path, b"not a study").unwrap();
    let job = document.snapshot(None).unwrap();
    let edit = cue(&mut document, 4, "");
    apply(&mut document, edit, "add cue", None);
    let error = document.finish_save(job.run(), Instant::now()).unwrap_err();
    assert!(matches!(error, StoreError::NotAStudy { .. }), "{error}");
    assert!(document.is_unsaved());
    assert_eq!(std::fs::read(&path).unwrap(), b"not a study");
    let elsewhere = folder.path().join("rescued.barloom");
    let job = document.snapshot(Some(elsewhere.clone())).unwrap();
    document.finish_save(job.run(), Instant::now()).unwrap();
    let read = sidecar::read(&std::fs::read(&elsewhere).unwrap()).unwrap();
    assert_eq!(read.cues().count(), 2);
}

#[test]
fn what_was_never_saved_comes_back_from_the_journal() {
    let folder = tempfile::tempdir().unwrap();
    let mut document = document(Some(folder.path()));
    let now = Instant::now();
    for bar in 0..5 {
        let edit = cue(&mut document, bar, "");
        apply(&mut document, edit, "add cue", None);
    }
    document.undo(now);
    assert!(document.tick(now + Duration::from_secs(2)).is_some());
    let lost = document.study().clone();
    drop(document);
    let left = journal::pending(folder.path()).unwrap().remove(0);
    let start = left.start().unwrap();
    let mut study = start.study;
    for edit in start.edits {
        study.apply(edit).unwrap();
    }
    assert_eq!(study, lost);
}

#[test]
fn closing_keeps_the_journal_only_for_what_is_wanted() {
    for (discard, n_left) in [(false, 1), (true, 0)] {
        let folder = tempfile::tempdir().unwrap();
        let mut document = document(Some(folder.path()));
        let edit = cue(&mut document, 3, "");
        apply(&mut document, edit, "add cue", None);
        document.close(discard);
        assert_eq!(journal::pending(folder.path()).unwrap().len(), n_left);
    }
}
