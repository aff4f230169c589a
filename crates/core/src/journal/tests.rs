//! Tests of the journal.

use super::left::parse;
use super::*;
use crate::sidecar;
use crate::store::Expect;
use crate::study::Study;
use crate::study::testing::small_study;

fn title(text: &str) -> Edit {
    Edit::Title(text.into())
}

fn unsaved(study: &Study) -> Header {
    let base = Base::Unsaved { folder: "scores".into(), text: sidecar::write(study) };
    Header { title: study.title.clone(), base, sources: vec!["scores/suite.mxl".into()] }
}

#[test]
fn edits_come_back_after_the_end_of_the_process_that_made_them() {
    let folder = tempfile::tempdir().unwrap();
    let study = small_study();
    let header = unsaved(&study);
    let now = Instant::now();
    let mut ids = IdMaker::seeded(3);
    let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
    journal.append(&title("One\ntwo"), now).unwrap();
    journal.append(&title("Three"), now).unwrap();
    assert!(pending(folder.path()).unwrap().is_empty(), "a journal in use was offered");
    drop(journal);
    let left = pending(folder.path()).unwrap().remove(0);
    assert_eq!(left.header, header);
    let start = left.start().unwrap();
    assert_eq!(start.study, study);
    assert_eq!(start.edits, [title("One\ntwo"), title("Three")]);
    left.discard().unwrap();
    assert!(pending(folder.path()).unwrap().is_empty());
}

#[test]
fn a_torn_line_costs_only_itself() {
    let folder = tempfile::tempdir().unwrap();
    let header = unsaved(&small_study());
    let mut ids = IdMaker::seeded(4);
    let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
    for text in ["One", "Two"] {
        journal.append(&title(text), Instant::now()).unwrap();
    }
    let path = journal.path();
    drop(journal);
    let whole = std::fs::read(&path).unwrap();
    let last = sealed(&Line::Edit(2, title("Two"))).len();
    for cut in 1..=last {
        let left = parse(&path, &whole[..whole.len() - cut]).unwrap();
        assert_eq!(left.n_edits(), 1);
        assert_eq!(left.torn, cut != last);
    }
    let mut flipped = whole.clone();
    let at = flipped.len() - 6;
    flipped[at] ^= 1;
    let left = parse(&path, &flipped).unwrap();
    assert!(left.torn && left.n_edits() == 1);
}

#[test]
fn a_save_that_was_not_confirmed_is_recognized() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("suite.barloom");
    let mut study = small_study();
    let seen = store::save_study(&path, &sidecar::write(&study), Expect::Nothing).unwrap();
    let base = Base::Saved { path: path.clone(), version: study.version, fingerprint: seen };
    let header = Header { title: String::new(), base, sources: Vec::new() };
    let mut ids = IdMaker::seeded(5);
    let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
    let now = Instant::now();
    journal.append(&title("One"), now).unwrap();
    let note = journal.save_note();
    journal.append(&title("Two"), now).unwrap();
    study.apply(title("One")).unwrap();
    let text = sidecar::write(&study);
    note.write(&path, fingerprint(text.as_bytes())).unwrap();
    drop((journal, note));
    let start = |edits: &[Edit]| {
        let start = pending(folder.path()).unwrap().remove(0).start().unwrap();
        assert_eq!(start.edits, edits);
    };
    start(&[title("One"), title("Two")]);
    store::save_study(&path, &text, Expect::Seen(seen)).unwrap();
    start(&[title("Two")]);
    study.apply(title("Someone else's")).unwrap();
    store::save_study(&path, &sidecar::write(&study), Expect::AnyStudy).unwrap();
    let error = pending(folder.path()).unwrap().remove(0).start().unwrap_err();
    assert!(matches!(error, RecoverError::OtherBase(_)), "{error}");
}

#[test]
fn syncs_wait_for_a_second() {
    let folder = tempfile::tempdir().unwrap();
    let header = unsaved(&small_study());
    let mut ids = IdMaker::seeded(6);
    let mut journal = Journal::begin(folder.path(), &header, &[], &mut ids).unwrap();
    let now = Instant::now();
    assert!(journal.tick(now).is_none());
    journal.append(&title("One"), now).unwrap();
    assert!(journal.tick(now + SYNC_EVERY / 2).is_none());
    let sync = journal.tick(now + SYNC_EVERY).unwrap();
    sync.run().unwrap();
    assert!(journal.tick(now + SYNC_EVERY * 3).is_none());
}
