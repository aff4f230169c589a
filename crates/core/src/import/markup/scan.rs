//! From text to a tree, for documents as programs write them: one pass over the bytes.
//!
//! It takes only what is certainly well-formed and simple: no declarations of entities, no prefixed
//! elements, prefixes declared on the root alone, names in ASCII. At anything else it gives up with
//! `None`, and a general parser decides what the document is. So it never has to say what is wrong.

use super::{Element, Text, Tree};
use crate::import::limits::{MAX_DEPTH, MAX_NODES};

/// The most attributes of an element that are compared with each other for doubles.
const MAX_ATTRIBUTES: usize = 64;

/// What a byte may be, as flags.
const NAME_START: u8 = 1;
const NAME: u8 = 2;
const SPACE: u8 = 4;
/// Stops a run of plain text.
const TEXT_STOP: u8 = 8;
/// Stops a run of a plain attribute value.
const VALUE_STOP: u8 = 16;

static KINDS: [u8; 256] = kinds();

const fn kinds() -> [u8; 256] {
    let mut kinds = [0u8; 256];
    let mut byte = 0usize;
    while byte < 256 {
        let b = byte as u8;
        let mut kind = 0;
        if b.is_ascii_alphabetic() || b == b'_' {
            kind |= NAME_START | NAME;
        }
        if b.is_ascii_digit() || matches!(b, b'-' | b'.') {
            kind |= NAME;
        }
        if matches!(b, b' ' | b'\t' | b'\n' | b'\r') {
            kind |= SPACE;
        }
        // 0xEF begins the two characters below U+10000 that no document may hold.
        let odd = b < 0x20 && !matches!(b, b'\t' | b'\n') || matches!(b, b'&' | b'<' | 0xEF);
        if odd || b == b']' {
            kind |= TEXT_STOP;
        }
        if odd || matches!(b, b'"' | b'\'' | b'\t' | b'\n') {
            kind |= VALUE_STOP;
        }
        kinds[byte] = kind;
        byte += 1;
    }
    kinds
}

fn is(byte: u8, kind: u8) -> bool {
    KINDS[byte as usize] & kind != 0
}

/// Scans a whole document. `None` if it is not certain what it is.
pub(in crate::import) fn document(text: &str) -> Option<Tree<'_>> {
    let (tree, _) = document_head(text)?;
    Some(tree)
}

/// Scans a whole document; also answers the prefixes that its root declares, for pieces of it that
/// were taken out.
pub(in crate::import) fn document_head(text: &str) -> Option<(Tree<'_>, Vec<&str>)> {
    let mut scanner = Scanner::new(text, Vec::new());
    scanner.declaration()?;
    scanner.misc()?;
    if scanner.rest().starts_with(b"<!DOCTYPE") {
        scanner.doctype()?;
        scanner.misc()?;
    }
    let mut tree = Tree::default();
    scanner.at_root = true;
    scanner.element(&mut tree)?;
    scanner.misc()?;
    (scanner.at == text.len()).then_some((tree, scanner.prefixes))
}

/// The child elements of one element, one tree after the other, so that only one is in memory.
pub(in crate::import) struct Pieces<'i> {
    scanner: Scanner<'i>,
    name: &'i str,
    tree: Tree<'i>,
    done: bool,
}

impl<'i> Pieces<'i> {
    /// Begins with the element that `text` holds from its first byte to its last. `prefixes` are
    /// declared around it.
    pub(in crate::import) fn new(text: &'i str, prefixes: &[&'i str]) -> Option<Self> {
        let mut scanner = Scanner::new(text, prefixes.to_vec());
        let mut tree = Tree::default();
        let open = scanner.start_tag(&mut tree)?;
        let name = tree.root_element().name();
        let done = !open && scanner.at == text.len();
        (open || done).then_some(Self { scanner, name, tree, done })
    }

    /// The next child; `Some(None)` behind the last, `None` if it is not certain what follows.
    pub(in crate::import) fn next(&mut self) -> Option<Option<&Tree<'i>>> {
        if self.done {
            return Some(None);
        }
        let scanner = &mut self.scanner;
        loop {
            // Text between the children means nothing but must be well-formed.
            scanner.plain_text()?;
            match scanner.rest() {
                [b'<', b'/', ..] => {
                    scanner.end_tag(self.name)?;
                    self.done = scanner.at == scanner.text.len();
                    return self.done.then_some(None);
                }
                [b'<', b'!', ..] => scanner.comment()?,
                [b'<', b'?', ..] => scanner.instruction()?,
                _ => {
                    self.tree.clear();
                    scanner.element(&mut self.tree)?;
                    return Some(Some(&self.tree));
                }
            }
        }
    }
}

struct Scanner<'i> {
    text: &'i str,
    bytes: &'i [u8],
    at: usize,
    /// The open elements, outermost first.
    open: Vec<u32>,
    prefixes: Vec<&'i str>,
    /// The next element is the root, which may declare prefixes.
    at_root: bool,
}

impl<'i> Scanner<'i> {
    fn new(text: &'i str, prefixes: Vec<&'i str>) -> Self {
        let bytes = text.as_bytes();
        Self { text, bytes, at: 0, open: Vec::new(), prefixes, at_root: false }
    }

    fn rest(&self) -> &'i [u8] {
        self.bytes.get(self.at..).unwrap_or_default()
    }

    fn byte(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn skip_while(&mut self, kind: u8) {
        while self.byte().is_some_and(|byte| is(byte, kind)) {
            self.at += 1;
        }
    }

    fn expect(&mut self, wanted: &[u8]) -> Option<()> {
        self.rest().starts_with(wanted).then(|| self.at += wanted.len())
    }

    /// An element from its start tag to its end tag, with all in it.
    fn element(&mut self, tree: &mut Tree<'i>) -> Option<()> {
        self.open.clear();
        self.child(tree)?;
        while let Some(top) = self.open.last().copied() {
            self.text(tree, top)?;
            // Text ends only at a tag.
            match self.bytes.get(self.at + 1)? {
                b'/' => self.close(tree, top)?,
                b'!' if self.rest().starts_with(b"<![CDATA[") => self.cdata(tree, top)?,
                b'!' => self.comment()?,
                b'?' => self.instruction()?,
                _ => self.child(tree)?,
            }
        }
        Some(())
    }

    fn child(&mut self, tree: &mut Tree<'i>) -> Option<()> {
        let idx = tree.elements.len();
        if idx >= MAX_NODES as usize {
            return None;
        }
        if self.start_tag(tree)? {
            if self.open.len() >= MAX_DEPTH {
                return None;
            }
            self.open.push(idx as u32);
        }
        Some(())
    }

    fn close(&mut self, tree: &mut Tree<'i>, top: u32) -> Option<()> {
        let after = tree.elements.len() as u32;
        let element = tree.elements.get_mut(top as usize)?;
        self.end_tag(element.name)?;
        element.after = after;
        element.end = self.at as u32;
        self.open.pop();
        Some(())
    }

    fn end_tag(&mut self, name: &str) -> Option<()> {
        self.at += 2;
        self.expect(name.as_bytes())?;
        self.skip_while(SPACE);
        self.expect(b">")
    }

    fn name(&mut self) -> Option<&'i str> {
        let start = self.at;
        if !is(self.byte()?, NAME_START) {
            return None;
        }
        self.skip_while(NAME);
        self.text.get(start..self.at)
    }

    /// Adds an element. Answers whether it is open.
    fn start_tag(&mut self, tree: &mut Tree<'i>) -> Option<bool> {
        let start = self.at as u32;
        self.expect(b"<")?;
        let name = self.name()?;
        let first_attribute = tree.attributes.len();
        let open = loop {
            let before = self.at;
            self.skip_while(SPACE);
            match self.byte()? {
                b'>' => {
                    self.at += 1;
                    break true;
                }
                b'/' => {
                    self.expect(b"/>")?;
                    break false;
                }
                _ if self.at == before => return None,
                _ => self.attribute(tree, first_attribute)?,
            }
        };
        self.at_root = false;
        tree.elements.push(Element {
            name,
            text: Text::Plain(""),
            start,
            end: self.at as u32,
            after: tree.elements.len() as u32 + 1,
            first_attribute: first_attribute as u32,
            n_attributes: (tree.attributes.len() - first_attribute) as u32,
        });
        Some(open)
    }

    fn attribute(&mut self, tree: &mut Tree<'i>, first: usize) -> Option<()> {
        let start = self.at;
        let prefix = self.name()?;
        let local = if self.byte()? == b':' {
            self.at += 1;
            Some(self.name()?)
        } else {
            None
        };
        let name = self.text.get(start..self.at)?;
        self.skip_while(SPACE);
        self.expect(b"=")?;
        self.skip_while(SPACE);
        let value = self.value(tree)?;
        if prefix == "xmlns" {
            return self.declare(local, tree.read(value));
        }
        let known = local.is_none() || prefix == "xml" || self.prefixes.contains(&prefix);
        let own = tree.attributes.get(first..)?;
        let doubled = own.iter().any(|(known, _)| *known == name);
        if !known || doubled || own.len() >= MAX_ATTRIBUTES {
            return None;
        }
        tree.attributes.push((name, value));
        Some(())
    }

    /// A declaration of a namespace: certain only on the root, and only for one prefix, since two of
    /// the same space could make two attributes one.
    fn declare(&mut self, prefix: Option<&'i str>, space: &str) -> Option<()> {
        if !self.at_root || space.is_empty() || space.contains("www.w3.org/XML/1998/namespace") {
            return None;
        }
        if space.contains("www.w3.org/2000/xmlns") {
            return None;
        }
        let Some(prefix) = prefix else { return Some(()) };
        if !self.prefixes.is_empty() || prefix == "xml" || prefix == "xmlns" {
            return None;
        }
        self.prefixes.push(prefix);
        Some(())
    }

    fn value(&mut self, tree: &mut Tree<'i>) -> Option<Text<'i>> {
        let quote = self.byte()?;
        if quote != b'"' && quote != b'\'' {
            return None;
        }
        self.at += 1;
        let start = self.at;
        let mut plain = true;
        loop {
            while !is(self.byte()?, VALUE_STOP) {
                self.at += 1;
            }
            match self.byte()? {
                byte if byte == quote => break,
                b'"' | b'\'' => {}
                b'&' | b'\t' | b'\n' | b'\r' => plain = false,
                0xEF if self.is_character() => {}
                _ => return None,
            }
            self.at += 1;
        }
        let value = self.text.get(start..self.at)?;
        self.at += 1;
        if plain {
            return Some(Text::Plain(value));
        }
        let made = resolved(value, true)?;
        Some(tree.make(made))
    }

    /// Text of an element up to the next tag.
    fn text(&mut self, tree: &mut Tree<'i>, top: u32) -> Option<()> {
        let start = self.at;
        let plain = self.plain_text()?;
        let text = self.text.get(start..self.at)?;
        let text = if text.is_empty() {
            return Some(());
        } else if plain || self.is_between_tags(text, start) {
            Text::Plain(text)
        } else {
            let made = resolved(text, false)?;
            tree.make(made)
        };
        tree.add_text(top, text, start as u32, self.at as u32);
        Some(())
    }

    /// Whether a text is only space between elements: that is left as it is, whatever ends its
    /// lines. Beside quoted text and comments it may be part of a text.
    fn is_between_tags(&self, text: &str, start: usize) -> bool {
        let before = start.checked_sub(2).and_then(|at| self.bytes.get(at));
        let apart = !matches!(before, Some(b']' | b'-' | b'?'))
            && !matches!(self.rest(), [b'<', b'!' | b'?', ..]);
        apart && text.bytes().all(|byte| is(byte, SPACE))
    }

    /// Goes to the next tag. Answers whether the text before it needs no change.
    fn plain_text(&mut self) -> Option<bool> {
        let mut plain = true;
        loop {
            while !is(self.byte()?, TEXT_STOP) {
                self.at += 1;
            }
            match self.byte()? {
                b'<' => return Some(plain),
                b'&' | b'\r' => plain = false,
                b']' if !self.rest().starts_with(b"]]>") => {}
                0xEF if self.is_character() => {}
                _ => return None,
            }
            self.at += 1;
        }
    }

    /// Whether what begins here is not U+FFFE or U+FFFF.
    fn is_character(&self) -> bool {
        !matches!(self.rest(), [0xEF, 0xBF, 0xBE | 0xBF, ..])
    }

    fn cdata(&mut self, tree: &mut Tree<'i>, top: u32) -> Option<()> {
        let start = self.at;
        self.at += b"<![CDATA[".len();
        let text = self.until("]]>")?;
        let text = if text.contains('\r') {
            let made = text.replace("\r\n", "\n").replace('\r', "\n");
            tree.make(made)
        } else {
            Text::Plain(text)
        };
        tree.add_text(top, text, start as u32, self.at as u32);
        Some(())
    }

    fn comment(&mut self) -> Option<()> {
        self.expect(b"<!--")?;
        let text = self.until("--")?;
        let _ = text;
        self.expect(b">")
    }

    fn instruction(&mut self) -> Option<()> {
        self.expect(b"<?")?;
        let target = self.name()?;
        if target.eq_ignore_ascii_case("xml") || !matches!(self.byte()?, b'?' | b' ') {
            return None;
        }
        self.until("?>").map(|_| ())
    }

    /// The text up to `end`, which is passed over.
    fn until(&mut self, end: &str) -> Option<&'i str> {
        let rest = self.text.get(self.at..)?;
        let text = rest.get(..rest.find(end)?)?;
        let character = |letter: char| match letter {
            '\u{FFFE}' | '\u{FFFF}' => false,
            letter => letter >= ' ' || matches!(letter, '\t' | '\n' | '\r'),
        };
        if !text.chars().all(character) {
            return None;
        }
        self.at += text.len() + end.len();
        Some(text)
    }

    /// The declaration at the very start, if there is one, in its usual form.
    fn declaration(&mut self) -> Option<()> {
        if !self.rest().starts_with(b"<?xml") {
            return Some(());
        }
        self.at += b"<?xml".len();
        let mut none = Tree::default();
        for name in ["version", "encoding", "standalone"] {
            let before = self.at;
            self.skip_while(SPACE);
            if !self.rest().starts_with(name.as_bytes()) {
                if name == "version" {
                    return None;
                }
                self.at = before;
                continue;
            }
            if self.at == before {
                return None;
            }
            self.attribute(&mut none, 0)?;
        }
        self.skip_while(SPACE);
        self.expect(b"?>")
    }

    /// Space, comments and instructions outside the root.
    fn misc(&mut self) -> Option<()> {
        loop {
            self.skip_while(SPACE);
            match self.rest() {
                [b'<', b'!', b'-', ..] => self.comment()?,
                [b'<', b'?', ..] => self.instruction()?,
                _ => return Some(()),
            }
        }
    }

    /// A document type that only names its definition.
    fn doctype(&mut self) -> Option<()> {
        self.expect(b"<!DOCTYPE ")?;
        self.skip_while(SPACE);
        self.name()?;
        let words: &[&str] = match self.rest() {
            rest if rest.starts_with(b" PUBLIC ") => &[" PUBLIC", "", ""],
            rest if rest.starts_with(b" SYSTEM ") => &[" SYSTEM", ""],
            _ => &[],
        };
        for word in words {
            self.expect(word.as_bytes())?;
            if word.is_empty() {
                if !is(self.byte()?, SPACE) {
                    return None;
                }
                self.skip_while(SPACE);
                self.value(&mut Tree::default())?;
            }
        }
        self.skip_while(SPACE);
        self.expect(b">")
    }
}

/// A text with its references resolved and its line ends made one; in attributes these and tabs are
/// spaces. `None` if it refers to something unknown.
#[cold]
fn resolved(text: &str, attribute: bool) -> Option<String> {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['&', '\r', '\n', '\t']) {
        out.push_str(rest.get(..at)?);
        let found = rest.get(at..)?;
        rest = found.get(1..)?;
        match found.as_bytes().first()? {
            b'&' => {
                let (reference, behind) = rest.split_once(';')?;
                out.push(referred(reference)?);
                rest = behind;
            }
            b'\t' => out.push(if attribute { ' ' } else { '\t' }),
            first => {
                if *first == b'\r' {
                    rest = rest.strip_prefix('\n').unwrap_or(rest);
                }
                out.push(if attribute { ' ' } else { '\n' });
            }
        }
    }
    out.push_str(rest);
    Some(out)
}

fn referred(reference: &str) -> Option<char> {
    let code = match reference {
        "amp" => return Some('&'),
        "lt" => return Some('<'),
        "gt" => return Some('>'),
        "quot" => return Some('"'),
        "apos" => return Some('\''),
        _ => reference.strip_prefix('#')?,
    };
    let (digits, radix) = match code.strip_prefix('x') {
        Some(hex) => (hex, 16),
        None => (code, 10),
    };
    // A sign is no digit of a reference.
    if !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return None;
    }
    let letter = char::from_u32(u32::from_str_radix(digits, radix).ok()?)?;
    // Control characters are left to the general parser.
    (letter >= ' ' && !matches!(letter, '\u{FFFE}' | '\u{FFFF}')).then_some(letter)
}
