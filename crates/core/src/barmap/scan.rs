//! From the text of a bar map to items, and from an item to words, numbers and signs with places.

use super::BarMapError;

/// One item with its place.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// For `title:` and `parts:`, the word before the colon; the tokens are empty then.
    pub(super) head: Option<(String, Vec<Piece>)>,
    pub(super) tokens: Vec<Token>,
    /// Right after it.
    pub(super) end: Spot,
}

/// A piece of a list behind `title:` or `parts:`.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) text: String,
    pub(super) spot: Spot,
}

/// A 1-based line and column.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Spot {
    pub(super) line: usize,
    pub(super) column: usize,
}

impl Spot {
    pub(super) fn error(self, expected: impl Into<String>, found: &str) -> BarMapError {
        let found = match found {
            "" => String::from("nothing"),
            found => format!("\"{found}\""),
        };
        BarMapError { line: self.line, column: self.column, expected: expected.into(), found }
    }
}

/// A word, number or sign.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Token {
    pub(super) kind: Kind,
    /// As typed, without quotes.
    pub(super) text: String,
    pub(super) spot: Spot,
}

/// What a token is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    /// Letters, with points and apostrophes inside or after them.
    Word,
    /// Digits, possibly with a decimal point.
    Number,
    /// A text in quotes.
    Quoted,
    /// Any other sign, alone.
    Sign,
}

impl Token {
    /// Whether it is this word, in any case, with or without a point after it.
    pub(super) fn is_word(&self, word: &str) -> bool {
        self.kind == Kind::Word && self.text.trim_end_matches('.').eq_ignore_ascii_case(word)
    }

    /// Whether it is this sign.
    pub(super) fn is_sign(&self, sign: &str) -> bool {
        self.kind == Kind::Sign && self.text == sign
    }
}

/// Characters with their places.
struct Chars<'a> {
    rest: std::iter::Peekable<std::str::Chars<'a>>,
    spot: Spot,
}

impl Chars<'_> {
    fn peek(&mut self) -> Option<char> {
        self.rest.peek().copied()
    }

    fn next(&mut self) -> Option<char> {
        let next = self.rest.next()?;
        if next == '\n' {
            self.spot = Spot { line: self.spot.line + 1, column: 1 };
        } else {
            self.spot.column += 1;
        }
        Some(next)
    }

    fn take_while(&mut self, accept: impl Fn(char) -> bool) -> String {
        let mut taken = String::new();
        while let Some(c) = self.peek().filter(|c| accept(*c)) {
            taken.push(c);
            self.next();
        }
        taken
    }
}

/// The items of a text.
pub(super) fn items(text: &str) -> Result<Vec<Item>, BarMapError> {
    let spot = Spot { line: 1, column: 1 };
    let mut chars = Chars { rest: text.chars().peekable(), spot };
    let mut items = Vec::new();
    let mut tokens: Vec<Token> = Vec::new();
    let mut depth = 0_u32;
    loop {
        let spot = chars.spot;
        match chars.peek() {
            None | Some(',' | ';' | '\n') if depth == 0 || chars.peek() != Some(',') => {
                if !tokens.is_empty() {
                    let tokens = std::mem::take(&mut tokens);
                    items.push(Item { head: None, tokens, end: spot });
                }
                depth = 0;
                if chars.next().is_none() {
                    return Ok(items);
                }
            }
            Some('#') => {
                chars.take_while(|c| c != '\n');
            }
            Some(':') if matches!(tokens.as_slice(), [word] if is_head(word)) => {
                chars.next();
                let word = tokens.pop().map(|word| word.text.to_lowercase()).unwrap_or_default();
                let pieces = pieces(&mut chars, word == "parts");
                let head = Some((word, pieces));
                items.push(Item { head, tokens: Vec::new(), end: chars.spot });
            }
            Some(c) if c.is_whitespace() => {
                chars.next();
            }
            _ => {
                let token = token(&mut chars)?;
                match token.text.as_str() {
                    "(" => depth += 1,
                    ")" => depth = depth.saturating_sub(1),
                    _ => {}
                }
                tokens.push(token);
            }
        }
    }
}

fn is_head(word: &Token) -> bool {
    word.is_word("title") || word.is_word("parts")
}

/// What follows `title:` or `parts:`, up to a semicolon, a remark or the line's end.
fn pieces(chars: &mut Chars<'_>, at_commas: bool) -> Vec<Piece> {
    let mut pieces = Vec::new();
    loop {
        chars.take_while(|c| c.is_whitespace() && c != '\n');
        let spot = chars.spot;
        let ends = |c: char| matches!(c, ';' | '\n' | '#') || (at_commas && c == ',');
        let text = chars.take_while(|c| !ends(c)).trim_end().to_owned();
        if !text.is_empty() {
            pieces.push(Piece { text, spot });
        }
        match chars.peek() {
            Some(',') => chars.next(),
            _ => return pieces,
        };
    }
}

fn token(chars: &mut Chars<'_>) -> Result<Token, BarMapError> {
    let spot = chars.spot;
    let first = chars.peek().unwrap_or(' ');
    let (kind, text) = if first.is_ascii_digit() {
        (Kind::Number, chars.take_while(|c| c.is_ascii_digit() || c == '.'))
    } else if first.is_alphabetic() {
        let inside = |c: char| c.is_alphabetic() || matches!(c, '.' | '\'' | '’');
        (Kind::Word, chars.take_while(inside))
    } else if matches!(first, '"' | '“') {
        chars.next();
        let text = chars.take_while(|c| !matches!(c, '"' | '”' | '\n'));
        if !matches!(chars.next(), Some('"' | '”')) {
            return Err(chars.spot.error("the closing quotation mark", ""));
        }
        (Kind::Quoted, text)
    } else {
        chars.next();
        let sign = match first {
            '×' => 'x',
            '–' => '-',
            other => other,
        };
        (Kind::Sign, sign.to_string())
    };
    Ok(Token { kind, text, spot })
}
