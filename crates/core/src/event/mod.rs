//! What happens in a part: notes, rests, and typed markings, each with the players it binds and the
//! line of the file that made it.

mod device;
mod note;
mod tuplet;

pub use device::{Device, DeviceGroup};
pub use note::{Manner, Note, NoteTraits, PlusSign};
pub use tuplet::Tuplet;

use crate::bar::BarIndex;
use crate::instrument::InstrumentId;
use crate::part::PlayerSet;
use crate::pitch::WrittenPitch;
use crate::time::Ticks;
use std::fmt;

/// A rest as written.
#[derive(Clone, PartialEq, Debug)]
pub struct Rest {
    /// From the start of the movement.
    pub onset: Ticks,
    /// How long.
    pub length: Ticks,
    /// The bar it is written in.
    pub bar: BarIndex,
    /// 1-based staff inside the part.
    pub staff: u8,
    /// Voice inside the part.
    pub voice: u8,
    /// A fermata stands on it.
    pub fermata: bool,
    /// Written as one rest for the whole bar.
    pub whole_bar: bool,
    /// The tuplet it is written in.
    pub tuplet: Tuplet,
}

/// Something written that changes how notes are played, or that asks for something.
#[derive(Clone, PartialEq, Debug)]
pub struct Marking {
    /// From the start of the movement.
    pub at: Ticks,
    /// The bar it is written in.
    pub bar: BarIndex,
    /// Whom it binds.
    pub players: PlayerSet,
    /// The staff it belongs to, 1-based; `None` if it holds for all staves of the part.
    pub staff: Option<u8>,
    /// The voice it is written in; `None` if the file does not say or it belongs to no voice.
    pub voice: Option<u8>,
    /// What it says.
    pub kind: MarkingKind,
    /// The words that produced it, as written; empty for signs.
    pub words: Box<str>,
    /// Line in the source file, 1-based; 0 for corrections by hand.
    pub line: u32,
}

/// What a marking says.
#[derive(Clone, PartialEq, Debug)]
pub enum MarkingKind {
    /// A dynamic level that holds from here.
    Level(Level),
    /// An accent of the sf family; `then` is the level that follows, as in fp.
    Accent {
        /// The level after the accent, if the sign says one.
        then: Option<Level>,
    },
    /// A hairpin or a cresc./dim. with a known end.
    Hairpin {
        /// Louder or softer.
        louder: bool,
        /// Where it ends.
        end: Ticks,
        /// From or to nothing.
        niente: bool,
    },
    /// cresc. or dim. in words without a stated end: it lasts until the next level.
    Growing {
        /// Louder or softer.
        louder: bool,
        /// The level it leads to, if the words say one: "cresc. al ff", "dim. al niente".
        to: Option<Level>,
    },
    /// Louder or softer than before, without a level of its own: "più f", "meno p".
    Relative {
        /// Louder or softer.
        louder: bool,
    },
    /// A playing technique switched on or off, until changed.
    Device {
        /// Which.
        device: Device,
        /// Begins or ends.
        on: bool,
    },
    /// Who plays from here: solo, divided, all, one desk, a 2. The players are in
    /// [`Marking::players`].
    Players(PlayersMark),
    /// The player takes up another instrument.
    Instrument(InstrumentId),
    /// A fermata.
    Fermata(FermataShape, FermataPlace),
    /// A breath mark.
    Breath(BreathShape),
    /// A caesura.
    Caesura(CaesuraShape),
    /// Eyeglasses: the players are told to watch.
    Watch,
    /// The sign of a principal or secondary voice begins or ends.
    Leading {
        /// The main voice, or the second one.
        principal: bool,
        /// Begins or ends.
        on: bool,
    },
    /// A harp pedal diagram, in the order D C B E F G A; -1 flat, 0 natural, 1 sharp.
    HarpPedals([i8; 7]),
    /// Strings tuned otherwise than usual, or back: each string that is named, with its pitch.
    Scordatura(Box<[StringTuning]>),
    /// Expression or character in words that needs no type (dolce, espressivo).
    Expression,
    /// Words nobody recognized: kept and listed.
    Words,
}

/// Dynamic levels from nothing to ffffff, ordered.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Level {
    /// Nothing: niente.
    N,
    /// pppppp
    P6,
    /// ppppp
    P5,
    /// pppp
    P4,
    /// ppp
    Ppp,
    /// pp
    Pp,
    /// p
    P,
    /// mp
    Mp,
    /// mf
    Mf,
    /// f
    F,
    /// ff
    Ff,
    /// fff
    Fff,
    /// ffff
    F4,
    /// fffff
    F5,
    /// ffffff
    F6,
}

impl Level {
    /// All levels from the softest.
    pub const ALL: [Self; 15] = [
        Self::N,
        Self::P6,
        Self::P5,
        Self::P4,
        Self::Ppp,
        Self::Pp,
        Self::P,
        Self::Mp,
        Self::Mf,
        Self::F,
        Self::Ff,
        Self::Fff,
        Self::F4,
        Self::F5,
        Self::F6,
    ];

    /// The letters as printed.
    pub const fn letters(self) -> &'static str {
        match self {
            Self::N => "n",
            Self::P6 => "pppppp",
            Self::P5 => "ppppp",
            Self::P4 => "pppp",
            Self::Ppp => "ppp",
            Self::Pp => "pp",
            Self::P => "p",
            Self::Mp => "mp",
            Self::Mf => "mf",
            Self::F => "f",
            Self::Ff => "ff",
            Self::Fff => "fff",
            Self::F4 => "ffff",
            Self::F5 => "fffff",
            Self::F6 => "ffffff",
        }
    }

    /// The level with these letters.
    pub fn from_letters(letters: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|level| level.letters() == letters)
    }

    /// Height between 0 (nothing) and 1 (ffffff), evenly spaced, for drawing.
    pub fn height(self) -> f32 {
        self as u8 as f32 / (Self::ALL.len() - 1) as f32
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.letters())
    }
}

/// Who plays, in words.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum PlayersMark {
    /// One player, or the marked ones, stand out alone.
    Solo,
    /// The named players only ("1.", "2.3.").
    Named,
    /// All of the part together again: tutti, unison, a 2.
    All,
    /// Divided into so many; 0 if not said.
    Divided(u8),
    /// One desk or so many desks.
    Desks(u8),
    /// Half of the section.
    Half,
}

/// The drawn shape of a fermata.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum FermataShape {
    /// The arc.
    #[default]
    Normal,
    /// The angle: short.
    Angled,
    /// The square: long.
    Square,
    /// Any other shape of the standard.
    Other,
}

/// The drawn shape of a breath mark.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum BreathShape {
    /// A comma.
    #[default]
    Comma,
    /// A tick.
    Tick,
    /// Like an up-bow.
    UpBow,
    /// Two strokes that cross a staff line.
    Salzedo,
}

/// The drawn shape of a caesura.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum CaesuraShape {
    /// Two slanted strokes.
    #[default]
    Normal,
    /// Two thick strokes.
    Thick,
    /// Two short strokes.
    Short,
    /// Two curved strokes.
    Curved,
    /// One stroke.
    Single,
}

/// The tuning of one string.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StringTuning {
    /// Counted from the highest string, from 1.
    pub string: u8,
    /// What the open string is tuned to.
    pub pitch: WrittenPitch,
}

/// What a fermata stands on.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum FermataPlace {
    /// A note.
    Note,
    /// A rest.
    Rest,
    /// A barline: the silence between the bars.
    Barline,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_are_ordered_and_spelled() {
        assert!(Level::ALL.windows(2).all(|pair| pair[0] < pair[1]));
        for level in Level::ALL {
            assert_eq!(Level::from_letters(level.letters()), Some(level));
        }
        assert_eq!(Level::from_letters("sfz"), None);
    }
}
