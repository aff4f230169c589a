//! Notes and chords: pitch, ties, articulations, what a head is beside a plain one.

use super::layer::{Beam, Frame, Layer};
use super::lengths::written;
use super::reader::{Reader, Target};
use super::state::Head;
use super::tree::{contents, reference};
use super::values;
use crate::bar::BarIndex;
use crate::diag::Code;
use crate::event::{Manner, Note, NoteTraits, Tuplet};
use crate::import::xml::{Node, name};
use crate::part::PlayerSet;
use crate::pitch::{SoundingPitch, Step, WrittenPitch};
use crate::time::{Quarters, Ticks};

/// What a note or chord says of all its heads.
#[derive(Debug, Clone, Copy, Default)]
struct Shared {
    traits: NoteTraits,
    manner: Manner,
    tremolo: u8,
    tuplet: Tuplet,
    grace: bool,
    /// A tie is stated for a whole chord: it holds for the pitches that stay.
    chord_tie: bool,
}

impl<'a, 'i: 'a> Reader<'_, 'a, 'i> {
    pub(super) fn note(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        let shared = self.shared(node, frame, layer);
        let ticks = self.length(node, None, Frame { grace: shared.grace, ..frame }, layer);
        let first = self.n_notes(layer.part);
        self.head(node, shared, ticks, layer);
        self.close(node, first, ticks, layer);
    }

    pub(super) fn chord(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) {
        let mut shared = self.shared(node, frame, layer);
        let items = contents(node);
        let heads: Vec<Node<'a, 'i>> =
            items.iter().copied().filter(|item| name(*item) == "note").collect();
        let grace = shared.grace || heads.iter().any(|head| head.attribute("grace").is_some());
        shared.grace = grace;
        let inner = Frame { grace, ..frame };
        // A chord without a length of its own has that of its first note.
        let stated = written(node).or_else(|| heads.first().and_then(|head| written(*head)));
        let ticks = self.length(node, stated, inner, layer);
        let first = self.n_notes(layer.part);
        for (nth, head) in heads.into_iter().enumerate() {
            let own = self.shared_of_head(head, shared, nth, inner);
            // A head may be shorter or longer than its chord; the chord moves time on.
            let length = match written(head) {
                Some(length) if Some(length) != stated => self.length(head, None, inner, layer),
                _ => ticks,
            };
            let from = self.n_notes(layer.part);
            self.head(head, own, length, layer);
            self.keep_target(head, from, length, layer);
        }
        layer.last_length = stated.or(layer.last_length);
        self.close(node, first, ticks, layer);
    }

    /// What the attributes and children of a note or chord say.
    fn shared(&mut self, node: Node<'a, 'i>, frame: Frame, layer: &mut Layer) -> Shared {
        layer.plays = true;
        let mut shared =
            Shared { grace: frame.grace || node.attribute("grace").is_some(), ..Shared::default() };
        let mut traits = NoteTraits::NONE;
        let mut set = |when: bool, flag: NoteTraits| {
            if when {
                traits.set(flag);
            }
        };
        set(!frame.tuplet.is_none() || node.attribute("tuplet").is_some(), NoteTraits::TUPLET);
        set(node.attribute("stem.dir") == Some("up"), NoteTraits::STEM_UP);
        set(node.attribute("stem.dir") == Some("down"), NoteTraits::STEM_DOWN);
        set(frame.cue || node.attribute("cue") == Some("true"), NoteTraits::CUE);
        set(node.attribute("visible") == Some("false"), NoteTraits::HIDDEN);
        let slurs = node.attribute("slur").unwrap_or_default();
        set(slurs.contains('i'), NoteTraits::SLUR_BEGINS);
        set(slurs.contains('t'), NoteTraits::SLUR_ENDS);
        set(node.attribute("fermata").is_some(), NoteTraits::FERMATA);
        match node.attribute("beam").and_then(|beam| beam.chars().next()) {
            Some('i') => traits.set(NoteTraits::BEAM_BEGINS),
            Some('m' | 't') => traits.set(NoteTraits::BEAM_GOES_ON),
            _ => match layer.beam {
                Beam::None => {}
                Beam::Begins => {
                    traits.set(NoteTraits::BEAM_BEGINS);
                    layer.beam = Beam::Open;
                }
                Beam::Open => traits.set(NoteTraits::BEAM_GOES_ON),
            },
        }
        if shared.grace {
            traits.set(NoteTraits::GRACE);
            if node.attribute("stem.mod") == Some("1slash") {
                traits.set(NoteTraits::GRACE_STROKE);
            }
            if frame.grace_after {
                traits.set(NoteTraits::GRACE_AFTER);
            }
        }
        if frame.pair {
            shared.manner.set(Manner::TREMOLO_PAIR);
        }
        shared.traits = traits;
        shared.tuplet = frame.tuplet;
        shared.tremolo = if shared.grace { 0 } else { strokes(node, frame) };
        articulations(node, &mut shared);
        ties(node, &mut shared.traits);
        shared.chord_tie = name(node) == "chord" && node.attribute("tie").is_some();
        if node.attribute("fermata").is_some() {
            self.control(node, Some((layer.staff, layer.cursor)));
        }
        shared
    }

    /// What a head of a chord has of its chord and of its own.
    fn shared_of_head(
        &mut self,
        head: Node<'a, 'i>,
        chord: Shared,
        nth: usize,
        frame: Frame,
    ) -> Shared {
        let mut own = chord;
        if nth > 0 {
            own.traits.set(NoteTraits::CHORD);
            own.traits = own.traits.without(NoteTraits::BEAM_BEGINS | NoteTraits::BEAM_GOES_ON);
        }
        if head.attribute("tie").is_some() {
            own.traits = own.traits.without(NoteTraits::TIED_ON | NoteTraits::CONTINUES);
            ties(head, &mut own.traits);
            own.chord_tie = false;
        }
        if head.attribute("cue") == Some("true") {
            own.traits.set(NoteTraits::CUE);
        }
        if head.attribute("visible") == Some("false") {
            own.traits.set(NoteTraits::HIDDEN);
        }
        own.tremolo =
            own.tremolo.max(head.attribute("stem.mod").map_or(0, |_| strokes(head, frame)));
        articulations(head, &mut own);
        own
    }

    pub(super) fn n_notes(&self, part: usize) -> usize {
        self.parts.get(part).map_or(0, |part| part.out.notes.len())
    }

    /// Keeps where a single head is.
    fn keep_target(&mut self, node: Node<'a, 'i>, first: usize, ticks: i64, layer: &Layer) {
        let target = self.event_target(ticks, layer);
        let notes = (first, self.n_notes(layer.part) - first);
        self.note_target(node, Target { notes, ..target });
    }

    fn close(&mut self, node: Node<'a, 'i>, first: usize, ticks: i64, layer: &mut Layer) {
        self.keep_target(node, first, ticks, layer);
        self.advance(ticks, ticks > 0, node, layer);
    }

    fn head(&mut self, node: Node<'a, 'i>, shared: Shared, ticks: i64, layer: &mut Layer) {
        let written = self.pitch(node, layer);
        let Some(staff) = self.staves.get(layer.staff) else { return };
        let sounding = written.map(|written| staff.transposition.sounding(written));
        let sounding = sounding.map(|sounding| performed(node, sounding));
        let number = self.shown_staff(node, layer);
        let byte = node.range().start;
        let mut traits = shared.traits;
        if matches!(node.attribute("head.shape"), Some("slash")) {
            traits.set(NoteTraits::SLASH);
        }
        let note = Note {
            onset: Ticks(layer.cursor),
            length: if shared.grace { Ticks::ZERO } else { Ticks(ticks) },
            bar: BarIndex(self.bar),
            written,
            sounding,
            staff: number,
            voice: layer.voice,
            players: PlayerSet::ALL,
            traits,
            manner: shared.manner,
            tuplet: shared.tuplet,
            tremolo: shared.tremolo,
            struck: 0,
            line: self.sheet.line(byte),
        };
        if let Some(part) = self.parts.get_mut(layer.part) {
            part.out.notes.push(note);
            part.heads.push(Head {
                byte,
                stated_octave: node.attribute("oct.ges").is_some(),
                chord_tie: shared.chord_tie,
                tie_known: false,
            });
        }
    }

    /// The staff in the part on which a note is printed.
    fn shown_staff(&self, node: Node<'a, 'i>, layer: &Layer) -> u8 {
        let stated = node.attribute("staff").map(reference);
        let other = stated.and_then(|n| self.staff_idx(Some(n), None));
        let other = other.and_then(|idx| self.staves.get(idx));
        other.filter(|staff| staff.part == layer.part).map_or(layer.number, |staff| staff.number)
    }

    /// The pitch of a note; `None` if it is unpitched, or no pitch.
    fn pitch(&mut self, node: Node<'a, 'i>, layer: &mut Layer) -> Option<WrittenPitch> {
        let attribute = |wanted: &str| node.attribute(wanted).map(str::trim);
        let (pname, oct) = (attribute("pname"), attribute("oct"));
        let placed =
            ["loc", "ploc", "tab.fret"].iter().any(|wanted| node.attribute(wanted).is_some());
        if pname.is_none() && oct.is_none() && (placed || layer.last_pitch.is_none()) {
            if !placed {
                let pos = self.at(layer);
                self.log_of(layer.part).add(Code::NoteUnreadable, pos, node.range().start, || {
                    String::from(
                        "a note has no pitch and no place on the staff; taken as unpitched",
                    )
                });
            }
            return None;
        }
        // What sounds is stated beside what is printed where octave lines or the like move it.
        let stated_step = attribute("pname.ges").or(pname).map(values::step);
        let stated_octave = attribute("oct.ges").or(oct).map(|oct| oct.parse::<i8>().ok());
        let step = stated_step.unwrap_or_else(|| layer.last_pitch.map(|(step, _)| step));
        let octave = stated_octave.unwrap_or_else(|| layer.last_pitch.map(|(_, octave)| octave));
        let octave = octave.filter(|octave| (-10..=20).contains(octave));
        let (Some(step), Some(octave)) = (step, octave) else {
            let pos = self.at(layer);
            let (pname, oct) = (pname.unwrap_or_default(), oct.unwrap_or_default());
            self.log_of(layer.part).add(Code::PitchUnreadable, pos, node.range().start, || {
                format!("\"{pname} {oct}\" is no pitch")
            });
            return None;
        };
        layer.last_pitch = Some((step, oct.and_then(|oct| oct.parse().ok()).unwrap_or(octave)));
        let alter_quarter_tones = self.alteration(node, step, octave, layer);
        Some(WrittenPitch { step, alter_quarter_tones, octave })
    }

    /// What alters a note: the sounding alteration where it is stated, else the printed accidental.
    ///
    /// In a file that states no sounding alterations at all, a note without an accidental is altered
    /// by an earlier one of its bar, else by the key signature, as it is read from paper.
    fn alteration(&mut self, node: Node<'a, 'i>, step: Step, octave: i8, layer: &Layer) -> i8 {
        let mut sounding = node.attribute("accid.ges");
        let mut printed = node.attribute("accid");
        for item in contents(node).into_iter().filter(|item| name(*item) == "accid") {
            sounding = sounding.or_else(|| item.attribute("accid.ges"));
            printed = printed.or_else(|| item.attribute("accid"));
        }
        let stated = sounding.or(printed);
        let read = stated.and_then(values::alteration);
        if let (Some(text), None) = (stated, read) {
            let pos = self.at(layer);
            self.log_of(layer.part).add(Code::PitchRounded, pos, node.range().start, || {
                format!("the alteration \"{text}\" is not known; the note was left unaltered")
            });
        }
        if self.survey.states_alterations {
            return read.unwrap_or(0);
        }
        let pos = self.at(layer);
        let Some(staff) = self.staves.get_mut(layer.staff) else { return read.unwrap_or(0) };
        if let Some(alter) = read {
            staff.alter(step, octave, alter);
            return alter;
        }
        let alter = if stated.is_some() { 0 } else { staff.implied(step, octave) };
        if alter != 0 {
            self.implied.add(pos, node.range().start);
        }
        alter
    }
}

/// The key that a note is stated to sound at, whatever is written.
fn performed(node: Node<'_, '_>, sounding: SoundingPitch) -> SoundingPitch {
    let stated = node.attribute("pnum").and_then(|text| text.trim().parse::<i32>().ok());
    // A stated key disagrees with the spelling only where the file says nothing else of pitch.
    let nothing_else = node.attribute("pname").is_none();
    match stated.filter(|key| nothing_else && (0..=127).contains(key)) {
        Some(key) => SoundingPitch::from_midi(key),
        None => sounding,
    }
}

/// Strokes of a tremolo on a note: as drawn on its stem, else as many as the value that is repeated
/// has beams more than the note.
fn strokes(node: Node<'_, '_>, frame: Frame) -> u8 {
    let drawn = node.attribute("stem.mod").and_then(values::strokes);
    if !frame.tremolo {
        return drawn.unwrap_or(0);
    }
    let of_unit = || {
        let beams = |length: Quarters| {
            let flags = Quarters::ONE.scaled(length.denominator(), length.numerator())?;
            u8::try_from(flags.numerator().checked_div(flags.denominator())?.max(1).ilog2()).ok()
        };
        let plain = values::note_value(node.attribute("dur").unwrap_or("4"))?;
        Some(beams(frame.unit?)?.saturating_sub(beams(plain)?))
    };
    // Three strokes are the usual tremolo.
    frame
        .strokes
        .filter(|strokes| *strokes == 255)
        .or(drawn)
        .or(frame.strokes)
        .or_else(of_unit)
        .unwrap_or(3)
}

/// MEI 5, data.TIE: initial, medial, terminal.
fn ties(node: Node<'_, '_>, traits: &mut NoteTraits) {
    for letter in node.attribute("tie").unwrap_or_default().chars() {
        match letter {
            'i' => traits.set(NoteTraits::TIED_ON),
            'm' => traits.set(NoteTraits::TIED_ON | NoteTraits::CONTINUES),
            't' => traits.set(NoteTraits::CONTINUES),
            _ => {}
        }
    }
}

/// Articulations as an attribute and as children: MEI 5, data.ARTICULATION.
fn articulations(node: Node<'_, '_>, shared: &mut Shared) {
    let mut set = |list: Option<&str>| {
        for word in list.unwrap_or_default().split_whitespace() {
            shared.manner.set(articulation(word));
        }
    };
    set(node.attribute("artic"));
    for item in contents(node).into_iter().filter(|item| name(*item) == "artic") {
        set(item.attribute("artic"));
    }
    if node.attribute("gliss").is_some_and(|gliss| gliss.contains('i')) {
        shared.manner.set(Manner::GLISSANDO);
    }
    for letter in node.attribute("ornam").unwrap_or_default().chars() {
        let trill = matches!(letter, 'T' | 't');
        shared.manner.set(if trill { Manner::TRILL } else { Manner::ORNAMENT });
    }
}

fn articulation(word: &str) -> Manner {
    match word {
        "stacc" | "dot" => Manner::STACCATO,
        "stacciss" | "spicc" | "stroke" => Manner::STACCATISSIMO,
        "ten" => Manner::TENUTO,
        "ten-stacc" => Manner::TENUTO | Manner::STACCATO,
        "acc" | "acc-soft" | "acc-long" | "acc-inv" => Manner::ACCENT,
        "marc" => Manner::MARCATO,
        "marc-stacc" => Manner::MARCATO | Manner::STACCATO,
        "doit" | "scoop" | "plop" | "fall" | "longfall" | "rip" | "bend" | "flip" | "smear"
        | "shake" => Manner::ORNAMENT,
        "upbow" => Manner::UP_BOW,
        "dnbow" => Manner::DOWN_BOW,
        "harm" => Manner::HARMONIC,
        "stop" | "lhpizz" => Manner::STOPPED,
        "open" => Manner::OPEN,
        "snap" => Manner::SNAP,
        _ => Manner::NONE,
    }
}
