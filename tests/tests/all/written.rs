//! Scores written from the model: reading back what was written gives the same facts.

mod marks;
mod spans;
mod tables;
mod timing;

use std::path::{Path, PathBuf};

use barloom_core::basis::Basis;
use barloom_core::import::{self, Import, InputFile, Watch};
use barloom_core::part::PartIdx;
use barloom_core::score::{PartMusic, Score};
use barloom_core::time::Ticks;
use barloom_export::musicxml;
use serde_json::Value;

use crate::{outside, works};

const WHAT: &str = "writing what was read, on the community suite and the orchestral movements";

/// Every score file of a folder.
pub(super) fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> = entries.filter(|path| path.is_file()).collect();
    files.sort();
    files
}

/// Reads a written document.
pub(super) fn read(text: String) -> Import {
    let name = String::from("written.musicxml");
    import::read(&[InputFile { name, bytes: text.into_bytes() }], &Watch::default()).unwrap()
}

pub(super) fn all_parts(score: &Score) -> Vec<PartIdx> {
    score.parts().map(|(part, _)| part).collect()
}

/// What is different between two values, by path.
fn differences(path: &str, a: &Value, b: &Value, out: &mut Vec<String>) {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            for (key, value) in a {
                differences(
                    &format!("{path}.{key}"),
                    value,
                    b.get(key).unwrap_or(&Value::Null),
                    out,
                );
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (idx, (a, b)) in a.iter().zip(b).enumerate() {
                differences(&format!("{path}[{idx}]"), a, b, out);
            }
        }
        _ if a == b => {}
        _ => out.push(format!("{path}: {a} became {b}")),
    }
}

/// What is lost when every movement of a file is written and read again, in the facts and in the
/// tables of the model, and how many movements there were.
fn lost(import: Import) -> (Vec<String>, usize) {
    let score = import.score.clone();
    let facts = works::facts(import);
    let mut found = Vec::new();
    for (idx, movement) in score.movements.iter().enumerate() {
        let again = read(musicxml::movement(&score, movement, &all_parts(&score)));
        if again.score.movements.len() != 1 {
            found.push(format!("{idx}: became {} movements", again.score.movements.len()));
            continue;
        }
        let tables = tables::differences(movement, &again.score.movements[0]);
        found.extend(tables.into_iter().map(|line| format!("{idx}: {line}")));
        let again = works::facts(again);
        let (mut a, mut b) = (facts["movements"][idx].clone(), again["movements"][0].clone());
        for value in [&mut a, &mut b] {
            // The name of the file is another, and so is the title of what had none of its own.
            value["source"] = Value::Null;
            if movement.title.is_empty() {
                value["title"] = Value::Null;
            }
            // What a player takes up beside the part's instrument is another list in a movement that
            // begins with the other instrument.
            if movement.parts().any(|(part, music)| begins_otherwise(&score, part, music)) {
                value["players"] = Value::Null;
            }
        }
        differences(&idx.to_string(), &a, &b, &mut found);
    }
    (found, score.movements.len())
}

/// Whether a part begins the movement with another instrument than the work.
fn begins_otherwise(score: &Score, part: PartIdx, music: &PartMusic) -> bool {
    music.instrument_at(Ticks::ZERO) != score.parts.get(part.idx()).map(|part| part.instrument)
}

/// Asserts that nothing of a folder of files is lost, and answers how many movements were written.
fn assert_kept(folder: &Path) -> usize {
    let mut all = String::new();
    let mut n_movements = 0;
    for path in files(folder) {
        let Ok(import) = works::read(&path) else { continue };
        let (lost, n) = lost(import);
        n_movements += n;
        if !lost.is_empty() {
            let shown: Vec<&str> = lost.iter().take(8).map(String::as_str).collect();
            let name = path.file_name().unwrap().to_string_lossy();
            all.push_str(&format!("{name}: {} lost\n  {}\n", lost.len(), shown.join("\n  ")));
        }
    }
    assert!(all.is_empty(), "{all}");
    n_movements
}

#[test]
fn nothing_of_the_suite_is_lost() {
    let Some(data) = outside::data(WHAT) else { return };
    assert!(assert_kept(&data.join("musicxml-suite/xmlFiles")) >= 145);
}

#[test]
fn nothing_of_the_orchestral_movements_is_lost() {
    let Some(data) = outside::data(WHAT) else { return };
    assert_eq!(assert_kept(&data.join("orchestra")), 6);
}

#[test]
fn nothing_of_the_example_is_lost() {
    let (lost, n) = lost(works::example());
    assert!(n >= 6);
    assert_eq!(lost, Vec::<String>::new());
}

/// Everything that the tests write, with names: whole movements and spans of the suite, of the
/// orchestral movements and of the example, also with the marks of its study, and of scores that swing. Nothing if there is no test data.
pub(crate) fn documents(what: &str) -> Option<Vec<(String, String)>> {
    let data = outside::data(what)?;
    let mut imports = vec![works::example()];
    for folder in ["musicxml-suite/xmlFiles", "orchestra"] {
        imports.extend(files(&data.join(folder)).iter().filter_map(|path| works::read(path).ok()));
    }
    imports.extend(timing::scores().into_iter().map(read));
    let mut found = marks::documents();
    for (nth, import) in imports.into_iter().enumerate() {
        let basis = Basis::of(import.score);
        for (idx, movement) in basis.score.movements.iter().enumerate() {
            let text = musicxml::movement(&basis.score, movement, &all_parts(&basis.score));
            found.push((format!("{nth}-{idx}-whole.musicxml"), text));
            for (span, excerpt) in spans::some(&basis.score, idx).into_iter().enumerate() {
                let bytes = musicxml::excerpt(&basis, &excerpt, None, false).unwrap();
                let text = String::from_utf8(bytes).unwrap();
                found.push((format!("{nth}-{idx}-span-{span}.musicxml"), text));
            }
        }
    }
    Some(found)
}
