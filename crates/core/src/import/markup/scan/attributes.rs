//! Attributes and the prefixes that they declare.

use super::Scanner;
use super::bytes::{SPACE, VALUE_STOP, is};
use super::references::resolved;
use crate::import::markup::{Text, Tree};

/// The most attributes of an element that are compared with each other for doubles.
const MAX_ATTRIBUTES: usize = 64;

impl<'i> Scanner<'i> {
    #[inline]
    pub(super) fn attribute(&mut self, tree: &mut Tree<'i>, first: usize) -> Option<()> {
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

    #[inline]
    pub(super) fn value(&mut self, tree: &mut Tree<'i>) -> Option<Text<'i>> {
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
}
