//! What the benches measure with: the movements of the example, the orchestral ones of the open test
//! data where `BARLOOM_DATA` names its folder, and one long score made of the largest.

use crate::{movements, synthetic};
use barloom_core::import::InputFile;
use std::path::Path;

/// Bytes of the long score.
const LONG: usize = 10_000_000;

/// The inputs by name, the long score last; `None` if there is no movement to make it of.
pub fn inputs() -> Option<Vec<InputFile>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut inputs = movements::packed(&root.join("examples/tide-mill"));
    if let Some(data) = std::env::var_os("BARLOOM_DATA") {
        inputs.extend(movements::packed(&Path::new(&data).join("orchestra")));
    }
    let (_, largest) = inputs.iter().max_by_key(|(_, bytes)| bytes.len())?;
    let long = synthetic::of_size(&movements::unpacked(largest)?, LONG)?;
    inputs.push((String::from("synthetic"), long.into_bytes()));
    Some(inputs.into_iter().map(|(name, bytes)| InputFile { name, bytes }).collect())
}
