//! Writing XML: elements that are closed in order, escaped text, one element a line.
//!
//! Nothing here knows music. Characters that XML 1.0 cannot hold are left out.

/// A document as it grows.
pub(super) struct Xml {
    text: String,
    open: Vec<&'static str>,
}

/// The attributes of an element, in order.
pub(super) type Attributes<'a> = &'a [(&'static str, &'a str)];

impl Xml {
    /// A document that begins with these lines.
    pub(super) fn new(prolog: &str) -> Self {
        Self { text: prolog.to_owned(), open: Vec::new() }
    }

    /// Opens an element.
    pub(super) fn open(&mut self, name: &'static str, attributes: Attributes<'_>) {
        self.start(name, attributes);
        self.text.push_str(">\n");
        self.open.push(name);
    }

    /// Closes the element opened last.
    pub(super) fn close(&mut self) {
        if let Some(name) = self.open.pop() {
            self.indent();
            self.text.push_str("</");
            self.text.push_str(name);
            self.text.push_str(">\n");
        }
    }

    /// An element without content.
    pub(super) fn empty(&mut self, name: &'static str, attributes: Attributes<'_>) {
        self.start(name, attributes);
        self.text.push_str("/>\n");
    }

    /// An element that holds a text; nothing but the tag if the text is empty.
    pub(super) fn leaf(&mut self, name: &'static str, attributes: Attributes<'_>, text: &str) {
        if text.is_empty() {
            return self.empty(name, attributes);
        }
        self.start(name, attributes);
        self.text.push('>');
        escape(text, &mut self.text);
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push_str(">\n");
    }

    /// An element that holds a number.
    pub(super) fn number(&mut self, name: &'static str, number: impl std::fmt::Display) {
        self.leaf(name, &[], &number.to_string());
    }

    /// How much is written.
    pub(super) fn mark(&self) -> usize {
        self.text.len()
    }

    /// Takes back what was written since, which must be whole elements.
    pub(super) fn back_to(&mut self, mark: usize) {
        self.text.truncate(mark);
    }

    /// The finished document.
    pub(super) fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        self.text
    }

    fn start(&mut self, name: &'static str, attributes: Attributes<'_>) {
        self.indent();
        self.text.push('<');
        self.text.push_str(name);
        for (key, value) in attributes {
            self.text.push(' ');
            self.text.push_str(key);
            self.text.push_str("=\"");
            escape(value, &mut self.text);
            self.text.push('"');
        }
    }

    fn indent(&mut self) {
        for _ in 0..self.open.len() {
            self.text.push(' ');
        }
    }
}

/// Adds a text so that it reads back as it is, in content and in attributes.
fn escape(text: &str, out: &mut String) {
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // As they are, attributes would read them back as spaces.
            '\t' => out.push_str("&#9;"),
            '\n' => out.push_str("&#10;"),
            '\r' => out.push_str("&#13;"),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {}
            letter => out.push(letter),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_escaped_and_elements_closed() {
        let mut xml = Xml::new("");
        xml.open("a", &[("b", "\"1\" & <2>")]);
        xml.leaf("c", &[], "x < y\u{1} & z");
        xml.leaf("d", &[], "");
        let text = xml.finish();
        assert_eq!(
            text,
            "<a b=\"&quot;1&quot; &amp; &lt;2&gt;\">\n <c>x &lt; y &amp; z</c>\n <d/>\n</a>\n"
        );
    }
}
