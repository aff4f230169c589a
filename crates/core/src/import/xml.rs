//! The XML side: guarded parsing, line numbers from byte positions, and small helpers on nodes.
//!
//! Knows nothing about music.

use super::error::{ImportError, Spot};
use super::guard;
use super::limits::{Limits, MAX_NAME};
use super::markup;
use memchr::{memchr_iter, memrchr};
use roxmltree::{Document, ParsingOptions};

pub(super) use super::markup::{Node, Tree};

/// Bytes between two places at which the lines before them are counted once.
const STRIDE: usize = 2048;

/// The text of one document with its name and its lines.
#[derive(Debug)]
pub(super) struct Sheet<'a> {
    /// The file, without folders.
    pub(super) file: &'a str,
    /// The entry of the archive, or the file again.
    pub(super) entry: &'a str,
    /// The decoded text.
    pub(super) text: &'a str,
    /// What it must stay inside.
    pub(super) limits: &'a Limits,
    /// How many lines end before each multiple of [`STRIDE`].
    lines_before: Vec<u32>,
}

impl<'a> Sheet<'a> {
    /// The sheet of a text shorter than 4 GB.
    pub(super) fn new(file: &'a str, entry: &'a str, text: &'a str) -> Self {
        let mut lines = 0u32;
        let before = |stride: &[u8]| {
            let before = lines;
            lines = lines.saturating_add(line_breaks(stride));
            before
        };
        let lines_before = text.as_bytes().chunks(STRIDE).map(before).collect();
        Self { file, entry, text, limits: &Limits::STANDARD, lines_before }
    }

    /// The same sheet held to other limits.
    pub(super) fn within(self, limits: &'a Limits) -> Self {
        Self { limits, ..self }
    }

    /// The 1-based line of a byte position.
    pub(super) fn line(&self, byte: usize) -> u32 {
        let byte = byte.min(self.text.len());
        let stride = (byte / STRIDE).min(self.lines_before.len().saturating_sub(1));
        let before = self.lines_before.get(stride).copied().unwrap_or(0);
        let rest = self.text.as_bytes().get(stride * STRIDE..byte).unwrap_or_default();
        before.saturating_add(line_breaks(rest)).saturating_add(1)
    }

    /// The 1-based line and the 1-based column, in characters, of a byte position.
    pub(super) fn line_column(&self, byte: usize) -> (u32, u32) {
        let before = self.text.get(..byte).unwrap_or_default();
        let in_line = before.rfind('\n').map_or(before, |at| before.get(at + 1..).unwrap_or(""));
        (self.line(byte), u32::try_from(in_line.chars().count() + 1).unwrap_or(u32::MAX))
    }

    /// Line and column of byte positions in ascending order: one walk, so that many positions in
    /// one endless line cost no more than the line.
    pub(super) fn lines_columns(&self, bytes: impl Iterator<Item = usize>) -> Vec<(u32, u32)> {
        let (mut column, mut at) = (1u32, 0usize);
        let walk = |byte: usize| {
            let between = self.text.get(at..byte).unwrap_or_default();
            let behind_break = memrchr(b'\n', between.as_bytes()).map(|at| at + 1);
            let in_line = between.get(behind_break.unwrap_or(0)..).unwrap_or_default();
            let letters = u32::try_from(in_line.chars().count()).unwrap_or(u32::MAX);
            let from = if behind_break.is_some() { 1 } else { column };
            column = from.saturating_add(letters);
            at = at.max(byte);
            (self.line(at), column)
        };
        bytes.map(walk).collect()
    }

    /// The place of a byte position.
    pub(super) fn spot(&self, byte: usize) -> Box<Spot> {
        let (line, column) = self.line_column(byte);
        let (file, entry) = (self.file.to_owned(), self.entry.to_owned());
        let (part, bar) = around(self.text, byte);
        Box::new(Spot { file, entry, line, column, part, bar })
    }

    /// Whether the text can be parsed at all without harm.
    ///
    /// # Errors
    /// Entities are declared, or elements are nested too deeply.
    fn check_harmless(&self) -> Result<(), ImportError> {
        if let Some(at) = entity_declaration(self.text) {
            return Err(ImportError::Entities { spot: self.spot(at) });
        }
        guard::check(self)
    }

    /// The tree of the text.
    ///
    /// # Errors
    /// Entities are declared, elements are nested too deeply, the document has too many nodes, or
    /// it is not well-formed.
    pub(super) fn parse(&self) -> Result<Tree<'a>, ImportError> {
        match markup::document(self.text) {
            Some(tree) if tree.len() <= self.limits.nodes as usize => Ok(tree),
            _ => self.parse_general(),
        }
    }

    /// The tree of the text from the general parser, whose word on what is well-formed is final.
    pub(super) fn parse_general(&self) -> Result<Tree<'a>, ImportError> {
        self.check_harmless()?;
        let document = Document::parse_with_options(self.text, options(self.limits));
        let document = document.map_err(|error| match error {
            roxmltree::Error::NodesLimitReached => {
                let what = "the document has too many elements";
                self.too_large_in_all(what, u64::from(self.limits.nodes))
            }
            // What is missing is missing at the end.
            error @ (roxmltree::Error::UnclosedRootNode
            | roxmltree::Error::UnexpectedEndOfStream) => {
                let spot = self.spot(self.text.len());
                ImportError::Xml { cause: plain_cause(&error), spot }
            }
            error => {
                let at = error.pos();
                let mut ends = memchr_iter(b'\n', self.text.as_bytes());
                let line_start = at.row.checked_sub(2).and_then(|row| ends.nth(row as usize));
                let byte = line_start.unwrap_or(0) + at.col as usize;
                let spot = Box::new(Spot { line: at.row, column: at.col, ..*self.spot(byte) });
                let empty = self.text.trim().is_empty();
                let cause = if empty { String::from("it is empty") } else { plain_cause(&error) };
                ImportError::Xml { cause, spot }
            }
        })?;
        Ok(markup::from_general(&document))
    }

    /// A limit that is met at a byte position.
    pub(super) fn too_large(&self, byte: usize, what: &str, limit: u64) -> ImportError {
        let (what, limit) = (what.to_owned(), limit.to_string());
        ImportError::TooLarge { what, limit, spot: self.spot(byte) }
    }

    /// A limit that the document meets as a whole.
    pub(super) fn too_large_in_all(&self, what: &str, limit: u64) -> ImportError {
        let (file, entry) = (self.file.to_owned(), self.entry.to_owned());
        let spot = Box::new(Spot { file, entry, ..Spot::default() });
        ImportError::TooLarge { what: what.to_owned(), limit: limit.to_string(), spot }
    }
}

fn options<'i>(limits: &Limits) -> ParsingOptions<'i> {
    ParsingOptions { allow_dtd: true, nodes_limit: limits.nodes, ..ParsingOptions::default() }
}

/// The id of the part and the number of the bar whose start tags stand last before a byte, or at
/// it. Only as good as the text: it may be damaged.
fn around(text: &str, byte: usize) -> (String, String) {
    let last = |tags: &[&str], attributes: &[&str]| -> Option<(usize, String)> {
        let end =
            text.get(byte..).and_then(|rest| rest.find('>')).map_or(text.len(), |at| byte + at);
        let before = text.get(..end).unwrap_or_default();
        let start = tags.iter().filter_map(|tag| before.rfind(tag)).max()?;
        let tag = text.get(start..)?.split('>').next()?;
        let value = attributes.iter().find_map(|attribute| {
            let (_, value) = tag.split_once(attribute)?;
            value.get(1..)?.split(value.get(..1)?).next()
        })?;
        Some((start, value.chars().take(MAX_NAME).collect()))
    };
    let (part_at, part) = last(&["<part "], &[" id="]).unwrap_or_default();
    let (bar_at, bar) = last(&["<measure ", "<measure>"], &[" number=", " n="]).unwrap_or_default();
    // A bar before its part is that of another part, where parts hold bars.
    let is_other = bar_at < part_at && text.contains("<score-partwise");
    (part, if is_other { String::new() } else { bar })
}

fn line_breaks(bytes: &[u8]) -> u32 {
    u32::try_from(memchr_iter(b'\n', bytes).count()).unwrap_or(u32::MAX)
}

/// Parses a small document of the container.
pub(super) fn parse_plain(text: &str) -> Result<Tree<'_>, ImportError> {
    Sheet::new("", "", text).parse()
}

/// The position of an entity declaration in the head of the document, if there is one.
fn entity_declaration(text: &str) -> Option<usize> {
    // Only a document type can declare entities, and it stands before the root element.
    text.find("<!DOCTYPE")?;
    text.find("<!ENTITY")
}

fn plain_cause(error: &roxmltree::Error) -> String {
    match error {
        roxmltree::Error::UnclosedRootNode | roxmltree::Error::UnexpectedEndOfStream => {
            String::from("it ends before it is complete")
        }
        roxmltree::Error::NoRootNode => String::from("there is no element in it"),
        roxmltree::Error::UnknownToken(_) => String::from("text stands where only an element can"),
        other => {
            // The position is given apart, so it is cut from the sentence.
            let text = other.to_string();
            text.split(" at ").next().unwrap_or(&text).to_owned()
        }
    }
}

/// The name of the outermost element, without its prefix, found without parsing; `None` if the text
/// does not look like a document.
pub(super) fn root_name(text: &str) -> Option<&str> {
    let mut rest = text;
    loop {
        rest = rest.get(rest.find('<')? + 1..)?;
        if rest.starts_with("!--") {
            rest = rest.get(rest.find("-->")?..)?;
        } else if rest.starts_with('?') {
            rest = rest.get(rest.find("?>")?..)?;
        } else if rest.starts_with('!') {
            rest = rest.get(rest.find('>')?..)?;
        } else {
            let end =
                rest.find(|letter: char| letter.is_whitespace() || matches!(letter, '>' | '/'));
            let tag = rest.get(..end?)?;
            return Some(tag.rsplit_once(':').map_or(tag, |(_, name)| name));
        }
    }
}

/// The name of an element; empty for text.
pub(super) fn name<'a>(node: Node<'a, '_>) -> &'a str {
    node.name()
}

/// The child elements.
pub(super) fn elements<'a, 'i: 'a>(node: Node<'a, 'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    node.children().filter(Node::is_element)
}

/// The first child element with this name.
pub(super) fn child<'a, 'i: 'a>(node: Node<'a, 'i>, wanted: &str) -> Option<Node<'a, 'i>> {
    elements(node).find(|node| name(*node) == wanted)
}

/// The text of an element without the space around it.
pub(super) fn text<'a>(node: Node<'a, '_>) -> &'a str {
    let text = node.text().unwrap_or_default();
    match text.as_bytes() {
        // Nearly every text is a word or a number; trimming knows all spaces of all scripts.
        [b'!'..=b'~'] | [b'!'..=b'~', .., b'!'..=b'~'] => text,
        _ => text.trim(),
    }
}

/// The text of the first child element with this name; `None` if it is missing or empty.
pub(super) fn child_text<'a, 'i: 'a>(node: Node<'a, 'i>, wanted: &str) -> Option<&'a str> {
    child(node, wanted).map(text).filter(|text| !text.is_empty())
}

/// Whether an attribute says "yes".
pub(super) fn says_yes(node: Node<'_, '_>, attribute: &str) -> bool {
    node.attribute(attribute) == Some("yes")
}

/// A decimal number as a fraction: `"2"` is 2/1, `"1.5"` is 15/10. At most nine decimals are read,
/// further ones are dropped; `None` if it is no number or does not fit.
pub(super) fn decimal(text: &str) -> Option<(i64, i64)> {
    let text = text.trim();
    if let Ok(whole) = text.parse::<i64>() {
        return Some((whole, 1));
    }
    let (negative, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, part) = digits.split_once('.')?;
    let plain = |s: &str| s.bytes().all(|byte| byte.is_ascii_digit());
    if !plain(whole) || !plain(part) || (whole.is_empty() && part.is_empty()) {
        return None;
    }
    let part = part.get(..part.len().min(9))?.trim_end_matches('0');
    let den = 10i64.checked_pow(u32::try_from(part.len()).ok()?)?;
    let whole: i64 = if whole.is_empty() { 0 } else { whole.parse().ok()? };
    let part: i64 = if part.is_empty() { 0 } else { part.parse().ok()? };
    let num = whole.checked_mul(den)?.checked_add(part)?;
    Some((if negative { -num } else { num }, den))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_are_lines_and_columns_of_characters() {
        let sheet = Sheet::new("a.xml", "a.xml", "<a>\n é<b/>\n</a>");
        let at = sheet.text.find("<b").unwrap();
        assert_eq!(sheet.line_column(at), (2, 3));
        assert_eq!(sheet.line_column(0), (1, 1));
        assert_eq!(sheet.spot(at).to_string(), "a.xml:2:3");
        let long = format!("<a>{}é\n\n<b>é</b></a>", "\n x".repeat(5000));
        let sheet = Sheet::new("a.xml", "a.xml", &long);
        let places: Vec<usize> = long.char_indices().map(|(at, _)| at).step_by(7).collect();
        let walked = sheet.lines_columns(places.iter().copied());
        assert!(places.iter().zip(walked).all(|(at, walked)| sheet.line_column(*at) == walked));
    }

    #[test]
    fn dangerous_documents_are_refused_before_a_tree_exists() {
        let bomb = "<!DOCTYPE a [<!ENTITY x \"y\">]><a>&x;</a>";
        assert!(matches!(parse_plain(bomb), Err(ImportError::Entities { .. })));
        let deep = "<a>".repeat(Limits::STANDARD.depth + 1);
        assert!(matches!(parse_plain(&deep), Err(ImportError::TooLarge { .. })));
        let error = parse_plain("<a>\n<b></a>").unwrap_err();
        assert!(matches!(&error, ImportError::Xml { spot, .. } if spot.line == 2), "{error}");
        assert!(parse_plain("<!DOCTYPE a PUBLIC \"x\" \"y\"><a/>").is_ok());
        assert!(parse_plain("").is_err());
    }

    #[test]
    fn the_outermost_element_is_found_without_parsing() {
        assert_eq!(
            root_name("<?xml version='1.0'?>\n<!-- <x> --><!DOCTYPE y><mei:mei a='b'>"),
            Some("mei")
        );
        assert_eq!(root_name("\u{feff}<score-partwise>"), Some("score-partwise"));
        assert_eq!(root_name("<!-- <mei"), None);
        assert_eq!(root_name("<mei"), None);
        assert_eq!(root_name(""), None);
    }

    #[test]
    fn decimals_are_exact_fractions() {
        assert_eq!(decimal("12"), Some((12, 1)));
        assert_eq!(decimal("1.50"), Some((15, 10)));
        assert_eq!(decimal("-.5"), Some((-5, 10)));
        assert_eq!(decimal("1.3333333333"), Some((1_333_333_333, 1_000_000_000)));
        for text in ["", ".", "x", "1e3", "1.2.3", "99999999999999999999", "--1"] {
            assert_eq!(decimal(text), None, "{text}");
        }
    }
}
