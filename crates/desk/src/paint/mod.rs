//! Drawing of the bar grid: pure reading, actions out.

use crate::ctx::Ctx;

/// What the grid keeps between frames and may lose at any moment: a drag, precomputed rows.
#[derive(Default)]
pub struct GridTransient {
    width: f32,
}

impl GridTransient {
    /// The width of the bars' area in the last frame, in points, for commands that fit bars into it.
    pub fn width(&self) -> f32 {
        if self.width > 0.0 { self.width } else { 1000.0 }
    }
}

/// The bar grid, filling the given space.
pub fn grid_ui(ui: &mut egui::Ui, _ctx: Ctx<'_>, transient: &mut GridTransient) {
    transient.width = ui.available_width();
}
