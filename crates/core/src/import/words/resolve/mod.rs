//! From the texts of one part to markings, tempi, players and rehearsal marks.

mod beside;
mod tempo;

use super::dynamics::Sign;
use super::levels;
use super::merge;
use super::players::Mentioned;
use super::sentence::{self, Piece, Reader};
use super::vocabulary::Meaning;
use super::written;
use crate::diag::Code;
use crate::event::{Device, DeviceGroup, Level, MarkingKind, PlayersMark};
use crate::import::raw::{Pos, RawMarking, RawPart, RawWords};
use crate::instrument::{Family, InstrumentId};
use crate::part::PlayerSet;
use crate::time::{Quarters, Ticks};
use std::collections::BTreeSet;

/// Different unknown texts of one part that are counted.
const MAX_UNKNOWN: usize = 500;

/// What is known about a part when its texts are read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PartFacts<'a> {
    /// The instrument the part begins with.
    pub(crate) instrument: Option<InstrumentId>,
    /// Instruments that it takes up.
    pub(crate) doubles: &'a [InstrumentId],
    /// The numbers of the players in the part; empty when the part does not tell players apart.
    pub(crate) players: &'a [u8],
}

/// The players that the texts of a part name.
pub(crate) fn players_mentioned(part: &RawPart, family: Family) -> Mentioned {
    let reader = Reader { family, doubles: &[] };
    let mut mentioned = Mentioned::default();
    for words in &part.words {
        for piece in sentence::understand(&words.text, reader).pieces {
            match piece {
                Piece::Named(named) => {
                    named.numbers.into_iter().for_each(|number| mentioned.add(number));
                }
                Piece::Known(Meaning::Players(PlayersMark::All))
                    if words.text.contains(['2', '3', '4']) =>
                {
                    mentioned.together = true;
                }
                _ => {}
            }
        }
    }
    mentioned
}

/// Turns the texts of a part into markings and tempi, which are added to it, sorted.
pub(crate) fn resolve(part: &mut RawPart, facts: PartFacts<'_>) {
    let words = merge::join_split(std::mem::take(&mut part.words), facts);
    let mut resolver = Resolver {
        family: facts.instrument.map_or(Family::Other, |instrument| instrument.get().family),
        facts,
        printed: part.tempi.iter().map(|mark| (mark.pos, mark.words.clone())).collect(),
        typed: part.markings.len(),
        part,
        on: Vec::new(),
        unknown: Vec::new(),
    };
    for words in words {
        resolver.text(words);
    }
    resolver.report_unknown();
    part.markings.sort_by_key(|marking| (marking.pos, marking.byte));
    merge::drop_repeated_devices(&mut part.markings);
}

struct Resolver<'a, 'p> {
    family: Family,
    facts: PartFacts<'a>,
    part: &'p mut RawPart,
    /// How many markings were typed by the file itself: they come first, in the order of the file.
    typed: usize,
    /// Where metronome marks stand, with their words.
    printed: BTreeSet<(Pos, String)>,
    /// Techniques that are on, so that "ord." ends what there is.
    on: Vec<Device>,
    /// Unknown texts with their first place and count.
    unknown: Vec<(String, Pos, usize, u32)>,
}

impl Resolver<'_, '_> {
    fn text(&mut self, words: RawWords) {
        if self.rehearsal(&words) {
            return;
        }
        let written = written::written_mark(&words.text, || self.beat_at(words.pos.bar));
        let text = match &written {
            Some((_, rest)) => rest.clone(),
            None => words.text.clone(),
        };
        let reader = Reader { family: self.family, doubles: self.facts.doubles };
        let sentence = sentence::understand(&text, reader);
        if let Some((kind, _)) = &written {
            self.tempo(&words, kind.clone(), &text, words.end);
        }
        if words.with_jump {
            return;
        }
        let has_tempo = written.is_some() || words.with_tempo;
        if self.tempo_words(&words, &text, &sentence, has_tempo) {
            return;
        }
        if sentence.pieces.is_empty() {
            if text.is_empty() || text.chars().all(|letter| !letter.is_alphanumeric()) {
                return;
            }
            let modifiers_only = sentence.unknown == 0 && sentence.words > 0;
            if modifiers_only && self.shade(&words, reader) {
                return;
            }
            if modifiers_only {
                self.push(&words, MarkingKind::Expression, PlayerSet::ALL);
            } else {
                self.unknown(&words);
                self.push(&words, MarkingKind::Words, PlayerSet::ALL);
            }
            return;
        }
        self.pieces(&words, &sentence.pieces, sentence.to_end);
    }

    /// The beat of the meter in force in a bar, as far as this part states it.
    fn beat_at(&self, bar: u32) -> Quarters {
        let stated = self.part.meters.iter().rev().find(|stated| stated.bar <= bar);
        let Some(meter) = stated.map(|stated| &stated.meter) else { return Quarters::ONE };
        let threes = if meter.is_compound() { 3 } else { 1 };
        Quarters::new(4 * threes, i64::from(meter.unit().max(1))).unwrap_or(Quarters::ONE)
    }

    /// The pieces of a sentence in order. A level behind cresc. or dim. is where it leads, and no
    /// level here.
    fn pieces(&mut self, words: &RawWords, pieces: &[Piece], to_end: bool) {
        let mut players = PlayerSet::ALL;
        let mut pieces = pieces.iter().peekable();
        while let Some(piece) = pieces.next() {
            let louder = match piece {
                Piece::Known(Meaning::Growing(louder)) => *louder,
                Piece::Known(Meaning::ToNothing) => false,
                piece => {
                    self.piece(words, piece, &mut players);
                    continue;
                }
            };
            let mut to = (*piece == Piece::Known(Meaning::ToNothing)).then_some(Level::N);
            while let Some(level) = pieces.peek().and_then(|next| levels::target_of(next)) {
                to = Some(level);
                pieces.next();
            }
            self.growing(words, louder, to, players, to_end);
        }
    }

    fn growing(
        &mut self,
        words: &RawWords,
        louder: bool,
        to: Option<Level>,
        players: PlayerSet,
        to_end: bool,
    ) {
        let stated = words.end.filter(|end| *end > words.pos);
        let Some(end) = stated.or(to_end.then_some(END)) else {
            self.push(words, MarkingKind::Growing { louder, to }, players);
            return;
        };
        let niente = to == Some(Level::N);
        let kind = MarkingKind::Hairpin { louder, end: Ticks::ZERO, niente };
        self.push_to(words, kind, players, Some(end));
        if let Some(level) = to.filter(|_| !niente && end != END) {
            self.push(words, MarkingKind::Level(level), players);
            if let Some(last) = self.part.markings.last_mut() {
                last.pos = end;
            }
        }
    }

    fn piece(&mut self, words: &RawWords, piece: &Piece, players: &mut PlayerSet) {
        match piece {
            Piece::Sign(Sign::Level(level)) => {
                self.push(words, MarkingKind::Level(*level), *players);
            }
            Piece::Sign(Sign::Accent(then)) => {
                self.push(words, MarkingKind::Accent { then: *then }, *players);
            }
            Piece::Instrument(instrument) => {
                self.push(words, MarkingKind::Instrument(*instrument), *players);
            }
            Piece::Named(named) => {
                let known = self.facts.players;
                let places = named
                    .numbers
                    .iter()
                    .filter_map(|number| known.iter().position(|player| player == number));
                let places: Vec<usize> = places.collect();
                // A part for one player that prints its own number means nobody else.
                *players = if known.len() < 2 || places.is_empty() {
                    PlayerSet::ALL
                } else {
                    PlayerSet::of(places)
                };
                let mark = if named.solo { PlayersMark::Solo } else { PlayersMark::Named };
                self.push(words, MarkingKind::Players(mark), *players);
            }
            Piece::Known(meaning) => self.meaning(words, *meaning, *players),
        }
    }

    fn meaning(&mut self, words: &RawWords, meaning: Meaning, players: PlayerSet) {
        match meaning {
            Meaning::Device(device, on) => self.device(words, device, on, players),
            Meaning::Open => {
                self.device(words, Device::Mute, false, players);
                self.device(words, Device::Stopped, false, players);
            }
            Meaning::Ordinary => {
                let ends: Vec<Device> =
                    self.on.iter().copied().filter(ends_with_ordinary).collect();
                if ends.is_empty() {
                    self.push(words, MarkingKind::Expression, players);
                }
                for device in ends {
                    self.device(words, device, false, players);
                }
            }
            Meaning::Growing(_) | Meaning::ToNothing => {}
            Meaning::Relative(louder) => {
                self.push(words, MarkingKind::Relative { louder }, players);
            }
            Meaning::Level(level) => self.push(words, MarkingKind::Level(level), players),
            Meaning::Players(mark) => self.push(words, MarkingKind::Players(mark), players),
            Meaning::Change | Meaning::Filler | Meaning::ToEnd => {}
            Meaning::Tempo(_) | Meaning::Expression => {
                let last = self.part.markings.last();
                let said = last.is_some_and(|last| {
                    last.byte == words.byte && last.kind == MarkingKind::Expression
                });
                if !said {
                    self.push(words, MarkingKind::Expression, players);
                }
            }
        }
    }

    fn device(&mut self, words: &RawWords, device: Device, on: bool, players: PlayerSet) {
        self.on.retain(|known| *known != device);
        if on {
            if device.group() != DeviceGroup::Alone {
                self.on.retain(|known| known.group() != device.group());
            }
            self.on.push(device);
        }
        self.push(words, MarkingKind::Device { device, on }, players);
        // The bow ends the wood as it ends plucking.
        if device == Device::Plucked && !on && self.on.contains(&Device::Wood) {
            self.device(words, Device::Wood, false, players);
        }
    }

    fn push(&mut self, words: &RawWords, kind: MarkingKind, players: PlayerSet) {
        self.push_to(words, kind, players, None);
    }

    fn push_to(
        &mut self,
        words: &RawWords,
        kind: MarkingKind,
        players: PlayerSet,
        end: Option<Pos>,
    ) {
        self.part.markings.push(RawMarking {
            pos: words.pos,
            end,
            staff: words.staff,
            voice: words.voice,
            players,
            kind,
            words: words.text.clone(),
            byte: words.byte,
        });
    }

    fn unknown(&mut self, words: &RawWords) {
        let full = self.unknown.len() >= MAX_UNKNOWN;
        let known = self.unknown.iter_mut().find(|(text, ..)| *text == words.text);
        match known {
            Some((.., count)) => *count += 1,
            None if !full => {
                self.unknown.push((words.text.clone(), words.pos, words.byte, 1));
            }
            None => {}
        }
    }

    /// One finding for each unknown text of the part.
    fn report_unknown(&mut self) {
        for (text, pos, byte, count) in std::mem::take(&mut self.unknown) {
            self.part.log.add(Code::WordsUnknown, pos, byte, || match count {
                1 => format!("\"{text}\" is not known"),
                count => format!("\"{text}\" is not known (here and {} times more)", count - 1),
            });
        }
    }
}

/// Behind every bar: the end of the movement.
const END: Pos = Pos { bar: u32::MAX, offset: 0 };

/// Whether "ord." ends a technique. A mute stays where it is, and so does a plucked string.
fn ends_with_ordinary(device: &Device) -> bool {
    !matches!(device, Device::Mute | Device::Plucked | Device::Muffled | Device::LetRing)
}
