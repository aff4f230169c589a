//! The window: document, view state, actions, panels and the painting of the bar grid.
//!
//! Three states never mix: the document (saved by the user), the view (may be lost) and what lives
//! only during a gesture. Panels read a [`ctx::Ctx`] and queue [`model::action::Action`]s; nothing
//! changes while drawing.

pub mod app;
pub mod ctx;
mod example;
pub mod jobs;
pub mod keys;
pub mod model;
pub mod paint;
pub mod panels;
mod rim;
pub mod settings;
pub mod theme;

#[cfg(test)]
mod testing;

use std::path::PathBuf;

/// Opens the window with these files and runs until it is closed. Without files it shows the start
/// screen, and the very first time the example suite.
///
/// # Errors
/// If no window can be opened.
pub fn run(paths: Vec<PathBuf>) -> eframe::Result {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_app_id("barloom")
            .with_title("Barloom")
            .with_icon(icon())
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([720.0, 480.0]),
        ..Default::default()
    };
    eframe::run_native(
        "barloom",
        options,
        Box::new(|creation| {
            let folders = settings::Folders::of_system();
            let show_example = paths.is_empty() && folders.begin_first_start();
            let mut app = app::App::new(&creation.egui_ctx, folders, paths);
            if show_example {
                app.open_example(&creation.egui_ctx);
            }
            Ok(Box::new(app))
        }),
    )
}

/// The icon of the window; an empty one, which means the system's own, if it cannot be read.
fn icon() -> egui::IconData {
    let Ok(image) = image::load_from_memory(include_bytes!("../../../assets/icon.png")) else {
        return egui::IconData::default();
    };
    let image = image.into_rgba8();
    egui::IconData { width: image.width(), height: image.height(), rgba: image.into_raw() }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_icon_can_be_read() {
        let icon = super::icon();
        assert_eq!((icon.width, icon.height), (128, 128));
        assert_eq!(icon.rgba.len(), 128 * 128 * 4);
    }
}
