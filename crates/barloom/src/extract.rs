//! `barloom extract`: bars and parts of a score as MusicXML.

use crate::args::Extract;
use crate::open;
use crate::report;
use anyhow::{Context, bail};
use barloom_core::store;
use barloom_export::musicxml::{self, select};
use std::io;
use std::path::Path;
use std::process::ExitCode;

/// Writes the file; what reading found goes to standard error.
pub(crate) fn run(words: &Extract) -> anyhow::Result<ExitCode> {
    let compressed = compressed(&words.output)?;
    let work = open::work(&words.files.files)?;
    report::write(&mut io::stderr().lock(), &work.all_diagnostics())?;
    let excerpt = select(&work.basis.score, words.bars.as_deref(), &words.parts)?;
    let study = words.marks.then_some(&work.study);
    let bytes = musicxml::excerpt(&work.basis, &excerpt, study, compressed)?;
    store::replace(&words.output, &bytes)
        .with_context(|| format!("{} cannot be written", words.output.display()))?;
    Ok(ExitCode::SUCCESS)
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
