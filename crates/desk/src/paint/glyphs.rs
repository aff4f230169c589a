//! Code points of the music font by the names of the SMuFL 1.4 tables, and texts made of them.

use barloom_core::event::{FermataShape, Level};
use barloom_core::meter::{Meter, MeterSign};
use barloom_core::time::Quarters;

/// breathMarkComma
pub(super) const BREATH: char = '\u{E4CE}';
/// caesura
pub(super) const CAESURA: char = '\u{E4D1}';
/// segno
pub(super) const SEGNO: char = '\u{E047}';
/// coda
pub(super) const CODA: char = '\u{E048}';

/// The figures of a meter: upper and lower texts for each term, or one sign.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Figures {
    /// One sign on the middle of the staff.
    Sign(char),
    /// Pairs of upper and lower figures; pairs are joined by a plus.
    Pairs(Vec<(String, String)>),
    /// Nothing to be printed.
    Nothing,
}

/// timeSigPlus
pub(super) const METER_PLUS: char = '\u{E08C}';
/// timeSigPlusSmall
const METER_PLUS_SMALL: char = '\u{E08D}';

/// timeSig0 and those that follow.
fn meter_digits(number: u32) -> String {
    number
        .to_string()
        .bytes()
        .filter_map(|digit| char::from_u32(0xE080 + u32::from(digit - b'0')))
        .collect()
}

/// The figures to print for a meter.
pub(super) fn figures(meter: &Meter) -> Figures {
    match meter.sign {
        _ if meter.is_unmeasured() => Figures::Nothing,
        MeterSign::Common => Figures::Sign('\u{E08A}'),
        MeterSign::Cut => Figures::Sign('\u{E08B}'),
        // Whoever beats wants both figures, whatever the page shows.
        _ => Figures::Pairs(
            meter
                .terms
                .iter()
                .map(|term| {
                    let upper: Vec<String> =
                        term.groups.iter().map(|group| meter_digits(*group)).collect();
                    (upper.join(&METER_PLUS_SMALL.to_string()), meter_digits(term.unit))
                })
                .collect(),
        ),
    }
}

/// The letters of a level: dynamicPiano, dynamicMezzo, dynamicForte, dynamicNiente.
pub(super) fn level(level: Level) -> String {
    level
        .letters()
        .chars()
        .map(|letter| match letter {
            'p' => '\u{E520}',
            'm' => '\u{E521}',
            'f' => '\u{E522}',
            _ => '\u{E526}',
        })
        .collect()
}

/// A note value for a metronome mark (metNoteQuarterUp and its like) and the number of its dots;
/// `None` for values that no single note has.
pub(super) fn metronome_note(unit: Quarters) -> Option<(char, usize)> {
    // Eighths of a quarter: a 32nd is 1, a whole note 32.
    let eighths = unit.scaled(8, 1)?;
    if eighths.denominator() != 1 {
        return None;
    }
    let n = eighths.numerator();
    // A dot adds a half, two dots add three quarters.
    [(1, 1, 0), (3, 2, 1), (7, 4, 2)].into_iter().find_map(|(over, under, dots)| {
        let plain = (n % over == 0).then_some(n / over * under)?;
        let note = match plain {
            64 => '\u{ECA0}',
            32 => '\u{ECA2}',
            16 => '\u{ECA3}',
            8 => '\u{ECA5}',
            4 => '\u{ECA7}',
            2 => '\u{ECA9}',
            1 => '\u{ECAB}',
            _ => return None,
        };
        Some((note, dots))
    })
}

/// fermataAbove and its short and long shapes.
pub(super) fn fermata(shape: FermataShape) -> char {
    match shape {
        FermataShape::Normal | FermataShape::Other => '\u{E4C0}',
        FermataShape::Angled => '\u{E4C4}',
        FermataShape::Square => '\u{E4C6}',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SMuFL 1.4, tables "Time signatures", "Metronome marks", "Dynamics".
    #[test]
    fn signs_have_the_code_points_of_the_standard() {
        let meter: Meter = "3+2/8".parse().unwrap();
        let upper = String::from("\u{E083}\u{E08D}\u{E082}");
        assert_eq!(figures(&meter), Figures::Pairs(vec![(upper, String::from("\u{E088}"))]));
        let meter: Meter = "12/16".parse().unwrap();
        let pair = (String::from("\u{E081}\u{E082}"), String::from("\u{E081}\u{E086}"));
        assert_eq!(figures(&meter), Figures::Pairs(vec![pair]));
        let note = |num, den| metronome_note(Quarters::new(num, den).unwrap());
        assert_eq!(note(1, 1), Some(('\u{ECA5}', 0)));
        assert_eq!(note(3, 2), Some(('\u{ECA5}', 1)));
        assert_eq!(note(3, 1), Some(('\u{ECA3}', 1)));
        assert_eq!(note(1, 2), Some(('\u{ECA7}', 0)));
        assert_eq!(note(7, 4), Some(('\u{ECA5}', 2)));
        assert_eq!(note(5, 4), None);
        assert_eq!(level(Level::Mf), "\u{E521}\u{E522}");
    }
}
