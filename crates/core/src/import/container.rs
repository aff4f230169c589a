//! Packed scores: finds the score inside an archive and unpacks it within limits.
//!
//! Knows archives and nothing about music. Nothing is ever written to disk, and entry names that
//! would leave the archive are not followed.

use super::error::ImportError;
use super::limits::{MAX_ENTRIES, MAX_ENTRY_BYTES, MAX_FILE_BYTES, MAX_RATIO, RATIO_FREE_BYTES};
use std::borrow::Cow;
use std::io::{Cursor, Read};

/// The document of a file.
#[derive(Debug)]
pub(super) struct Document<'a> {
    /// The bytes of the score.
    pub(super) bytes: Cow<'a, [u8]>,
    /// The name of the archive's entry; the file's own name if it is not packed.
    pub(super) entry: String,
    /// What was wrong with the container, in words.
    pub(super) oddity: Option<String>,
}

type Archive<'a> = zip::ZipArchive<Cursor<&'a [u8]>>;

/// The score document of a file: unpacked if the first bytes say it is an archive, whatever the
/// file is called.
///
/// # Errors
/// The file or the unpacked score is too large, or the archive is damaged or holds no score.
pub(super) fn open<'a>(file: &str, bytes: &'a [u8]) -> Result<Document<'a>, ImportError> {
    if bytes.len() as u64 > MAX_FILE_BYTES {
        return Err(too_large(file, "the file is too large", MAX_FILE_BYTES));
    }
    if !bytes.starts_with(b"PK\x03\x04") {
        let entry = file.to_owned();
        return Ok(Document { bytes: Cow::Borrowed(bytes), entry, oddity: None });
    }
    let damaged = |cause: String| ImportError::Archive { file: file.to_owned(), cause };
    let mut archive =
        Archive::new(Cursor::new(bytes)).map_err(|error| damaged(error.to_string()))?;
    if archive.len() > MAX_ENTRIES {
        return Err(ImportError::TooLarge {
            file: file.to_owned(),
            what: String::from("the archive has too many entries"),
            limit: MAX_ENTRIES.to_string(),
        });
    }
    let (entry, oddity) = find_score(file, bytes.len(), &mut archive)?;
    let bytes = unpack(file, bytes.len(), &mut archive, &entry)?;
    Ok(Document { bytes: Cow::Owned(bytes), entry, oddity })
}

/// The name of the score's entry, and what was wrong with the container.
fn find_score(
    file: &str,
    packed: usize,
    archive: &mut Archive<'_>,
) -> Result<(String, Option<String>), ImportError> {
    let stated = match unpack(file, packed, archive, "META-INF/container.xml") {
        Ok(bytes) => rootfile(&bytes),
        Err(_) => None,
    };
    if let Some(name) = &stated
        && archive.index_for_name(name).is_some()
    {
        return Ok((name.clone(), None));
    }
    let oddity = match &stated {
        Some(name) => format!("the container names \"{name}\", which is not in the archive"),
        None => String::from("the archive has no usable META-INF/container.xml"),
    };
    let is_score = |name: &String| {
        let lower = name.to_lowercase();
        (lower.ends_with(".xml") || lower.ends_with(".musicxml")) && !lower.starts_with("meta-inf/")
    };
    let names = archive.file_names().filter_map(Result::ok).map(|name| name.into_owned());
    let found = names.filter(is_score).min();
    match found {
        Some(name) => {
            let oddity = format!("{oddity}; \"{name}\" was read instead");
            Ok((name, Some(oddity)))
        }
        None => {
            let cause = format!("{oddity}, and no .xml or .musicxml entry");
            Err(ImportError::Archive { file: file.to_owned(), cause })
        }
    }
}

fn rootfile(container: &[u8]) -> Option<String> {
    let decoded = super::encoding::decode(container).ok()?;
    let document = super::xml::parse_plain(&decoded.text).ok()?;
    let rootfile = document.descendants().find(|node| node.name() == "rootfile")?;
    rootfile.attribute("full-path").map(str::to_owned)
}

fn unpack(
    file: &str,
    packed: usize,
    archive: &mut Archive<'_>,
    name: &str,
) -> Result<Vec<u8>, ImportError> {
    let damaged = |cause: String| ImportError::Archive { file: file.to_owned(), cause };
    let mut entry = archive.by_name(name).map_err(|error| damaged(error.to_string()))?;
    if entry.enclosed_name().is_none() {
        return Err(damaged(format!("the entry name \"{name}\" leaves the archive")));
    }
    let limit = (packed as u64 * MAX_RATIO).clamp(RATIO_FREE_BYTES, MAX_ENTRY_BYTES);
    // The stated size may lie, so it is only a hint for the buffer; the limit is enforced below.
    let mut bytes = Vec::with_capacity(entry.size().min(limit).min(1 << 26) as usize);
    let read = (&mut entry).take(limit + 1).read_to_end(&mut bytes);
    read.map_err(|error| damaged(format!("{name}: {error}")))?;
    if bytes.len() as u64 > limit {
        return Err(too_large(file, &format!("\"{name}\" unpacks to too much"), limit));
    }
    Ok(bytes)
}

fn too_large(file: &str, what: &str, limit: u64) -> ImportError {
    ImportError::TooLarge {
        file: file.to_owned(),
        what: what.to_owned(),
        limit: format!("{limit} bytes"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    const SCORE: &str = "<score-partwise/>";
    const CONTAINER: &str = "<container><rootfiles><rootfile full-path='music/a.xml'/>\
                             <rootfile full-path='b.pdf'/></rootfiles></container>";

    fn pack(entries: &[(&str, &[u8])]) -> Vec<u8> {
        let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
        let options = zip::write::SimpleFileOptions::default();
        for (name, bytes) in entries {
            writer.start_file(*name, options).unwrap();
            writer.write_all(bytes).unwrap();
        }
        writer.finish().unwrap().into_inner()
    }

    #[test]
    fn the_container_says_which_entry_is_the_score() {
        let packed = pack(&[
            ("a.xml", b"<no/>"),
            ("META-INF/container.xml", CONTAINER.as_bytes()),
            ("music/a.xml", SCORE.as_bytes()),
        ]);
        let document = open("x.mxl", &packed).unwrap();
        assert_eq!(document.entry, "music/a.xml");
        assert_eq!(&*document.bytes, SCORE.as_bytes());
        assert_eq!(document.oddity, None);
    }

    #[test]
    fn without_a_container_the_first_score_is_read_and_said() {
        let packed = pack(&[("b.xml", b"<no/>"), ("a.musicxml", SCORE.as_bytes())]);
        let document = open("x.mxl", &packed).unwrap();
        assert_eq!(document.entry, "a.musicxml");
        assert!(document.oddity.unwrap().contains("container.xml"));
        let packed =
            pack(&[("META-INF/container.xml", CONTAINER.as_bytes()), ("z.xml", SCORE.as_bytes())]);
        assert!(open("x.mxl", &packed).unwrap().oddity.unwrap().contains("music/a.xml"));
    }

    #[test]
    fn bombs_damage_and_emptiness_are_refused_with_the_cause() {
        let zeros = vec![b' '; 40 << 20];
        let packed = pack(&[("a.xml", &zeros)]);
        assert!(matches!(open("x.mxl", &packed), Err(ImportError::TooLarge { .. })));
        let packed = pack(&[("a.xml", SCORE.as_bytes())]);
        for cut in [5, 20, packed.len() - 1] {
            assert!(matches!(open("x.mxl", &packed[..cut]), Err(ImportError::Archive { .. })));
        }
        let packed = pack(&[("a.pdf", b"x")]);
        assert!(matches!(open("x.mxl", &packed), Err(ImportError::Archive { .. })));
        let packed = pack(&[("../a.xml", SCORE.as_bytes())]);
        assert!(matches!(open("x.mxl", &packed), Err(ImportError::Archive { .. })));
    }
}
