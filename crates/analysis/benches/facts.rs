//! Everything that `barloom facts` does with a score, from its bytes to the written JSON.
//! `BARLOOM_DATA` adds the orchestral movements of the open test data to those of the example.

use barloom_analysis::{Tracks, facts, findings};
use barloom_core::basis::Basis;
use barloom_core::import::{InputFile, Watch, read};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::Path;
use std::sync::atomic::AtomicBool;

#[allow(unreachable_pub, dead_code, unused_imports, reason = "a module of another crate")]
#[path = "../../../tests/src/synthetic.rs"]
mod synthetic;

#[allow(unreachable_pub, dead_code, unused_imports, reason = "a module of another crate")]
#[path = "../../../tests/speed/src/movements.rs"]
mod movements;

/// Bytes of the synthetic score.
const SYNTHETIC: usize = 10_000_000;

/// The facts of a file as text.
fn written(files: &[InputFile]) -> Vec<u8> {
    let import = read(files, &Watch::default()).expect("the inputs can be read");
    let basis = Basis::of(import.score);
    let go_on = AtomicBool::new(false);
    let tracks = Tracks::of(&basis, &Default::default(), &go_on).expect("the inputs can be read");
    let mut found = import.diagnostics;
    found.extend(findings::findings(&basis, &tracks, &found));
    let mut out = Vec::new();
    let facts = facts::facts(&basis, &tracks, None, &found);
    serde_json::to_writer_pretty(&mut out, &facts).expect("the inputs can be read");
    out
}

fn all_facts(criterion: &mut Criterion) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut inputs = movements::all(&root);
    let largest = inputs.iter().max_by_key(|(_, bytes)| bytes.len());
    let text =
        largest.and_then(|(_, bytes)| movements::unpacked(bytes)).expect("the inputs can be read");
    let large = synthetic::of_size(&text, SYNTHETIC).expect("the inputs can be read");
    inputs.push((String::from("synthetic"), large.into_bytes()));
    let mut group = criterion.benchmark_group("facts");
    group.sample_size(20);
    for (name, bytes) in inputs {
        let files = [InputFile { name: name.clone(), bytes }];
        group.bench_function(name, |bench| {
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
