//! What a save leaves behind, and what it refuses.

use super::*;
use crate::sidecar;
use crate::study::testing::small_study;
use std::fs;

fn text(version: u64) -> String {
    let mut study = small_study();
    study.version = version;
    sidecar::write(&study)
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn the_version_before_is_kept_and_nothing_is_left_beside() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("suite.barloom");
    let first = save_study(&path, &text(1), Expect::Nothing).unwrap();
    let second = save_study(&path, &text(2), Expect::Seen(first)).unwrap();
    save_study(&path, &text(3), Expect::Seen(second)).unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), text(3));
    assert_eq!(fs::read_to_string(backup_path(&path)).unwrap(), text(2));
    assert_eq!(names(folder.path()), ["suite.barloom", "suite.barloom.bak"]);
}

#[test]
fn what_is_not_ours_is_not_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("suite.barloom");
    let seen = save_study(&path, &text(1), Expect::Nothing).unwrap();
    let again = save_study(&path, &text(2), Expect::Nothing);
    assert!(matches!(again, Err(StoreError::Exists(_))), "{again:?}");
    save_study(&path, &text(7), Expect::AnyStudy).unwrap();
    let stale = save_study(&path, &text(2), Expect::Seen(seen));
    assert!(matches!(stale, Err(StoreError::Changed(_))), "{stale:?}");
    for foreign in ["a shopping list", "(version: 2, bars: [])", ""] {
        replace(&path, foreign.as_bytes()).unwrap();
        for expect in [Expect::AnyStudy, Expect::Seen(seen)] {
            let refused = save_study(&path, &text(2), expect);
            assert!(matches!(refused, Err(StoreError::NotAStudy { .. })), "{refused:?}");
        }
        assert_eq!(fs::read_to_string(&path).unwrap(), foreign);
    }
}

#[test]
fn what_a_killed_save_left_is_cleared_and_what_lives_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("suite.barloom");
    for name in ["suite.barloom.99-0.saving", "other.barloom.99-0.saving"] {
        replace(&folder.path().join(name), b"half").unwrap();
    }
    save_study(&path, &text(1), Expect::Nothing).unwrap();
    assert_eq!(names(folder.path()), ["other.barloom.99-0.saving", "suite.barloom"]);
}

#[test]
fn files_over_the_limit_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large");
    replace(&path, &[7; 11]).unwrap();
    assert_eq!(read(&path, 11).unwrap().len(), 11);
    assert!(matches!(read(&path, 10), Err(StoreError::TooLarge { limit: 10, .. })));
    assert!(read(&folder.path().join("none"), 10).unwrap_err().is_missing());
}
