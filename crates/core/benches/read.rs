//! Reading: from bytes in memory to a finished score. `BARLOOM_DATA` adds the orchestral movements of
//! the open test data to the movements of the example and to a score of thousands of bars made from
//! one of them.

use barloom_core::import::{InputFile, Watch, read};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::Path;

#[allow(unreachable_pub, dead_code, unused_imports, reason = "a module of another crate")]
#[path = "../../../tests/src/synthetic.rs"]
mod synthetic;

#[allow(unreachable_pub, dead_code, unused_imports, reason = "a module of another crate")]
#[path = "../../../tests/speed/src/movements.rs"]
mod movements;

/// Bytes of the synthetic score.
const SYNTHETIC: usize = 10_000_000;

fn reading(criterion: &mut Criterion) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut inputs = movements::all(&root);
    let largest = inputs.iter().max_by_key(|(_, bytes)| bytes.len());
    let text =
        largest.and_then(|(_, bytes)| movements::unpacked(bytes)).expect("the inputs can be read");
    let large = synthetic::of_size(&text, SYNTHETIC).expect("the inputs can be read");
    inputs.push((String::from("synthetic"), large.into_bytes()));
    let mut group = criterion.benchmark_group("read");
    group.sample_size(20);
    for (name, bytes) in inputs {
        let n_bytes = movements::unpacked(&bytes).map_or(bytes.len(), |text| text.len());
        let files = [InputFile { name: name.clone(), bytes }];
        group.throughput(Throughput::Bytes(n_bytes as u64));
        group.bench_function(name, |bench| {
            bench.iter(|| {
                let done = read(&files, &Watch::default()).expect("the inputs can be read");
                assert!(!done.score.movements.is_empty(), "nothing was read");
                black_box(done)
            });
        });
    }
    group.finish();
}

criterion_group!(benches, reading);
criterion_main!(benches);
