//! Our own example scores against the published MusicXML 4.0 schema (W3C Music Notation Community
//! Group, `musicxml.xsd`), validated by a library that is not ours.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::outside;

const WHAT: &str = "the example scores against the MusicXML 4.0 schema";

#[test]
fn the_example_scores_are_valid() {
    let Some(validator) = Validator::find() else { return };
    let scores = example_scores();
    assert!(scores.len() >= 6, "the movements of the example suite are missing");
    assert_eq!(validator.errors(&scores), "", "the examples must be valid");
}

#[test]
fn everything_written_is_valid() {
    let what = "written scores against the MusicXML 4.0 schema";
    let Some(validator) = Validator::find() else { return };
    let Some(documents) = crate::written::documents(what) else { return };
    assert!(documents.len() >= 300, "only {} documents", documents.len());
    let folder = tempfile::tempdir().unwrap();
    let mut paths = Vec::with_capacity(documents.len());
    for (name, text) in documents {
        let path = folder.path().join(name);
        let mut file = std::fs::File::create(&path).unwrap();
        std::io::Write::write_all(&mut file, text.as_bytes()).unwrap();
        paths.push(path);
    }
    assert_eq!(validator.errors(&paths), "", "what is written must be valid");
}

#[test]
fn the_validator_tells_good_from_bad() {
    let Some(validator) = Validator::find() else { return };
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, note: &str| -> PathBuf {
        let path = folder.path().join(name);
        let text = format!(
            "<score-partwise version=\"4.0\"><part-list><score-part id=\"P1\"><part-name/>\
             </score-part></part-list><part id=\"P1\"><measure number=\"1\">{note}</measure></part>\
             </score-partwise>"
        );
        std::io::Write::write_all(&mut std::fs::File::create(&path).unwrap(), text.as_bytes())
            .unwrap();
        path
    };
    let good = write("good.musicxml", "<note><rest/><duration>4</duration></note>");
    let bad = write("bad.musicxml", "<note><duration>4</duration><rest/></note>");
    assert_eq!(validator.errors(&[good]), "");
    assert!(validator.errors(&[bad]).contains("bad.musicxml:1: Element 'duration'"));
}

/// The Python validator and the schema it validates against.
struct Validator {
    python: PathBuf,
    schema: PathBuf,
}

impl Validator {
    fn find() -> Option<Self> {
        let schema = outside::data(WHAT)?.join("standard/musicxml.xsd");
        let python = outside::python(WHAT)?;
        Some(Self { python, schema })
    }

    /// One line an error, empty when all files are valid.
    fn errors(&self, files: &[PathBuf]) -> String {
        if files.is_empty() {
            return String::new();
        }
        let script = outside::root().join("tests/references/validate.py");
        let run = Command::new(&self.python).arg(script).arg(&self.schema).args(files).output();
        let run = run.unwrap();
        assert_eq!(String::from_utf8_lossy(&run.stderr), "", "the validator itself failed");
        String::from_utf8(run.stdout).unwrap()
    }
}

/// Every score file under `examples`.
fn example_scores() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![outside::root().join("examples")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if is_score(&path) {
                found.push(path);
            }
        }
    }
    found
}

fn is_score(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    ["musicxml", "mxl"].contains(&ending)
}
