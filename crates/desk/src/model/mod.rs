//! The desk without a window: document, view state, actions. Nothing here knows egui.

pub mod action;
pub mod camera;
pub mod view_state;
