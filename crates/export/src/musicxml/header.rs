//! What stands before the music: titles, composer, the list of parts with their instruments.

use super::xml::Xml;
use barloom_core::instrument::InstrumentId;
use barloom_core::instrument::recognize::{self, Hints};
use barloom_core::part::{Part, PartIdx};
use barloom_core::score::{Movement, PartMusic, Score};
use barloom_core::time::Ticks;

/// The document up to its root element.
pub(super) const PROLOG: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
    <!DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" \
    \"http://www.musicxml.org/dtds/partwise.dtd\">\n";

/// A part with its names in the file.
pub(super) struct Listed<'a> {
    pub(super) music: &'a PartMusic,
    pub(super) id: String,
    part: Option<&'a Part>,
    /// Its instruments with their ids: those that its notes name, in their order, or else the first
    /// in hand first.
    pub(super) instruments: Vec<(InstrumentId, String)>,
}

/// The parts to be written, in order; those that the movement lacks are left out.
pub(super) fn listed<'a>(
    score: &'a Score,
    movement: &'a Movement,
    parts: &[PartIdx],
) -> Vec<Listed<'a>> {
    let mut listed: Vec<Listed<'a>> = Vec::with_capacity(parts.len());
    for idx in parts {
        let Some(music) = movement.part(*idx).filter(|music| music.present) else { continue };
        let wanted = music.source_id.as_str();
        let free = |id: &str| !listed.iter().any(|other| other.id == id);
        let own = is_id(wanted) && free(wanted);
        let id = if own {
            wanted.to_owned()
        } else {
            let mut number = idx.idx() + 1;
            while !free(&format!("P{number}")) {
                number += 1;
            }
            format!("P{number}")
        };
        let part = score.parts.get(idx.idx());
        let instruments = if music.struck.is_empty() {
            instruments(part, music)
        } else {
            let unknown = InstrumentId::unknown();
            music.struck.iter().map(|struck| struck.instrument.unwrap_or(unknown)).collect()
        };
        let named = instruments.into_iter().enumerate();
        let instruments =
            named.map(|(nth, instrument)| (instrument, format!("{id}-I{}", nth + 1))).collect();
        listed.push(Listed { music, id, part, instruments });
    }
    listed
}

/// Whether a text may be an id: the letters that programs use, no others.
fn is_id(text: &str) -> bool {
    let mut letters = text.chars();
    letters.next().is_some_and(|letter| letter.is_ascii_alphabetic() || letter == '_')
        && letters.all(|letter| letter.is_ascii_alphanumeric() || matches!(letter, '_' | '-' | '.'))
}

/// What is in hand first, then what is taken up in the movement, then what else the players have in
/// the work.
fn instruments(part: Option<&Part>, music: &PartMusic) -> Vec<InstrumentId> {
    let first = music.instrument_at(Ticks::ZERO).or(part.map(|part| part.instrument));
    let taken = music.instruments.iter().map(|taken| taken.instrument);
    let players = part.map(|part| part.players.as_slice()).unwrap_or_default();
    let also = players.iter().flat_map(|player| player.also.iter().copied());
    let own = part.map(|part| part.instrument);
    let mut found: Vec<InstrumentId> = Vec::new();
    for instrument in first.into_iter().chain(taken).chain(own).chain(also) {
        if !found.contains(&instrument) {
            found.push(instrument);
        }
    }
    found
}

/// Writes titles, composer, and the list of parts.
pub(super) fn write(xml: &mut Xml, score: &Score, movement: &Movement, parts: &[Listed<'_>]) {
    if !score.title.is_empty() {
        xml.open("work", &[]);
        xml.leaf("work-title", &[], &score.title);
        xml.close();
    }
    if !movement.title.is_empty() && movement.title != score.title {
        xml.leaf("movement-title", &[], &movement.title);
    }
    xml.open("identification", &[]);
    if !score.composer.is_empty() {
        xml.leaf("creator", &[("type", "composer")], &score.composer);
    }
    xml.open("encoding", &[]);
    xml.leaf("software", &[], &format!("Barloom {}", env!("CARGO_PKG_VERSION")));
    xml.close();
    xml.close();
    xml.open("part-list", &[]);
    for part in parts {
        part.write(xml);
    }
    xml.close();
}

impl Listed<'_> {
    fn write(&self, xml: &mut Xml) {
        let name =
            if self.music.source_name.is_empty() { "" } else { self.music.source_name.as_str() };
        xml.open("score-part", &[("id", &self.id)]);
        match self.plain_name(name) {
            Some(plain) => {
                xml.leaf("part-name", &[], plain);
                if !name.is_empty() {
                    xml.open("part-name-display", &[]);
                    xml.leaf("display-text", &[], name);
                    xml.close();
                }
            }
            None => xml.leaf("part-name", &[], name),
        }
        if let Some(part) = self.part.filter(|part| !part.short.is_empty()) {
            xml.leaf("part-abbreviation", &[], &part.short);
        }
        for (nth, (instrument, id)) in self.instruments.iter().enumerate() {
            xml.open("score-instrument", &[("id", id)]);
            let struck = self.music.struck.get(nth).map(|struck| &*struck.name);
            let name = struck.unwrap_or(instrument.get().name);
            xml.leaf("instrument-name", &[], name);
            if let Some(sound) = self.sound(nth) {
                xml.leaf("instrument-sound", &[], sound);
            }
            xml.close();
        }
        xml.close();
    }

    /// The standard sound of one of the instruments, unless its name would then be read as another.
    fn sound(&self, nth: usize) -> Option<&'static str> {
        let (instrument, _) = self.instruments.get(nth)?;
        let sound = recognize::sound_id(*instrument)?;
        let name = self.music.struck.get(nth).map_or("", |struck| &*struck.name);
        let read = recognize::instrument(&Hints { name, sound, ..Hints::default() });
        (read == Some(*instrument)).then_some(sound)
    }

    /// The name to write where the printed one would be taken for another instrument; `None` if it is
    /// not.
    fn plain_name(&self, name: &str) -> Option<&'static str> {
        let first = self.music.instrument_at(Ticks::ZERO).or(self.part.map(|p| p.instrument))?;
        let sound = self.sound(0).unwrap_or_default();
        let short = self.part.map_or("", |part| part.short.as_str());
        let read = recognize::instrument(&Hints { name, short, sound, midi_program: None });
        // A part of many percussion instruments is read as percussion.
        let many = self.instruments.len() > 2;
        let percussion = InstrumentId::by_name("percussion").filter(|_| many);
        let read = read.or(percussion).or(self.instruments.first().map(|(first, _)| *first));
        (first != InstrumentId::unknown() && read != Some(first)).then_some(first.get().name)
    }
}
