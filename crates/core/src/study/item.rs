//! The kinds of things a study holds.

use super::{EntryId, Seat};
use crate::bar::{BarAddress, BarIndex, MovementId};
use crate::event::Device;
use crate::part::PartKey;
use crate::pattern::Pattern;
use crate::time::Quarters;

/// Anything a study holds.
#[derive(Clone, PartialEq, Debug)]
pub enum Item {
    /// A layer of marks.
    Layer(Layer),
    /// A mark in a layer.
    Mark(Mark),
    /// How a bar is beaten.
    Beating(Beating),
    /// A cue wanted, or a proposed one dropped.
    Cue(Cue),
    /// A group of bars.
    Group(Group),
    /// A correction of what was read.
    Correction(Correction),
    /// A tempo of the conductor's own.
    Tempo(PlanTempo),
    /// A decision on the performing order.
    Order(OrderChoice),
    /// Where a part sits.
    Seat(Seat),
}

/// What a decision is about, for items that may exist only once.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Subject {
    /// The beating of a bar.
    Beating(MovementId, BarIndex),
    /// The cue for a part at a place.
    Cue(BarAddress, PartKey),
    /// The tempo at a place.
    Tempo(BarAddress),
    /// A repeat taken or left, by the bar at whose end it stands.
    Repeat(MovementId, BarIndex),
    /// The pause after a bar.
    Pause(MovementId, BarIndex),
    /// The instrument of a part from a place on.
    Instrument(BarAddress, PartKey),
    /// The players of a part.
    Players(PartKey),
    /// A device of a part at a place.
    Device(BarAddress, PartKey, Device),
    /// The rehearsal mark of a bar.
    Rehearsal(MovementId, BarIndex),
    /// The label of a bar, from which numbering goes on.
    Renumber(MovementId, BarIndex),
    /// Where a part sits.
    Seat(PartKey),
}

impl Item {
    /// What this decides, if it may exist only once.
    pub fn subject(&self) -> Option<Subject> {
        Some(match self {
            Self::Layer(_) | Self::Mark(_) | Self::Group(_) => return None,
            Self::Beating(beating) => Subject::Beating(beating.movement, beating.bar),
            Self::Cue(cue) => Subject::Cue(cue.at, cue.part.clone()),
            Self::Tempo(tempo) => Subject::Tempo(tempo.at),
            Self::Order(OrderChoice::Repeat { movement, bar, .. }) => {
                Subject::Repeat(*movement, *bar)
            }
            Self::Order(OrderChoice::Cut { .. }) => return None,
            Self::Order(OrderChoice::Pause { movement, after, .. }) => {
                Subject::Pause(*movement, *after)
            }
            Self::Correction(correction) => correction.subject(),
            Self::Seat(seat) => Subject::Seat(seat.part.clone()),
        })
    }

    /// The kind in words, for "Undo add cue" and the lists.
    pub const fn kind_name(&self) -> &'static str {
        match self {
            Self::Layer(_) => "layer",
            Self::Mark(_) => "mark",
            Self::Beating(_) => "beating",
            Self::Cue(_) => "cue",
            Self::Group(_) => "group",
            Self::Correction(_) => "correction",
            Self::Tempo(_) => "tempo",
            Self::Order(_) => "performing order",
            Self::Seat(_) => "seat",
        }
    }
}

/// A layer of marks; its place among the layers is the entry's order key.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Layer {
    /// The user's name for it.
    pub name: String,
    /// Whether its marks are shown and printed.
    pub shown: bool,
    /// Whether its marks are protected from change.
    pub locked: bool,
}

/// A mark anchored to a place, a span, a part or several.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Mark {
    /// The layer it lies in.
    pub layer: EntryId,
    /// Where it stands or begins.
    pub from: BarAddress,
    /// The last bar of a span, inclusive; `None` for a mark at one place.
    pub to: Option<BarIndex>,
    /// The parts it concerns; empty means the whole score.
    pub parts: Vec<PartKey>,
    /// The sign; [`Sign::Text`] for words alone.
    pub sign: Sign,
    /// The words, possibly empty beside a sign.
    pub text: String,
}

/// Signs that conductors write into scores (common practice).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Sign {
    /// Words only.
    Text,
    /// Breath.
    Breath,
    /// Lift.
    Lift,
    /// Caesura.
    Caesura,
    /// Watch: look up here.
    Watch,
    /// Cut-off.
    CutOff,
    /// Cue.
    Cue,
    /// Hold back.
    HoldBack,
    /// Move on.
    MoveOn,
    /// Bring out.
    BringOut,
    /// Keep down.
    KeepDown,
    /// Rehearse.
    Rehearse,
}

impl Sign {
    /// All signs.
    pub const ALL: [Self; 12] = [
        Self::Text,
        Self::Breath,
        Self::Lift,
        Self::Caesura,
        Self::Watch,
        Self::CutOff,
        Self::Cue,
        Self::HoldBack,
        Self::MoveOn,
        Self::BringOut,
        Self::KeepDown,
        Self::Rehearse,
    ];

    /// The name on screen, in lists and in the file.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Breath => "breath",
            Self::Lift => "lift",
            Self::Caesura => "caesura",
            Self::Watch => "watch",
            Self::CutOff => "cut-off",
            Self::Cue => "cue",
            Self::HoldBack => "hold back",
            Self::MoveOn => "move on",
            Self::BringOut => "bring out",
            Self::KeepDown => "keep down",
            Self::Rehearse => "rehearse",
        }
    }

    /// The sign with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|sign| sign.name() == name)
    }
}

/// How one bar is beaten. Stored for each bar, never as a run.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Beating {
    /// The movement.
    pub movement: MovementId,
    /// The bar.
    pub bar: BarIndex,
    /// The pattern.
    pub pattern: Pattern,
    /// For [`Pattern::Joined`]: which bar of the pattern this is, 0-based; 0 otherwise.
    pub nth: u8,
}

/// A cue decided by the conductor.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Cue {
    /// Where the part enters or needs the sign.
    pub at: BarAddress,
    /// The part.
    pub part: PartKey,
    /// Given, or a proposal dropped.
    pub wanted: bool,
    /// Who in the part, in words; empty for everyone.
    pub who: String,
    /// How: eyes, left hand, breath, ... in words.
    pub how: String,
}

/// A group of bars: motive group, phrase, period, section.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group {
    /// The movement.
    pub movement: MovementId,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// 1 for the smallest groups, larger for what holds them, up to 6.
    pub level: u8,
    /// A letter or name; may be empty.
    pub name: String,
    /// Its last bar is also the first of the next group.
    pub elision: bool,
    /// So many of its bars are an extension of the expected length.
    pub extension: u8,
}

/// What was read and is wrong or missing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Correction {
    /// The part plays this instrument (a catalog name) from here.
    Instrument {
        /// From where.
        at: BarAddress,
        /// The part.
        part: PartKey,
        /// Catalog name.
        instrument: String,
    },
    /// The part has these players.
    Players {
        /// The part.
        part: PartKey,
        /// Their names in order.
        players: Vec<String>,
    },
    /// A device begins or ends here (a forgotten "senza").
    Device {
        /// From where.
        at: BarAddress,
        /// The part.
        part: PartKey,
        /// Which.
        device: Device,
        /// Begins or ends.
        on: bool,
    },
    /// The bar carries this rehearsal mark; an empty text takes one away.
    Rehearsal {
        /// The movement.
        movement: MovementId,
        /// The bar.
        bar: BarIndex,
        /// The mark.
        mark: String,
    },
    /// The bar has this number, and those after it count on from there.
    Renumber {
        /// The movement.
        movement: MovementId,
        /// The bar.
        bar: BarIndex,
        /// Its number.
        number: u32,
    },
}

impl Correction {
    fn subject(&self) -> Subject {
        match self {
            Self::Instrument { at, part, .. } => Subject::Instrument(*at, part.clone()),
            Self::Players { part, .. } => Subject::Players(part.clone()),
            Self::Device { at, part, device, .. } => Subject::Device(*at, part.clone(), *device),
            Self::Rehearsal { movement, bar, .. } => Subject::Rehearsal(*movement, *bar),
            Self::Renumber { movement, bar, .. } => Subject::Renumber(*movement, *bar),
        }
    }
}

/// A tempo of the conductor's own, over the written ones.
#[derive(Clone, PartialEq, Debug)]
pub struct PlanTempo {
    /// From where.
    pub at: BarAddress,
    /// What.
    pub value: PlanTempoValue,
}

/// The value of a tempo by hand.
#[derive(Clone, PartialEq, Debug)]
pub enum PlanTempoValue {
    /// So many of a note value a minute; both greater than 0.
    Beats {
        /// The note value.
        unit: Quarters,
        /// How many a minute.
        per_minute: f64,
    },
    /// A tempo word, read with the table of terms.
    Term(String),
    /// The tempo that was in force before the last change.
    AsBefore,
}

/// A decision on the performing order.
#[derive(Clone, PartialEq, Debug)]
pub enum OrderChoice {
    /// The repeat that ends with this bar is taken or left.
    Repeat {
        /// The movement.
        movement: MovementId,
        /// The bar at whose end it stands.
        bar: BarIndex,
        /// Taken.
        taken: bool,
    },
    /// These bars are left out.
    Cut {
        /// The movement.
        movement: MovementId,
        /// First bar left out.
        from: BarIndex,
        /// Last bar left out, inclusive.
        to: BarIndex,
    },
    /// A pause after a bar.
    Pause {
        /// The movement.
        movement: MovementId,
        /// The bar before the pause.
        after: BarIndex,
        /// Seconds, 0 to 3600.
        seconds: f64,
    },
}
