//! What the fuzzing targets share: the way of a file through the whole program, and changes on the
//! level of elements and entries, which get much deeper than changed bytes.

#[path = "../../src/mutate/mod.rs"]
pub mod mutate;

use barloom_analysis::plan::PlanOptions;
use barloom_analysis::settings::Settings;
use barloom_analysis::{Tracks, facts, plan};
use barloom_core::basis::Basis;
use barloom_core::diag::Diagnostic;
use barloom_core::hash::fingerprint;
use barloom_core::import::{Import, InputFile, Watch, read};
use barloom_core::study::Study;
use std::sync::atomic::AtomicBool;
use std::sync::{Mutex, PoisonError};

/// Inputs seen so far from which elements are taken.
static SEEN: Mutex<Vec<Vec<u8>>> = Mutex::new(Vec::new());

/// Reads a file as the program does, and computes everything from one in four: reading changes most
/// and is the faster of the two.
pub fn score(name: &str, bytes: &[u8]) {
    let file = InputFile { name: name.to_owned(), bytes: bytes.to_vec() };
    if let Ok(Import { score, diagnostics }) = read(&[file], &Watch::default()) {
        if fingerprint(bytes) % 4 == 0 {
            compute(&Basis::of(score), None, &diagnostics);
        }
    }
}

/// Everything that is computed from a basis: tracks, facts and the content of the plan.
pub fn compute(basis: &Basis, study: Option<&Study>, diagnostics: &[Diagnostic]) {
    let tracks = Tracks::of(basis, &Settings::default(), &AtomicBool::new(false));
    let tracks = tracks.unwrap_or_default();
    facts::facts(basis, &tracks, study, diagnostics);
    let none = Study::default();
    plan::build(basis, &tracks, study.unwrap_or(&none), diagnostics, &PlanOptions::default());
}

/// Changes the document in `data`: half the time its bytes by the engine, else its elements, with
/// elements of inputs seen before. Answers the new size.
pub fn change_document(
    data: &mut [u8],
    size: usize,
    max_size: usize,
    seed: u32,
    scraps: &[&str],
) -> usize {
    let mut chance = mutate::Chance::new(u64::from(seed));
    if chance.once_in(3) {
        return libfuzzer_sys::fuzzer_mutate(data, size, max_size);
    }
    let input = data.get(..size).unwrap_or_default();
    let mut seen = SEEN.lock().unwrap_or_else(PoisonError::into_inner);
    let donor = chance.pick(&seen).cloned().unwrap_or_default();
    if seen.len() < 64 {
        seen.push(input.to_vec());
    } else if chance.once_in(50) {
        let place = chance.below(seen.len());
        seen[place] = input.to_vec();
    }
    let changed = mutate::xml::change(input, &donor, scraps, &mut chance, max_size);
    put(data, &changed)
}

/// Changes the text in `data`: a third of the time its bytes by the engine, else its lines and
/// words. Answers the new size.
pub fn change_text(data: &mut [u8], size: usize, max_size: usize, seed: u32) -> usize {
    let mut chance = mutate::Chance::new(u64::from(seed));
    if chance.once_in(3) {
        return libfuzzer_sys::fuzzer_mutate(data, size, max_size);
    }
    let input = data.get(..size).unwrap_or_default();
    let changed = mutate::text::change(input, &mut chance, max_size);
    put(data, &changed)
}

/// Puts bytes at the start of a buffer, as many as fit.
pub fn put(data: &mut [u8], bytes: &[u8]) -> usize {
    let size = bytes.len().min(data.len());
    data[..size].copy_from_slice(&bytes[..size]);
    size
}
