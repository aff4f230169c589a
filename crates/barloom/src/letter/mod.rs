//! The letter of `barloom check`: for each work what was read, then what was found, the worst first,
//! each kind once with its places; at the end a summary over all works. Text is wrapped for a
//! terminal of 80 columns.

#[cfg(test)]
mod tests;
mod wording;

use crate::open::Opened;
use crate::report::count;
use barloom_core::diag::{self, Code, Group, Severity};
use std::io::{self, Write};
use wording::{capital, list, more_line, n_bars, place_line, plural, reading};

/// The width of a line in characters.
const WIDTH: usize = 80;

/// How many places of one kind are named one by one.
const MAX_PLACES: usize = 5;

/// Kinds whose messages say no more than their paragraph.
const PLAIN: &[Code] = &[
    Code::HairpinOpen,
    Code::HairpinUnbegun,
    Code::TieOpen,
    Code::MeterMissing,
    Code::ChordWithoutNote,
    Code::DivisionsMissing,
    Code::NoteUnreadable,
];

/// The letter as it is written.
pub(crate) struct Letter<'w, W> {
    out: &'w mut W,
    /// Every place is named.
    each: bool,
    n_works: usize,
    n_bars: usize,
    /// Works that could not be read.
    unread: Vec<String>,
    /// Works in which something was lost.
    lossy: Vec<String>,
    /// Works about which nothing had to be said.
    n_clean: usize,
    /// Findings by severity, from the worst.
    counts: [usize; 3],
    /// Kinds that were explained, in order.
    explained: Vec<&'static str>,
}

const SEVERITIES: [(Severity, &str); 3] = [
    (Severity::Error, "Lost"),
    (Severity::Warning, "Altered or assumed"),
    (Severity::Note, "Worth knowing"),
];

impl<'w, W: Write> Letter<'w, W> {
    /// An empty letter. `each` names every place instead of the first few of each kind.
    pub(crate) fn new(out: &'w mut W, each: bool) -> Self {
        Self {
            out,
            each,
            n_works: 0,
            n_bars: 0,
            unread: Vec::new(),
            lossy: Vec::new(),
            n_clean: 0,
            counts: [0; 3],
            explained: Vec::new(),
        }
    }

    /// Whether something was lost, or could not be read at all.
    pub(crate) fn has_losses(&self) -> bool {
        !self.unread.is_empty() || !self.lossy.is_empty()
    }

    /// What was read of a work and found in it.
    pub(crate) fn work(&mut self, name: &str, opened: &Opened) -> io::Result<()> {
        let found = opened.diagnostics();
        let score = &opened.work.basis.score;
        self.n_works += 1;
        self.n_bars += n_bars(score);
        self.head(name)?;
        paragraph(self.out, &reading(score, &opened.work.study.title), 0, 0)?;
        for (count, (severity, _)) in self.counts.iter_mut().zip(SEVERITIES) {
            *count += diag::count(&found, severity);
        }
        if diag::count(&found, Severity::Error) > 0 {
            self.lossy.push(name.to_owned());
        }
        if found.is_empty() {
            self.n_clean += 1;
            paragraph(self.out, "Nothing odd was found.", 0, 0)?;
        }
        let groups = diag::groups(&found);
        let several = score.movements.len() > 1;
        for (severity, head) in SEVERITIES {
            let mut of_severity = groups.iter().filter(|group| group.severity() == severity);
            let Some(first) = of_severity.next() else { continue };
            writeln!(self.out, "\n{head}:")?;
            self.group(first, several)?;
            for group in of_severity {
                self.group(group, several)?;
            }
        }
        writeln!(self.out)
    }

    /// A work that could not be read at all, with the reason.
    pub(crate) fn unreadable(&mut self, name: &str, why: &str) -> io::Result<()> {
        self.unread.push(name.to_owned());
        self.head(name)?;
        paragraph(self.out, &format!("This could not be read: {why}."), 0, 0)?;
        writeln!(self.out)
    }

    /// Files that are no scores by their names.
    pub(crate) fn left_aside(&mut self, names: &[String]) -> io::Result<()> {
        if names.is_empty() {
            return Ok(());
        }
        let text = format!("Left aside, for their names are not those of scores: {}.", list(names));
        paragraph(self.out, &text, 0, 0)?;
        writeln!(self.out)
    }

    /// The last paragraph: everything together.
    pub(crate) fn summary(&mut self) -> io::Result<()> {
        let [errors, warnings, notes] = self.counts;
        let counted = [count(errors, "error"), count(warnings, "warning"), count(notes, "note")];
        let mut text = String::new();
        if self.n_works + self.unread.len() > 1 {
            let works = count(self.n_works, "work");
            let (bars, were) = (count(self.n_bars, "bar"), plural(self.n_works));
            text.push_str(&format!("In all, {works} with {bars} {were} read. "));
            match self.unread.as_slice() {
                [] => {}
                [one] => text.push_str(&format!("One file could not be read: {one}. ")),
                unread => {
                    let (n, names) = (unread.len(), list(unread));
                    text.push_str(&format!("{n} files could not be read: {names}. "));
                }
            }
            match self.n_clean {
                0 => {}
                1 => text.push_str("In one of the works nothing odd was found. "),
                n => text.push_str(&format!("In {n} of the works nothing odd was found. ")),
            }
        }
        match (self.lossy.as_slice(), self.n_works, self.unread.is_empty()) {
            (_, 0, _) => {}
            ([], _, true) => text.push_str("Nothing was lost in reading"),
            ([], _, false) => text.push_str("Nothing was lost of what was read"),
            (_, 1, _) => text.push_str("Something was lost in reading"),
            (lossy, ..) => text.push_str(&format!("Something was lost in {}", list(lossy))),
        }
        if self.n_works > 0 {
            text.push_str(&format!(" ({}).", counted.join(", ")));
        }
        paragraph(self.out, text.trim(), 0, 0)?;
        if let Some(example) = self.explained.first() {
            writeln!(
                self.out,
                "What you can do about each kind: barloom check --explain {example}"
            )?;
        }
        Ok(())
    }

    fn head(&mut self, name: &str) -> io::Result<()> {
        writeln!(self.out, "{name}")?;
        writeln!(self.out, "{}", "=".repeat(name.chars().count().min(WIDTH)))
    }

    fn group(&mut self, group: &Group<'_>, several: bool) -> io::Result<()> {
        let row = group.code.row();
        let often = match group.count {
            1 => String::new(),
            2 => String::from(", twice"),
            n => format!(", {n} times"),
        };
        // What a kind means is said once in a letter.
        let known = self.explained.contains(&row.name);
        let text = if known {
            format!("- {} again{often}:", capital(&row.title()))
        } else {
            self.explained.push(row.name);
            format!("- {} [{}]{often}:", row.found_and_done(), row.name)
        };
        paragraph(self.out, &text, 0, 2)?;
        let shown = if self.each { group.members.len() } else { MAX_PLACES };
        let tells = known || !PLAIN.contains(&group.code);
        for found in group.members.iter().take(shown) {
            paragraph(self.out, &place_line(found, several, tells), 4, 6)?;
        }
        let shown = shown.min(group.members.len());
        if let Some(more) = group.count.checked_sub(shown).filter(|more| *more > 0) {
            paragraph(self.out, &more_line(group, more), 4, 6)?;
        }
        Ok(())
    }
}

/// Writes a paragraph wrapped at [`WIDTH`]: the first line indented by `first`, the others by `rest`.
/// A word longer than a line stands alone on its line.
pub(crate) fn paragraph(
    out: &mut impl Write,
    text: &str,
    first: usize,
    rest: usize,
) -> io::Result<()> {
    let mut line = " ".repeat(first);
    let mut used = first;
    let mut begins = true;
    for word in text.split_whitespace() {
        let needed = word.chars().count();
        if !begins && used + 1 + needed > WIDTH {
            writeln!(out, "{line}")?;
            line = " ".repeat(rest);
            used = rest;
            begins = true;
        }
        if !begins {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += needed;
        begins = false;
    }
    if begins { Ok(()) } else { writeln!(out, "{line}") }
}
