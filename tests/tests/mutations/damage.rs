//! The damaged file of each case: which file, and what was done to it. The same case is always the
//! same damage as long as the files are the same.

use barloom_tests::mutate::{Chance, archive, bytes, samples, scraps, text, xml};
use std::path::{Path, PathBuf};

/// The longest damaged file, in bytes.
const MAX: usize = 64_000;
/// Longer files of the suites take too much of the time.
const MAX_WHOLE: u64 = 16_000;

/// What a damaged file is read as.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Kind {
    MusicXml,
    Mei,
    Packed,
    Study,
}

impl Kind {
    /// The ending of a file of this kind.
    pub(crate) fn ending(self) -> &'static str {
        match self {
            Self::MusicXml => "musicxml",
            Self::Mei => "mei",
            Self::Packed => "mxl",
            Self::Study => "barloom",
        }
    }
}

/// A damaged file.
pub(crate) struct Damaged {
    pub(crate) kind: Kind,
    pub(crate) bytes: Vec<u8>,
    /// How long it is, unpacked if it is an archive made for the case.
    pub(crate) size: usize,
}

/// The files that are damaged.
pub(crate) struct Files {
    documents: Vec<Vec<u8>>,
    packed: Vec<Vec<u8>>,
    study: Vec<u8>,
}

impl Files {
    /// Our own, and the small ones of the community suite where it is.
    pub(crate) fn find() -> Self {
        let own = [samples::MUSICXML, samples::TIMEWISE];
        let mut files = Self {
            documents: own.map(|sample| sample.as_bytes().to_vec()).to_vec(),
            packed: vec![samples::PACKED_SCORE.to_vec()],
            study: samples::study().into_bytes(),
        };
        for path in suite() {
            let bytes = std::fs::read(&path).unwrap();
            match path.extension().and_then(|ending| ending.to_str()) {
                Some("xml" | "musicxml") => files.documents.push(bytes),
                Some("mxl") => files.packed.push(bytes),
                _ => {}
            }
        }
        files
    }

    /// How many documents there are.
    pub(crate) fn n_documents(&self) -> usize {
        self.documents.len()
    }

    /// The damage of a case.
    pub(crate) fn damaged(&self, case: u64) -> Damaged {
        let mut chance = Chance::new(case);
        match chance.below(20) {
            0 | 1 => {
                let bytes = text::change(&self.study, &mut chance, MAX);
                let bytes =
                    if chance.once_in(4) { bytes::change(&bytes, &mut chance, MAX) } else { bytes };
                Damaged { kind: Kind::Study, size: bytes.len(), bytes }
            }
            2 | 3 => self.archive(&mut chance),
            4..=6 => {
                let base = samples::MEI.as_bytes();
                let bytes = if chance.once_in(4) {
                    bytes::change(base, &mut chance, MAX)
                } else {
                    xml::change(base, base, scraps::MEI, &mut chance, MAX)
                };
                Damaged { kind: Kind::Mei, size: bytes.len(), bytes }
            }
            _ => {
                let bytes = self.document(&mut chance);
                Damaged { kind: Kind::MusicXml, size: bytes.len(), bytes }
            }
        }
    }

    fn document(&self, chance: &mut Chance) -> Vec<u8> {
        let base = chance.pick(&self.documents).map(Vec::as_slice).unwrap_or_default();
        let donor = chance.pick(&self.documents).map(Vec::as_slice).unwrap_or_default();
        if chance.once_in(4) {
            return bytes::change(base, chance, MAX);
        }
        xml::change(base, donor, scraps::MUSICXML, chance, MAX)
    }

    fn archive(&self, chance: &mut Chance) -> Damaged {
        if chance.once_in(4) {
            let base = chance.pick(&self.packed).map(Vec::as_slice).unwrap_or_default();
            let bytes = bytes::change(base, chance, MAX);
            // Score text packs 20 to 40 times; what is unpacked here is text of the suites.
            return Damaged { kind: Kind::Packed, size: bytes.len() * 40, bytes };
        }
        let document = self.document(chance);
        let entries = archive::packed_score(&document);
        let bytes = archive::change(&entries, chance, 2 * MAX);
        Damaged { kind: Kind::Packed, size: bytes.len(), bytes }
    }
}

/// The files of the community suite that are small enough, sorted.
fn suite() -> Vec<PathBuf> {
    let data = std::env::var_os("BARLOOM_DATA").map(PathBuf::from);
    let folder = data.map(|data| data.join("musicxml-suite/xmlFiles")).unwrap_or_default();
    let Ok(entries) = std::fs::read_dir(&folder) else { return Vec::new() };
    let small = |path: &PathBuf| path.metadata().is_ok_and(|about| about.len() <= MAX_WHOLE);
    let mut paths: Vec<PathBuf> =
        entries.map(|entry| entry.unwrap().path()).filter(small).collect();
    paths.sort();
    assert!(!paths.is_empty(), "{} is empty", Path::new(&folder).display());
    paths
}
