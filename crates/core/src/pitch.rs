//! Written and sounding pitch, two types that never mix: spelling belongs to the written one, the
//! key on the piano to the sounding one.

use std::fmt;

/// A note name without alteration.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Step {
    /// C
    C,
    /// D
    D,
    /// E
    E,
    /// F
    F,
    /// G
    G,
    /// A
    A,
    /// B (German H)
    B,
}

impl Step {
    /// All steps from C upward.
    pub const ALL: [Self; 7] = [Self::C, Self::D, Self::E, Self::F, Self::G, Self::A, Self::B];

    /// Semitones above C.
    pub const fn semitones(self) -> i32 {
        match self {
            Self::C => 0,
            Self::D => 2,
            Self::E => 4,
            Self::F => 5,
            Self::G => 7,
            Self::A => 9,
            Self::B => 11,
        }
    }

    /// The step of a capital letter.
    pub fn from_letter(letter: char) -> Option<Self> {
        Some(match letter {
            'C' => Self::C,
            'D' => Self::D,
            'E' => Self::E,
            'F' => Self::F,
            'G' => Self::G,
            'A' => Self::A,
            'B' => Self::B,
            _ => return None,
        })
    }
}

/// A pitch as spelled on the page, before transposition.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct WrittenPitch {
    /// The letter.
    pub step: Step,
    /// Alteration in quarter tones: 2 is a sharp, -2 a flat, 1 a quarter tone up.
    pub alter_quarter_tones: i8,
    /// Octave in scientific numbering: 4 begins at middle C.
    pub octave: i8,
}

impl WrittenPitch {
    /// The key this spelling has on a piano, untransposed.
    pub fn untransposed(self) -> SoundingPitch {
        let semitones = (i32::from(self.octave) + 1) * 12 + self.step.semitones();
        SoundingPitch::from_quarter_tones(semitones * 2 + i32::from(self.alter_quarter_tones))
    }
}

impl fmt::Display for WrittenPitch {
    /// `F#4`, `Bb3`, `C+4` (a quarter tone up), `E-2` would be octave -2: letter, signs, octave.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let alter = i32::from(self.alter_quarter_tones);
        let sign = if alter > 0 { "#" } else { "b" };
        let half = match alter % 2 {
            0 => "",
            _ if alter > 0 => "+",
            _ => "-",
        };
        let signs = sign.repeat((alter.unsigned_abs() / 2) as usize);
        write!(f, "{:?}{signs}{half}{}", self.step, self.octave)
    }
}

/// What sounds: a MIDI key number (middle C = 60) held in quarter tones, so that quarter tones are
/// exact.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct SoundingPitch(i16);

impl SoundingPitch {
    /// A pitch of so many quarter tones above MIDI key 0, held inside -2000..=2000.
    pub fn from_quarter_tones(quarter_tones: i32) -> Self {
        Self(quarter_tones.clamp(-2000, 2000) as i16)
    }

    /// A MIDI key number.
    pub fn from_midi(key: i32) -> Self {
        Self::from_quarter_tones(key.saturating_mul(2))
    }

    /// The pitch moved by so many semitones.
    pub fn transposed(self, semitones: i32) -> Self {
        Self::from_quarter_tones(i32::from(self.0) + semitones.saturating_mul(2))
    }

    /// Quarter tones above MIDI key 0.
    pub const fn quarter_tones(self) -> i32 {
        self.0 as i32
    }

    /// MIDI number; quarter tones end in .5.
    pub fn midi(self) -> f64 {
        f64::from(self.0) / 2.0
    }

    /// The MIDI key at or below.
    pub const fn key(self) -> i32 {
        (self.0 as i32).div_euclid(2)
    }
}

/// What a string sounds when it is touched lightly so many semitones above its own pitch, in
/// semitones above that pitch; `None` where no overtone answers.
///
/// The touched node divides the string, and the lowest overtone that has a node there sounds
/// (overtone series; nodes to the sixth partial, as orchestration handbooks print them): the octave
/// gives the octave, a fifth the twelfth, a fourth two octaves, a major third or a major sixth two
/// octaves and a major third, a minor third two octaves and a fifth.
pub const fn harmonic_above(touched_semitones: i32) -> Option<i32> {
    Some(match touched_semitones {
        12 => 12,
        7 | 19 => 19,
        5 | 24 => 24,
        4 | 9 | 16 | 28 => 28,
        3 | 31 => 31,
        _ => return None,
    })
}

/// How far a part sounds from what is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Hash)]
pub struct Transposition {
    /// Steps of the staff, without octaves.
    pub diatonic: i8,
    /// Semitones, without octaves.
    pub chromatic: i16,
    /// Whole octaves on top.
    pub octaves: i8,
    /// The part also sounds an octave below (or above).
    pub doubled: Option<Doubling>,
}

/// A second octave that sounds with the part.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Hash)]
pub enum Doubling {
    /// An octave below.
    Below,
    /// An octave above.
    Above,
}

impl Transposition {
    /// Written to sounding in semitones: chromatic plus twelve for each octave.
    pub fn semitones(self) -> i32 {
        i32::from(self.chromatic) + 12 * i32::from(self.octaves)
    }

    /// What a written pitch sounds like.
    pub fn sounding(self, written: WrittenPitch) -> SoundingPitch {
        written.untransposed().transposed(self.semitones())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Written and sounding pairs for transposing instruments: common practice, and the worked
    /// values of the MusicXML 4.0 `transpose` element (chromatic and octave-change are added).
    #[test]
    fn transposing_instruments_sound_where_the_trade_says() {
        let written =
            |step, alter, octave| WrittenPitch { step, alter_quarter_tones: alter, octave };
        let by = |chromatic, octaves| Transposition { chromatic, octaves, ..Default::default() };
        let horn_f = by(-7, 0).sounding(written(Step::C, 0, 5));
        assert_eq!(horn_f.midi(), 65.0);
        let clarinet_a = by(-3, 0).sounding(written(Step::C, 0, 4));
        assert_eq!(clarinet_a.midi(), 57.0);
        let bass_clarinet = by(-2, -1).sounding(written(Step::C, 0, 4));
        assert_eq!(bass_clarinet.midi(), 46.0);
        let piccolo = by(0, 1).sounding(written(Step::D, 0, 4));
        assert_eq!(piccolo.midi(), 74.0);
        assert_eq!(written(Step::B, -1, 3).untransposed().midi(), 58.5);
    }

    #[test]
    fn spelling_is_printed_as_letter_signs_octave() {
        let pitch = WrittenPitch { step: Step::F, alter_quarter_tones: 2, octave: 4 };
        assert_eq!(pitch.to_string(), "F#4");
        let pitch = WrittenPitch { step: Step::B, alter_quarter_tones: -4, octave: 3 };
        assert_eq!(pitch.to_string(), "Bbb3");
    }
}
