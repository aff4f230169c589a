//! `barloom extract` as it is run: what it writes, what it says, and that a wrong word writes nothing.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use barloom_core::import::Watch;
use barloom_core::store;
use barloom_core::study::IdMaker;
use barloom_core::work::{self, Replacements};
use barloom_export::musicxml::{self, select};

const STUDY: &str = "the-tide-mill.barloom";

/// A folder with the example's scores and study.
struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/tide-mill");
        for entry in fs::read_dir(example).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "mxl" || ending == "barloom") {
                fs::copy(&path, folder.path().join(path.file_name().unwrap())).unwrap();
            }
        }
        Self(folder)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn extract(&self, words: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_barloom"));
        command.current_dir(self.0.path()).arg("extract").args(words).output().unwrap()
    }

    /// Writes `out.musicxml` and answers its text.
    fn written(&self, words: &[&str]) -> String {
        let run = self.extract(&[words, &["-o", "out.musicxml"]].concat());
        assert!(run.status.success(), "{}", said(&run));
        fs::read_to_string(self.path("out.musicxml")).unwrap()
    }

    /// What is said when nothing is written.
    fn refused(&self, words: &[&str]) -> String {
        let run = self.extract(&[words, &["-o", "refused.musicxml"]].concat());
        assert_eq!(run.status.code(), Some(2), "{words:?}: {}", said(&run));
        assert!(!self.path("refused.musicxml").exists(), "{words:?}");
        let text = said(&run);
        // Findings come first; the reason is what stands last.
        let from = text.rfind("barloom: ").unwrap_or_else(|| panic!("{words:?}: {text}"));
        text[from..].to_owned()
    }
}

fn said(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// The same bytes as the library writes, whose files are validated against the standard's schema.
#[test]
fn the_study_is_written_with_its_marks() {
    let place = Place::new();
    let text = place.written(&[STUDY, "--bars", "3:48..50", "--marks"]);
    for words in ["which mallets? ask", "keep 1 low, 2 large", "cue: eyes a bar before", "in 2+2+3"]
    {
        assert!(text.contains(words), "{words}");
    }
    let paths = [place.path(STUDY)];
    let mut ids = IdMaker::seeded(1);
    let work = work::open(&paths, &Replacements::new(), &mut ids, 0, &Watch::default()).unwrap();
    let excerpt = select(&work.basis.score, Some("3:48..50"), &[]).unwrap();
    let bytes = musicxml::excerpt(&work.basis, &excerpt, Some(&work.study), false).unwrap();
    assert!(text.as_bytes() == bytes, "the program writes what the library writes");
    let plain = place.written(&[STUDY, "--bars", "3:48..50"]);
    assert!(!plain.contains("which mallets") && !plain.contains("cue: "));
}

#[test]
fn a_hidden_layer_is_not_written() {
    let place = Place::new();
    let study = fs::read_to_string(place.path(STUDY)).unwrap();
    let hidden =
        study.replace("Layer(name: \"Questions\",", "Layer(name: \"Questions\", shown: false,");
    assert_ne!(study, hidden);
    store::replace(&place.path(STUDY), hidden.as_bytes()).unwrap();
    let text = place.written(&[STUDY, "--bars", "3:48", "--marks"]);
    assert!(!text.contains("which mallets? ask"));
    assert!(text.contains("keep 1 low, 2 large") && text.contains("darker than bar 43"));
}

#[test]
fn only_what_touches_the_file_is_said() {
    let place = Place::new();
    let run = place.extract(&[STUDY, "--bars", "2:1..4", "--parts", "Oboe 1", "-o", "out.mxl"]);
    let text = said(&run);
    assert!(run.status.success(), "{text}");
    assert!(!text.contains("movement 1") && !text.contains("movement 3"), "{text}");
    let bytes = fs::read(place.path("out.mxl")).unwrap();
    assert!(bytes.starts_with(b"PK"), "an archive");
}

#[test]
fn wrong_words_are_answered_and_write_nothing() {
    let place = Place::new();
    let one = "1-low-water.mxl";
    let cases: [(&[&str], &str); 10] = [
        (&[STUDY], "the work has 6 movements and a file holds one"),
        (&[STUDY, "--bars", "7:1..2"], "there is no movement 7; the work has"),
        (&[one, "--bars", "99"], "no bar is labeled \"99\" in movement 1, which has bars 1 to 36"),
        (&[one, "--bars", "3-9"], "a range is typed as FIRST..LAST"),
        (&[one, "--bars", "#99"], "there is no bar #99 in movement 1, which has 36, #1 to #36"),
        (&[one, "--bars", "9..3"], "bar \"3\" comes before bar \"9\""),
        (
            &[one, "--parts", "Serpent"],
            "there is no part \"Serpent\"; the movement has\n  Flutes 1.2",
        ),
        (&[one, "--parts", "Violin"], "\"Violin\" may be any of\n  Violins I (violins-1)"),
        (&[one, "--marks"], "--marks needs a study"),
        (&["none.mxl"], "cannot read"),
    ];
    for (words, wanted) in cases {
        let text = place.refused(words);
        assert!(text.contains(wanted), "{words:?}: {text}");
    }
}

#[test]
fn an_output_that_cannot_be_written_is_named_once() {
    let place = Place::new();
    let run = place.extract(&["1-low-water.mxl", "-o", "missing/out.musicxml"]);
    assert_eq!(run.status.code(), Some(2));
    let text = said(&run);
    assert_eq!(text.matches("cannot").count(), 1, "{text}");
    assert_eq!(text.matches("out.musicxml").count(), 1, "{text}");
    let run = place.extract(&["1-low-water.mxl", "-o", "out.pdf"]);
    assert!(said(&run).contains("should end in .musicxml, .xml or .mxl"));
}

/// A source that is written over is lost.
#[test]
fn what_is_read_is_never_written_over() {
    let place = Place::new();
    let name = "1-low-water.mxl";
    let before = fs::read(place.path(name)).unwrap();
    let dotted = format!("./{name}");
    for words in [[name, "--bars", "1..2", "-o", &dotted], [STUDY, "--bars", "1:1..2", "-o", name]]
    {
        let run = place.extract(&words);
        assert_eq!(run.status.code(), Some(2), "{words:?}");
        assert!(said(&run).contains("is read from; choose another name"), "{}", said(&run));
        assert!(fs::read(place.path(name)).unwrap() == before, "{words:?}");
    }
}
