//! Everything that `barloom facts` does with a score, from its bytes to the written JSON.
//! `BARLOOM_DATA` adds the orchestral movements of the open test data to those of the example.

use barloom_analysis::{Tracks, facts, findings};
use barloom_core::basis::Basis;
use barloom_core::import::{InputFile, Watch, read};
use barloom_tests::measured;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::sync::atomic::AtomicBool;

/// The facts of a file as text.
fn written(files: &[InputFile]) -> Vec<u8> {
    let import = read(files, &Watch::default()).expect("the inputs can be read");
    let basis = Basis::of(import.score);
    let cancelled = AtomicBool::new(false);
    let tracks = Tracks::of(&basis, &Default::default(), &cancelled).expect("nobody cancels");
    let mut found = import.diagnostics;
    found.extend(findings::findings(&basis, &tracks, &found));
    let facts = facts::facts(&basis, &tracks, None, &found);
    let mut out = Vec::new();
    serde_json::to_writer_pretty(&mut out, &facts).expect("memory takes everything");
    out
}

fn all_facts(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("facts");
    group.sample_size(20);
    for file in measured::inputs().expect("the example has movements") {
        let files = [file];
        group.bench_function(&files[0].name, |bench| {
            bench.iter(|| {
                let text = written(&files);
                assert!(text.len() > 1000, "no facts were written");
                black_box(text)
            });
        });
    }
    group.finish();
}

criterion_group!(benches, all_facts);
criterion_main!(benches);
