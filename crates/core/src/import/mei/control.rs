//! What hangs beside the staves: finding the place and the notes that each refers to, and handing it
//! to those who understand it.

use super::lines;
use super::order;
use super::reader::{Control, Reader, Target, TargetKind};
use super::signs;
use super::texts;
use super::tree::{reference, references};
use super::values;
use crate::diag::Code;
use crate::import::raw::Pos;
use crate::import::xml::{Node, name};

/// How many notes of one bar are looked at for one sign, and how many heads a sign stands at: no page
/// has more, and a damaged file cannot make the work grow with the square of its size.
const MAX_IN_BAR: usize = 4096;
pub(super) const MAX_HEADS: usize = 64;

/// Where something beside the music belongs.
#[derive(Debug, Clone)]
pub(super) struct Anchor {
    pub(super) part: usize,
    pub(super) pos: Pos,
    pub(super) staff: Option<u8>,
    pub(super) voice: Option<u8>,
    /// What it refers to by id.
    pub(super) target: Option<Target>,
}

/// Whether an element stands beside the music.
pub(super) fn is_control(name: &str) -> bool {
    is_silent(name)
        || matches!(
            name,
            "tie"
                | "slur"
                | "phrase"
                | "hairpin"
                | "dynam"
                | "dir"
                | "tempo"
                | "reh"
                | "fermata"
                | "trill"
                | "mordent"
                | "turn"
                | "ornam"
                | "breath"
                | "caesura"
                | "arpeg"
                | "gliss"
                | "bend"
                | "octave"
                | "harpPedal"
                | "repeatMark"
                | "beamSpan"
                | "attacca"
        )
}

/// Whether an element beside the music changes nothing that is played, or is read elsewhere:
/// fingerings, pedals, chord symbols, figured bass, lyrics, lines, brackets, notes of editors.
pub(super) fn is_silent(name: &str) -> bool {
    matches!(
        name,
        "tupletSpan"
            | "pedal"
            | "fing"
            | "fingGrp"
            | "harm"
            | "fb"
            | "mNum"
            | "line"
            | "curve"
            | "lv"
            | "bracketSpan"
            | "annot"
            | "anchoredText"
            | "cpMark"
            | "metaMark"
            | "midi"
            | "sp"
            | "stageDir"
            | "refrain"
            | "verse"
            | "lyrics"
            | "expansion"
            | "proport"
            | "stem"
            | "ambNote"
            | "fTremSpan"
            | "graphic"
            | "zone"
            | "volta"
            | "label"
    )
}

/// Gives everything beside the music its place.
pub(super) fn attach(reader: &mut Reader<'_, '_, '_>) {
    for control in std::mem::take(&mut reader.controls) {
        match name(control.node) {
            "tie" => lines::tie(reader, control),
            "slur" | "phrase" => lines::slur(reader, control),
            "hairpin" => lines::hairpin(reader, control),
            "octave" => lines::octave(reader, control),
            "beamSpan" => lines::beam(reader, control),
            "dynam" => texts::dynam(reader, control),
            "dir" | "attacca" => texts::direction(reader, control),
            "tempo" => texts::tempo(reader, control),
            "reh" => texts::rehearsal(reader, control),
            "repeatMark" => order::repeat_mark(reader, control),
            _ => signs::sign(reader, control),
        }
    }
    lines::settle_ties(reader);
}

impl<'a, 'i: 'a> Reader<'_, 'a, 'i> {
    /// The places of something beside the music, at least one: by the event it names, else by its
    /// beat and staves.
    pub(super) fn anchors(&mut self, control: Control<'a, 'i>) -> Vec<Anchor> {
        let node = control.node;
        if let Some(target) = self.start_target(control) {
            return vec![self.anchor_of(target)];
        }
        let staves = self.named_staves(node, control.among);
        let layer = node.attribute("layer").map(str::trim);
        let mut out: Vec<Anchor> = Vec::new();
        for idx in staves {
            let offset = match (node.attribute("tstamp"), control.among) {
                (Some(text), _) => self.beat_offset(text, control.bar, idx),
                (None, Some((_, offset))) => Some(offset),
                (None, None) => Some(0),
            };
            let Some(staff) = self.staves.get(idx) else { continue };
            let part = staff.part;
            let voice = layer.and_then(|layer| {
                self.parts.get(part).and_then(|part| part.known_voice(staff.number, layer))
            });
            let pos = Pos { bar: control.bar, offset: offset.unwrap_or(0) };
            match out.iter_mut().find(|anchor| anchor.part == part) {
                // Two staves of one part: it holds for all of them.
                Some(anchor) => anchor.staff = None,
                None => {
                    let staff = Some(staff.number);
                    out.push(Anchor { part, pos, staff, voice, target: None });
                }
            }
        }
        out
    }

    pub(super) fn anchor_of(&self, target: Target) -> Anchor {
        let whole = target.kind == TargetKind::Bar;
        Anchor {
            part: target.part,
            pos: target.pos,
            staff: (!whole).then_some(target.staff),
            voice: (!whole).then_some(target.voice),
            target: Some(target),
        }
    }

    /// What the start of something refers to. An id that names nothing in the music is a finding.
    fn start_target(&mut self, control: Control<'a, 'i>) -> Option<Target> {
        let node = control.node;
        let first_of_list = || node.attribute("plist").and_then(|list| references(list).next());
        let id = node.attribute("startid").map(reference).or_else(first_of_list)?;
        self.resolve(id, control, node.attribute("tstamp").is_some())
    }

    /// What an id names; a finding if it names nothing.
    fn resolve(&mut self, id: &str, control: Control<'a, 'i>, has_place: bool) -> Option<Target> {
        let known = self.targets.get(id).copied();
        if known.is_none() {
            let pos = Pos { bar: control.bar, offset: 0 };
            let node = control.node;
            self.log.add(Code::ReferenceUnknown, pos, node.range().start, || {
                let instead = if has_place { "its beat" } else { "the start of its bar" };
                format!("<{}> refers to \"{id}\", which is no music; {instead} counts", name(node))
            });
        }
        known
    }

    /// The staves that something names, else the staff it stands in, else the first.
    fn named_staves(&self, node: Node<'a, 'i>, among: Option<(usize, i64)>) -> Vec<usize> {
        let stated = node.attribute("staff").unwrap_or_default();
        let named = stated.split_whitespace().filter_map(|n| self.staff_idx(Some(n), None));
        let named: Vec<usize> = named.take(64).collect();
        match (named.is_empty(), among) {
            (false, _) => named,
            (true, Some((staff, _))) => vec![staff],
            (true, None) => vec![0],
        }
    }

    /// The ticks of a counted place in a bar: "1" is its start, 0 the barline before it.
    pub(super) fn beat_offset(&self, text: &str, bar: u32, staff: usize) -> Option<i64> {
        let (num, den) = values::beat(text)?;
        self.offset_of(num, den, bar, staff)
    }

    fn offset_of(&self, num: i64, den: i64, bar: u32, staff: usize) -> Option<i64> {
        let beat = self.staves.get(staff).and_then(|staff| staff.beat(bar));
        let beat = beat.unwrap_or(self.resolution);
        let since = i128::from(num - den) * i128::from(beat);
        let den = i128::from(den);
        let nearest = (2 * since + den).div_euclid(2 * den);
        let ticks = i64::try_from(nearest.max(0)).ok()?;
        let exact = since.rem_euclid(den) == 0;
        Some(if exact { ticks } else { self.snapped(ticks, bar, staff) })
    }

    /// A decimal beat stands for a third or the like where a note or rest is near enough.
    fn snapped(&self, ticks: i64, bar: u32, staff: usize) -> i64 {
        let Some(part) = self.staves.get(staff).and_then(|staff| self.parts.get(staff.part)) else {
            return ticks;
        };
        let notes = part.out.notes.get(part.notes_of(bar)).unwrap_or_default();
        let rests = part.out.rests.get(part.rests_of(bar)).unwrap_or_default();
        let onsets = notes.iter().map(|note| note.onset.0);
        let onsets = onsets.chain(rests.iter().map(|rest| rest.onset.0));
        let nearest = onsets.take(MAX_IN_BAR).min_by_key(|onset| (onset - ticks).abs());
        nearest.filter(|onset| (onset - ticks).abs() <= self.resolution / 32).unwrap_or(ticks)
    }

    /// Where something ends: at the event it names, else at its second beat, else after its length.
    /// `None` if it does not say.
    pub(super) fn end_of(&mut self, control: Control<'a, 'i>, from: &Anchor) -> Option<End> {
        let node = control.node;
        let last_of_list = || node.attribute("plist").and_then(|list| references(list).last());
        if let Some(id) = node.attribute("endid").map(reference).or_else(last_of_list)
            && let Some(target) = self.resolve(id, control, node.attribute("tstamp2").is_some())
        {
            return Some(End { pos: target.pos, target: Some(target) });
        }
        let staff = self.staves.iter().position(|staff| {
            staff.part == from.part && from.staff.is_none_or(|number| staff.number == number)
        });
        if let Some((bars, (num, den))) = node.attribute("tstamp2").and_then(values::measure_beat) {
            // Bars are counted from the one it is written in.
            let bar = control.bar.saturating_add(bars);
            let offset = self.offset_of(num, den, bar, staff.unwrap_or(0))?;
            return Some(End { pos: Pos { bar, offset }, target: None });
        }
        let length = super::lengths::written(node)?.scaled(self.resolution, 1)?;
        let offset = from.pos.offset.saturating_add(length.numerator() / length.denominator());
        Some(End { pos: Pos { bar: from.pos.bar, offset }, target: None })
    }

    /// The heads that something stands at: those it names, else those that begin at its place on its
    /// staff, as places in the notes of the part.
    pub(super) fn heads_at(&self, anchor: &Anchor) -> Vec<usize> {
        if let Some(target) = anchor.target.filter(|target| target.notes.1 > 0) {
            let count = target.notes.1.min(MAX_HEADS);
            return (target.notes.0..target.notes.0 + count).collect();
        }
        let Some(part) = self.parts.get(anchor.part) else { return Vec::new() };
        let fits = |idx: &usize| {
            part.out.notes.get(*idx).is_some_and(|note| {
                note.onset.0 == anchor.pos.offset
                    && anchor.staff.is_none_or(|staff| note.staff == staff)
                    && anchor.voice.is_none_or(|voice| note.voice == voice)
                    && !note.traits.has(crate::event::NoteTraits::GRACE)
            })
        };
        part.notes_of(anchor.pos.bar).take(MAX_IN_BAR).filter(fits).take(MAX_HEADS).collect()
    }

    /// The rest that something stands at.
    pub(super) fn rest_at(&self, anchor: &Anchor) -> Option<usize> {
        if let Some(target) = anchor.target {
            return target.rest;
        }
        let part = self.parts.get(anchor.part)?;
        let fits = |idx: &usize| {
            part.out.rests.get(*idx).is_some_and(|rest| {
                rest.onset.0 == anchor.pos.offset
                    && anchor.staff.is_none_or(|staff| rest.staff == staff)
                    && anchor.voice.is_none_or(|voice| rest.voice == voice)
            })
        };
        part.rests_of(anchor.pos.bar).take(MAX_IN_BAR).find(fits)
    }
}

/// Where something ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct End {
    pub(super) pos: Pos,
    pub(super) target: Option<Target>,
}
