//! Mutes and other techniques that stay in force until something ends them, and which of them
//! exclude each other.

use std::fmt;

/// Playing techniques that hold until changed.
///
/// Some exclude each other: see [`Device::group`].
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Device {
    /// Muted.
    Mute,
    /// Plucked; off means bowed.
    Plucked,
    /// At the bridge.
    Bridge,
    /// Over the fingerboard.
    Fingerboard,
    /// With the wood of the bow.
    Wood,
    /// Harmonics in words.
    Harmonics,
    /// Tremolo in words.
    Tremolo,
    /// Hand-stopped horn.
    Stopped,
    /// Brassy.
    Brassy,
    /// Bells up.
    BellsUp,
    /// Flutter-tongue.
    Flutter,
    /// Drums muffled.
    Muffled,
    /// Let ring; off means damped.
    LetRing,
}

/// What a device excludes when it begins.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum DeviceGroup {
    /// Muted or not, stopped or not: each device stands alone.
    Alone,
    /// How the string is set in motion: plucked, with the wood, bowed.
    Motion,
    /// Where the bow meets the string: bridge, fingerboard, ordinary.
    Place,
}

impl Device {
    /// All devices.
    pub const ALL: [Self; 13] = [
        Self::Mute,
        Self::Plucked,
        Self::Bridge,
        Self::Fingerboard,
        Self::Wood,
        Self::Harmonics,
        Self::Tremolo,
        Self::Stopped,
        Self::Brassy,
        Self::BellsUp,
        Self::Flutter,
        Self::Muffled,
        Self::LetRing,
    ];

    /// The name in facts and lists.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Mute => "mute",
            Self::Plucked => "plucked",
            Self::Bridge => "bridge",
            Self::Fingerboard => "fingerboard",
            Self::Wood => "wood",
            Self::Harmonics => "harmonics",
            Self::Tremolo => "tremolo",
            Self::Stopped => "stopped",
            Self::Brassy => "brassy",
            Self::BellsUp => "bells up",
            Self::Flutter => "flutter",
            Self::Muffled => "muffled",
            Self::LetRing => "let ring",
        }
    }

    /// The device with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|device| device.name() == name)
    }

    /// The group inside which one device ends another.
    pub const fn group(self) -> DeviceGroup {
        match self {
            Self::Plucked | Self::Wood => DeviceGroup::Motion,
            Self::Bridge | Self::Fingerboard => DeviceGroup::Place,
            _ => DeviceGroup::Alone,
        }
    }
}

impl fmt::Display for Device {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
