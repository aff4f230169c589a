//! The catalog itself, in score order. The last row is the unknown instrument.

use super::{Family, Instrument};

const fn row(
    name: &'static str,
    short: &'static str,
    family: Family,
    range: Option<(u8, u8)>,
) -> Instrument {
    Instrument { name, family, short, range }
}

/// Ranges: handbook tables of orchestral ranges (see the tests of this module for the sources).
pub(super) static CATALOG: &[Instrument] = &[
    row("piccolo", "picc.", Family::Woodwinds, Some((74, 108))),
    row("flute", "fl.", Family::Woodwinds, Some((59, 98))),
    row("unknown", "?", Family::Other, None),
];
