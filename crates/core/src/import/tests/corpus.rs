//! The open corpora, found through the environment variable `BARLOOM_DATA`: everything in them is
//! read or refused, and nothing panics.

use crate::import::{Import, InputFile, Watch, read};
use std::path::PathBuf;

/// The files under a folder of the data with these endings; `None`, said aloud, without the data.
#[allow(clippy::print_stderr, reason = "a missing reference is said aloud")]
fn files(folder: &str, endings: &[&str]) -> Option<Vec<InputFile>> {
    let Ok(data) = std::env::var("BARLOOM_DATA") else {
        eprintln!("BARLOOM_DATA is not set: the files of {folder} were not read");
        return None;
    };
    let mut paths: Vec<PathBuf> = std::fs::read_dir(PathBuf::from(data).join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| endings.iter().any(|end| path.extension().is_some_and(|e| e == *end)))
        .collect();
    paths.sort();
    let read = |path: PathBuf| InputFile {
        name: path.file_name().unwrap().to_string_lossy().into_owned(),
        bytes: std::fs::read(&path).unwrap(),
    };
    Some(paths.into_iter().map(read).collect())
}

fn summary(import: &Import) -> String {
    let mut out = String::new();
    for movement in &import.score.movements {
        out.push_str(&format!(
            "  {} \"{}\" {} bars {} tempi {} keys\n",
            movement.id,
            movement.title,
            movement.bars.len(),
            movement.tempi.len(),
            movement.keys.len()
        ));
        for mark in &movement.tempi {
            out.push_str(&format!(
                "    {:?} {:?} {:?}\n",
                movement.place(mark.at),
                mark.kind,
                mark.words
            ));
        }
        for (idx, music) in movement.parts() {
            let part = &import.score.parts[idx.idx()];
            let counted = music.notes.iter().filter(|note| note.is_counted()).count();
            out.push_str(&format!(
                "    {} | {} | {} | players {} | {} notes {} markings {:?}\n",
                part.key,
                part.name,
                part.instrument,
                part.players.len(),
                counted,
                music.markings.len(),
                music.instruments.len()
            ));
        }
    }
    for diagnostic in &import.diagnostics {
        out.push_str(&format!("  {diagnostic}\n"));
    }
    out
}

#[test]
fn corpus_dump() {
    for folder in ["musicxml-suite/xmlFiles", "orchestra"] {
        for file in files(folder, &["xml", "musicxml", "mxl"]).unwrap_or_default() {
            let name = file.name.clone();
            match read(&[file], &Watch::default()) {
                Ok(import) => println!("{name}\n{}", summary(&import)),
                Err(error) => println!("{name}\n  REFUSED {error}"),
            }
        }
    }
}
