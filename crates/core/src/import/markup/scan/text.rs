//! Text between tags, quoted text, comments and instructions.

use super::Scanner;
use super::bytes::{SPACE, TEXT_STOP, is};
use super::references::resolved;
use crate::import::markup::{Text, Tree};

impl<'i> Scanner<'i> {
    /// Text of an element up to the next tag.
    #[inline]
    pub(super) fn text(&mut self, tree: &mut Tree<'i>, top: u32) -> Option<()> {
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
    #[inline]
    pub(super) fn plain_text(&mut self) -> Option<bool> {
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
    pub(super) fn is_character(&self) -> bool {
        !matches!(self.rest(), [0xEF, 0xBF, 0xBE | 0xBF, ..])
    }

    pub(super) fn cdata(&mut self, tree: &mut Tree<'i>, top: u32) -> Option<()> {
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

    pub(super) fn comment(&mut self) -> Option<()> {
        self.expect(b"<!--")?;
        let text = self.until("--")?;
        let _ = text;
        self.expect(b">")
    }

    pub(super) fn instruction(&mut self) -> Option<()> {
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
}
