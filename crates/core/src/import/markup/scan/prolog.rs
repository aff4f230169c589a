//! What stands before and behind the root: the declaration, the document type, remarks.

use super::Scanner;
use super::bytes::{SPACE, is};
use crate::import::markup::Tree;

impl Scanner<'_> {
    /// The declaration at the very start, if there is one, in its usual form.
    pub(super) fn declaration(&mut self) -> Option<()> {
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
    pub(super) fn misc(&mut self) -> Option<()> {
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
    pub(super) fn doctype(&mut self) -> Option<()> {
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
