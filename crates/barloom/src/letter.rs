//! The letter of `barloom check`: for each work what was read, then what was found, the worst first,
//! each kind once with its places; at the end a summary over all works. Text is wrapped for a
//! terminal of 80 columns.

use crate::open::Opened;
use crate::report::count;
use barloom_core::diag::{self, Code, Diagnostic, Group, Severity};
use barloom_core::score::Score;
use std::io::{self, Write};

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

/// "and 37 more: Flute 20 in all, Oboe 22 in all".
fn more_line(group: &Group<'_>, more: usize) -> String {
    let parts = group.parts();
    if parts.len() < 2 {
        return format!("and {more} more.");
    }
    let named: Vec<String> = parts.iter().take(8).map(|(name, n)| format!("{name} {n}")).collect();
    let rest = parts.len().saturating_sub(named.len());
    let rest = if rest == 0 { String::new() } else { format!(" and {rest} other parts") };
    format!("and {more} more; by part: {}{rest}.", named.join(", "))
}

/// One place, with what was found there if that says more than the kind.
fn place_line(found: &Diagnostic, several: bool, tells: bool) -> String {
    let place = &found.place;
    let (music, file) = (place.in_music(several), place.in_file());
    let mut text = match (music.is_empty(), file.is_empty()) {
        (true, true) => String::new(),
        (true, false) => file,
        (false, true) => music,
        (false, false) => format!("{music} ({file})"),
    };
    if tells || text.is_empty() {
        let message = &found.message;
        text = if text.is_empty() { message.clone() } else { format!("{text}: {message}") };
    }
    if let Some(hint) = &found.hint {
        text.push_str(&format!("; {hint}"));
    }
    let text = if music_begins(found) { capital(&text) } else { text };
    format!("{text}.")
}

/// The text with a capital first letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next();
    first.map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// The verb for so many.
fn plural(n: usize) -> &'static str {
    if n == 1 { "was" } else { "were" }
}

/// Whether a place line begins with words about the music, not with a file's name.
fn music_begins(found: &Diagnostic) -> bool {
    !found.place.in_music(true).is_empty() || found.place.in_file().is_empty()
}

fn n_bars(score: &Score) -> usize {
    score.movements.iter().map(|movement| movement.bars.len()).sum()
}

/// The sentence that says what was read.
fn reading(score: &Score, title: &str) -> String {
    let title = match title.trim() {
        "" => String::from("A score without a title"),
        title => format!("\u{201c}{title}\u{201d}"),
    };
    let parts = count(score.parts.len(), "part");
    match score.movements.as_slice() {
        [] => format!("{title}: no movements, {parts}."),
        [only] => format!("{title}: one movement of {}, {parts}.", count(only.bars.len(), "bar")),
        several => {
            let name = |(idx, movement): (usize, &std::sync::Arc<_>)| -> String {
                let movement: &barloom_core::score::Movement = movement;
                let bars = count(movement.bars.len(), "bar");
                match movement.title.trim() {
                    "" => format!("{}. ({bars})", idx + 1),
                    title => format!("{}. {title} ({bars})", idx + 1),
                }
            };
            let named: Vec<String> = several.iter().enumerate().map(name).collect();
            format!("{title}: {} movements, {parts}. {}.", several.len(), named.join(", "))
        }
    }
}

/// "a", "a and b", "a, b and c".
fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
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

#[cfg(test)]
mod tests {
    use super::*;

    fn text(work: impl FnOnce(&mut Letter<'_, Vec<u8>>)) -> String {
        let mut out = Vec::new();
        work(&mut Letter::new(&mut out, false));
        String::from_utf8(out).unwrap()
    }

    fn opened(folder: &std::path::Path, name: &str, score: &str) -> Opened {
        let path = folder.join(name);
        barloom_core::store::replace(&path, score.as_bytes()).unwrap();
        Opened::of(&[path]).unwrap()
    }

    fn score(bars: &str) -> String {
        format!(
            "<score-partwise version=\"4.0\"><work><work-title>Mill Race</work-title></work>\
             <part-list><score-part id=\"P1\"><part-name>Flute</part-name></score-part>\
             </part-list><part id=\"P1\">\n{bars}</part></score-partwise>"
        )
    }

    #[test]
    fn a_letter_says_what_was_read_what_was_found_and_what_was_done() {
        let folder = tempfile::tempdir().unwrap();
        let wedge = "<direction><direction-type><wedge type=\"crescendo\"/></direction-type>\
                     </direction>";
        let note = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration>\
                    </note>";
        let bar =
            |n: u32, extra: &str| format!("<measure number=\"{n}\">{extra}{note}</measure>\n");
        let head = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type>\
                    </time></attributes><sound tempo=\"60\"/>";
        let bars: String = (1..=30).map(|n| bar(n, if n == 1 { head } else { wedge })).collect();
        let work = opened(folder.path(), "mill race.xml", &score(&bars));
        let letter = text(|letter| {
            letter.work("mill race.xml", &work).unwrap();
            letter.summary().unwrap();
            assert!(!letter.has_losses());
        });
        assert!(letter.starts_with(
            "mill race.xml\n=============\n\u{201c}Mill Race\u{201d}: one movement of 30 bars, 1 \
             part.\n\nAltered or assumed:\n- A hairpin begins"
        ), "{letter}");
        assert!(letter.contains("29 times:\n    Flute, bar 2 (mill race.xml:3:"), "{letter}");
        assert!(letter.contains("[hairpin-open]") && letter.contains("--explain hairpin-open"));
        assert!(letter.contains("and 24 more."), "{letter}");
        assert!(letter.contains("Nothing was lost in reading (0 errors, 29 warnings, 0 notes)"));
        assert!(letter.lines().all(|line| line.chars().count() <= WIDTH), "{letter}");
    }

    #[test]
    fn a_kind_is_explained_once_in_a_letter() {
        let folder = tempfile::tempdir().unwrap();
        let bar = "<measure number=\"1\"><note><rest/><duration>4</duration></note></measure>";
        let work = opened(folder.path(), "a.xml", &score(bar));
        let letter = text(|letter| {
            letter.work("a.xml", &work).unwrap();
            letter.work("b.xml", &work).unwrap();
            letter.summary().unwrap();
        });
        assert_eq!(letter.matches("[meter-missing]").count(), 1, "{letter}");
        assert!(letter.contains("- Meter missing again:\n"), "{letter}");
        assert!(letter.contains("In all, 2 works with 2 bars were read."), "{letter}");
    }

    #[test]
    fn what_cannot_be_read_is_said_and_counted() {
        let letter = text(|letter| {
            letter.unreadable("a.xml", "the file is damaged").unwrap();
            letter.left_aside(&[String::from("notes.txt")]).unwrap();
            letter.summary().unwrap();
            assert!(letter.has_losses());
        });
        assert!(letter.contains("This could not be read: the file is damaged."), "{letter}");
        assert!(letter.contains("Left aside") && letter.contains("notes.txt"), "{letter}");
    }

    #[test]
    fn paragraphs_are_wrapped_with_their_indents() {
        let mut out = Vec::new();
        paragraph(&mut out, &"word ".repeat(40), 2, 4).unwrap();
        let text = String::from_utf8(out).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        assert!(
            lines.len() == 3 && lines[0].starts_with("  word") && lines[1].starts_with("    word")
        );
        assert!(lines.iter().all(|line| line.len() <= WIDTH));
    }
}
