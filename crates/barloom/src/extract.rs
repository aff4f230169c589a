//! `barloom extract`: bars and parts of a score as MusicXML.

use crate::args::Extract;
use crate::open;
use crate::report;
use anyhow::bail;
use barloom_core::store;
use barloom_core::work::Work;
use barloom_export::musicxml::{self, select};
use std::io;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Writes the file; what reading found goes to standard error.
pub(crate) fn run(words: &Extract) -> anyhow::Result<ExitCode> {
    let compressed = compressed(&words.output)?;
    let work = open::work(&words.files.files)?;
    keep_what_was_read(&words.output, &words.files.files, &work)?;
    if words.marks && work.saved.is_none() {
        bail!("--marks needs a study: name the .barloom file instead of the scores");
    }
    let excerpt = select(&work.basis.score, words.bars.as_deref(), &words.parts)?;
    // What was found in other movements does not touch this file.
    let mut found = work.all_diagnostics();
    found.retain(|one| one.place.movement.is_none_or(|movement| movement == excerpt.movement));
    report::write(&mut io::stderr().lock(), &found)?;
    let study = words.marks.then_some(&work.study);
    let bytes = musicxml::excerpt(&work.basis, &excerpt, study, compressed)?;
    store::replace(&words.output, &bytes)?;
    Ok(ExitCode::SUCCESS)
}

/// Refuses to write over what was read: the files named and, of a study, its scores.
fn keep_what_was_read(output: &Path, named: &[PathBuf], work: &Work) -> anyhow::Result<()> {
    let written = store::resolved(output);
    let mut read = named.iter().chain(&work.source_paths);
    if read.any(|path| store::resolved(path) == written) {
        bail!("{} is read from; choose another name for what is written", output.display());
    }
    Ok(())
}

/// Whether the name asks for a compressed file.
fn compressed(path: &Path) -> anyhow::Result<bool> {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    match ending.to_ascii_lowercase().as_str() {
        "mxl" => Ok(true),
        "musicxml" | "xml" => Ok(false),
        _ => bail!("\"{}\" should end in .musicxml, .xml or .mxl", path.display()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_says_how_it_is_written() {
        assert!(compressed(Path::new("a/b.MXL")).unwrap());
        assert!(!compressed(Path::new("b.musicxml")).unwrap());
        assert!(compressed(Path::new("b.pdf")).is_err());
    }
}
