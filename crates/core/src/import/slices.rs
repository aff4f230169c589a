//! Cutting a partwise document at its parts, so that each can be parsed by itself: on several
//! threads, and with only one part's tree in memory on each.
//!
//! Only cuts where the bytes leave no doubt. A slice lacks what the root declares (namespaces), so
//! a slice that does not parse means that the whole must be parsed instead.

use std::ops::Range;

/// A document cut at its parts.
#[derive(Debug)]
pub(super) struct Slices<'a> {
    /// The document without its parts. Positions before the first part are those of the document.
    pub(super) head: String,
    /// The parts, each with where it begins in the document.
    pub(super) parts: Vec<(usize, &'a str)>,
}

/// Cuts a document; `None` if it is not partwise or it is not certain where the parts are.
pub(super) fn cut(text: &str) -> Option<Slices<'_>> {
    if !text.contains("<score-partwise") || text.contains("<![CDATA[") || hides_parts(text) {
        return None;
    }
    let mut parts: Vec<Range<usize>> = Vec::new();
    let mut at = 0;
    while let Some(start) = next_part(text, at) {
        let end = start + text.get(start..)?.find("</part>")? + "</part>".len();
        parts.push(start..end);
        at = end;
    }
    // What is left must not hold anything of a part.
    let mut head = String::new();
    let mut last = 0;
    for part in &parts {
        head.push_str(text.get(last..part.start)?);
        last = part.end;
    }
    head.push_str(text.get(last..)?);
    if parts.is_empty() || head.contains("<measure") || head.contains("</part>") {
        return None;
    }
    let slices = parts.into_iter().map(|part| Some((part.start, text.get(part)?)));
    Some(Slices { head, parts: slices.collect::<Option<_>>()? })
}

/// The start tag of a part without what is in it, as an element of its own.
pub(super) fn empty_part(slice: &str) -> Option<String> {
    let tag = slice.get(..slice.find('>')?)?;
    if tag.ends_with('/') { None } else { Some(format!("{tag}/>")) }
}

fn next_part(text: &str, from: usize) -> Option<usize> {
    let mut at = from;
    loop {
        at += text.get(at..)?.find("<part")?;
        let behind = text.as_bytes().get(at + "<part".len())?;
        if matches!(behind, b' ' | b'>' | b'\t' | b'\n' | b'\r') {
            return Some(at);
        }
        at += "<part".len();
    }
}

/// Whether a comment holds something that looks like a part or a measure.
fn hides_parts(text: &str) -> bool {
    text.match_indices("<!--").any(|(at, _)| {
        let comment = text.get(at..).unwrap_or_default();
        let comment = comment.split("-->").next().unwrap_or_default();
        comment.contains("<part") || comment.contains("</part") || comment.contains("<measure")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_cut_out_with_their_places() {
        let text = "<score-partwise><part-list/><part id=\"a\"><measure/></part>\n\
                    <!-- x --><part id=\"b\"></part></score-partwise>";
        let slices = cut(text).unwrap();
        assert_eq!(slices.head, "<score-partwise><part-list/>\n<!-- x --></score-partwise>");
        let [(first, a), (_, b)] = slices.parts[..] else { panic!("{slices:?}") };
        assert_eq!(&text[first..first + a.len()], a);
        assert_eq!(empty_part(b).as_deref(), Some("<part id=\"b\"/>"));
    }

    #[test]
    fn doubtful_documents_are_left_whole() {
        for text in [
            "<score-timewise><measure><part></part></measure></score-timewise>",
            "<score-partwise><!-- <part> --><part></part></score-partwise>",
            "<score-partwise><part><![CDATA[</part>]]></part></score-partwise>",
            "<score-partwise><part><measure></part",
            "<score-partwise><part/><measure/></score-partwise>",
            "<score-partwise></score-partwise>",
        ] {
            assert!(cut(text).is_none(), "{text}");
        }
    }
}
