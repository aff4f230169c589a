//! `barloom check`: what reading found, for people.

use crate::args::Check;
use crate::open::Opened;
use crate::report::{self, Detail};
use barloom_core::diag::Severity;
use barloom_core::import::{self, InputFile, Watch};
use barloom_core::store;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// Prints the findings; the exit code says whether anything was lost.
pub(crate) fn run(check: &Check) -> anyhow::Result<ExitCode> {
    let opened = Opened::of(&check.files.files)?;
    let diagnostics = opened.diagnostics();
    let mut out = io::stdout().lock();
    let detail = if check.each { Detail::Each } else { Detail::Kinds };
    report::write(&mut out, &diagnostics, detail)?;
    let score = &opened.work.basis.score;
    let n_bars: usize = score.movements.iter().map(|movement| movement.bars.len()).sum();
    let counts = [
        report::count(score.movements.len(), "movement"),
        report::count(n_bars, "bar"),
        report::count(score.parts.len(), "part"),
    ];
    writeln!(out, "{}: {}", counts.join(", "), report::summary(&diagnostics))?;
    if check.timings {
        let reading = time_reading(&opened.work.source_paths)?;
        writeln!(out, "reading alone: {:.1} ms", reading.as_secs_f64() * 1000.0)?;
    }
    let lost = diagnostics.iter().any(|found| found.severity() == Severity::Error);
    Ok(if lost { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

/// Reads the files once more, from bytes in memory to a finished score, and nothing else.
fn time_reading(paths: &[PathBuf]) -> anyhow::Result<Duration> {
    let mut files = Vec::with_capacity(paths.len());
    for path in paths.iter().filter(|path| !path.as_os_str().is_empty()) {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
        let bytes = store::read(path, import::Limits::STANDARD.file_bytes)?;
        files.push(InputFile { name: name.unwrap_or_default(), bytes });
    }
    let start = Instant::now();
    let read = import::read(&files, &Watch::default())?;
    let reading = start.elapsed();
    drop(read);
    Ok(reading)
}
