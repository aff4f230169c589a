//! Opus files: a list of scores that lie beside it, opened as the movements of one work.

use super::OpenError;
use super::open::input;
use crate::import::opus::{MAX_LINKS, MAX_SCORES, looks_like_opus};
use crate::import::{self, ImportError};
use crate::store;
use std::path::{Path, PathBuf};

/// The largest opus file, in bytes.
const MAX_BYTES: u64 = 4 << 20;

/// The paths of the score files, with every opus among them replaced by what it lists, and the title
/// of the first opus.
///
/// # Errors
/// An opus is damaged, or names what is not there or outside its folder.
pub(super) fn expanded(paths: &[PathBuf]) -> Result<(Vec<PathBuf>, String), OpenError> {
    let (mut files, mut title) = (Vec::new(), String::new());
    for path in paths {
        add(&store::resolved(path), &mut files, &mut title, 0)?;
    }
    Ok((files, title))
}

/// The scores that a file lists if it is an opus; `None` if it is none, or cannot be followed.
pub fn listed(path: &Path) -> Option<Vec<PathBuf>> {
    let path = store::resolved(path);
    let (files, _) = expanded(std::slice::from_ref(&path)).ok()?;
    (files != [path]).then_some(files)
}

fn add(
    path: &Path,
    files: &mut Vec<PathBuf>,
    title: &mut String,
    depth: usize,
) -> Result<(), OpenError> {
    // A file that cannot be read is left to the reader, which says why.
    let is_opus = store::head(path, 8192).is_ok_and(|head| looks_like_opus(&head));
    let items = if is_opus {
        import::opus_items(&input(path, store::read(path, MAX_BYTES)?))?
    } else {
        None
    };
    let Some((stated, items)) = items else {
        files.push(path.to_path_buf());
        return Ok(());
    };
    if title.is_empty() {
        *title = stated;
    }
    let folder = path.parent().unwrap_or(Path::new(""));
    for item in items {
        let failed = |why: String| {
            Err(OpenError::Import(ImportError::Opus { why, spot: item.spot.clone() }))
        };
        if depth >= MAX_LINKS || files.len() >= MAX_SCORES {
            return failed(String::from("the opuses link to each other without end"));
        }
        let named = store::resolved(&folder.join(&item.name));
        // A link on the disk may lead outside although the name does not.
        if !named.starts_with(store::resolved(folder)) {
            return failed(format!(
                "the opus names \"{}\", which leads out of its folder; it was not followed",
                item.name
            ));
        }
        if !store::is_file(&named) {
            return failed(format!(
                "the opus names \"{}\", which is not there (looked for {})",
                item.name,
                named.display()
            ));
        }
        match item.is_opus {
            true => add(&named, files, title, depth + 1)?,
            false => files.push(named),
        }
    }
    Ok(())
}
