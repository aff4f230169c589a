//! `barloom check`: what reading found, for people. Files are the movements of one work; of a folder
//! every score is a work of its own.

use crate::args::Check;
use crate::letter::{self, Letter};
use crate::open::Opened;
use anyhow::{anyhow, bail};
use barloom_core::diag;
use barloom_core::import::{self, InputFile, Watch};
use barloom_core::store;
use barloom_core::work;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// Prints the findings; the exit code says whether anything was lost.
pub(crate) fn run(check: &Check) -> anyhow::Result<ExitCode> {
    let mut out = io::stdout().lock();
    if let Some(name) = &check.explain {
        explain(&mut out, name)?;
        return Ok(ExitCode::SUCCESS);
    }
    let folders = check.files.iter().any(|path| store::is_folder(path));
    let lost = if folders { folder(&mut out, check)? } else { one_work(&mut out, check)? };
    Ok(if lost { ExitCode::from(1) } else { ExitCode::SUCCESS })
}

/// The paragraph of a code, or of all.
fn explain(out: &mut impl Write, name: &str) -> anyhow::Result<()> {
    if name.eq_ignore_ascii_case("all") {
        out.write_all(diag::document().as_bytes())?;
        return Ok(());
    }
    // People copy the brackets with the name.
    let plain = name.trim_matches(['[', ']', ' ']);
    let row = diag::by_name(plain).ok_or_else(|| {
        let near = diag::CODES.iter().filter(|row| shares_a_word(row.name, plain));
        let near: Vec<&str> = near.map(|row| row.name).collect();
        let hint = if near.is_empty() { String::new() } else { format!("; {}", near.join(", ")) };
        anyhow!("no finding is called \"{plain}\" (--explain all lists every one{hint})")
    })?;
    writeln!(out, "{}[{}]", row.severity.name(), row.name)?;
    letter::paragraph(out, row.paragraph(), 0, 0)?;
    Ok(())
}

fn shares_a_word(name: &str, asked: &str) -> bool {
    let asked = asked.to_lowercase();
    let mut words = asked.split(|letter: char| !letter.is_alphanumeric());
    words.any(|word| word.len() > 2 && name.split('-').any(|piece| piece.starts_with(word)))
}

/// All files as the movements of one work. Answers whether anything was lost.
fn one_work(out: &mut impl Write, check: &Check) -> anyhow::Result<bool> {
    let opened = Opened::of(&check.files)?;
    let mut letter = Letter::new(out, check.each);
    letter.work(&heading(&check.files), &opened)?;
    letter.summary()?;
    let lost = letter.has_losses();
    if check.timings {
        say_timing(out, time_reading(&opened.work.source_paths)?)?;
    }
    Ok(lost)
}

/// Every score of the folders, and every file beside them, as a work of its own.
fn folder(out: &mut impl Write, check: &Check) -> anyhow::Result<bool> {
    let (mut scores, mut others) = (Vec::new(), Vec::new());
    for path in &check.files {
        if store::is_folder(path) {
            let (found, rest) = store::scores_in(path)?;
            scores.extend(found);
            others.extend(rest);
        } else {
            scores.push(path.clone());
        }
    }
    // What an opus lists is read with it.
    let listed: Vec<PathBuf> =
        scores.iter().filter_map(|path| work::listed(path)).flatten().collect();
    scores.retain(|path| !listed.contains(&store::resolved(path)));
    if scores.is_empty() {
        let folders: Vec<String> =
            check.files.iter().map(|path| path.display().to_string()).collect();
        bail!("no score files (.musicxml, .xml, .mxl, .mei) in {}", folders.join(", "));
    }
    // Where several folders are read, files are told apart by them.
    let named = |path: &PathBuf| match check.files.len() {
        1 => name_of(path),
        _ => path.display().to_string(),
    };
    let mut letter = Letter::new(out, check.each);
    let mut reading = Duration::ZERO;
    for path in &scores {
        let paths = std::slice::from_ref(path);
        match Opened::of(paths) {
            Ok(opened) => {
                letter.work(&named(path), &opened)?;
                if check.timings {
                    reading += time_reading(&opened.work.source_paths)?;
                }
            }
            Err(error) => letter.unreadable(&named(path), &format!("{error:#}"))?,
        }
    }
    let names: Vec<String> = others.iter().map(named).collect();
    letter.left_aside(&names)?;
    letter.summary()?;
    let lost = letter.has_losses();
    if check.timings {
        say_timing(out, reading)?;
    }
    Ok(lost)
}

/// What stands over the findings of a work: its files.
fn heading(paths: &[PathBuf]) -> String {
    paths.iter().map(|path| name_of(path)).collect::<Vec<_>>().join(", ")
}

fn name_of(path: &Path) -> String {
    path.file_name()
        .map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into())
}

fn say_timing(out: &mut impl Write, reading: Duration) -> io::Result<()> {
    writeln!(out, "reading alone: {:.1} ms", reading.as_secs_f64() * 1000.0)
}

/// Reads the files once more, from bytes in memory to a finished score, and nothing else.
fn time_reading(paths: &[PathBuf]) -> anyhow::Result<Duration> {
    let mut files = Vec::with_capacity(paths.len());
    for path in paths.iter().filter(|path| !path.as_os_str().is_empty()) {
        let bytes = store::read(path, import::Limits::STANDARD.file_bytes)?;
        files.push(InputFile { name: name_of(path), bytes });
    }
    let start = Instant::now();
    let read = import::read(&files, &Watch::default())?;
    let reading = start.elapsed();
    drop(read);
    Ok(reading)
}
