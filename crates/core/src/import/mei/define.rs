//! Definitions of score and staves: they make the parts at first and change what holds later.

use super::reader::Reader;
use super::state::{Part, Staff};
use super::staves::{self, Grouped};
use super::tree::{self, contents};
use super::values;
use crate::diag::Code;
use crate::import::musicxml::concert_fifths;
use crate::import::raw::{Pos, RawClef, RawTempo, RawTransposed};
use crate::import::xml::{Node, name};
use crate::meter::Meter;
use crate::pitch::Transposition;
use crate::score::{KeySignature, TempoKind};

/// What a signature or a group of them says.
#[derive(Debug, Clone)]
pub(super) struct Signature {
    /// The meters, one after the other bar by bar; at least one.
    pub(super) meters: Vec<Meter>,
    /// The second of two of which either may be meant.
    other: Option<Meter>,
}

impl From<Meter> for Signature {
    fn from(meter: Meter) -> Self {
        Self { meters: vec![meter], other: None }
    }
}

/// The most accidentals of a signature.
const MAX_ACCIDENTALS: usize = 32;

impl<'a, 'i: 'a> Reader<'_, 'a, 'i> {
    /// A definition of the score: first what it says of all staves, then what its staves say.
    pub(super) fn score_def(&mut self, node: Node<'a, 'i>) {
        let items = contents(node);
        let groups = items.iter().copied().filter(|item| name(*item) == "staffGrp");
        let grouped: Vec<Grouped<'a, 'i>> = groups.flat_map(staves::parts_of).collect();
        for part in &grouped {
            self.add_part(part);
        }
        let all: Vec<usize> = (0..self.staves.len()).collect();
        self.define(node, &items, &all);
        for staff in grouped.iter().flat_map(|part| &part.staves) {
            self.staff_def(*staff);
        }
        self.playback_tempo(node);
    }

    /// A definition of one staff.
    pub(super) fn staff_def(&mut self, node: Node<'a, 'i>) {
        let Some(idx) = self.staff_idx(node.attribute("n"), node.attribute("def")) else {
            let alone = Grouped { staves: vec![node], group: None, above: String::new() };
            self.add_part(&alone);
            let Some(last) = self.staves.len().checked_sub(1) else { return };
            self.define(node, &contents(node), &[last]);
            return;
        };
        self.rename(node, idx);
        self.define(node, &contents(node), &[idx]);
    }

    /// The staff that a number or an id names.
    pub(super) fn staff_idx(&self, n: Option<&str>, def: Option<&str>) -> Option<usize> {
        let by_id = def.and_then(|def| {
            let id = tree::reference(def);
            self.staves.iter().position(|staff| staff.id == Some(id))
        });
        by_id.or_else(|| {
            let n = n?.trim();
            self.staves.iter().position(|staff| staff.n == n)
        })
    }

    /// Makes a part of staves that are not known yet.
    fn add_part(&mut self, grouped: &Grouped<'a, 'i>) {
        let unknown = |staff: &&Node<'a, 'i>| self.staff_idx(staff.attribute("n"), None).is_none();
        let new: Vec<Node<'a, 'i>> = grouped.staves.iter().filter(unknown).copied().collect();
        if new.is_empty() {
            return;
        }
        let part = self.parts.len();
        let (most, byte) =
            (self.sheet.limits.parts, new.first().map_or(0, |node| node.range().start));
        if part >= most || self.staves.len() + new.len() > most {
            self.fail_too_large(byte, "the score has too many parts", most);
            return;
        }
        let header = staves::header(grouped, part + 1, &mut self.log);
        let mut raw = Part::default();
        raw.out.header = header;
        raw.out.staves = u8::try_from(new.len()).unwrap_or(u8::MAX);
        self.leave_out((self.bar as usize).saturating_mul(new.len()), byte);
        if self.has_failed() {
            return;
        }
        raw.first_staff = self.staves.len();
        // A part that comes later has been silent so far.
        raw.out.bars = vec![self.silent_bar(); self.bar as usize];
        raw.before = vec![(0, 0); self.bar as usize];
        self.parts.push(raw);
        for (place, staff) in new.into_iter().enumerate() {
            let number = u8::try_from(place + 1).unwrap_or(u8::MAX);
            let n = staff.attribute("n").unwrap_or_default().trim();
            self.staves.push(Staff::new(n, tree::id(staff), part, number));
        }
    }

    /// A staff that gets another name in the course of the score changes its instrument.
    fn rename(&mut self, node: Node<'a, 'i>, idx: usize) {
        let pos = self.here();
        let label = staves::label(node);
        let Some(staff) = self.staves.get(idx).filter(|_| pos.bar > 0) else { return };
        let Some(part) = self.parts.get_mut(staff.part).filter(|_| !label.is_empty()) else {
            return;
        };
        if label == part.out.header.name {
            return;
        }
        if let Some(instrument) = staves::named_instrument(node, &label) {
            part.out.instruments.push((pos, instrument));
        }
    }

    /// Applies what a definition says to staves, from the next bar on.
    fn define(&mut self, node: Node<'a, 'i>, items: &[Node<'a, 'i>], staves: &[usize]) {
        let pos = self.here();
        let meters = self.defined_meters(node, items);
        let key = defined_key(node, items);
        let transposition = transposition(node);
        let clef = defined_clef(node, items);
        let ppq = node.attribute("ppq").and_then(|text| text.trim().parse().ok());
        for idx in staves {
            if let Some(meters) = &meters {
                self.set_meters(*idx, meters, pos.bar, node.range().start);
            }
            if let Some(transposition) = transposition {
                self.set_transposition(*idx, transposition, pos);
            }
            if let Some(signature) = &key {
                self.set_key(*idx, signature, pos);
            }
            if let Some(clef) = clef {
                self.clef(clef, *idx, pos);
            }
            if let Some(staff) = self.staves.get_mut(*idx) {
                staff.ppq = ppq.filter(|ppq: &i64| (1..=1 << 31).contains(ppq)).or(staff.ppq);
            }
        }
    }

    /// New meters for a staff from a bar on.
    pub(super) fn set_meters(&mut self, idx: usize, meters: &Signature, bar: u32, byte: usize) {
        if let Some(staff) = self.staves.get_mut(idx) {
            staff.meters.clone_from(&meters.meters);
            staff.other_meter.clone_from(&meters.other);
            staff.meters_from = bar;
            staff.meter_byte = byte;
        }
    }

    fn set_transposition(&mut self, idx: usize, transposition: Transposition, pos: Pos) {
        let Some(staff) = self.staves.get_mut(idx) else { return };
        staff.transposition = transposition;
        let (part, number, key) = (staff.part, staff.number, staff.key.clone());
        let Some(part) = self.parts.get_mut(part) else { return };
        let staff = (part.out.staves > 1).then_some(number);
        part.out.transpositions.push(RawTransposed { pos, staff, transposition });
        if let Some((fifths, mode)) = key
            && number == 1
        {
            part.push_key(pos, concert_fifths(fifths, transposition), mode);
        }
    }

    /// A signature for a staff; in concert pitch the part shows that of its first staff.
    pub(super) fn set_key(&mut self, idx: usize, signature: &KeySignature, pos: Pos) {
        let Some(staff) = self.staves.get_mut(idx) else { return };
        staff.set_key(signature);
        let (number, transposition) = (staff.number, staff.transposition);
        let Some(part) = self.parts.get_mut(staff.part) else { return };
        let of_staff = (part.out.staves > 1).then_some(number);
        let keys = &mut part.out.written_keys;
        // Of several at one place the last counts.
        if keys.last().is_some_and(|(at, staff, _)| *at == pos && *staff == of_staff) {
            keys.pop();
        }
        keys.push((pos, of_staff, signature.clone()));
        if let KeySignature::Circle { fifths, mode } = signature
            && number == 1
        {
            part.push_key(pos, concert_fifths(*fifths, transposition), mode.clone());
        }
    }

    /// A clef on a staff.
    pub(super) fn clef(&mut self, node: Node<'a, 'i>, idx: usize, pos: Pos) {
        let Some(staff) = self.staves.get(idx) else { return };
        let read = |wanted: &str, prefixed: &str| {
            node.attribute(wanted).or_else(|| node.attribute(prefixed)).map(str::trim)
        };
        let shape = read("shape", "clef.shape").unwrap_or_default();
        let octaves = match (read("dis", "clef.dis"), read("dis.place", "clef.dis.place")) {
            (Some(by), place) => displaced(by, place),
            // The double G clef stands an octave lower (MEI 5, data.CLEFSHAPE).
            (None, _) => -i8::from(shape == "GG"),
        };
        let sign = match shape {
            "GG" => "G",
            "perc" => "percussion",
            "" => "none",
            other => other,
        };
        let line = read("line", "clef.line").and_then(|line| line.parse().ok()).unwrap_or(0);
        let clef = RawClef { pos, staff: staff.number, sign: sign.to_owned(), line, octaves };
        if let Some(part) = self.parts.get_mut(staff.part) {
            part.out.clefs.push(clef);
        }
    }

    /// The meters that a definition states; `None` if it states none.
    fn defined_meters(&mut self, node: Node<'a, 'i>, items: &[Node<'a, 'i>]) -> Option<Signature> {
        let wanted = |item: &&Node<'a, 'i>| matches!(name(**item), "meterSig" | "meterSigGrp");
        if let Some(signature) = items.iter().find(wanted) {
            return self.signature(*signature);
        }
        let attribute = |wanted: &str| node.attribute(wanted).map(str::trim);
        let hidden = matches!(attribute("meter.form").or(attribute("meter.rend")), Some("invis"))
            || attribute("meter.visible") == Some("false");
        let meter = values::meter(
            attribute("meter.count"),
            attribute("meter.unit"),
            attribute("meter.sym"),
            hidden,
        );
        self.readable(meter, node)
    }

    /// The meters of a signature or a group of them. Mixed signatures are one meter, alternating
    /// ones follow each other bar by bar, of interchangeable ones the first counts.
    pub(super) fn signature(&mut self, node: Node<'a, 'i>) -> Option<Signature> {
        if name(node) == "meterSig" {
            let attribute = |wanted: &str| node.attribute(wanted).map(str::trim);
            let hidden =
                attribute("form") == Some("invis") || attribute("visible") == Some("false");
            let (count, unit, sym) = (attribute("count"), attribute("unit"), attribute("sym"));
            if count.is_none() && sym.is_none() && hidden {
                // A signature that says nothing and is not shown: without measure.
                return Some(Signature::from(Meter::default()));
            }
            let meter = values::meter(count, unit, sym, hidden);
            return self.readable(meter, node);
        }
        let mut meters: Vec<Meter> = Vec::new();
        let mut other = None;
        for item in contents(node).into_iter().filter(|item| name(*item) == "meterSig") {
            meters.extend(self.signature(item).into_iter().flat_map(|item| item.meters));
        }
        match node.attribute("func") {
            Some("alternating") => meters.truncate(values::MAX_TERMS),
            Some("interchanging") => {
                other = meters.get(1).cloned();
                meters.truncate(1);
            }
            _ => {
                let mut terms = std::mem::take(&mut meters).into_iter();
                let mut all = terms.next()?;
                all.terms.extend(terms.flat_map(|meter| meter.terms));
                all.terms.truncate(values::MAX_TERMS);
                meters.push(all);
            }
        }
        (!meters.is_empty()).then_some(Signature { meters, other })
    }

    fn readable(
        &mut self,
        meter: Result<Option<Meter>, String>,
        node: Node<'a, 'i>,
    ) -> Option<Signature> {
        match meter {
            Ok(meter) => meter.map(Signature::from),
            Err(text) => {
                let pos = self.here();
                self.log.add(Code::MeterUnreadable, pos, node.range().start, || {
                    format!("\"{text}\" is no time signature")
                });
                None
            }
        }
    }

    /// The tempo for playback that a definition states.
    fn playback_tempo(&mut self, node: Node<'a, 'i>) {
        let pos = self.here();
        let stated = node.attribute("midi.bpm").and_then(|text| text.trim().parse::<f64>().ok());
        let Some(rate) = stated.filter(|rate| rate.is_finite() && *rate > 0.0) else { return };
        if let Some(part) = self.parts.first_mut() {
            let (kind, byte) = (TempoKind::Playback(rate), node.range().start);
            part.out.tempi.push(RawTempo { pos, end: None, kind, words: String::new(), byte });
        }
    }
}

/// Octaves that a displacement of 8, 15 or 22 means.
pub(super) fn displaced(by: &str, place: Option<&str>) -> i8 {
    let octaves = match by {
        "8" => 1,
        "15" => 2,
        "22" => 3,
        _ => 0,
    };
    if place == Some("below") { -octaves } else { octaves }
}

/// The signature that a definition states.
fn defined_key(node: Node<'_, '_>, items: &[Node<'_, '_>]) -> Option<KeySignature> {
    if let Some(signature) = items.iter().find(|item| name(**item) == "keySig") {
        return key_of(*signature);
    }
    let stated = ["keysig", "key.sig"].iter().find_map(|wanted| node.attribute(wanted))?;
    let mode = node.attribute("key.mode").unwrap_or_default().to_owned();
    Some(KeySignature::Circle { fifths: values::fifths(stated)?, mode })
}

/// What a signature element states: a place on the circle of fifths, or its own accidentals.
pub(super) fn key_of(node: Node<'_, '_>) -> Option<KeySignature> {
    if let Some(fifths) = node.attribute("sig").and_then(values::fifths) {
        let mode = node.attribute("mode").unwrap_or_default().to_owned();
        return Some(KeySignature::Circle { fifths, mode });
    }
    let items = contents(node);
    let accidentals = items.iter().filter(|item| name(**item) == "keyAccid").filter_map(|item| {
        let step = values::step(item.attribute("pname")?)?;
        Some((step, values::alteration(item.attribute("accid")?)?))
    });
    let accidentals: Vec<_> = accidentals.take(MAX_ACCIDENTALS).collect();
    (!accidentals.is_empty()).then_some(KeySignature::Free(accidentals))
}

fn defined_clef<'a, 'i>(node: Node<'a, 'i>, items: &[Node<'a, 'i>]) -> Option<Node<'a, 'i>> {
    let element = items.iter().copied().find(|item| name(*item) == "clef");
    element.or_else(|| node.attribute("clef.shape").map(|_| node))
}

/// MEI 5 guidelines, chapter 4: trans.diat and trans.semi are the steps and semitones from written
/// to sounding pitch, octaves included.
fn transposition(node: Node<'_, '_>) -> Option<Transposition> {
    let whole = |wanted: &str| {
        let stated = node.attribute(wanted)?.trim();
        stated.parse::<f64>().ok().map(|value| value.round().clamp(-120.0, 120.0) as i16)
    };
    let (diatonic, chromatic) = (whole("trans.diat"), whole("trans.semi"));
    if diatonic.is_none() && chromatic.is_none() {
        return None;
    }
    let diatonic = diatonic.unwrap_or(0).clamp(-100, 100) as i8;
    Some(Transposition { diatonic, chromatic: chromatic.unwrap_or(0), octaves: 0, doubled: None })
}
