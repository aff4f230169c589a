//! Parts and players: what is printed, and who sits there.

use crate::instrument::InstrumentId;
use std::fmt;

/// A part's place in the work's list of parts; the same in every movement.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct PartIdx(pub u16);

impl PartIdx {
    /// The index into the work's parts and into a movement's music.
    pub const fn idx(self) -> usize {
        self.0 as usize
    }
}

/// A part's permanent name in studies: made from instrument and number ("trombone-2"), unique in
/// the work, the same whatever ids or spellings the files use.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct PartKey(pub String);

impl fmt::Display for PartKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What is printed as one part of the score, possibly for several players.
#[derive(Clone, PartialEq, Debug)]
pub struct Part {
    /// The permanent name.
    pub key: PartKey,
    /// The printed name, in one line: "Clarinets in B flat 1.2".
    pub name: String,
    /// The printed abbreviation, or one of ours.
    pub short: String,
    /// What it begins with; changes in the course of a movement are in its music.
    pub instrument: InstrumentId,
    /// Who sits there, at least one.
    pub players: Vec<Player>,
}

/// A player, or a desk, or the whole section when the part does not tell them apart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Player {
    /// "Clarinet 2", or the part's name when it holds one player or one section.
    pub name: String,
    /// Further instruments that this player takes up in the work, in order of appearance.
    pub also: Vec<InstrumentId>,
}

/// Which players of a part something binds: bit n stands for player n.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct PlayerSet(u16);

impl PlayerSet {
    /// Everyone in the part.
    pub const ALL: Self = Self(u16::MAX);
    /// The most players that a part can tell apart.
    pub const MAX_PLAYERS: usize = 15;

    /// The players with these 0-based numbers; numbers past the limit are left out.
    pub fn of(players: impl IntoIterator<Item = usize>) -> Self {
        let bit = |player: usize| if player < Self::MAX_PLAYERS { 1 << player } else { 0 };
        Self(players.into_iter().map(bit).fold(0, |set, bit| set | bit))
    }

    /// Whether it binds everyone.
    pub fn is_all(self) -> bool {
        self == Self::ALL
    }

    /// Whether it binds this player.
    pub fn contains(self, player: usize) -> bool {
        self.is_all() || (player < Self::MAX_PLAYERS && self.0 & (1 << player) != 0)
    }

    /// The lowest player in it; 0 if it binds everyone or nobody.
    pub fn first(self) -> usize {
        if self.0 == 0 { 0 } else { self.0.trailing_zeros() as usize }
    }

    /// Whether the two sets share a player.
    pub fn overlaps(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    /// Everyone in either set.
    pub fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl Default for PlayerSet {
    fn default() -> Self {
        Self::ALL
    }
}
