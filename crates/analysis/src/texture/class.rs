//! The class of the texture of every bar, from how the attacks of the parts fall together and how
//! their pitches move.

use barloom_core::bar::BarIndex;

/// How the parts that sound relate to each other.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub enum TextureClass {
    /// Nobody sounds.
    #[default]
    Silence,
    /// One part alone.
    Solo,
    /// All in unison or octaves.
    Octaves,
    /// A line and what accompanies it.
    Melody,
    /// All in one rhythm.
    Homophony,
    /// Several lines of their own.
    Polyphony,
    /// Nearly everyone.
    Tutti,
}

impl TextureClass {
    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Silence => "silence",
            Self::Solo => "solo",
            Self::Octaves => "octaves",
            Self::Melody => "melody and accompaniment",
            Self::Homophony => "homophony",
            Self::Polyphony => "polyphony",
            Self::Tutti => "tutti",
        }
    }
}

/// Bars of one texture.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct TextureSpan {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The class.
    pub class: TextureClass,
    /// The most parts that sound in one of its bars.
    pub n_parts: u32,
    /// How far attacks fall together, 0 (never) to 1 (always).
    pub synchrony: f32,
    /// Share of the simultaneous attacks that move in unison, octaves or parallel, 0 to 1.
    pub together: f32,
}
