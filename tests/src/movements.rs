//! Packed movements of a folder, and the score in one.
//!
//! Knows files and nothing of ours, so that it can be used where the rest of this crate is not.

use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};

/// The packed movements in a folder, by name, with their bytes.
pub fn packed(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let listed = std::fs::read_dir(folder).into_iter().flatten();
    let mut paths: Vec<PathBuf> = listed.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "mxl"));
    paths.sort();
    let named = |path: &PathBuf| {
        let name = path.file_stem()?.to_str()?.to_owned();
        Some((name, std::fs::read(path).ok()?))
    };
    paths.iter().filter_map(named).collect()
}

/// The score in an archive as text; `None` if the bytes are no archive with one.
pub fn unpacked(bytes: &[u8]) -> Option<String> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).ok()?;
    for idx in 0..archive.len() {
        let mut entry = archive.by_index(idx).ok()?;
        let name = entry.name().ok()?.into_owned();
        let is_score = name.ends_with(".xml") || name.ends_with(".musicxml");
        if is_score && !name.starts_with("META-INF/") {
            let mut text = String::new();
            entry.read_to_string(&mut text).ok()?;
            return Some(text);
        }
    }
    None
}
