//! The made-up movement for a large orchestra, and what its analysis costs as it grows.

use std::time::{Duration, Instant};

use barloom_analysis::MovementTracks;
use barloom_analysis::settings::Settings;
use barloom_core::basis::Basis;
use barloom_core::diag::Severity;
use barloom_core::import::{self, Import, InputFile, Watch};
use barloom_tests::orchestra::orchestra;

/// Bars of the shorter movement; unoptimized, some hundred take seconds.
const BARS: usize = 60;

/// Four times the bars may cost this many times as much: twice what grows with the length alone
/// would, and a third of what grows with its square would.
const MOST: f64 = 8.0;

fn read(n_bars: usize) -> Import {
    let name = String::from("orchestra.musicxml");
    let bytes = orchestra(n_bars).into_bytes();
    import::read(&[InputFile { name, bytes }], &Watch::default()).unwrap()
}

#[test]
fn the_made_up_movement_is_read_without_loss_and_knows_its_instruments() {
    let import = read(16);
    let bad: Vec<String> = import
        .diagnostics
        .iter()
        .filter(|found| found.severity() != Severity::Note)
        .map(ToString::to_string)
        .collect();
    assert!(bad.is_empty(), "{bad:#?}");
    assert_eq!((import.score.parts.len(), import.score.movements[0].bars.len()), (36, 16));
    let unknown = |part: &&barloom_core::part::Part| part.instrument.get().name == "unknown";
    assert_eq!(import.score.parts.iter().filter(unknown).count(), 0);
}

#[test]
fn analyses_grow_with_the_length_and_not_with_its_square() {
    let fastest = |n_bars| {
        let basis = Basis::of(read(n_bars).score);
        let timed = |_| -> Duration {
            let begun = Instant::now();
            let tracks = MovementTracks::of(&basis, 0, &Settings::default());
            assert_eq!(tracks.balance.margins.len(), n_bars);
            assert!(!tracks.textures.is_empty() && !tracks.leading.is_empty());
            begun.elapsed()
        };
        (0..3).map(timed).min().unwrap()
    };
    let (short, long) = (fastest(BARS), fastest(4 * BARS));
    let times = long.as_secs_f64() / short.as_secs_f64();
    assert!(
        times < MOST,
        "four times the bars cost {times:.1} times as much ({short:?}, {long:?})"
    );
}
