//! The desk without a window: document, view state, commands, actions. Nothing here knows egui.

pub mod action;
pub mod axis;
pub mod camera;
pub mod command;
pub mod desk;
pub mod document;
pub mod draft;
pub mod env;
pub mod field;
pub mod find;
pub mod findings;
pub mod hints;
pub mod history;
pub mod lists;
pub mod make;
pub mod passages;
pub mod place;
pub mod shortcut;
pub mod status;
pub mod view_state;
