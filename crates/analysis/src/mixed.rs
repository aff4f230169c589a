//! Mixed attacks: moments at which instruments that speak fast and slow begin together and exposed.

use crate::devices::DevicesTrack;
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::settings::Settings;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// How fast a sound speaks; ordinal, without milliseconds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum AttackClass {
    /// Struck and hammered: percussion, piano, harp, celesta, battuto.
    Instant,
    /// Plucked strings, staccato trumpet and trombone.
    VeryFast,
    /// Tongued reeds, trumpet, trombone; marcato bow.
    Fast,
    /// Détaché strings, horn, tuba, high flute.
    Medium,
    /// Soft legato strings, low flute, soft horn, low basses, muted, harmonics.
    Slow,
}

impl AttackClass {
    /// The name in facts and on screen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Instant => "struck",
            Self::VeryFast => "plucked",
            Self::Fast => "tongued",
            Self::Medium => "medium",
            Self::Slow => "slow",
        }
    }
}

/// One moment.
#[derive(Clone, PartialEq, Debug)]
pub struct MixedAttack {
    /// When.
    pub at: Ticks,
    /// The bar.
    pub bar: BarIndex,
    /// Who begins there, fastest class first, then score order.
    pub voices: Vec<(PartIdx, AttackClass)>,
    /// How exposed and how far apart, higher is worse.
    pub weight: f32,
    /// What makes it so, in words.
    pub reasons: Vec<String>,
    /// What the trade advises.
    pub advice: String,
}

/// The mixed attacks of a movement by place.
pub fn of(
    _movement: &Movement,
    _heard: &HeardNotes,
    _dynamics: &DynamicsTrack,
    _devices: &DevicesTrack,
    _settings: &Settings,
) -> Vec<MixedAttack> {
    Vec::new()
}
