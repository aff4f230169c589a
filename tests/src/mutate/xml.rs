//! Damage to the elements of a document: dropped, doubled, exchanged, moved into each other, with
//! extreme numbers, other ids and missing attributes. Most of what comes out is well-formed, so it
//! reaches the reader of music behind the parser.

use super::{Chance, splice};
use std::ops::Range;

/// An element as far as it can be seen in bytes that may be damaged.
#[derive(Clone, Debug)]
struct Element {
    /// From `<` to behind the end tag.
    whole: Range<usize>,
    /// Between the tags; empty for an empty element.
    inner: Range<usize>,
    /// The start tag without its brackets.
    tag: Range<usize>,
    /// Where its name stands in the start tag.
    name: Range<usize>,
    /// Whether it holds other elements.
    is_leaf: bool,
}

/// Changes a document once to four times; the result has at most `max` bytes. Elements may also
/// come from `donor`, another document of the same kind, and from `scraps`, elements that a
/// document of this kind rarely holds.
pub fn change(
    input: &[u8],
    donor: &[u8],
    scraps: &[&str],
    chance: &mut Chance,
    max: usize,
) -> Vec<u8> {
    let mut document = input.to_vec();
    for _ in 0..=chance.below(4) {
        let found = elements(&document);
        let Some(element) = chance.pick(&found).cloned() else { return document };
        let changed = once(&document, &found, &element, donor, scraps, chance);
        if changed.len() <= max {
            document = changed;
        }
    }
    document
}

fn once(
    document: &[u8],
    all: &[Element],
    element: &Element,
    donor: &[u8],
    scraps: &[&str],
    chance: &mut Chance,
) -> Vec<u8> {
    let of = |span: &Range<usize>| document.get(span.clone()).unwrap_or_default();
    let whole = of(&element.whole);
    let start = element.whole.start;
    match chance.below(16) {
        0 => splice(document, element.whole.clone(), &[]),
        1 => {
            let copies = if chance.once_in(8) { chance.below(300) } else { 1 + chance.below(3) };
            splice(document, start..start, &whole.repeat(copies))
        }
        2 => exchange(document, element, chance.pick(all)),
        3 => {
            // Into another element, at its beginning.
            let target = chance.pick(all).map_or(0, |other| other.inner.start);
            splice(document, target..target, whole)
        }
        4..=6 => value(document, all, element, chance),
        7 | 8 => attribute(document, all, element, chance),
        9 => {
            // By another element of the same name: a note for a note.
            let alike: Vec<&Element> =
                all.iter().filter(|other| of(&other.name) == of(&element.name)).collect();
            let other = chance.pick(&alike).map(|other| of(&other.whole));
            splice(document, element.whole.clone(), other.unwrap_or_default())
        }
        10 | 11 => {
            let given = elements(donor);
            let given = chance.pick(&given).and_then(|other| donor.get(other.whole.clone()));
            let given = given.unwrap_or_default();
            let place = if chance.once_in(2) { element.whole.clone() } else { start..start };
            splice(document, place, given)
        }
        12 => {
            let scrap = chance.pick(scraps).copied().unwrap_or_default();
            let place = if chance.once_in(2) { element.inner.end } else { start };
            splice(document, place..place, scrap.as_bytes())
        }
        13 => {
            // Without its tags.
            let inner = of(&element.inner).to_vec();
            splice(document, element.whole.clone(), &inner)
        }
        14 => nested(document, element, chance),
        _ if chance.once_in(4) => {
            document.get(..chance.below(document.len())).map(<[u8]>::to_vec).unwrap_or_default()
        }
        _ => {
            let name = chance.pick(all).map(|other| of(&other.name)).unwrap_or_default();
            renamed(document, element, name)
        }
    }
}

fn exchange(document: &[u8], element: &Element, other: Option<&Element>) -> Vec<u8> {
    let Some(other) = other else { return document.to_vec() };
    let (first, second) = if element.whole.start <= other.whole.start {
        (&element.whole, &other.whole)
    } else {
        (&other.whole, &element.whole)
    };
    if first.end > second.start {
        return document.to_vec();
    }
    let of = |span: Range<usize>| document.get(span).unwrap_or_default();
    [
        of(0..first.start),
        of(second.clone()),
        of(first.end..second.start),
        of(first.clone()),
        of(second.end..document.len()),
    ]
    .concat()
}

/// The text of a leaf becomes an extreme value, another text of the document, or very long.
fn value(document: &[u8], all: &[Element], element: &Element, chance: &mut Chance) -> Vec<u8> {
    let leaves: Vec<&Element> = all.iter().filter(|other| other.is_leaf).collect();
    let leaf = if element.is_leaf { Some(&element) } else { chance.pick(&leaves) };
    let Some(leaf) = leaf else { return document.to_vec() };
    let place = leaf.inner.clone();
    match chance.below(12) {
        0 => {
            let long = "very long ".repeat(chance.below(3000));
            splice(document, place, long.as_bytes())
        }
        1..=4 => {
            let other = chance.pick(&leaves).and_then(|leaf| document.get(leaf.inner.clone()));
            splice(document, place, other.unwrap_or_default())
        }
        _ => splice(document, place, chance.extreme().as_bytes()),
    }
}

/// An attribute is taken away, or gets an extreme value, or that of another attribute.
fn attribute(document: &[u8], all: &[Element], element: &Element, chance: &mut Chance) -> Vec<u8> {
    let here = attributes(document, element);
    let Some((place, value)) = chance.pick(&here).cloned() else { return document.to_vec() };
    match chance.below(4) {
        0 => splice(document, place, &[]),
        1 | 2 => splice(document, value, chance.extreme().as_bytes()),
        _ => {
            let other = chance.pick(all).map(|other| attributes(document, other));
            let other = other.and_then(|found| chance.pick(&found).cloned());
            let other = other.and_then(|(_, value)| document.get(value));
            splice(document, value, other.unwrap_or_default())
        }
    }
}

/// The element in itself, many times over.
fn nested(document: &[u8], element: &Element, chance: &mut Chance) -> Vec<u8> {
    let of = |span: Range<usize>| document.get(span).unwrap_or_default();
    let times = if chance.once_in(8) { 400 } else { 1 + chance.below(4) };
    let start = of(element.whole.start..element.inner.start);
    let end = of(element.inner.end..element.whole.end);
    if end.is_empty() {
        return document.to_vec();
    }
    let whole =
        [start.repeat(times).as_slice(), of(element.whole.clone()), &end.repeat(times)].concat();
    splice(document, element.whole.clone(), &whole)
}

fn renamed(document: &[u8], element: &Element, name: &[u8]) -> Vec<u8> {
    let end = element.inner.end..element.whole.end;
    let mut out = document.to_vec();
    if !end.is_empty() {
        out = splice(&out, end, &[b"</", name, b">"].concat());
    }
    splice(&out, element.name.clone(), name)
}

/// The attributes of an element: each whole with the space before it, and its value.
fn attributes(document: &[u8], element: &Element) -> Vec<(Range<usize>, Range<usize>)> {
    let tag = document.get(element.tag.clone()).unwrap_or_default();
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(equals) = tag.iter().skip(at).position(|byte| *byte == b'=') {
        let equals = at + equals;
        let before = tag.get(..equals).unwrap_or_default();
        let from = before.iter().rposition(u8::is_ascii_whitespace).unwrap_or(0);
        let quote = tag.get(equals + 1).copied().unwrap_or(b'"');
        let value = equals + 2;
        let Some(length) = tag.iter().skip(value).position(|byte| *byte == quote) else { break };
        let base = element.tag.start;
        found.push((base + from..base + value + length + 1, base + value..base + value + length));
        at = value + length + 1;
    }
    found
}

/// All elements in the order of their start tags. Damage is taken as it comes: what is never closed
/// ends with the document, an end tag without a beginning is passed over.
fn elements(document: &[u8]) -> Vec<Element> {
    let mut found: Vec<Element> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut at = 0;
    while let Some(bracket) = find(document, at, b'<') {
        let tag = bracket + 1;
        let Some(close) = find(document, tag, b'>') else { break };
        at = close + 1;
        match document.get(tag) {
            Some(b'!' | b'?') | None => {}
            Some(b'/') => {
                let name = document.get(tag + 1..close).unwrap_or_default();
                let same = |idx: &usize| {
                    found.get(*idx).and_then(|element| document.get(element.name.clone()))
                        == Some(name)
                };
                let Some(depth) = open.iter().rposition(same) else { continue };
                for idx in open.drain(depth..) {
                    if let Some(element) = found.get_mut(idx) {
                        element.inner.end = bracket;
                        element.whole.end = close + 1;
                    }
                }
            }
            Some(_) => {
                let empty = document.get(close - 1) == Some(&b'/');
                let text = document.get(tag..close).unwrap_or_default();
                let name = text.iter().position(|byte| !is_name(*byte)).unwrap_or(text.len());
                if let Some(parent) = open.last().and_then(|idx| found.get_mut(*idx)) {
                    parent.is_leaf = false;
                }
                if !empty {
                    open.push(found.len());
                }
                let end = if empty { close + 1 } else { document.len() };
                found.push(Element {
                    whole: bracket..end,
                    inner: close + 1..end,
                    tag: tag..close - usize::from(empty),
                    name: tag..tag + name,
                    is_leaf: !empty,
                });
            }
        }
    }
    found
}

fn is_name(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b':' | b'.') || byte >= 0x80
}

fn find(document: &[u8], from: usize, wanted: u8) -> Option<usize> {
    document.get(from..)?.iter().position(|byte| *byte == wanted).map(|at| from + at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elements_and_attributes_are_seen_where_they_stand() {
        let document = b"<?xml?><a b=\"1\" c='22'><d/>x</a><e>";
        let found = elements(document);
        let shown = |span: &Range<usize>| std::str::from_utf8(&document[span.clone()]).unwrap();
        let whole: Vec<&str> = found.iter().map(|element| shown(&element.whole)).collect();
        assert_eq!(whole, ["<a b=\"1\" c='22'><d/>x</a>", "<d/>", "<e>"]);
        assert_eq!(shown(&found[0].inner), "<d/>x");
        let values: Vec<&str> =
            attributes(document, &found[0]).iter().map(|(_, value)| shown(value)).collect();
        assert_eq!(values, ["1", "22"]);
        assert!(elements(b"<a").is_empty());
    }

    #[test]
    fn names_and_places_are_exchanged() {
        let document = b"<r><a>1</a><b/></r>";
        let found = elements(document);
        assert_eq!(renamed(document, &found[1], b"c"), b"<r><c>1</c><b/></r>");
        assert_eq!(exchange(document, &found[2], found.get(1)), b"<r><b/><a>1</a></r>");
        assert_eq!(exchange(document, &found[0], found.get(1)), document);
    }
}
