//! What is looked at in the bytes of a document before a parser makes a tree of it: how deep its
//! elements are nested, and how many attributes they have. Every later walk may assume a bounded
//! depth, and parsers compare attributes with each other.
//!
//! One pass, whatever the bytes are; what is not well-formed is left to the parser.

use super::error::ImportError;
use super::xml::Sheet;
use memchr::{memchr, memchr3, memmem};

/// Whether a document stays inside the limits.
///
/// # Errors
/// Elements are nested too deeply, or one has too many attributes.
pub(super) fn check(sheet: &Sheet<'_>) -> Result<(), ImportError> {
    let bytes = sheet.text.as_bytes();
    let (mut at, mut depth) = (0, 0usize);
    while let Some(open) = find(bytes, at, |rest| memchr(b'<', rest)) {
        let rest = bytes.get(open..).unwrap_or_default();
        let behind = |end: &[u8]| find(bytes, open, |rest| memmem::find(rest, end));
        let passed = match rest {
            [b'<', b'/', ..] => {
                depth = depth.saturating_sub(1);
                Some(open + 2)
            }
            [b'<', b'!', b'-', b'-', ..] => behind(b"-->"),
            [b'<', b'!', b'[', b'C', ..] => behind(b"]]>"),
            [b'<', b'?', ..] => behind(b"?>"),
            [b'<', b'!', ..] | [b'<'] => Some(open + 1),
            _ => {
                let tag = tag(bytes, open);
                if let Some(tag) = &tag {
                    depth += usize::from(!tag.is_empty);
                    let limits = sheet.limits;
                    if depth > limits.depth {
                        let what = "elements are nested too deeply";
                        return Err(sheet.too_large(open, what, limits.depth as u64));
                    }
                    if tag.n_attributes > limits.attributes {
                        let what = "an element has too many attributes";
                        return Err(sheet.too_large(open, what, limits.attributes as u64));
                    }
                }
                tag.map(|tag| tag.end)
            }
        };
        // Something that never ends: the parser says so.
        let Some(passed) = passed else { return Ok(()) };
        at = passed;
    }
    Ok(())
}

struct Tag {
    /// Behind its ">".
    end: usize,
    is_empty: bool,
    n_attributes: usize,
}

/// The start tag that begins at a byte; `None` if it never ends.
fn tag(bytes: &[u8], open: usize) -> Option<Tag> {
    let (mut at, mut n_attributes) = (open, 0);
    loop {
        let stop = find(bytes, at, |rest| memchr3(b'>', b'"', b'\'', rest))?;
        match bytes.get(stop)? {
            b'>' => {
                let is_empty = stop.checked_sub(1).and_then(|at| bytes.get(at)) == Some(&b'/');
                return Some(Tag { end: stop + 1, is_empty, n_attributes });
            }
            // A ">" inside a quoted value ends nothing.
            quote => {
                n_attributes += 1;
                at = find(bytes, stop + 1, |rest| memchr(*quote, rest))? + 1;
            }
        }
    }
}

fn find(bytes: &[u8], from: usize, search: impl Fn(&[u8]) -> Option<usize>) -> Option<usize> {
    search(bytes.get(from..)?).map(|at| from + at)
}
