//! Study files: the text, and what the study does to the score it is opened with.
#![no_main]

use barloom_core::anchor::reanchor;
use barloom_core::basis::Basis;
use barloom_core::import::{InputFile, Watch, read};
use barloom_core::score::Score;
use barloom_core::sidecar;
use barloom_fuzz::{change_text, compute, mutate::samples, put};
use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use std::sync::LazyLock;

static SCORE: LazyLock<Score> = LazyLock::new(|| {
    let name = samples::PACKED_NAME.to_owned();
    let file = InputFile { name, bytes: samples::PACKED_SCORE.to_vec() };
    read(&[file], &Watch::default()).map(|import| import.score).unwrap_or_default()
});

fuzz_target!(|data: &[u8]| {
    let Ok(study) = sidecar::read(data) else { return };
    let text = sidecar::write(&study);
    assert_eq!(sidecar::parse(&text).as_ref(), Ok(&study), "what was written reads differently");
    // Sources and score must agree in number; the program sees to it before this.
    if study.sources.len() == SCORE.sources.len() {
        let fitted = reanchor(&study, &SCORE);
        let (basis, diagnostics) = Basis::build(&SCORE, &fitted.study, 1);
        compute(&basis, Some(&fitted.study), &diagnostics);
    }
});

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    if size < 100 {
        return put(&mut data[..max_size], samples::study().as_bytes());
    }
    change_text(data, size, max_size, seed)
});
