//! The example suite that comes with the program: read from memory, copied to the user's data when it
//! is first marked.

use barloom_core::import::Watch;
use barloom_core::store::{self, StoreError};
use barloom_core::study::IdMaker;
use barloom_core::work::{self, OpenError, Work};
use std::path::{Path, PathBuf};

/// The movements in order: file name and bytes.
static MOVEMENTS: [(&str, &[u8]); 6] = [
    ("1-low-water.mxl", include_bytes!("../../../examples/tide-mill/1-low-water.mxl")),
    ("2-wheel.mxl", include_bytes!("../../../examples/tide-mill/2-wheel.mxl")),
    ("3-lock-gates.mxl", include_bytes!("../../../examples/tide-mill/3-lock-gates.mxl")),
    ("4-eel-market.mxl", include_bytes!("../../../examples/tide-mill/4-eel-market.mxl")),
    ("5-weir-song.mxl", include_bytes!("../../../examples/tide-mill/5-weir-song.mxl")),
    ("6-spring-tide.mxl", include_bytes!("../../../examples/tide-mill/6-spring-tide.mxl")),
];

/// The marked study that comes with it.
static STUDY: &[u8] = include_bytes!("../../../examples/tide-mill/the-tide-mill.barloom");

/// The suite as if it lay in a folder; nothing is written.
///
/// # Errors
/// When the suite cannot be read, or reading was stopped.
pub(crate) fn read(folder: &Path, now: u64, watch: &Watch) -> Result<Work, OpenError> {
    let files: Vec<(PathBuf, &[u8])> =
        MOVEMENTS.iter().map(|(name, bytes)| (folder.join(name), *bytes)).collect();
    work::open_embedded(&files, Some(STUDY), &mut IdMaker::new(), now, watch)
}

/// Copies the files of the suite into a folder, unless they are there.
///
/// # Errors
/// When the system refuses.
pub(crate) fn keep(folder: &Path) -> Result<(), StoreError> {
    store::make_folder(folder)?;
    for (name, bytes) in MOVEMENTS {
        let path = folder.join(name);
        let same = store::read(&path, store::MAX_SCORE_BYTES).is_ok_and(|there| there == bytes);
        if !same {
            store::replace(&path, bytes)?;
        }
    }
    Ok(())
}
