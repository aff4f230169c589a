//! Packed scores: finds the score inside an archive and unpacks it within limits.
//!
//! Knows archives and nothing about music. Nothing is ever written to disk, and entries whose names
//! would leave the archive, that are encrypted or that are links are not taken.

use super::error::{ImportError, Spot};
use super::limits::Limits;
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
pub(super) fn open<'a>(
    file: &str,
    bytes: &'a [u8],
    limits: &Limits,
) -> Result<Document<'a>, ImportError> {
    if bytes.len() as u64 > limits.file_bytes {
        return Err(too_large(file, "", "the file is too large", limits.file_bytes));
    }
    if !bytes.starts_with(b"PK\x03\x04") {
        let entry = file.to_owned();
        return Ok(Document { bytes: Cow::Borrowed(bytes), entry, oddity: None });
    }
    let mut packed = Packed::new(file, bytes, limits)?;
    let (entry, oddity) = packed.find_score(limits)?;
    let bytes = packed.unpack(&entry, packed.most)?;
    Ok(Document { bytes: Cow::Owned(bytes), entry, oddity })
}

/// The document that is this entry of a packed file; `None` if there is no such entry.
///
/// # Errors
/// The entry is damaged or too large.
pub(super) fn entry<'a>(
    file: &str,
    bytes: &[u8],
    name: &str,
    limits: &Limits,
) -> Result<Option<Document<'a>>, ImportError> {
    let mut packed = Packed::new(file, bytes, limits)?;
    if packed.archive.index_for_name(name).is_none() {
        return Ok(None);
    }
    let bytes = Cow::Owned(packed.unpack(name, packed.most)?);
    Ok(Some(Document { bytes, entry: name.to_owned(), oddity: None }))
}

/// An archive with its name.
struct Packed<'a> {
    file: &'a str,
    archive: Archive<'a>,
    /// The most bytes that an entry may unpack to.
    most: u64,
}

impl<'a> Packed<'a> {
    fn new(file: &'a str, bytes: &'a [u8], limits: &Limits) -> Result<Self, ImportError> {
        let archive = Archive::new(Cursor::new(bytes)).map_err(|error| damaged(file, &error))?;
        if archive.len() > limits.entries {
            let what = String::from("the archive has too many entries");
            let spot = Box::new(Spot { file: file.to_owned(), ..Spot::default() });
            let limit = limits.entries.to_string();
            return Err(ImportError::TooLarge { what, limit, spot });
        }
        let most = (bytes.len() as u64).saturating_mul(limits.ratio);
        let most = most.max(limits.ratio_free_bytes).min(limits.entry_bytes);
        Ok(Self { file, archive, most })
    }

    /// The name of the score's entry, and what was wrong with the container.
    fn find_score(&mut self, limits: &Limits) -> Result<(String, Option<String>), ImportError> {
        let stated = match self.unpack("META-INF/container.xml", limits.container_bytes) {
            Ok(bytes) => rootfile(&bytes),
            Err(_) => None,
        };
        if let Some(name) = &stated
            && self.archive.index_for_name(name).is_some()
        {
            return Ok((name.clone(), None));
        }
        let oddity = match &stated {
            Some(name) => format!("the container names \"{name}\", which is not in the archive"),
            None => String::from("the archive has no usable META-INF/container.xml"),
        };
        let is_score = |name: &String| {
            let lower = name.to_lowercase();
            (lower.ends_with(".xml") || lower.ends_with(".musicxml"))
                && !lower.starts_with("meta-inf/")
        };
        let names = self.archive.file_names().filter_map(Result::ok).map(|name| name.into_owned());
        let found = names.filter(is_score).min();
        match found {
            Some(name) => {
                let oddity = format!("{oddity}; \"{name}\" was read instead");
                Ok((name, Some(oddity)))
            }
            None => {
                let cause = format!("{oddity}, and no .xml or .musicxml entry");
                Err(ImportError::Archive { file: self.file.to_owned(), cause })
            }
        }
    }

    fn unpack(&mut self, name: &str, most: u64) -> Result<Vec<u8>, ImportError> {
        let refused = |why: String| ImportError::Archive { file: self.file.to_owned(), cause: why };
        let mut entry = self.archive.by_name(name).map_err(|error| damaged(self.file, &error))?;
        // Drive letters and backslashes lead out of a folder on one system only, but on that they do.
        let leaves =
            entry.enclosed_name().is_none() || name.starts_with('/') || name.contains(['\\', ':']);
        if leaves {
            return Err(refused(format!("the entry name \"{name}\" leaves the archive")));
        }
        if !entry.is_file() || entry.is_symlink() {
            return Err(refused(format!("the entry \"{name}\" is no file")));
        }
        // The stated size may lie, so it is only a hint for the buffer; the limit is enforced below.
        let mut bytes = Vec::with_capacity(entry.size().min(most).min(1 << 20) as usize);
        let read = (&mut entry).take(most.saturating_add(1)).read_to_end(&mut bytes);
        read.map_err(|error| refused(format!("{name}: {error}")))?;
        if bytes.len() as u64 > most {
            return Err(too_large(self.file, name, "the entry unpacks to too much", most));
        }
        Ok(bytes)
    }
}

fn rootfile(container: &[u8]) -> Option<String> {
    let decoded = super::encoding::decode(container).ok()?;
    let document = super::xml::parse_plain(&decoded.text).ok()?;
    let rootfile = document.descendants().find(|node| node.name() == "rootfile")?;
    rootfile.attribute("full-path").map(str::to_owned)
}

fn damaged(file: &str, error: &zip::result::ZipError) -> ImportError {
    ImportError::Archive { file: file.to_owned(), cause: error.to_string() }
}

fn too_large(file: &str, entry: &str, what: &str, limit: u64) -> ImportError {
    let spot = Spot { file: file.to_owned(), entry: entry.to_owned(), ..Spot::default() };
    let spot = Box::new(spot);
    ImportError::TooLarge { what: what.to_owned(), limit: format!("{limit} bytes"), spot }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    const SCORE: &str = "<score-partwise/>";
    const CONTAINER: &str = "<container><rootfiles><rootfile full-path='music/a.xml'/>\
                             <rootfile full-path='b.pdf'/></rootfiles></container>";

    fn open<'a>(file: &str, bytes: &'a [u8]) -> Result<Document<'a>, ImportError> {
        super::open(file, bytes, &Limits::STANDARD)
    }

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

    /// The bytes of an archive with every copy of some bytes changed, in headers and table alike.
    fn patched(packed: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
        let mut out = packed.to_vec();
        let places: Vec<usize> =
            (0..=out.len() - from.len()).filter(|at| out[*at..].starts_with(from)).collect();
        assert!(!places.is_empty());
        for at in places {
            out[at..at + to.len()].copy_from_slice(to);
        }
        out
    }

    #[test]
    fn names_that_lead_out_of_the_archive_are_not_taken() {
        for name in ["../a.xml", "/a.xml", "a/../../b.xml", "C:\\a.xml", "C:a.xml", "..\\a.xml"] {
            let packed = pack(&[(name, SCORE.as_bytes())]);
            let error = open("x.mxl", &packed).unwrap_err().to_string();
            assert!(error.contains("leaves the archive") || error.contains("no .xml"), "{error}");
            assert!(error.ends_with("in x.mxl"), "{error}");
        }
    }

    #[test]
    fn links_and_encrypted_entries_are_not_taken() {
        let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
        let options = zip::write::SimpleFileOptions::default();
        writer.add_symlink("a.xml", "b.xml", options).unwrap();
        let link = writer.finish().unwrap().into_inner();
        assert!(open("x.mxl", &link).unwrap_err().to_string().contains("is no file"));
        // APPNOTE.TXT 4.4.4: bit 0 of the flags, behind signature and version, says encrypted.
        let packed = pack(&[("a.xml", SCORE.as_bytes())]);
        let mut secret = patched(&packed, b"PK\x03\x04\x14\0\0\0", b"PK\x03\x04\x14\0\x01\0");
        let table = secret.windows(4).position(|four| four == b"PK\x01\x02").unwrap();
        secret[table + 8] |= 1;
        let error = open("x.mxl", &secret).unwrap_err();
        assert!(matches!(&error, ImportError::Archive { .. }), "{error}");
    }

    #[test]
    fn stated_sizes_are_not_believed() {
        let text = "x".repeat(1000);
        let packed = pack(&[("a.xml", text.as_bytes())]);
        for lie in [0u32, 1, 999, 1001, u32::MAX - 1, u32::MAX] {
            let lied = patched(&packed, &1000u32.to_le_bytes(), &lie.to_le_bytes());
            match open("x.mxl", &lied) {
                Ok(document) => assert!(document.bytes.len() <= 1000),
                Err(error) => assert!(error.to_string().contains("x.mxl"), "{error}"),
            }
        }
    }

    #[test]
    fn each_limit_of_archives_is_kept() {
        let limits = Limits { ratio_free_bytes: 50, ratio: 2, ..Limits::STANDARD };
        let packed = pack(&[("a.xml", "x".repeat(2000).as_bytes())]);
        let error = super::open("x.mxl", &packed, &limits).unwrap_err().to_string();
        let most = packed.len() * 2;
        let expected =
            format!("the entry unpacks to too much (the limit is {most} bytes): x.mxl/a.xml");
        assert_eq!(error, expected);
        let limits = Limits { entry_bytes: 1999, ..Limits::STANDARD };
        assert!(super::open("x.mxl", &packed, &limits).is_err());
        assert!(super::open("x.mxl", &packed, &Limits::STANDARD).is_ok());
        let two = pack(&[("a.xml", b"a"), ("b.xml", b"b")]);
        let limits = Limits { entries: 1, ..Limits::STANDARD };
        let error = super::open("x.mxl", &two, &limits).unwrap_err().to_string();
        assert_eq!(error, "the archive has too many entries (the limit is 1): x.mxl");
        // A description of the archive that is longer than any is not read.
        let long = [CONTAINER.as_bytes(), " ".repeat(70_000).as_bytes()].concat();
        let packed = pack(&[("META-INF/container.xml", &long), ("z.xml", SCORE.as_bytes())]);
        assert!(open("x.mxl", &packed).unwrap().oddity.is_some());
    }
}
