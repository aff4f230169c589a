//! How fast a sound speaks, by instrument, register, technique and articulation.
//!
//! Five classes in order, without figures: rise times per instrument are not settled in the literature
//! (Vos and Rasch 1981; Gordon 1987), but that struck and plucked sounds are at their height almost at
//! once and bowed and soft ones take several hundredths of a second is (Camp et al., "On measuring and
//! interpreting microtiming").

use crate::heard::Heard;
use barloom_core::event::{Device, Level, Manner};
use barloom_core::instrument::{Family, InstrumentId};

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
            Self::Instant => "instant",
            Self::VeryFast => "very fast",
            Self::Fast => "fast",
            Self::Medium => "medium",
            Self::Slow => "slow",
        }
    }

    /// Place in the order, 1 (instant) to 5 (slow).
    pub const fn rank(self) -> u8 {
        self as u8 + 1
    }
}

/// The class of a sound with the techniques in force for it and its level.
pub(super) fn of(
    instrument: InstrumentId,
    sound: &Heard,
    devices: &[Device],
    level: Option<Level>,
) -> AttackClass {
    use AttackClass::{Fast, Instant, Medium, Slow, VeryFast};
    let row = instrument.get();
    let has = |device: Device| devices.contains(&device);
    let soft = level.is_some_and(|level| level <= Level::P);
    let key = sound.pitch.map_or(60, |pitch| pitch.key());
    let short = sound.manner.any(Manner::STACCATO | Manner::STACCATISSIMO);
    let marked = short || sound.manner.any(Manner::ACCENT | Manner::MARCATO);
    match row.family {
        Family::Percussion => match row.name {
            // They swell after the stroke.
            "tam-tam" | "gong" | "suspended cymbal" | "wind machine" | "thunder sheet" => Medium,
            _ => Instant,
        },
        Family::HarpAndKeyboards => match row.name {
            "organ" | "harmonium" | "accordion" | "ondes martenot" => Medium,
            _ => Instant,
        },
        Family::Strings if has(Device::Plucked) || sound.manner.any(Manner::SNAP) => VeryFast,
        Family::Strings if has(Device::Wood) => Instant,
        Family::Strings if marked => Fast,
        Family::Strings => {
            let veiled = has(Device::Mute)
                || has(Device::Harmonics)
                || has(Device::Fingerboard)
                || sound.manner.any(Manner::HARMONIC);
            let soft_bow = soft && (sound.tremolo > 0 || begins_slur(sound));
            let low_bass = row.name == "double bass" && key < 43;
            if veiled || soft_bow || low_bass { Slow } else { Medium }
        }
        Family::Woodwinds => match row.name {
            "flute" | "alto flute" | "bass flute" if key < 67 => Slow,
            "flute" | "alto flute" | "bass flute" | "piccolo" | "contrabassoon" => Medium,
            _ => Fast,
        },
        Family::Brass => match row.name {
            "trumpet" | "cornet" | "trombone" | "piccolo trumpet" if short && !soft => VeryFast,
            "horn" | "wagner tuba" if soft || has(Device::Stopped) || has(Device::Mute) => Slow,
            "tuba" | "contrabass trombone" | "euphonium" if soft => Slow,
            "horn" | "wagner tuba" | "tuba" | "contrabass trombone" | "euphonium" => Medium,
            _ if has(Device::Mute) => Medium,
            _ => Fast,
        },
        Family::Voices | Family::Other => Medium,
    }
}

fn begins_slur(sound: &Heard) -> bool {
    sound.traits.any(barloom_core::event::NoteTraits::SLUR_BEGINS)
}
