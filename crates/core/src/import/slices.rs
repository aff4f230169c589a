//! Cutting a partwise document at its parts, so that each can be read by itself: on several threads,
//! and with only one bar's tree in memory on each.
//!
//! The cuts are guesses from the bytes. Reading proves them: each slice must be one element by
//! itself, and the head must have an element where each slice was taken out.

use memchr::memmem;

/// A document cut at its parts.
#[derive(Debug)]
pub(super) struct Slices<'a> {
    /// The document with an empty element instead of each part. Positions before the first part are
    /// those of the document.
    pub(super) head: String,
    /// The parts, each with where it begins in the document.
    pub(super) parts: Vec<(usize, &'a str)>,
}

/// Cuts a document; `None` if it has no parts that can be cut out.
pub(super) fn cut(text: &str) -> Option<Slices<'_>> {
    let end_tag = memmem::Finder::new("</part>");
    let mut parts = Vec::new();
    let mut head = String::new();
    let mut at = 0;
    while let Some(start) = next_part(text, at) {
        let rest = text.get(start..)?;
        // A ">" inside an attribute makes a tag in the head that is none, which reading will see.
        let tag = rest.get(..rest.find('>')?)?;
        let len = match tag.strip_suffix('/') {
            Some(_) => tag.len() + 1,
            None => end_tag.find(rest.as_bytes())? + end_tag.needle().len(),
        };
        head.push_str(text.get(at..start)?);
        head.push_str(tag.strip_suffix('/').unwrap_or(tag));
        head.push_str("/>");
        parts.push((start, rest.get(..len)?));
        at = start + len;
    }
    head.push_str(text.get(at..)?);
    (!parts.is_empty()).then_some(Slices { head, parts })
}

fn next_part(text: &str, from: usize) -> Option<usize> {
    let start = memmem::Finder::new("<part");
    let mut at = from;
    loop {
        at += start.find(text.as_bytes().get(at..)?)?;
        let behind = text.as_bytes().get(at + start.needle().len())?;
        if matches!(behind, b' ' | b'>' | b'/' | b'\t' | b'\n' | b'\r') {
            return Some(at);
        }
        at += start.needle().len();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_cut_out_with_their_places() {
        let text = "<score-partwise><part-list/><part id=\"a\"><measure/></part>\n\
                    <!-- x --><part id=\"b\"></part><part id='c' /></score-partwise>";
        let slices = cut(text).unwrap();
        assert_eq!(
            slices.head,
            "<score-partwise><part-list/><part id=\"a\"/>\n<!-- x --><part id=\"b\"/>\
             <part id='c' /></score-partwise>"
        );
        let [(first, a), _, (_, c)] = slices.parts[..] else { panic!("{slices:?}") };
        assert_eq!(&text[first..first + a.len()], a);
        assert_eq!(c, "<part id='c' />");
    }

    #[test]
    fn without_whole_parts_nothing_is_cut() {
        for text in ["", "<part-list/>", "<part><measure></part", "<part", "<part id='a'"] {
            assert!(cut(text).is_none(), "{text}");
        }
    }
}
