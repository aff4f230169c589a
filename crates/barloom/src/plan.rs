//! `barloom plan`: the study plan as PDF, and its pages as PNG.

use crate::args::{PaperWord, Plan};
use crate::open::Opened;
use crate::report;
use anyhow::{Context, bail};
use barloom_analysis::plan::{self, PlanOptions};
use barloom_core::store;
use barloom_export::{ExportOptions, Paper, Typeset};
use std::io;
use std::process::ExitCode;

/// Pixels of a page image to a point: 144 to the inch.
const PIXELS_PER_PT: f32 = 2.0;

/// Prints the plan; findings go to standard error.
pub(crate) fn run(words: &Plan) -> anyhow::Result<ExitCode> {
    let date = date(words.date.as_deref())?;
    let opened = Opened::of(&words.files.files)?;
    report::write(&mut io::stderr().lock(), &opened.diagnostics())?;
    let work = &opened.work;
    let known = work.all_diagnostics();
    let plan =
        plan::build(&work.basis, &opened.tracks, &work.study, &known, &PlanOptions::default());
    let options = ExportOptions { paper: paper(words.paper), date };
    let pages = Typeset::of(&plan, &options)?;
    store::replace(&words.output, &pages.pdf()?)
        .with_context(|| format!("{} cannot be written", words.output.display()))?;
    if let Some(folder) = &words.png {
        store::make_folder(folder)?;
        for (idx, png) in pages.png(PIXELS_PER_PT)?.iter().enumerate() {
            let path = folder.join(format!("page-{:03}.png", idx + 1));
            store::replace(&path, png)
                .with_context(|| format!("{} cannot be written", path.display()))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// The paper of this name.
pub(crate) fn paper(word: PaperWord) -> Paper {
    match word {
        PaperWord::A4 => Paper::A4,
        PaperWord::Letter => Paper::Letter,
        PaperWord::A3 => Paper::A3,
    }
}

/// Year, month and day of the title page.
pub(crate) fn date(word: Option<&str>) -> anyhow::Result<Option<(i32, u8, u8)>> {
    let Some(word) = word else {
        let now =
            time::OffsetDateTime::now_local().unwrap_or_else(|_| time::OffsetDateTime::now_utc());
        return Ok(Some((now.year(), now.month().into(), now.day())));
    };
    if word == "none" {
        return Ok(None);
    }
    let format = time::macros::format_description!("[year]-[month]-[day]");
    match time::Date::parse(word, format) {
        Ok(date) => Ok(Some((date.year(), date.month().into(), date.day()))),
        Err(_) => bail!("\"{word}\" is not a date such as 2027-03-01, or \"none\""),
    }
}

#[cfg(test)]
mod tests {
    use super::date;

    #[test]
    fn dates_are_days_that_exist() {
        assert_eq!(date(Some("2027-03-01")).unwrap(), Some((2027, 3, 1)));
        assert_eq!(date(Some("none")).unwrap(), None);
        assert!(date(Some("2027-02-30")).is_err());
        assert!(date(Some("soon")).is_err());
        assert!(date(None).unwrap().is_some_and(|(year, ..)| year > 2000));
    }
}
