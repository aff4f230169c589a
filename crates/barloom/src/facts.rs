//! `barloom facts`: what was read and computed, as JSON on standard output.

use crate::open::Opened;
use crate::report;
use std::io::{self, BufWriter, Write};
use std::path::PathBuf;
use std::process::ExitCode;

/// Prints the facts; findings go to standard error too.
pub(crate) fn run(files: &[PathBuf]) -> anyhow::Result<ExitCode> {
    let opened = Opened::of(files)?;
    let diagnostics = opened.diagnostics();
    report::write(&mut io::stderr().lock(), &diagnostics)?;
    let basis = &opened.work.basis;
    let facts = barloom_analysis::facts::facts(basis, &opened.tracks, opened.study(), &diagnostics);
    let mut out = BufWriter::new(io::stdout().lock());
    write(&mut out, &facts)?;
    out.flush()?;
    Ok(ExitCode::SUCCESS)
}

/// Writes facts as JSON, spread over lines.
pub(crate) fn write(out: &mut impl Write, facts: &serde_json::Value) -> anyhow::Result<()> {
    serde_json::to_writer_pretty(&mut *out, facts).map_err(io::Error::from)?;
    writeln!(out)?;
    Ok(())
}
