//! Recovery journals: lines with their checksums made right, so that damage reaches the records.
#![no_main]

use barloom_core::hash::fingerprint;
use barloom_core::journal::pending;
use barloom_fuzz::{change_text, mutate::samples, put};
use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use std::sync::LazyLock;
use tempfile::TempDir;

static FOLDER: LazyLock<TempDir> = LazyLock::new(|| {
    // In memory where there is such a folder: a file is written for every input.
    let memory = std::path::Path::new("/dev/shm");
    if memory.is_dir() { TempDir::new_in(memory) } else { TempDir::new() }.unwrap()
});

fuzz_target!(|data: &[u8]| {
    let mut sealed = Vec::new();
    for line in data.split_inclusive(|byte| *byte == b'\n') {
        let content = line.strip_suffix(b"\n").unwrap_or(line);
        sealed.extend(format!("{:016x} ", fingerprint(content)).into_bytes());
        sealed.extend(line);
    }
    let path = FOLDER.path().join("fuzz.journal");
    std::fs::write(&path, &sealed).unwrap();
    for left in pending(FOLDER.path()).unwrap_or_default() {
        let Ok(start) = left.start() else { continue };
        let mut study = start.study;
        for edit in start.edits {
            let before = study.clone();
            match study.apply(edit) {
                Ok(inverse) => {
                    let mut undone = study.clone();
                    assert!(undone.apply(inverse).is_ok(), "an inverse was refused");
                    assert_eq!(undone, before, "an edit undone is not the study before");
                }
                Err(_) => assert_eq!(study, before, "a refused edit changed the study"),
            }
        }
    }
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    if size < 100 {
        let begin = "Begin(version: 1, title: \"x\", base: Unsaved(folder: \"\", text: \"";
        let text = samples::study().escape_debug().to_string();
        let edits = samples::study()
            .lines()
            .filter(|line| line.contains("id: \"") && !line.contains("bars: ["))
            .enumerate()
            .map(|(idx, line)| {
                format!("Edit({}, Put({}))\n", idx + 1, line.trim().trim_end_matches(','))
            })
            .collect::<String>();
        let journal =
            format!("{begin}{text}\"), sources: [])\n{edits}Edit(999, Remove(\"aaaaaaaaaaaA\"))\n");
        return put(&mut data[..max_size], journal.as_bytes());
    }
    change_text(data, size, max_size, seed)
});
