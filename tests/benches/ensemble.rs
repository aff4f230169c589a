//! The analyses of an ensemble: all tracks of a made-up movement for 36 parts with 900, 1,800 and
//! 3,600 bars, and each analysis alone with 900.

use barloom_analysis::balance::BalanceTrack;
use barloom_analysis::changes::ChangesTrack;
use barloom_analysis::heard::HeardNotes;
use barloom_analysis::settings::Settings;
use barloom_analysis::{MovementTracks, doublings, leading, manners, mixed, ranges, texture};
use barloom_core::basis::Basis;
use barloom_core::import::{InputFile, Watch, read};
use barloom_tests::orchestra::orchestra;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// Bars of the movement that the aim is stated for.
const BARS: usize = 900;

fn basis(n_bars: usize) -> Basis {
    let bytes = orchestra(n_bars).into_bytes();
    let files = [InputFile { name: String::from("orchestra.musicxml"), bytes }];
    Basis::of(read(&files, &Watch::default()).expect("the made-up score can be read").score)
}

fn together(criterion: &mut Criterion) {
    let settings = Settings::default();
    let mut group = criterion.benchmark_group("ensemble/all");
    group.sample_size(10);
    for times in [1, 2, 4] {
        let basis = basis(BARS * times);
        group.bench_function(format!("{times}x"), |bench| {
            bench.iter(|| {
                let tracks = MovementTracks::of(&basis, 0, &settings);
                assert!(!tracks.textures.is_empty() && !tracks.doublings.is_empty());
                assert!(!tracks.leading.is_empty() && !tracks.changes.changes.is_empty());
                assert_eq!(tracks.balance.margins.len(), BARS * times);
                black_box(tracks)
            });
        });
    }
    group.finish();
}

fn alone(criterion: &mut Criterion) {
    let settings = Settings::default();
    let basis = basis(BARS);
    let known = MovementTracks::of(&basis, 0, &settings);
    let movement = &*basis.score.movements[0];
    let (heard, devices, dynamics) = (&known.heard, &known.devices, &known.dynamics);
    let (doubled, tempo, playing) = (&known.doublings, &known.tempo, &known.playing);
    let mut group = criterion.benchmark_group("ensemble");
    group.sample_size(10);
    group.bench_function("heard", |bench| {
        bench.iter(|| {
            let made = HeardNotes::of(movement);
            assert_eq!(made.parts().count(), 36);
            made
        });
    });
    group.bench_function("texture", |bench| {
        bench.iter(|| {
            let made = texture::of(movement, playing, &known.sounds);
            assert_eq!(made.len(), BARS);
            made
        });
    });
    group.bench_function("doublings", |bench| {
        bench.iter(|| {
            let made = doublings::of(movement, heard, &settings);
            assert_eq!(made.len(), doubled.len());
            made
        });
    });
    group.bench_function("leading", |bench| {
        bench.iter(|| {
            let made = leading::of(movement, heard, dynamics, doubled, &settings);
            assert_eq!(made.len(), known.leading.len());
            made
        });
    });
    group.bench_function("strings", |bench| {
        bench.iter(|| {
            let made = manners::of(movement, heard, devices);
            assert_eq!(made.len(), known.manners.len());
            made
        });
    });
    group.bench_function("contradictions", |bench| {
        bench.iter(|| {
            let limits = &settings.contradictions;
            let made = manners::contradictions(
                movement,
                heard,
                dynamics,
                devices,
                &known.seats,
                doubled,
                limits,
            );
            assert_eq!(made.len(), known.contradictions.len());
            made
        });
    });
    group.bench_function("changes", |bench| {
        bench.iter(|| {
            let made =
                ChangesTrack::of(movement, &basis.score.parts, tempo, devices, heard, &settings);
            assert_eq!(made.changes.len(), known.changes.changes.len());
            made
        });
    });
    group.bench_function("mixed attacks", |bench| {
        bench.iter(|| {
            let made = mixed::of(movement, heard, dynamics, devices, &settings);
            assert_eq!(made.len(), known.mixed.len());
            made
        });
    });
    group.bench_function("balance", |bench| {
        bench.iter(|| {
            let leads = &known.leading;
            let made = BalanceTrack::of(movement, heard, dynamics, devices, leads, &settings);
            assert_eq!(made.margins.len(), BARS);
            made
        });
    });
    group.bench_function("ranges", |bench| {
        bench.iter(|| {
            let made = ranges::of(movement, heard, dynamics, &settings.ranges);
            assert_eq!(made.len(), known.ranges.len());
            made
        });
    });
    group.bench_function("stretches", |bench| {
        bench.iter(|| {
            let made = ranges::comfort::of(movement, heard, playing, tempo, &settings.comfort);
            assert_eq!(made.len(), known.stretches.len());
            made
        });
    });
    group.finish();
}

criterion_group!(benches, together, alone);
criterion_main!(benches);
