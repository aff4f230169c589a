//! The score model of Barloom: exact time, bars, parts, events, the reading of score files, the
//! study with its invertible edits, the sidecar text, and all file access.
//!
//! Invariants: nothing here knows analyses, printing or windows. Only [`store`] touches the file
//! system. A [`score::Score`] is read-only once built. Positions are never floats.

pub mod anchor;
pub mod arrange;
pub mod bar;
pub mod barmap;
pub mod basis;
pub mod diag;
pub mod event;
pub mod hash;
pub mod import;
pub mod instrument;
pub mod journal;
pub mod meter;
pub mod part;
pub mod part_bars;
pub mod pattern;
pub mod pitch;
pub mod play_order;
pub mod score;
pub mod sidecar;
pub mod store;
pub mod study;
pub mod time;
pub mod work;
