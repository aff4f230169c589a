//! Findings on standard error: one line for each kind, so that a thousand repeats of one oddity are
//! one line with a count.

use barloom_core::diag::{self, Diagnostic};
use std::io::{self, Write};

/// Writes one line for each kind of finding, the worst first, with the first place and its hint.
pub(crate) fn write(out: &mut impl Write, diagnostics: &[Diagnostic]) -> io::Result<()> {
    for group in diag::groups(diagnostics) {
        let Some(first) = group.members.first() else { continue };
        let first = Diagnostic { more: 0, ..(*first).clone() };
        match group.count.saturating_sub(1) {
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

/// "1 bar", "2 bars".
pub(crate) fn count(n: usize, thing: &str) -> String {
    let plural = if n == 1 { "" } else { "s" };
    format!("{n} {thing}{plural}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use barloom_core::diag::{Code, Place};

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
            more: 0,
        }
    }

    #[test]
    fn repeats_are_one_line_with_a_count() {
        let findings: Vec<Diagnostic> = (1..=4000).map(|line| finding("Flute", line)).collect();
        let mut text = Vec::new();
        write(&mut text, &findings).unwrap();
        let text = String::from_utf8(text).unwrap();
        assert_eq!(text.lines().count(), 2, "{text}");
        assert!(text.contains("a.musicxml:1") && text.contains("3999 times more"), "{text}");
    }
}
