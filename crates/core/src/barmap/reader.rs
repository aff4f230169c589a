//! Reading the tokens of an item of a bar map.

use super::BarMapError;
use super::scan::{Item, Kind, Spot, Token};

/// What was read, or what was expected instead.
pub(super) type Parsed<T> = Result<T, BarMapError>;

/// Reads the tokens of one item in order.
pub(super) struct Reader<'a> {
    pub(super) tokens: &'a [Token],
    pub(super) end: Spot,
}

impl<'a> Reader<'a> {
    pub(super) fn new(item: &'a Item) -> Self {
        Self { tokens: &item.tokens, end: item.end }
    }

    pub(super) fn peek(&self) -> Option<&'a Token> {
        self.tokens.first()
    }

    pub(super) fn next(&mut self) -> Option<&'a Token> {
        let (first, rest) = self.tokens.split_first()?;
        self.tokens = rest;
        Some(first)
    }

    pub(super) fn take(&mut self, accept: impl Fn(&Token) -> bool) -> Option<&'a Token> {
        let next = self.peek().filter(|token| accept(token))?;
        self.next();
        Some(next)
    }

    pub(super) fn fail<T>(&self, expected: impl Into<String>) -> Parsed<T> {
        let spot = self.peek().map_or(self.end, |token| token.spot);
        Err(spot.error(expected, self.peek().map_or("", |token| &token.text)))
    }

    pub(super) fn word(&mut self, word: &str) -> Parsed<()> {
        match self.take(|token| token.is_word(word)) {
            Some(_) => Ok(()),
            None => self.fail(format!("\"{word}\"")),
        }
    }

    pub(super) fn sign(&mut self, sign: &str) -> Parsed<()> {
        match self.take(|token| token.is_sign(sign)) {
            Some(_) => Ok(()),
            None => self.fail(format!("\"{sign}\"")),
        }
    }

    /// A whole number in a range.
    pub(super) fn number(&mut self, what: &str, min: u32, max: u32) -> Parsed<u32> {
        let number = self.peek().filter(|token| token.kind == Kind::Number);
        let number = number.and_then(|token| token.text.parse().ok());
        match number.filter(|number| (min..=max).contains(number)) {
            Some(number) => {
                self.next();
                Ok(number)
            }
            None => self.fail(format!("{what} from {min} to {max}")),
        }
    }

    pub(super) fn done(&self) -> Parsed<()> {
        match self.peek() {
            None => Ok(()),
            Some(_) => self.fail("a comma, a semicolon or the end of the line"),
        }
    }
}

/// Tokens as they were typed, as far as that matters: words with single spaces, signs without.
pub(super) fn joined(tokens: &[Token]) -> String {
    let mut text = String::new();
    let mut end = None;
    for token in tokens {
        let start = (token.spot.line, token.spot.column);
        if end.is_some_and(|end| end != start) {
            text.push(' ');
        }
        text.push_str(&token.text);
        let quotes = if token.kind == Kind::Quoted { 2 } else { 0 };
        end = Some((start.0, start.1 + token.text.chars().count() + quotes));
    }
    text
}
