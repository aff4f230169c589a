//! Our own drawings: the bar grid, the work at a glance, the beating figures, the key of signs.
//!
//! All positions are in points, x to the right, y downward, from the drawing's upper left corner.
//! Shapes become one vector picture a drawing; texts stay texts. Nothing here knows pages.

pub(crate) mod bands;
pub(crate) mod beat;
pub(crate) mod beating;
pub(crate) mod beside;
pub(crate) mod canvas;
pub(crate) mod glance;
pub(crate) mod grid;
pub(crate) mod groups;
pub(crate) mod key;
pub(crate) mod lanes;
pub(crate) mod layout;
pub(crate) mod music;
pub(crate) mod parts;
pub(crate) mod pedals;
pub(crate) mod ruler;
