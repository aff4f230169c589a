//! Opus documents: a list of the scores that are the movements of one work (`opus`, MusicXML 4.0).
//!
//! They name their scores by `xlink:href`. Inside an archive these are its entries; beside a file
//! they are files, which only the caller can read. No name leads out of the archive or folder.

use super::error::{ImportError, Spot};
use super::xml::{Node, Sheet, child_text, elements, name};

/// The most scores in an opus, those of the opuses it links to included.
pub(crate) const MAX_SCORES: usize = 500;
/// How deeply opuses may link to each other.
pub(crate) const MAX_LINKS: usize = 8;

/// What an opus lists, in order.
#[derive(Debug, Default)]
pub(crate) struct Opus {
    /// The title of the whole; empty if there is none.
    pub(crate) title: String,
    pub(crate) items: Vec<OpusItem>,
}

/// One item of an opus.
#[derive(Debug)]
pub(crate) struct OpusItem {
    /// The name relative to the document, without percent signs and dots, "/" between folders.
    pub(crate) name: String,
    /// It is another opus, not a score.
    pub(crate) is_opus: bool,
    pub(crate) spot: Box<Spot>,
}

/// Whether the beginning of a document looks like that of an opus.
pub(crate) fn looks_like_opus(head: &[u8]) -> bool {
    // In UTF-16 every other byte is empty.
    let plain: Vec<u8> = head.iter().copied().filter(|byte| *byte != 0).take(4096).collect();
    let has = |wanted: &[u8]| plain.windows(wanted.len()).any(|window| window == wanted);
    has(b"<opus") && !has(b"<score-partwise") && !has(b"<score-timewise")
}

/// Reads an opus document; `folder` is where it lies in its archive, empty at the top.
///
/// # Errors
/// It is not well-formed, lists nothing or too much, or names something outside.
pub(super) fn parse(sheet: &Sheet<'_>, folder: &str) -> Result<Opus, ImportError> {
    let document = sheet.parse()?;
    let root = document.root_element();
    let mut opus =
        Opus { title: child_text(root, "title").unwrap_or_default().to_owned(), items: Vec::new() };
    add_items(root, sheet, folder, &mut opus.items)?;
    if opus.items.is_empty() {
        return Err(ImportError::Opus {
            why: String::from("the opus lists no scores"),
            spot: sheet.spot(root.range().start),
        });
    }
    Ok(opus)
}

fn add_items(
    node: Node<'_, '_>,
    sheet: &Sheet<'_>,
    folder: &str,
    items: &mut Vec<OpusItem>,
) -> Result<(), ImportError> {
    for item in elements(node) {
        let is_opus = match name(item) {
            "score" => false,
            "opus-link" => true,
            "opus" => {
                add_items(item, sheet, folder, items)?;
                continue;
            }
            _ => continue,
        };
        let spot = sheet.spot(item.range().start);
        let is_href = |(name, _): &(&str, &str)| name.rsplit(':').next() == Some("href");
        let href = item.attributes().find(is_href).map_or("", |(_, value)| value);
        let failed = |why: String| Err(ImportError::Opus { why, spot: spot.clone() });
        if href.trim().is_empty() {
            return failed(String::from("the opus lists a score without saying where it is"));
        }
        let Some(name) = resolve(folder, href) else {
            return failed(format!(
                "the opus names \"{href}\", which leads out of where it lies; it was not followed"
            ));
        };
        if items.len() >= MAX_SCORES {
            return failed(format!("the opus lists more than {MAX_SCORES} scores"));
        }
        items.push(OpusItem { name, is_opus, spot });
    }
    Ok(())
}

/// A name relative to a folder, both with "/"; `None` if it leads outside or to another machine.
fn resolve(folder: &str, href: &str) -> Option<String> {
    let plain = unescaped(href.trim())?;
    let outside = plain.contains(':') || plain.contains('\\') || plain.starts_with('/');
    if outside || plain.contains('\0') {
        return None;
    }
    let mut pieces: Vec<&str> = folder.split('/').filter(|piece| !piece.is_empty()).collect();
    for piece in plain.split('/') {
        match piece {
            "" | "." => {}
            ".." => {
                pieces.pop()?;
            }
            piece => pieces.push(piece),
        }
    }
    (!pieces.is_empty()).then(|| pieces.join("/"))
}

/// Percent signs of an address as the letters they stand for; `None` if that is no text.
fn unescaped(href: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(href.len());
    let mut rest = href.as_bytes();
    while let Some((first, behind)) = rest.split_first() {
        let figures = behind.get(..2).and_then(|two| std::str::from_utf8(two).ok());
        let value = figures.and_then(|two| u8::from_str_radix(two, 16).ok());
        match value.filter(|_| *first == b'%') {
            Some(value) => {
                bytes.push(value);
                rest = behind.get(2..).unwrap_or_default();
            }
            None => {
                bytes.push(*first);
                rest = behind;
            }
        }
    }
    String::from_utf8(bytes).ok()
}

/// The folder of an entry: "music" for "music/opus.xml".
pub(super) fn folder_of(entry: &str) -> &str {
    entry.rsplit_once('/').map_or("", |(folder, _)| folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stay_inside() {
        assert_eq!(resolve("", "a.xml").as_deref(), Some("a.xml"));
        assert_eq!(resolve("music", "./b%20c.xml").as_deref(), Some("music/b c.xml"));
        assert_eq!(resolve("music/x", "../a.xml").as_deref(), Some("music/a.xml"));
        for out in ["../a.xml", "/a.xml", "file:///a.xml", "c:\\a.xml", "x/../../a.xml", "%2e%2e/a"]
        {
            assert_eq!(resolve("", out), None, "{out}");
        }
    }

    /// The example of `opus` in the MusicXML 4.0 documentation, shortened, with a nested opus.
    #[test]
    fn an_opus_is_read_in_order() {
        let text = "<opus version=\"4.0\" xmlns:xlink=\"http://www.w3.org/1999/xlink\">\
                    <title>Mill Suite</title><score xlink:href=\"1.musicxml\"/>\
                    <opus><score xlink:href=\"2.musicxml\" new-page=\"yes\"/></opus>\
                    <opus-link xlink:href=\"more.xml\"/></opus>";
        assert!(looks_like_opus(text.as_bytes()));
        let opus = parse(&Sheet::new("opus.xml", "opus.xml", text), "").unwrap();
        assert_eq!(opus.title, "Mill Suite");
        let items: Vec<_> =
            opus.items.iter().map(|item| (item.name.as_str(), item.is_opus)).collect();
        assert_eq!(items, [("1.musicxml", false), ("2.musicxml", false), ("more.xml", true)]);
        assert!(parse(&Sheet::new("a", "a", "<opus/>"), "").is_err());
        let out = text.replace("1.musicxml", "../1.musicxml");
        let error = parse(&Sheet::new("a.xml", "a.xml", &out), "").unwrap_err();
        assert!(error.to_string().contains("\"../1.musicxml\", which leads out"), "{error}");
    }
}
