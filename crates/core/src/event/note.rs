//! Note heads and what is written on them: traits and articulations as sets of flags.

use super::Tuplet;
use crate::bar::BarIndex;
use crate::instrument::{Family, InstrumentId};
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
    /// As spelled, before transposition. An ottava line is no part of the spelling: the octave is the
    /// one that is meant, not the one where the head is printed under the line (MusicXML 4.0,
    /// `octave-shift`). For unpitched notes the place on the staff where they are printed, if the
    /// file says it.
    pub written: Option<WrittenPitch>,
    /// As it sounds; `None` for unpitched notes and for heads that only show the grip of a harmonic
    /// ([`NoteTraits::GRIP`]).
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
    /// The tuplet it is written in.
    pub tuplet: Tuplet,
    /// Strokes of a tremolo through the stem: 0 none, 1 to 8 measured, 255 unmeasured.
    pub tremolo: u8,
    /// Which of several instruments in the part's reach makes it sound: the place in
    /// [`PartMusic::struck`](crate::score::PartMusic::struck) plus 1; 0 if the file does not say.
    pub struck: u8,
    /// Line in the source file, 1-based.
    pub line: u32,
}

impl Note {
    /// Where it stops sounding, ties not followed.
    pub fn end(&self) -> Ticks {
        self.onset + self.length
    }

    /// The span in which it sounds, ties not followed: each note of a two-note tremolo sounds
    /// through the whole of the tremolo, of which its own length is one half (MusicXML 4.0,
    /// `tremolo`).
    pub fn sound_span(&self) -> (Ticks, Ticks) {
        if self.manner.has(Manner::TREMOLO_ENDS) {
            (self.onset - self.length, self.end())
        } else if self.manner.has(Manner::TREMOLO_PAIR) {
            (self.onset, self.end() + self.length)
        } else {
            (self.onset, self.end())
        }
    }

    /// Whether this head begins a sound: not a continuation, grace note or cue note. Each head of a
    /// chord counts, those that show the grip of a harmonic too: heads are what stands on the page
    /// and what other readers of the same file count.
    pub fn begins_sound(&self) -> bool {
        !self.traits.any(NoteTraits::CONTINUES | NoteTraits::GRACE | NoteTraits::CUE)
    }

    /// Whether this head is counted as a note of the part: it begins a sound, and no repeat sign
    /// stands in its place on the page.
    pub fn is_counted(&self) -> bool {
        self.begins_sound() && !self.traits.any(NoteTraits::UNDER_SIGN)
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

            /// What is set both here and in `other`.
            #[must_use]
            pub const fn only(self, other: Self) -> Self {
                Self(self.0 & other.0)
            }

            /// Takes `other` away.
            pub fn clear(&mut self, other: Self) {
                self.0 &= !other.0;
            }

            /// Sets `other`.
            pub fn set(&mut self, other: Self) {
                self.0 |= other.0;
            }

            /// This without `other`.
            pub const fn without(self, other: Self) -> Self {
                Self(self.0 & !other.0)
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
    NoteTraits: u32 {
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
        /// Only shows where the hand goes: the string stopped or touched for a harmonic whose sound
        /// is told by another head of the chord.
        GRIP = 13;
        /// The stem goes up.
        STEM_UP = 14;
        /// The stem goes down.
        STEM_DOWN = 15;
        /// On the page a repeat sign or slashes stand in its place: it sounds, and is not counted.
        UNDER_SIGN = 16;
        /// A tuplet begins here.
        TUPLET_BEGINS = 17;
        /// A tuplet ends here.
        TUPLET_ENDS = 18;
        /// A grace note with a stroke through its stem.
        GRACE_STROKE = 19;
        /// A grace note that takes its time from the note before it.
        GRACE_AFTER = 20;
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
        /// Trilled: a trill sign stands on it, or the wavy line of one goes over it.
        TRILL = 5;
        /// Mordent, turn or any other ornament.
        ORNAMENT = 6;
        /// Natural or artificial harmonic.
        HARMONIC = 7;
        /// The plus sign: see [`PlusSign`] for what it asks of whom.
        STOPPED = 8;
        /// The small ring: no longer stopped, muted or closed.
        OPEN = 9;
        /// Snap pizzicato.
        SNAP = 10;
        /// Up-bow.
        UP_BOW = 11;
        /// Down-bow.
        DOWN_BOW = 12;
        /// Arpeggiated chord.
        ARPEGGIO = 13;
        /// A glissando begins.
        GLISSANDO = 14;
        /// One of the two notes of a tremolo; the second one has [`Manner::TREMOLO_ENDS`] too.
        TREMOLO_PAIR = 15;
        /// An artificial harmonic.
        ARTIFICIAL = 16;
        /// The head shows the string as it is stopped for a harmonic, or the open string.
        BASE_PITCH = 17;
        /// The head shows where the string is touched for a harmonic.
        TOUCHING_PITCH = 18;
        /// The head shows what a harmonic sounds like.
        SOUNDING_PITCH = 19;
        /// The bracket that forbids an arpeggio.
        NON_ARPEGGIO = 20;
        /// A glissando ends.
        GLISSANDO_ENDS = 21;
        /// A slide begins.
        SLIDE = 22;
        /// A slide ends.
        SLIDE_ENDS = 23;
        /// The second note of a two-note tremolo.
        TREMOLO_ENDS = 24;
        /// A mordent; with [`Manner::ORNAMENT`].
        MORDENT = 25;
        /// A turn of any kind; with [`Manner::ORNAMENT`].
        TURN = 26;
        /// The trill comes from the note before; with [`Manner::TRILL`].
        TRILL_GOES_ON = 27;
        /// The zero of an open string.
        OPEN_STRING = 28;
        /// The ring with a plus sign in it: half stopped, half muted.
        HALF_STOPPED = 29;
    }
}

impl Manner {
    /// Everything that says in what way a head is a harmonic.
    pub const OF_HARMONICS: Self = Self(
        Self::HARMONIC.0
            | Self::ARTIFICIAL.0
            | Self::BASE_PITCH.0
            | Self::TOUCHING_PITCH.0
            | Self::SOUNDING_PITCH.0,
    );
}

/// What the plus sign over a note asks for.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum PlusSign {
    /// The hand closes the bell of a horn.
    HandStopped,
    /// The mute, the plunger or the hand closes the bell of another brass instrument; the pair of
    /// cymbals or the hi-hat is closed; the note is otherwise kept from ringing.
    Closed,
    /// The left hand plucks the string.
    LeftHandPlucked,
    /// A trill in old scores, or something that the trade does not agree on.
    Other,
}

impl PlusSign {
    /// What the sign asks of an instrument (common practice).
    pub fn on(instrument: InstrumentId) -> Self {
        let row = instrument.get();
        match (row.family, row.name) {
            (Family::Brass, "horn" | "wagner tuba") => Self::HandStopped,
            (Family::Brass | Family::Percussion, _) => Self::Closed,
            (Family::Strings, _) => Self::LeftHandPlucked,
            _ => Self::Other,
        }
    }
}
