//! From bytes to text: byte order marks, declared encodings, and what to do when neither helps.

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::borrow::Cow;

/// Text, and what had to be assumed to get it.
#[derive(Debug)]
pub(super) struct Decoded<'a> {
    /// The text, without byte order mark.
    pub(super) text: Cow<'a, str>,
    /// What was assumed, in words; `None` if the file is as it says.
    pub(super) assumed: Option<String>,
}

/// Decodes a document.
///
/// A byte order mark decides, then the shape of the first bytes (UTF-16 without a mark), then the
/// declaration, then UTF-8. Bytes that are not valid UTF-8 although the file says or implies so are
/// read as Windows-1252, which has a letter for nearly every byte.
///
/// # Errors
/// The declared encoding is not known.
pub(super) fn decode(bytes: &[u8]) -> Result<Decoded<'_>, String> {
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        let rest = bytes.get(mark..).unwrap_or_default();
        return Ok(with(encoding, rest));
    }
    if let Some(encoding) = utf16_by_shape(bytes) {
        return Ok(with(encoding, bytes));
    }
    let Some(label) = declared(bytes) else { return Ok(with(UTF_8, bytes)) };
    let Some(encoding) = Encoding::for_label(label.as_bytes()) else {
        return Err(format!("it says its encoding is \"{label}\", which is not known"));
    };
    // A file that can be read byte by byte cannot be UTF-16, whatever it says.
    if encoding == UTF_16LE || encoding == UTF_16BE {
        let mut decoded = with(UTF_8, bytes);
        decoded.assumed.get_or_insert_with(|| {
            format!("the file says it is {label} but is written in single bytes; read as UTF-8")
        });
        return Ok(decoded);
    }
    Ok(with(encoding, bytes))
}

fn with<'a>(encoding: &'static Encoding, bytes: &'a [u8]) -> Decoded<'a> {
    if encoding == UTF_8 {
        return match std::str::from_utf8(bytes) {
            Ok(text) => Decoded { text: Cow::Borrowed(text), assumed: None },
            Err(error) => {
                let (text, _) = WINDOWS_1252.decode_without_bom_handling(bytes);
                let at = error.valid_up_to();
                let assumed = format!("byte {at} is not UTF-8; the file was read as Windows-1252");
                Decoded { text, assumed: Some(assumed) }
            }
        };
    }
    let (text, damaged) = encoding.decode_without_bom_handling(bytes);
    let assumed = damaged.then(|| format!("some bytes are not valid {}", encoding.name()));
    Decoded { text, assumed }
}

/// `<` and `?` with a zero byte between them: UTF-16 without a mark.
fn utf16_by_shape(bytes: &[u8]) -> Option<&'static Encoding> {
    match bytes {
        [b'<', 0, _, 0, ..] => Some(UTF_16LE),
        [0, b'<', 0, _, ..] => Some(UTF_16BE),
        _ => None,
    }
}

/// The encoding in the XML declaration.
fn declared(bytes: &[u8]) -> Option<String> {
    let head = bytes.get(..bytes.len().min(256))?;
    let head: String = head.iter().map(|byte| char::from(*byte)).collect();
    let declaration = head.trim_start().strip_prefix("<?xml")?;
    let (declaration, _) = declaration.split_once("?>")?;
    let (_, after) = declaration.split_once("encoding")?;
    let after = after.trim_start().strip_prefix('=')?.trim_start();
    let quote = after.chars().next().filter(|c| *c == '"' || *c == '\'')?;
    let (label, _) = after.get(1..)?.split_once(quote)?;
    Some(label.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "<?xml version=\"1.0\" encoding=\"LABEL\"?><a>ôtez é</a>";

    fn check(label: &str, bytes: &[u8], assumed: bool) {
        let decoded = decode(bytes).unwrap();
        assert_eq!(decoded.text, TEXT.replace("LABEL", label), "{label}");
        assert_eq!(decoded.assumed.is_some(), assumed, "{label}");
    }

    #[test]
    fn every_encoding_gives_the_same_text() {
        for label in ["UTF-8", "utf-8"] {
            let text = TEXT.replace("LABEL", label);
            check(label, text.as_bytes(), false);
            check(label, &[b"\xEF\xBB\xBF", text.as_bytes()].concat(), false);
        }
        for label in ["ISO-8859-1", "windows-1252"] {
            let text = TEXT.replace("LABEL", label);
            let bytes: Vec<u8> = text.chars().map(|c| c as u8).collect();
            check(label, &bytes, false);
        }
        let text = TEXT.replace("LABEL", "UTF-16");
        let little: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        check("UTF-16", &little, false);
        check("UTF-16", &big, false);
        check("UTF-16", &[b"\xFF\xFE", little.as_slice()].concat(), false);
        check("UTF-16", &[b"\xFE\xFF", big.as_slice()].concat(), false);
    }

    #[test]
    fn wrong_claims_are_assumptions_and_unknown_names_are_refused() {
        let text = TEXT.replace("LABEL", "UTF-8");
        let latin: Vec<u8> = text.chars().map(|c| c as u8).collect();
        check("UTF-8", &latin, true);
        let text = TEXT.replace("LABEL", "UTF-16");
        check("UTF-16", text.as_bytes(), true);
        assert!(decode(TEXT.as_bytes()).is_err());
        assert!(decode(b"").unwrap().text.is_empty());
    }
}
