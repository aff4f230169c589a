//! `barloom compare`: two passages side by side, as text, as JSON or as PDF.

use crate::args::Compare;
use crate::open::Opened;
use crate::plan::{date, paper};
use crate::report;
use anyhow::Context;
use barloom_analysis::compare::{self, Passage, Sheet, SheetRow};
use barloom_analysis::settings::CompareSettings;
use barloom_core::score::Score;
use barloom_core::store;
use barloom_export::musicxml::{SelectError, select};
use barloom_export::{ExportOptions, Typeset};
use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

/// Prints the comparison, or writes it to a file; findings go to standard error.
pub(crate) fn run(words: &Compare) -> anyhow::Result<ExitCode> {
    let date = date(words.date.as_deref())?;
    let opened = Opened::of(&words.files.files)?;
    let basis = &opened.work.basis;
    let passages = (passage(&basis.score, &words.bars)?, passage(&basis.score, &words.with)?);
    let mut found = opened.diagnostics();
    // What was found in other movements does not touch these bars.
    let concerned = [passages.0.movement, passages.1.movement];
    found.retain(|one| one.place.movement.is_none_or(|movement| concerned.contains(&movement)));
    report::write(&mut io::stderr().lock(), &found)?;
    let settings = CompareSettings::default();
    let compared = compare::compare(basis, &opened.tracks, passages.0, passages.1, &settings)
        .context("these bars cannot be compared")?;
    let sheet = compare::sheet(basis, &opened.tracks, &compared);
    if let Some(output) = &words.output {
        let options = ExportOptions { paper: paper(words.paper), date };
        let pages = Typeset::of_sheet(&sheet, &options)?;
        store::replace(output, &pages.pdf()?)
            .with_context(|| format!("{} cannot be written", output.display()))?;
        return Ok(ExitCode::SUCCESS);
    }
    let mut out = BufWriter::new(io::stdout().lock());
    if words.json {
        let facts = compare::facts(basis, &compared);
        crate::facts::write(&mut out, &facts)?;
    } else {
        write_sheet(&mut out, &sheet)?;
    }
    out.flush()?;
    Ok(ExitCode::SUCCESS)
}

/// The bars that `[MOVEMENT:]FIRST..LAST` means.
fn passage(score: &Score, bars: &str) -> Result<Passage, SelectError> {
    let excerpt = select(score, Some(bars), &[])?;
    Ok(Passage { movement: excerpt.movement, from: excerpt.from, to: excerpt.to })
}

fn write_sheet(out: &mut impl Write, sheet: &Sheet) -> io::Result<()> {
    for sentence in &sheet.summary {
        writeln!(out, "{sentence}")?;
    }
    for (head, rows) in [("What changes", &sheet.changed), ("What stays", &sheet.stayed)] {
        if rows.is_empty() {
            continue;
        }
        writeln!(out, "\n{head}")?;
        for row in rows {
            writeln!(out, "  {}", line(row))?;
        }
    }
    Ok(())
}

/// "Level, bars 1–4 / bars 101–104: ff instead of p".
fn line(row: &SheetRow) -> String {
    let places: Vec<&str> = [&row.first, &row.second]
        .into_iter()
        .map(String::as_str)
        .filter(|p| !p.is_empty())
        .collect();
    format!("{}, {}: {}", row.head, places.join(" / "), row.text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_names_the_bars_of_both_passages() {
        let row = SheetRow {
            head: String::from("Level"),
            first: String::from("bar 1"),
            second: String::from("bar 9"),
            text: String::from("ff instead of p"),
            ..SheetRow::default()
        };
        assert_eq!(line(&row), "Level, bar 1 / bar 9: ff instead of p");
        let alone = SheetRow { first: String::new(), ..row };
        assert_eq!(line(&alone), "Level, bar 9: ff instead of p");
    }
}
