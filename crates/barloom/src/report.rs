//! Printing for people: findings on standard error or output, grouped so that a thousand repeats of
//! one oddity are one line with a count.

use barloom_core::diag::{Code, Diagnostic, Severity};
use std::collections::BTreeMap;
use std::io::{self, Write};

/// Whether each finding gets a line, or each kind.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Detail {
    /// One line a finding.
    Each,
    /// One line for all findings with the same code in the same file and part.
    Kinds,
}

/// Writes findings, the worst first, each with its hint.
pub(crate) fn write(
    out: &mut impl Write,
    diagnostics: &[Diagnostic],
    detail: Detail,
) -> io::Result<()> {
    let mut groups: BTreeMap<(Severity, Code, String, String, usize), Vec<&Diagnostic>> =
        BTreeMap::new();
    for (idx, diagnostic) in diagnostics.iter().enumerate() {
        let part = diagnostic.place.part.as_ref().map_or(String::new(), |(id, _)| id.clone());
        let apart = if detail == Detail::Each { idx } else { 0 };
        let key =
            (diagnostic.severity(), diagnostic.code, diagnostic.place.file.clone(), part, apart);
        groups.entry(key).or_default().push(diagnostic);
    }
    for group in groups.values() {
        let Some(first) = group.first() else { continue };
        match group.len() - 1 {
            0 => writeln!(out, "{first}")?,
            1 => writeln!(out, "{first} (and once more)")?,
            more => writeln!(out, "{first} (and {more} times more)")?,
        }
        if let Some(hint) = &first.hint {
            writeln!(out, "    {hint}")?;
        }
    }
    Ok(())
}

/// One line that counts findings by severity: "1 error, 2 warnings, 5 notes".
pub(crate) fn summary(diagnostics: &[Diagnostic]) -> String {
    let of = |severity: Severity| {
        let n = diagnostics.iter().filter(|found| found.severity() == severity).count();
        count(n, severity.name())
    };
    [Severity::Error, Severity::Warning, Severity::Note].map(of).join(", ")
}

/// "1 bar", "2 bars".
pub(crate) fn count(n: usize, thing: &str) -> String {
    let plural = if n == 1 { "" } else { "s" };
    format!("{n} {thing}{plural}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use barloom_core::diag::Place;

    fn finding(part: &str, line: u32) -> Diagnostic {
        let place = Place {
            file: String::from("a.musicxml"),
            part: Some((part.to_owned(), part.to_owned())),
            line,
            ..Default::default()
        };
        Diagnostic {
            code: Code::BarLengthsDiffer,
            place,
            message: String::from("the bar is too long"),
            hint: Some(String::from("look at it")),
        }
    }

    #[test]
    fn repeats_are_one_line_with_a_count() {
        let findings: Vec<Diagnostic> = (1..=4000).map(|line| finding("Flute", line)).collect();
        let mut text = Vec::new();
        write(&mut text, &findings, Detail::Kinds).unwrap();
        let text = String::from_utf8(text).unwrap();
        assert_eq!(text.lines().count(), 2, "{text}");
        assert!(text.contains("a.musicxml:1") && text.contains("3999 times more"), "{text}");
        let mut each = Vec::new();
        write(&mut each, &findings, Detail::Each).unwrap();
        assert_eq!(String::from_utf8(each).unwrap().lines().count(), 8000);
        assert_eq!(summary(&findings), "0 errors, 4000 warnings, 0 notes");
    }
}
