//! MEI documents.
#![no_main]

use barloom_fuzz::{change_document, mutate::scraps, score};
use libfuzzer_sys::{fuzz_mutator, fuzz_target};

fuzz_target!(|data: &[u8]| score("fuzz.mei", data));

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    change_document(data, size, max_size, seed, scraps::MEI)
});
