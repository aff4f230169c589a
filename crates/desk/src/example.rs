//! The example suite that comes with the program.

use barloom_core::store::{self, StoreError};
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

/// The files of the suite in a folder, written there unless they are there already.
///
/// # Errors
/// When the system refuses.
pub(crate) fn unpacked(folder: &Path) -> Result<Vec<PathBuf>, StoreError> {
    store::make_folder(folder)?;
    let mut paths = Vec::with_capacity(MOVEMENTS.len());
    for (name, bytes) in MOVEMENTS {
        let path = folder.join(name);
        let same = store::read(&path, store::MAX_SCORE_BYTES).is_ok_and(|there| there == bytes);
        if !same {
            store::replace(&path, bytes)?;
        }
        paths.push(path);
    }
    Ok(paths)
}
