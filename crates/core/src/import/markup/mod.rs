//! Markup as a small tree of elements: the start of each, its attributes, its text, its children.
//!
//! Made by [`scan`] straight from the text where that is plain and well-formed, else by [`convert`]
//! from a general parser, which also says what is wrong with a document. Both give the same tree.
//! Knows nothing about music.

mod convert;
mod scan;
#[cfg(test)]
mod tests;

pub(super) use convert::from_general;
pub(super) use scan::{Pieces, document, document_head};

/// A document or a piece of one. Elements stand in the order of their start tags.
#[derive(Debug, Default)]
pub(super) struct Tree<'i> {
    elements: Vec<Element<'i>>,
    attributes: Vec<(&'i str, Text<'i>)>,
    /// Texts that differ from what stands in the document: with references resolved, or joined.
    made: Vec<String>,
}

/// A text as it stands in the document, or the number of one that was made.
#[derive(Debug, Clone, Copy)]
enum Text<'i> {
    Plain(&'i str),
    Made(u32),
}

/// An element; or, without a name, text behind the first child of an element.
#[derive(Debug, Clone, Copy)]
struct Element<'i> {
    name: &'i str,
    /// The text before the first child element.
    text: Text<'i>,
    /// Byte positions.
    start: u32,
    end: u32,
    /// The place behind the last element inside this one.
    after: u32,
    /// Its attributes: the first and how many.
    first_attribute: u32,
    n_attributes: u32,
}

impl<'i> Tree<'i> {
    /// The outermost element.
    ///
    /// A tree is only handed out with one; an empty tree answers with an element without a name.
    pub(super) fn root_element(&self) -> Node<'_, 'i> {
        Node { tree: self, idx: 0 }
    }

    /// How many elements and texts there are.
    pub(super) fn len(&self) -> usize {
        self.elements.len()
    }

    /// All elements, in the order of their start tags.
    pub(super) fn descendants(&self) -> impl Iterator<Item = Node<'_, 'i>> {
        let end = self.elements.len() as u32;
        (0..end).map(|idx| Node { tree: self, idx }).filter(Node::is_element)
    }

    fn clear(&mut self) {
        self.elements.clear();
        self.attributes.clear();
        self.made.clear();
    }

    fn make(&mut self, text: String) -> Text<'i> {
        self.made.push(text);
        Text::Made(self.made.len() as u32 - 1)
    }

    fn read<'a>(&'a self, text: Text<'i>) -> &'a str {
        match text {
            Text::Plain(text) => text,
            Text::Made(idx) => self.made.get(idx as usize).map_or("", String::as_str),
        }
    }

    /// Adds text to the element at `idx`, which is open and the last but for what is inside it.
    /// Space between elements is no text.
    fn add_text(&mut self, idx: u32, text: Text<'i>, start: u32, end: u32) {
        let Some(last) = self.elements.last() else { return };
        let before_children = idx as usize + 1 == self.elements.len();
        // Pieces of one text, of which some are quoted.
        let goes_on = last.name.is_empty() && last.end == start;
        if before_children || goes_on {
            let joined = self.joined(last.text, text);
            if let Some(last) = self.elements.last_mut() {
                last.text = joined;
                if goes_on {
                    last.end = end;
                }
            }
        } else if !self.read(text).trim().is_empty() {
            let after = self.elements.len() as u32 + 1;
            let first_attribute = self.attributes.len() as u32;
            self.elements.push(Element {
                name: "",
                text,
                start,
                end,
                after,
                first_attribute,
                n_attributes: 0,
            });
        }
    }

    fn joined(&mut self, before: Text<'i>, text: Text<'i>) -> Text<'i> {
        match (self.read(before), self.read(text)) {
            ("", _) => return text,
            (_, "") => return before,
            _ => {}
        }
        // What was made for this text is taken up again: copying it for every piece would make the
        // work, and the memory, grow with the square of the number of pieces.
        let mut joined = match before {
            Text::Plain(before) => before.to_owned(),
            Text::Made(idx) => {
                self.made.get_mut(idx as usize).map(std::mem::take).unwrap_or_default()
            }
        };
        joined.push_str(self.read(text));
        match before {
            Text::Made(idx) if (idx as usize) < self.made.len() => {
                if let Some(place) = self.made.get_mut(idx as usize) {
                    *place = joined;
                }
                before
            }
            _ => self.make(joined),
        }
    }
}

/// An element of a tree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node<'a, 'i> {
    tree: &'a Tree<'i>,
    idx: u32,
}

impl<'a, 'i> Node<'a, 'i> {
    fn element(self) -> Option<&'a Element<'i>> {
        self.tree.elements.get(self.idx as usize)
    }

    /// Its name without prefix; empty for text.
    pub(super) fn name(self) -> &'i str {
        self.element().map_or("", |element| element.name)
    }

    /// Whether it is an element and not text.
    pub(super) fn is_element(&self) -> bool {
        !self.name().is_empty()
    }

    /// The text before its first child element, with the space around it.
    pub(super) fn text(self) -> Option<&'a str> {
        let text = self.tree.read(self.element()?.text);
        (!text.is_empty()).then_some(text)
    }

    /// The value of an attribute by its name as written, with prefix if it has one.
    pub(super) fn attribute(self, name: &str) -> Option<&'a str> {
        let element = self.element()?;
        let first = element.first_attribute as usize;
        let own = self.tree.attributes.get(first..first + element.n_attributes as usize)?;
        let (_, value) = own.iter().find(|(known, _)| *known == name)?;
        Some(self.tree.read(*value))
    }

    /// Its attributes: names as written, with prefix if they have one, and values.
    pub(super) fn attributes(self) -> impl Iterator<Item = (&'i str, &'a str)> {
        let own = self.element().and_then(|element| {
            let first = element.first_attribute as usize;
            self.tree.attributes.get(first..first + element.n_attributes as usize)
        });
        own.unwrap_or_default().iter().map(move |(name, value)| (*name, self.tree.read(*value)))
    }

    /// Where it stands, in bytes.
    pub(super) fn range(self) -> std::ops::Range<usize> {
        self.element().map_or(0..0, |element| element.start as usize..element.end as usize)
    }

    /// Its children: elements, and texts behind the first of them that are more than space.
    pub(super) fn children(self) -> Children<'a, 'i> {
        let end = self.element().map_or(0, |element| element.after);
        Children { tree: self.tree, next: self.idx + 1, end }
    }
}

/// Walks over the children of an element.
pub(super) struct Children<'a, 'i> {
    tree: &'a Tree<'i>,
    next: u32,
    end: u32,
}

impl<'a, 'i> Iterator for Children<'a, 'i> {
    type Item = Node<'a, 'i>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.next >= self.end {
            return None;
        }
        let node = Node { tree: self.tree, idx: self.next };
        self.next = node.element()?.after;
        Some(node)
    }
}
