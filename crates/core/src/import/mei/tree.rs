//! Reading an MEI tree: what is in an element once editors' wrappers are opened, ids and the
//! references to them, and the plain text of a direction.

use crate::import::xml::{Node, elements, name};

/// The permanent id of an element.
pub(super) fn id<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    node.attribute("xml:id")
}

/// What a reference names inside the document: `#abc` names `abc`.
pub(super) fn reference(text: &str) -> &str {
    let text = text.trim();
    text.rsplit_once('#').map_or(text, |(_, id)| id)
}

/// The references of a list, in order.
pub(super) fn references(text: &str) -> impl Iterator<Item = &str> {
    text.split_whitespace().map(reference)
}

/// The child elements that count as music or text, with the wrappers of editors opened.
///
/// Of variant readings (`app`) the lemma counts, else the first reading; of alternatives (`choice`)
/// the correction, the regularized, the expanded form, else the first; of a substitution what was
/// added. Deleted text does not count; added, supplied, unclear and damaged text does.
pub(super) fn contents<'a, 'i: 'a>(node: Node<'a, 'i>) -> Vec<Node<'a, 'i>> {
    let mut out = Vec::new();
    collect(node, &mut out);
    out
}

fn collect<'a, 'i: 'a>(node: Node<'a, 'i>, out: &mut Vec<Node<'a, 'i>>) {
    for item in elements(node) {
        match name(item) {
            "app" => open(chosen(item, &["lem", "rdg"]), out),
            "choice" => open(chosen(item, &["corr", "reg", "expan", "sic", "orig", "abbr"]), out),
            "subst" => open(chosen(item, &["add"]), out),
            "corr" | "sic" | "reg" | "orig" | "expan" | "abbr" | "add" | "supplied" | "unclear"
            | "damage" | "restore" | "lem" | "rdg" => collect(item, out),
            "del" | "gap" | "handShift" => {}
            _ => out.push(item),
        }
    }
}

fn open<'a, 'i: 'a>(node: Option<Node<'a, 'i>>, out: &mut Vec<Node<'a, 'i>>) {
    if let Some(node) = node {
        collect(node, out);
    }
}

/// The first child with the first of these names that is there; else the first child.
fn chosen<'a, 'i: 'a>(node: Node<'a, 'i>, names: &[&str]) -> Option<Node<'a, 'i>> {
    let named = |wanted: &&str| elements(node).find(|child| name(*child) == *wanted);
    names.iter().find_map(named).or_else(|| elements(node).next())
}

/// The texts of a direction, and how it is set.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Words {
    /// The text with signs as letters of the standard music font layout.
    pub(super) text: String,
    /// It stands in a frame.
    pub(super) framed: bool,
    /// It is set in bold.
    pub(super) bold: bool,
    /// Signs by their glyph names.
    pub(super) glyphs: Vec<String>,
}

/// The text of a direction.
pub(super) fn words(node: Node<'_, '_>) -> Words {
    let mut out = Words::default();
    style(node, &mut out);
    gather(node, &mut out);
    // A dot belongs to the note before it, however far apart the two are set.
    for space in [" \u{ecb7}", "\u{a0}\u{ecb7}", "\u{200a}\u{ecb7}"] {
        out.text = out.text.replace(space, "\u{ecb7}");
    }
    out
}

fn style(node: Node<'_, '_>, out: &mut Words) {
    let boxed = |text: &str| matches!(text, "box" | "circle" | "dbox" | "tbox" | "bslash");
    out.framed |= node.attribute("rend").is_some_and(boxed);
    out.framed |= node.attribute("enclose") == Some("box");
    out.bold |= node.attribute("fontweight") == Some("bold");
}

fn gather(node: Node<'_, '_>, out: &mut Words) {
    out.text.push_str(node.text().unwrap_or_default());
    let mut before: Option<usize> = None;
    for item in node.children() {
        let range = item.range();
        // Space between two elements is no text of the tree, but it parts words.
        if before.is_some_and(|end| end < range.start) {
            out.text.push(' ');
        }
        before = Some(range.end);
        match name(item) {
            "" => {
                out.text.push_str(item.text().unwrap_or_default());
                before = None;
            }
            "lb" => out.text.push(' '),
            "symbol" => symbol(item, out),
            "app" => from(chosen(item, &["lem", "rdg"]), out),
            "choice" => from(chosen(item, &["corr", "reg", "expan", "sic", "orig", "abbr"]), out),
            "subst" => from(chosen(item, &["add"]), out),
            "del" | "annot" => {}
            _ => {
                style(item, out);
                gather(item, out);
            }
        }
    }
}

fn from(node: Option<Node<'_, '_>>, out: &mut Words) {
    if let Some(node) = node {
        gather(node, out);
    }
}

/// A sign by its code point ("U+E1D5", "#xE1D5") or by its name.
fn symbol(node: Node<'_, '_>, out: &mut Words) {
    let number = node.attribute("glyph.num").and_then(|number| {
        let hex = number.trim_start_matches("U+").trim_start_matches("#x");
        char::from_u32(u32::from_str_radix(hex, 16).ok()?)
    });
    let named = node.attribute("glyph.name").unwrap_or_default();
    match number.or_else(|| glyph(named)) {
        Some(letter) => out.text.push(letter),
        None if !named.is_empty() => out.glyphs.push(named.to_owned()),
        None => {}
    }
}

/// The code point of a glyph name: SMuFL 1.4, ranges "Dynamics" and "Metronome marks".
fn glyph(name: &str) -> Option<char> {
    Some(match name {
        "dynamicPiano" => '\u{e520}',
        "dynamicMezzo" => '\u{e521}',
        "dynamicForte" => '\u{e522}',
        "dynamicRinforzando" => '\u{e523}',
        "dynamicSforzando" => '\u{e524}',
        "dynamicZ" => '\u{e525}',
        "dynamicNiente" => '\u{e526}',
        "dynamicPPP" => '\u{e52a}',
        "dynamicPP" => '\u{e52b}',
        "dynamicMP" => '\u{e52c}',
        "dynamicMF" => '\u{e52d}',
        "dynamicFF" => '\u{e52f}',
        "dynamicFFF" => '\u{e530}',
        "metNoteDoubleWhole" => '\u{eca0}',
        "metNoteWhole" => '\u{eca2}',
        "metNoteHalfUp" => '\u{eca3}',
        "metNoteHalfDown" => '\u{eca4}',
        "metNoteQuarterUp" => '\u{eca5}',
        "metNoteQuarterDown" => '\u{eca6}',
        "metNote8thUp" => '\u{eca7}',
        "metNote8thDown" => '\u{eca8}',
        "metNote16thUp" => '\u{eca9}',
        "metNote16thDown" => '\u{ecaa}',
        "metNote32ndUp" => '\u{ecab}',
        "metNote32ndDown" => '\u{ecac}',
        "metAugmentationDot" => '\u{ecb7}',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::xml::parse_plain;

    fn names(text: &str) -> Vec<String> {
        let tree = parse_plain(text).unwrap();
        contents(tree.root_element()).iter().map(|node| name(*node).to_owned()).collect()
    }

    #[test]
    fn wrappers_are_opened_and_one_reading_counts() {
        assert_eq!(
            names("<l><supplied><a/><unclear><b/></unclear></supplied><c/></l>"),
            ["a", "b", "c"]
        );
        assert_eq!(names("<l><app><rdg><a/></rdg><lem><b/></lem></app></l>"), ["b"]);
        assert_eq!(names("<l><app><rdg><a/></rdg><rdg><b/></rdg></app></l>"), ["a"]);
        assert_eq!(names("<l><choice><sic><a/></sic><corr><b/></corr></choice></l>"), ["b"]);
        assert_eq!(
            names("<l><subst><del><a/></del><add><b/></add></subst><del><c/></del></l>"),
            ["b"]
        );
        assert!(names("<l><app/><choice/><subst/></l>").is_empty());
    }

    #[test]
    fn texts_are_read_with_their_signs() {
        let read = |text: &str| words(parse_plain(text).unwrap().root_element());
        let found = read(
            "<tempo>Con <rend fontweight='bold'>moto</rend><lb/>(<symbol glyph.num='U+ECA5'/> = 66)</tempo>",
        );
        assert_eq!(read("<tempo>\u{eca5} \u{ecb7} = 60</tempo>").text, "\u{eca5}\u{ecb7} = 60");
        assert_eq!(read("<dir><rend>poco</rend> <rend>rit.</rend></dir>").text, "poco rit.");
        assert_eq!(found.text, "Con moto (\u{eca5} = 66)");
        assert!(found.bold && !found.framed);
        assert!(read("<reh><rend rend='box'>A</rend></reh>").framed);
        assert_eq!(read("<dir><symbol glyph.name='segno'/></dir>").glyphs, ["segno"]);
        assert_eq!(read("<dynam><symbol glyph.name='dynamicForte'/></dynam>").text, "\u{e522}");
    }

    #[test]
    fn references_name_ids() {
        assert_eq!(reference("#a1"), "a1");
        assert_eq!(reference("other.mei#a1"), "a1");
        assert_eq!(references("#a #b").collect::<Vec<_>>(), ["a", "b"]);
    }
}
