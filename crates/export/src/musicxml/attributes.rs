//! Divisions, keys, meters, clefs, transpositions and repeated bars as `attributes` elements.

use super::meters::{self, Signature};
use super::note::semitones;
use super::styles::{self, Style};
use super::xml::Xml;
use barloom_core::instrument::Family;
use barloom_core::part_bars::RepeatSign;
use barloom_core::pitch::{Doubling, Transposition};
use barloom_core::score::{Clef, KeySignature, Movement, PartMusic, Transposed, WrittenKey};
use barloom_core::time::Ticks;
use std::collections::BTreeMap;

/// What changes at one position of a part.
#[derive(Clone, Debug, Default)]
pub(super) struct Change {
    pub(super) divisions: Option<i64>,
    pub(super) keys: Vec<WrittenKey>,
    pub(super) meters: Vec<Signature>,
    pub(super) staves: Option<u8>,
    pub(super) clefs: Vec<Clef>,
    pub(super) transpositions: Vec<Transposed>,
    /// How parts made from the score are transposed.
    pub(super) part_transpositions: Vec<Transposed>,
    /// Signs that stand for music begin, or end.
    pub(super) styles: Vec<Style>,
    /// A rest over so many bars is printed.
    pub(super) multiple_rest: Option<u32>,
}

/// The changes of a part by bar and position.
pub(super) type Changes = BTreeMap<(usize, Ticks), Change>;

/// All changes of a part. `division` is how many ticks a division has.
pub(super) fn changes(movement: &Movement, music: &PartMusic, division: i64) -> Changes {
    let mut changes = Changes::new();
    let bars = movement.bars.as_slice();
    let bar_of = |at: Ticks| movement.bars.bar_at(at).unwrap_or_default().idx();
    if bars.is_empty() {
        return changes;
    }
    let first = changes.entry((0, Ticks::ZERO)).or_default();
    first.divisions = Some(i64::from(movement.resolution.ticks_per_quarter()) / division.max(1));
    first.staves = (music.staves > 1).then_some(music.staves);
    for (idx, signatures) in meters::of(movement, music) {
        if let Some(bar) = bars.get(idx) {
            changes.entry((idx, bar.start)).or_default().meters = signatures;
        }
    }
    for (idx, at, style) in styles::of(movement, music) {
        changes.entry((idx, at)).or_default().styles.push(style);
    }
    for (bar, n) in &music.multiple_rests {
        if let Some(row) = movement.bars.get(*bar) {
            let left = u32::try_from(bars.len() - bar.idx()).unwrap_or(u32::MAX);
            changes.entry((bar.idx(), row.start)).or_default().multiple_rest = Some((*n).min(left));
        }
    }
    for key in keys(movement, music) {
        changes.entry((bar_of(key.at), key.at)).or_default().keys.push(key);
    }
    for clef in &music.clefs {
        changes.entry((bar_of(clef.at), clef.at)).or_default().clefs.push(clef.clone());
    }
    for mark in &music.transpositions {
        changes.entry((bar_of(mark.at), mark.at)).or_default().transpositions.push(*mark);
    }
    for mark in &music.part_transpositions {
        changes.entry((bar_of(mark.at), mark.at)).or_default().part_transpositions.push(*mark);
    }
    changes
}

/// The signatures of a part. Where no part of the movement has its own, they are made from the key of
/// the movement, except for percussion, which has none (common practice).
fn keys(movement: &Movement, music: &PartMusic) -> Vec<WrittenKey> {
    if movement.music.iter().any(|music| !music.keys.is_empty()) {
        return music.keys.clone();
    }
    let instrument = music.instrument_at(Ticks::ZERO);
    if instrument.is_some_and(|instrument| instrument.get().family == Family::Percussion) {
        return Vec::new();
    }
    let written = |key: &barloom_core::score::KeyMark| {
        let fifths = written_fifths(key.fifths, music.transposition_at(1, key.at));
        let signature = KeySignature::Circle { fifths, mode: key.mode.clone() };
        WrittenKey { at: key.at, staff: None, signature }
    };
    movement.keys.iter().map(written).collect()
}

/// The signature that a part prints for a concert key: a fifth up is seven semitones and four steps.
fn written_fifths(concert: i8, transposition: Transposition) -> i8 {
    let (chromatic, diatonic) =
        (i32::from(transposition.chromatic), i32::from(transposition.diatonic));
    let fifths = i32::from(concert) - 7 * chromatic + 12 * diatonic;
    // The simplest of the keys that sound the same.
    let simplest = if fifths.abs() > 7 { (fifths + 5).rem_euclid(12) - 5 } else { fifths };
    simplest as i8
}

impl Change {
    /// Writes the element.
    pub(super) fn write(&self, xml: &mut Xml, n_staves: u8) {
        xml.open("attributes", &[]);
        if let Some(divisions) = self.divisions {
            xml.number("divisions", divisions);
        }
        for key in &self.keys {
            write_key(xml, key);
        }
        for signature in &self.meters {
            signature.write(xml);
        }
        if let Some(staves) = self.staves {
            xml.number("staves", staves);
        }
        for clef in &self.clefs {
            write_clef(xml, clef, n_staves);
        }
        for mark in &self.transpositions {
            write_transposition(xml, mark);
        }
        if self.transpositions.is_empty() {
            self.part_transpositions.iter().for_each(|mark| write_for_part(xml, mark));
        }
        for style in &self.styles {
            write_style(xml, style);
        }
        if let Some(bars) = self.multiple_rest {
            xml.open("measure-style", &[]);
            xml.number("multiple-rest", bars);
            xml.close();
        }
        xml.close();
        // One element holds transpositions of one kind.
        if !self.transpositions.is_empty() && !self.part_transpositions.is_empty() {
            xml.open("attributes", &[]);
            self.part_transpositions.iter().for_each(|mark| write_for_part(xml, mark));
            xml.close();
        }
    }
}

fn write_style(xml: &mut Xml, style: &Style) {
    let staff = style.staff.map(|staff| staff.to_string());
    let attributes: Vec<(&'static str, &str)> =
        staff.iter().map(|staff| ("number", staff.as_str())).collect();
    let kind = ("type", if style.starts { "start" } else { "stop" });
    xml.open("measure-style", &attributes);
    match style.sign {
        RepeatSign::Bars(bars) => {
            let bars = if style.starts { bars.to_string() } else { String::new() };
            xml.leaf("measure-repeat", &[kind], &bars);
        }
        RepeatSign::Beat => write_slashes(xml, "beat-repeat", &[kind], &style.except),
        RepeatSign::Slashes { stems: true } => {
            write_slashes(xml, "slash", &[kind, ("use-stems", "yes")], &style.except);
        }
        RepeatSign::Slashes { stems: false } => {
            write_slashes(xml, "slash", &[kind], &style.except);
        }
    }
    xml.close();
}

fn write_slashes(
    xml: &mut Xml,
    name: &'static str,
    attributes: &[(&'static str, &str)],
    except: &[u8],
) {
    if except.is_empty() {
        return xml.empty(name, attributes);
    }
    xml.open(name, attributes);
    except.iter().for_each(|voice| xml.number("except-voice", voice));
    xml.close();
}

fn write_key(xml: &mut Xml, key: &WrittenKey) {
    let staff = key.staff.map(|staff| staff.to_string());
    let attributes: Vec<(&'static str, &str)> =
        staff.iter().map(|staff| ("number", staff.as_str())).collect();
    match &key.signature {
        KeySignature::Circle { fifths, mode } => {
            xml.open("key", &attributes);
            xml.number("fifths", fifths);
            if !mode.is_empty() {
                xml.leaf("mode", &[], mode);
            }
            xml.close();
        }
        KeySignature::Free(signs) if signs.is_empty() => xml.empty("key", &attributes),
        KeySignature::Free(signs) => {
            xml.open("key", &attributes);
            for (step, quarter_tones) in signs {
                xml.leaf("key-step", &[], &format!("{step:?}"));
                xml.leaf("key-alter", &[], &semitones(*quarter_tones));
            }
            xml.close();
        }
    }
}

fn write_clef(xml: &mut Xml, clef: &Clef, n_staves: u8) {
    let staff = clef.staff.to_string();
    let numbered = n_staves > 1 || clef.staff > 1;
    let attributes: &[_] = if numbered { &[("number", staff.as_str())] } else { &[] };
    const SIGNS: [&str; 6] = ["G", "F", "C", "percussion", "TAB", "jianpu"];
    let sign = SIGNS.into_iter().find(|sign| *sign == clef.sign).unwrap_or("none");
    xml.open("clef", attributes);
    xml.leaf("sign", &[], sign);
    if clef.line > 0 {
        xml.number("line", clef.line);
    }
    if clef.octaves != 0 {
        xml.number("clef-octave-change", clef.octaves);
    }
    xml.close();
}

fn write_transposition(xml: &mut Xml, mark: &Transposed) {
    transposed(xml, "transpose", mark.staff, mark.transposition);
}

fn write_for_part(xml: &mut Xml, mark: &Transposed) {
    let staff = mark.staff.map(|staff| staff.to_string());
    let attributes: Vec<(&'static str, &str)> =
        staff.iter().map(|staff| ("number", staff.as_str())).collect();
    xml.open("for-part", &attributes);
    transposed(xml, "part-transpose", None, mark.transposition);
    xml.close();
}

fn transposed(xml: &mut Xml, name: &'static str, staff: Option<u8>, by: Transposition) {
    let Transposition { diatonic, chromatic, octaves, doubled } = by;
    let staff = staff.map(|staff| staff.to_string());
    let attributes: Vec<(&'static str, &str)> =
        staff.iter().map(|staff| ("number", staff.as_str())).collect();
    xml.open(name, &attributes);
    if diatonic != 0 || chromatic == 0 {
        xml.number("diatonic", diatonic);
    }
    xml.number("chromatic", chromatic);
    if octaves != 0 {
        xml.number("octave-change", octaves);
    }
    match doubled {
        Some(Doubling::Above) => xml.empty("double", &[("above", "yes")]),
        Some(Doubling::Below) => xml.empty("double", &[]),
        None => {}
    }
    xml.close();
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A piece in C: clarinets in B flat print two sharps, in A three flats, horns in F one sharp
    /// (common practice).
    #[test]
    fn transposing_parts_print_their_own_key() {
        let by = |diatonic, chromatic| Transposition { diatonic, chromatic, ..Default::default() };
        assert_eq!(written_fifths(0, by(-1, -2)), 2);
        assert_eq!(written_fifths(0, by(-2, -3)), -3);
        assert_eq!(written_fifths(0, by(-4, -7)), 1);
        assert_eq!(written_fifths(-3, by(0, 0)), -3);
    }
}
