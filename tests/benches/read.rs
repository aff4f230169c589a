//! Reading: from bytes in memory to a finished score. `BARLOOM_DATA` adds the orchestral movements of
//! the open test data to the movements of the example and to a score of thousands of bars made from
//! one of them.

use barloom_core::import::{Watch, read};
use barloom_tests::{measured, movements};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

fn reading(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("read");
    group.sample_size(20);
    for file in measured::inputs().expect("the example has movements") {
        let n_bytes = movements::unpacked(&file.bytes).map_or(file.bytes.len(), |text| text.len());
        group.throughput(Throughput::Bytes(n_bytes as u64));
        let files = [file];
        group.bench_function(&files[0].name, |bench| {
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
