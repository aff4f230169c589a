//! What happens in a part: notes, rests, and typed markings, each with the players it binds and the
//! line of the file that made it.

use crate::bar::BarIndex;
use crate::instrument::InstrumentId;
use crate::part::PlayerSet;
use crate::pitch::{SoundingPitch, WrittenPitch};
use crate::time::Ticks;
use std::fmt;

/// One note head.
///
/// Order of simultaneous notes: onset, grace notes before others, staff, voice, then pitch upward.
#[derive(Clone, PartialEq, Debug)]
pub struct Note {
    /// From the start of the movement.
    pub onset: Ticks,
    /// Zero for grace notes.
    pub length: Ticks,
    /// The bar it is written in.
    pub bar: BarIndex,
    /// As spelled; `None` for unpitched notes.
    pub written: Option<WrittenPitch>,
    /// As it sounds; `None` for unpitched notes.
    pub sounding: Option<SoundingPitch>,
    /// 1-based staff inside the part.
    pub staff: u8,
    /// Voice inside the part, numbered in order of appearance from 1.
    pub voice: u8,
    /// Who plays it.
    pub players: PlayerSet,
    /// What it is beside a plain head.
    pub traits: NoteTraits,
    /// Articulations and manners of playing written on it.
    pub manner: Manner,
    /// Strokes of a tremolo through the stem: 0 none, 1 to 8 measured, 255 unmeasured.
    pub tremolo: u8,
    /// Line in the source file, 1-based.
    pub line: u32,
}

impl Note {
    /// Where it stops sounding, ties not followed.
    pub fn end(&self) -> Ticks {
        self.onset + self.length
    }

    /// Whether this head begins a sound: not a continuation, grace note or cue note.
    pub fn is_counted(&self) -> bool {
        !self.traits.any(NoteTraits::CONTINUES | NoteTraits::GRACE | NoteTraits::CUE)
    }

    /// Whether it sounds at all in the part: cue notes do not.
    pub fn sounds(&self) -> bool {
        !self.traits.any(NoteTraits::CUE)
    }
}

macro_rules! flags {
    ($(#[$outer:meta])* $name:ident: $repr:ty { $($(#[$doc:meta])* $flag:ident = $bit:expr;)* }) => {
        $(#[$outer])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, Default, Debug)]
        pub struct $name($repr);

        impl $name {
            /// Nothing.
            pub const NONE: Self = Self(0);
            $($(#[$doc])* pub const $flag: Self = Self(1 << $bit);)*

            /// Whether all of `other` is set.
            pub const fn has(self, other: Self) -> bool {
                self.0 & other.0 == other.0
            }

            /// Whether any of `other` is set.
            pub const fn any(self, other: Self) -> bool {
                self.0 & other.0 != 0
            }

            /// Sets `other`.
            pub fn set(&mut self, other: Self) {
                self.0 |= other.0;
            }
        }

        impl std::ops::BitOr for $name {
            type Output = Self;
            fn bitor(self, other: Self) -> Self {
                Self(self.0 | other.0)
            }
        }
    };
}

flags! {
    /// What a head is beside a plain note.
    NoteTraits: u16 {
        /// A grace note.
        GRACE = 0;
        /// A cue note: printed for orientation, not played.
        CUE = 1;
        /// Continues a sound: the end of a tie.
        CONTINUES = 2;
        /// A tie begins here.
        TIED_ON = 3;
        /// A further head of the chord of the head before it.
        CHORD = 4;
        /// Not printed, but played.
        HIDDEN = 5;
        /// Written inside a tuplet.
        TUPLET = 6;
        /// A beam begins here.
        BEAM_BEGINS = 7;
        /// Inside or at the end of a beam.
        BEAM_GOES_ON = 8;
        /// A slur begins here.
        SLUR_BEGINS = 9;
        /// A slur ends here.
        SLUR_ENDS = 10;
        /// A fermata stands on it.
        FERMATA = 11;
        /// Stands for a slash: rhythm without stated pitch.
        SLASH = 12;
    }
}

flags! {
    /// Articulations and manners of playing written on a note.
    Manner: u32 {
        /// Staccato.
        STACCATO = 0;
        /// Staccatissimo or spiccato.
        STACCATISSIMO = 1;
        /// Tenuto.
        TENUTO = 2;
        /// Accent.
        ACCENT = 3;
        /// Strong accent (marcato).
        MARCATO = 4;
        /// Trill.
        TRILL = 5;
        /// Mordent, turn or any other ornament.
        ORNAMENT = 6;
        /// Natural or artificial harmonic.
        HARMONIC = 7;
        /// Stopped horn, or plucked with the left hand: the plus sign.
        STOPPED = 8;
        /// Open: the small ring.
        OPEN = 9;
        /// Snap pizzicato.
        SNAP = 10;
        /// Up-bow.
        UP_BOW = 11;
        /// Down-bow.
        DOWN_BOW = 12;
        /// Arpeggiated chord.
        ARPEGGIO = 13;
        /// Glissando or slide begins.
        GLISSANDO = 14;
        /// Two-note tremolo.
        TREMOLO_PAIR = 15;
    }
}

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
    Breath,
    /// A caesura.
    Caesura,
    /// A harp pedal diagram, in the order D C B E F G A; -1 flat, 0 natural, 1 sharp.
    HarpPedals([i8; 7]),
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
