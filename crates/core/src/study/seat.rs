//! Where parts sit on the stage, as the conductor sees it.

use crate::part::PartKey;

/// From left to right.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Side {
    /// At the conductor's left hand.
    FarLeft,
    /// Left of the middle.
    Left,
    /// Straight ahead.
    Middle,
    /// Right of the middle.
    Right,
    /// At the conductor's right hand.
    FarRight,
}

impl Side {
    /// All sides from left to right.
    pub const ALL: [Self; 5] =
        [Self::FarLeft, Self::Left, Self::Middle, Self::Right, Self::FarRight];

    /// The name on screen, in print and in the file.
    pub const fn name(self) -> &'static str {
        match self {
            Self::FarLeft => "far left",
            Self::Left => "left",
            Self::Middle => "middle",
            Self::Right => "right",
            Self::FarRight => "far right",
        }
    }

    /// The side with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.name() == name)
    }

    /// How many steps lie between two sides, 0 to 4.
    pub const fn apart(self, other: Self) -> u8 {
        (self as u8).abs_diff(other as u8)
    }
}

/// From the conductor's stand to the back of the stage.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Depth {
    /// Around the conductor.
    Front,
    /// Between front and back.
    Center,
    /// At the back.
    Back,
}

impl Depth {
    /// All depths from the front.
    pub const ALL: [Self; 3] = [Self::Front, Self::Center, Self::Back];

    /// The name on screen, in print and in the file.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Center => "center",
            Self::Back => "back",
        }
    }

    /// The depth with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|depth| depth.name() == name)
    }
}

/// Where a part sits by the conductor's own decision.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Seat {
    /// The part.
    pub part: PartKey,
    /// Which side.
    pub side: Side,
    /// How far back.
    pub depth: Depth,
}
