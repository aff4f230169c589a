//! Note heads and what is written on them: traits and articulations as sets of flags.

use crate::bar::BarIndex;
use crate::part::PlayerSet;
use crate::pitch::{SoundingPitch, WrittenPitch};
use crate::time::Ticks;

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
