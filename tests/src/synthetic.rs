//! Scores of any size: a partwise MusicXML document whose music is repeated, part by part, with its
//! bars numbered on, as one endless movement.
//!
//! Knows texts and nothing of ours, so that it can be used where the rest of this crate is not.

/// A document of about `n_bytes` bytes, at least one copy of the music; `None` if `document` is not
/// partwise or a part of it does not end.
pub fn of_size(document: &str, n_bytes: usize) -> Option<String> {
    repeated(document, n_bytes.div_ceil(document.len().max(1)).max(1))
}

/// The document with the music of each part `copies` times one after the other.
pub fn repeated(document: &str, copies: usize) -> Option<String> {
    if !document.contains("<score-partwise") {
        return None;
    }
    let mut out = String::with_capacity(document.len().saturating_mul(copies));
    let mut rest = document;
    while let Some(at) = rest.find("<part ") {
        let start = at + rest.get(at..)?.find('>')? + 1;
        let end = start + rest.get(start..)?.find("</part>")?;
        out.push_str(rest.get(..start)?);
        let music = rest.get(start..end)?;
        let mut number = 0;
        for _ in 0..copies {
            number_on(music, &mut number, &mut out)?;
        }
        rest = rest.get(end..)?;
    }
    out.push_str(rest);
    Some(out)
}

/// Writes bars with numbers that go on from `number`.
fn number_on(music: &str, number: &mut usize, out: &mut String) -> Option<()> {
    const NUMBER: &str = " number=\"";
    let mut rest = music;
    while let Some(at) = rest.find("<measure ") {
        let tag_end = at + rest.get(at..)?.find('>')?;
        let value = at + rest.get(at..tag_end)?.find(NUMBER)? + NUMBER.len();
        let behind = value + rest.get(value..tag_end)?.find('"')?;
        *number += 1;
        out.push_str(rest.get(..value)?);
        out.push_str(&number.to_string());
        out.push_str(rest.get(behind..tag_end)?);
        rest = rest.get(tag_end..)?;
    }
    out.push_str(rest);
    Some(())
}
