//! `barloom facts`: what was read and computed, as JSON on standard output.

use crate::open;
use crate::report::{self, Detail};
use std::io::{self, BufWriter, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// Prints the facts; findings go to standard error too.
pub(crate) fn run(files: &[PathBuf]) -> anyhow::Result<ExitCode> {
    let opened = open::open(files)?;
    report::write(&mut io::stderr().lock(), &opened.diagnostics, Detail::Kinds)?;
    let facts =
        barloom_analysis::facts::facts(&opened.basis, &opened.tracks, None, &opened.diagnostics);
    let mut out = BufWriter::new(io::stdout().lock());
    serde_json::to_writer_pretty(&mut out, &facts).map_err(io::Error::from)?;
    writeln!(out)?;
    out.flush()?;
    Ok(ExitCode::SUCCESS)
}
