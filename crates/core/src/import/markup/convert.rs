//! The same tree from the tree of a general parser.

use super::{Element, Text, Tree};
use roxmltree::{Document, NodeType};

/// The tree of a document that a general parser has read. Nesting must be bounded.
pub(in crate::import) fn from_general<'i>(document: &Document<'i>) -> Tree<'i> {
    let mut tree = Tree::default();
    let text = document.input_text();
    element(text, document.root_element(), &mut tree);
    tree
}

fn element<'i>(source: &'i str, node: roxmltree::Node<'_, 'i>, tree: &mut Tree<'i>) {
    let idx = tree.elements.len();
    let first_attribute = tree.attributes.len() as u32;
    for attribute in node.attributes() {
        let Some(name) = source.get(attribute.range_qname()) else { continue };
        let value = shared(source.get(attribute.range_value()), attribute.value(), tree);
        tree.attributes.push((name, value));
    }
    let range = node.range();
    tree.elements.push(Element {
        name: node.tag_name().name(),
        text: Text::Plain(""),
        start: range.start as u32,
        end: range.end as u32,
        after: 0,
        first_attribute,
        n_attributes: tree.attributes.len() as u32 - first_attribute,
    });
    for child in node.children() {
        match child.node_type() {
            NodeType::Element => element(source, child, tree),
            NodeType::Text => {
                let range = child.range();
                let text = shared(source.get(range.clone()), child.text().unwrap_or(""), tree);
                tree.add_text(idx as u32, text, range.start as u32, range.end as u32);
            }
            _ => {}
        }
    }
    let after = tree.elements.len() as u32;
    if let Some(own) = tree.elements.get_mut(idx) {
        own.after = after;
    }
}

/// The text in the document, if it stands there as it is meant.
fn shared<'i>(source: Option<&'i str>, text: &str, tree: &mut Tree<'i>) -> Text<'i> {
    match source {
        Some(source) if source == text => Text::Plain(source),
        _ => tree.make(text.to_owned()),
    }
}
