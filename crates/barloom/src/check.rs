//! `barloom check`: what reading found, for people.

use crate::args::Check;
use crate::open;
use crate::report::{self, Detail};
use barloom_core::diag::Severity;
use std::io::{self, Write};
use std::process::ExitCode;

/// Prints the findings; the exit code says whether anything was lost.
pub(crate) fn run(check: &Check) -> anyhow::Result<ExitCode> {
    let opened = open::open(&check.files.files)?;
    let mut out = io::stdout().lock();
    let detail = if check.each { Detail::Each } else { Detail::Kinds };
    report::write(&mut out, &opened.diagnostics, detail)?;
    let score = &opened.basis.score;
    let n_bars: usize = score.movements.iter().map(|movement| movement.bars.len()).sum();
    writeln!(
        out,
        "{} movements, {n_bars} bars, {} parts: {}",
        score.movements.len(),
        score.parts.len(),
        report::summary(&opened.diagnostics)
    )?;
    if check.timings {
        writeln!(out, "reading: {:.1} ms", opened.reading.as_secs_f64() * 1000.0)?;
    }
    let lost = opened.diagnostics.iter().any(|d| d.severity() == Severity::Error);
    Ok(if lost { ExitCode::from(1) } else { ExitCode::SUCCESS })
}
