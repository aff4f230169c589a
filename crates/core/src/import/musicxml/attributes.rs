//! Divisions, keys, clefs, transposition.

use super::part::PartReader;
use crate::import::raw::{RawClef, RawTransposed};
use crate::import::xml::{Node, child, child_text, elements, name, says_yes, text};
use crate::pitch::{Doubling, Step, Transposition};
use crate::score::KeySignature;

impl PartReader<'_> {
    pub(super) fn attributes(&mut self, node: Node<'_, '_>) {
        // Keys are brought to concert pitch, so that the transposition must be known before them;
        // in the file it comes behind them.
        for item in elements(node).filter(|item| name(*item) == "transpose") {
            self.transpose(item);
        }
        for item in elements(node) {
            match name(item) {
                "divisions" => self.set_divisions(item),
                "time" => self.time(item),
                "key" => self.key(item),
                "clef" => self.clef(item),
                "for-part" => self.for_part(item),
                "staves" => {
                    let staves = text(item).parse().unwrap_or(1u8);
                    self.out.staves = self.out.staves.max(staves);
                }
                "measure-style" => self.measure_style(item),
                _ => {}
            }
        }
    }

    fn key(&mut self, node: Node<'_, '_>) {
        let fifths = child_text(node, "fifths").and_then(|text| text.parse().ok());
        let staff = Self::staff(node.attribute("number"));
        let Some(fifths) = fifths.filter(|fifths: &i8| (-30..=30).contains(fifths)) else {
            // Signatures of single alterations have no place on the circle of fifths.
            let signature = KeySignature::Free(free_signature(node));
            self.out.written_keys.push((self.pos(), staff, signature));
            return;
        };
        let transposition = self.transposition(staff.unwrap_or(1));
        let mode = child_text(node, "mode").unwrap_or_default().to_owned();
        let signature = KeySignature::Circle { fifths, mode: mode.clone() };
        self.out.written_keys.push((self.pos(), staff, signature));
        self.out.keys.push((self.pos(), concert_fifths(fifths, transposition), mode));
    }

    fn clef(&mut self, node: Node<'_, '_>) {
        let number = |wanted: &str| child_text(node, wanted).and_then(|text| text.parse().ok());
        let octaves = child_text(node, "clef-octave-change").and_then(|text| text.parse().ok());
        self.out.clefs.push(RawClef {
            pos: self.pos(),
            staff: Self::staff(node.attribute("number")).unwrap_or(1),
            sign: child_text(node, "sign").unwrap_or("none").to_owned(),
            line: number("line").unwrap_or(0),
            octaves: octaves.unwrap_or(0),
        });
    }

    /// The transposition of a staff where the cursor stands.
    pub(super) fn transposition(&self, staff: u8) -> Transposition {
        let own = self.staff_transpositions.iter().find(|(of, _)| *of == staff);
        own.map_or(self.transposition, |(_, transposition)| *transposition)
    }

    fn transpose(&mut self, node: Node<'_, '_>) {
        let staff = Self::staff(node.attribute("number"));
        let transposition = transposition(node);
        let pos = self.pos();
        // Signatures that an earlier element stated at this place are brought to concert pitch now.
        let before = self.transposition(staff.unwrap_or(1));
        if staff.is_none_or(|staff| staff == 1) {
            for (at, fifths, _) in self.out.keys.iter_mut().rev() {
                if *at != pos {
                    break;
                }
                let written = fifths.saturating_sub(concert_fifths(0, before));
                *fifths = concert_fifths(written, transposition);
            }
        }
        match staff {
            None => {
                self.transposition = transposition;
                self.staff_transpositions.clear();
            }
            Some(staff) => {
                self.staff_transpositions.retain(|(of, _)| *of != staff);
                self.staff_transpositions.push((staff, transposition));
            }
        }
        self.out.transpositions.push(RawTransposed { pos, staff, transposition });
    }

    /// How a part made from a score at concert pitch is transposed: the score itself is not (MusicXML
    /// 4.0, `for-part`).
    fn for_part(&mut self, node: Node<'_, '_>) {
        let Some(stated) = child(node, "part-transpose") else { return };
        let (pos, staff) = (self.pos(), Self::staff(node.attribute("number")));
        let transposition = transposition(stated);
        self.out.part_transpositions.push(RawTransposed { pos, staff, transposition });
    }
}

/// The accidentals of a signature that states each of them, at most one for each step of the staff in
/// each of two octaves.
fn free_signature(node: Node<'_, '_>) -> Vec<(Step, i8)> {
    let mut found = Vec::new();
    let mut step = None;
    for item in elements(node) {
        match name(item) {
            "key-step" => step = text(item).chars().next().and_then(Step::from_letter),
            "key-alter" => {
                let alter: Option<f64> = text(item).parse().ok();
                let alter = alter.filter(|alter| alter.abs() <= 12.0);
                if let (Some(step), Some(alter), true) = (step.take(), alter, found.len() < 14) {
                    found.push((step, (alter * 2.0).round() as i8));
                }
            }
            _ => {}
        }
    }
    found
}

/// The transposition that an element of the group states.
fn transposition(node: Node<'_, '_>) -> Transposition {
    let whole = |wanted: &str| {
        let value: Option<f64> = child_text(node, wanted).and_then(|text| text.parse().ok());
        value.unwrap_or(0.0).round().clamp(-120.0, 120.0) as i16
    };
    let doubled = child(node, "double")
        .map(|double| if says_yes(double, "above") { Doubling::Above } else { Doubling::Below });
    Transposition {
        diatonic: whole("diatonic") as i8,
        chromatic: whole("chromatic"),
        octaves: whole("octave-change").clamp(-10, 10) as i8,
        doubled,
    }
}

/// The concert key of a written one: a fifth up is seven semitones and four steps.
pub(in crate::import) fn concert_fifths(written: i8, transposition: Transposition) -> i8 {
    let chromatic = i32::from(transposition.chromatic);
    let diatonic = i32::from(transposition.diatonic);
    let mut fifths = i32::from(written) + 7 * chromatic - 12 * diatonic;
    if diatonic == 0 && chromatic != 0 {
        // Without steps the spelling is not known; the simplest key is taken.
        fifths = (fifths + 5).rem_euclid(12) - 5;
    }
    fifths.clamp(-30, 30) as i8
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Written keys of transposing parts in a piece in C major: clarinets in B flat have two
    /// sharps, in A three flats, horns in F one sharp (common practice).
    #[test]
    fn keys_are_brought_to_concert_pitch() {
        let by = |diatonic, chromatic| Transposition { diatonic, chromatic, ..Default::default() };
        assert_eq!(concert_fifths(2, by(-1, -2)), 0);
        assert_eq!(concert_fifths(-3, by(-2, -3)), 0);
        assert_eq!(concert_fifths(1, by(-4, -7)), 0);
        assert_eq!(concert_fifths(1, by(0, -7)), 0);
        assert_eq!(concert_fifths(-2, by(0, 0)), -2);
    }
}
