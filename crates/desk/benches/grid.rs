//! One frame of the bar grid, layout and tessellation, without a window: 60 parts in 2,000 bars from
//! a seed. Names: `frame/whole work`, `frame/movement`, `frame/40 bars`, `frame/4 bars`.

#[path = "../tests/common/sample.rs"]
#[allow(dead_code, reason = "tests use the rest")]
mod sample;

use barloom_core::bar::BarIndex;
use barloom_desk::ctx::{Ctx, Queue};
use barloom_desk::model::camera::{self, Camera};
use barloom_desk::model::status::Status;
use barloom_desk::model::view_state::{Columns, ViewState};
use barloom_desk::paint::{GridTransient, grid_ui};
use barloom_desk::theme::{Theme, install_fonts};
use criterion::{Criterion, criterion_group, criterion_main};

const PARTS: usize = 60;
const BARS: usize = 2000;

fn input() -> egui::RawInput {
    let size = egui::vec2(1920.0, 1080.0);
    egui::RawInput {
        screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, size)),
        ..Default::default()
    }
}

fn frame(criterion: &mut Criterion) {
    let basis = sample::basis(PARTS, &[BARS], 1);
    let tracks = sample::tracks(&basis);
    let study = sample::study(&basis, 0);
    let movement = &basis.score.movements[0];
    let columns = Columns::of(&movement.bars, movement.resolution, false);
    let bars = |from: u32, to: u32| {
        camera::fit_bars(Camera::default(), &columns, BarIndex(from), BarIndex(to), 1744.0)
    };
    let cases = [
        ("whole work", camera::show_whole(Camera::default())),
        ("movement", Camera::default()),
        ("40 bars", bars(1000, 1039)),
        ("4 bars", bars(1000, 1003)),
    ];
    let theme = Theme::new(false, false, 1.0);
    let mut group = criterion.benchmark_group("frame");
    for (name, camera) in cases {
        let egui = egui::Context::default();
        install_fonts(&egui);
        theme.apply(&egui);
        // The fonts are there from the second frame on.
        let _ = egui.run_ui(input(), |_| {});
        let view = ViewState { camera, ..ViewState::default() };
        let (status, queue) = (Status::default(), Queue::default());
        let ctx = Ctx {
            basis: &basis,
            tracks: &tracks,
            study: &study,
            view: &view,
            status: &status,
            theme: &theme,
            queue: &queue,
        };
        let mut grid = GridTransient::default();
        let mut draw = || {
            let output = egui.run_ui(input(), |ui| grid_ui(ui, ctx, &mut grid));
            egui.tessellate(output.shapes, output.pixels_per_point).len()
        };
        assert!(draw() > 0, "nothing was drawn");
        group.bench_function(name, |bencher| bencher.iter(&mut draw));
    }
    group.finish();
}

criterion_group!(benches, frame);
criterion_main!(benches);
