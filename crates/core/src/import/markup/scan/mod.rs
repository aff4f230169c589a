//! From text to a tree, for documents as programs write them: one pass over the bytes.
//!
//! It takes only what is certainly well-formed and simple: no declarations of entities, no prefixed
//! elements, prefixes declared on the root alone, names in ASCII. At anything else it gives up with
//! `None`, and a general parser decides what the document is. So it never has to say what is wrong.

mod attributes;
mod bytes;
mod prolog;
mod references;
mod text;

use super::{Element, Text, Tree};
use crate::import::limits::{MAX_DEPTH, MAX_NODES};
use bytes::{NAME, NAME_START, SPACE, is};

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
}
