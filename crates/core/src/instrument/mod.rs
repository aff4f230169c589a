//! Instruments as the orchestra knows them: families in score order and a catalog of instruments
//! with ranges. Recognition from names and sound ids lives in [`recognize`].

mod catalog;
pub mod recognize;
mod sounds;
mod vocabulary;

use std::fmt;

/// Families in score order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Family {
    /// Flutes, oboes, clarinets, bassoons, saxophones, recorders.
    Woodwinds,
    /// Horns, trumpets, trombones, tubas.
    Brass,
    /// Timpani and all percussion, tuned or not.
    Percussion,
    /// Harp, celesta, piano, organ, guitars.
    HarpAndKeyboards,
    /// Solo voices and choir.
    Voices,
    /// Bowed strings.
    Strings,
    /// Whatever was not recognized.
    Other,
}

impl Family {
    /// All families in score order.
    pub const ALL: [Self; 7] = [
        Self::Woodwinds,
        Self::Brass,
        Self::Percussion,
        Self::HarpAndKeyboards,
        Self::Voices,
        Self::Strings,
        Self::Other,
    ];

    /// The name in the facts and on screen, lower case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Woodwinds => "woodwinds",
            Self::Brass => "brass",
            Self::Percussion => "timpani and percussion",
            Self::HarpAndKeyboards => "harp and keyboards",
            Self::Voices => "voices",
            Self::Strings => "strings",
            Self::Other => "other",
        }
    }
}

impl fmt::Display for Family {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// One row of the catalog.
#[derive(Debug)]
pub struct Instrument {
    /// The name in English, lower case, unique in the catalog: "bass clarinet".
    pub name: &'static str,
    /// The family.
    pub family: Family,
    /// A short name for tight rows: "b. cl.".
    pub short: &'static str,
    /// Sounding range in MIDI keys that a professional player commands, lowest and highest
    /// inclusive; `None` for unpitched instruments and where no common range exists.
    pub range: Option<(u8, u8)>,
}

/// A row of the catalog. Compares and sorts in score order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct InstrumentId(u16);

impl InstrumentId {
    /// The instrument with this exact catalog name.
    pub fn by_name(name: &str) -> Option<Self> {
        let idx = catalog::CATALOG.iter().position(|row| row.name == name)?;
        u16::try_from(idx).ok().map(Self)
    }

    /// The row.
    pub fn get(self) -> &'static Instrument {
        &catalog::CATALOG[usize::from(self.0)]
    }

    /// All instruments in score order.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..catalog::CATALOG.len()).filter_map(|idx| u16::try_from(idx).ok().map(Self))
    }

    /// The row for what nobody recognized.
    pub fn unknown() -> Self {
        Self(u16::try_from(catalog::CATALOG.len() - 1).unwrap_or(0))
    }
}

impl fmt::Display for InstrumentId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.get().name)
    }
}
