//! Density and register of each bar.

use crate::playing::PlayingTrack;
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::Movement;

/// How thick and how wide one bar is.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct BarTexture {
    /// Parts that sound.
    pub n_sounding: u32,
    /// Their share of the parts that play at all in the movement, 0 to 1.
    pub share: f32,
    /// Lowest and highest sounding pitch, if any is pitched.
    pub span: Option<(SoundingPitch, SoundingPitch)>,
    /// Attacks of all parts in the bar.
    pub attacks: u32,
}

/// The texture of each bar.
pub fn of(_movement: &Movement, _playing: &PlayingTrack) -> Vec<BarTexture> {
    Vec::new()
}
