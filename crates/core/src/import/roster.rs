//! The work's list of parts: the same part is found in every movement by what it is (instrument and
//! numbers), whatever ids, spellings and order the files use.

use super::header::PartHeader;
use super::words::players::Mentioned;
use crate::instrument::recognize::{self, NameFacts};
use crate::instrument::{Family, InstrumentId};
use crate::part::{Part, PartIdx, PartKey, Player};
use crate::score::InHand;
use std::collections::BTreeSet;

/// Who sits in a part, from its name and from what its texts mention.
#[derive(Debug, Clone, Default)]
pub(super) struct Seats {
    /// The numbers of the players, when the part tells several apart.
    pub(super) players: Vec<u8>,
    /// The numbers in the name.
    numbers: Vec<u8>,
    /// A soloist's part.
    solo: bool,
    /// Instruments beside the first, in order of appearance.
    pub(super) doubles: Vec<InstrumentId>,
}

/// The seats of a part. `mentioned` are the players that its texts name; `alone` says that no other
/// part has its instrument: only then does a part without a number that prints "I." or "a 2" hold
/// several players, since scores with one part for each player print them too. Among others it must
/// name two players to hold them.
pub(super) fn seats(header: &PartHeader, mentioned: Mentioned, alone: bool) -> Seats {
    let NameFacts { numbers, count, solo, plural } = recognize::name_facts(&header.name);
    let family = header.instrument.map_or(Family::Other, |instrument| instrument.get().family);
    let several = matches!(family, Family::Woodwinds | Family::Brass | Family::Other);
    let among = mentioned.several().filter(|_| !alone);
    let players: Vec<u8> = match (several, numbers.len(), count) {
        (false, ..) => Vec::new(),
        (true, 0, Some(count)) => (1..=count).collect(),
        (true, 0, None) if family == Family::Other => Vec::new(),
        (true, 0, None) if among.is_some() => {
            among.map(|(lowest, highest)| (lowest..=highest).collect()).unwrap_or_default()
        }
        (true, 0, None) if plural || alone && mentioned.highest() >= 2 => {
            (1..=mentioned.highest().max(2)).collect()
        }
        (true, 0 | 1, _) => Vec::new(),
        (true, ..) => numbers.clone(),
    };
    let mut doubles: Vec<InstrumentId> = Vec::new();
    let listed = header.instruments.iter().skip(1).filter_map(|listed| listed.instrument);
    // "Trombone 3 (bass)" names a kind of trombone: no player takes up a voice.
    let named = named_doubles(&header.name)
        .filter(|double| family == Family::Voices || double.get().family != Family::Voices);
    for double in listed.chain(named) {
        if Some(double) != header.instrument && !doubles.contains(&double) {
            doubles.push(double);
        }
    }
    Seats { players, numbers, solo, doubles }
}

/// Second instruments in a name: "Flute 3 (also Piccolo)", "Oboe 2/Cor anglais".
fn named_doubles(name: &str) -> impl Iterator<Item = InstrumentId> {
    name.split(['(', '[', '/']).skip(1).filter_map(recognize::by_name)
}

/// The parts that a list of names stands for, with keys as parts of the same names in score files
/// have them. Names that nobody knows give parts with the unknown instrument.
pub(super) fn parts_named(names: &[String]) -> Vec<Part> {
    let header = |name: &String| PartHeader {
        id: name.clone(),
        name: name.clone(),
        short: String::new(),
        instrument: recognize::by_name(name),
        instruments: Vec::new(),
        byte: 0,
    };
    let headers: Vec<PartHeader> = names.iter().map(header).collect();
    let all_seats: Vec<Seats> =
        headers.iter().map(|header| seats(header, Mentioned::default(), true)).collect();
    let mut roster = Roster::default();
    roster.add(&headers.iter().zip(&all_seats).collect::<Vec<_>>());
    roster.into_parts()
}

/// Finds the parts of all movements again.
#[derive(Debug, Default)]
pub(super) struct Roster {
    parts: Vec<Entry>,
    /// Matches of the last movement that may be wrong: the part's place in the file, and why.
    doubts: Vec<(usize, String)>,
}

#[derive(Debug)]
struct Entry {
    part: Part,
    instrument: Option<InstrumentId>,
    solo: bool,
    numbers: Vec<u8>,
}

impl Roster {
    /// Adds the parts of a movement. Answers the permanent name of each, in the same order.
    pub(super) fn add(&mut self, parts: &[(&PartHeader, &Seats)]) -> Vec<PartKey> {
        let before: Vec<PartKey> = self.parts.iter().map(|entry| entry.part.key.clone()).collect();
        let mut keys: Vec<PartKey> = Vec::with_capacity(parts.len());
        for (idx, (header, seats)) in parts.iter().enumerate() {
            let numbers = numbers_among(parts, idx);
            let wanted = key(header, seats, &numbers);
            let known = self.find(&wanted, header, seats, &numbers, parts, &keys);
            let known = known.or_else(|| self.doubling(idx, header, parts, &keys));
            if let Some(known) = known.as_ref().filter(|known| **known != wanted) {
                let part = self.parts.iter().find(|entry| entry.part.key == *known);
                let theirs = part.map_or("", |entry| entry.part.name.as_str());
                let text = format!(
                    "\"{}\" was taken to be \"{theirs}\" of another movement, the only part there \
                     that it can be",
                    shown(header)
                );
                self.doubts.push((idx, text));
            }
            let key = known.unwrap_or_else(|| {
                let free = self.free_key(wanted, &keys);
                self.insert(free.clone(), header, seats, numbers, keys.last());
                free
            });
            let own = self.parts.iter().find(|entry| entry.part.key == key);
            let other = own.and_then(|entry| entry.instrument) != header.instrument;
            self.note_doubles(&key, &seats.doubles);
            if let Some(instrument) = header.instrument.filter(|_| other) {
                self.note_doubles(&key, &[instrument]);
            }
            keys.push(key);
        }
        self.doubt_new_parts(parts, &keys, &before);
        keys
    }

    /// The doubts about the parts that were added last.
    pub(super) fn take_doubts(&mut self) -> Vec<(usize, String)> {
        std::mem::take(&mut self.doubts)
    }

    /// The part of another movement whose player takes up this instrument there: "Piccolo" for
    /// "Flute 3 (also Piccolo)", if the movement has no part for that player otherwise.
    fn doubling(
        &self,
        idx: usize,
        header: &PartHeader,
        parts: &[(&PartHeader, &Seats)],
        taken: &[PartKey],
    ) -> Option<PartKey> {
        let instrument = header.instrument?;
        let takes_up = |entry: &&Entry| {
            entry.part.players.iter().any(|player| player.also.contains(&instrument))
        };
        let mut candidates = self.parts.iter().filter(takes_up);
        let (only, more) = (candidates.next()?, candidates.next());
        let present = parts.iter().enumerate().any(|(other, (header, seats))| {
            other != idx && key(header, seats, &numbers_among(parts, other)) == only.part.key
        });
        let fits = more.is_none() && !present && !taken.contains(&only.part.key);
        fits.then(|| only.part.key.clone())
    }

    /// Parts that are new although a part of another movement is missing here that they might be.
    fn doubt_new_parts(
        &mut self,
        parts: &[(&PartHeader, &Seats)],
        keys: &[PartKey],
        before: &[PartKey],
    ) {
        for (idx, ((header, seats), key)) in parts.iter().zip(keys).enumerate() {
            if before.is_empty() || before.contains(key) {
                continue;
            }
            let missing = self.parts.iter().find(|entry| {
                let absent = before.contains(&entry.part.key) && !keys.contains(&entry.part.key);
                absent && entry.instrument == header.instrument && entry.solo == seats.solo
            });
            if let Some(missing) = missing {
                let text = format!(
                    "\"{}\" was kept as a part of its own, though \"{}\" of another movement is \
                     missing here and may be the same players",
                    shown(header),
                    missing.part.name
                );
                self.doubts.push((idx, text));
            }
        }
    }

    /// The parts of the work, in score order.
    pub(super) fn into_parts(self) -> Vec<Part> {
        self.parts.into_iter().map(|entry| entry.part).collect()
    }

    /// The place of a part.
    pub(super) fn place(&self, key: &PartKey) -> Option<PartIdx> {
        let place = self.parts.iter().position(|entry| entry.part.key == *key)?;
        u16::try_from(place).ok().map(PartIdx)
    }

    /// Adds what players take up in the course of a movement.
    pub(super) fn note_taken(&mut self, key: &PartKey, taken: &[InHand]) {
        for taken in taken {
            if taken.players.is_all() {
                self.note_doubles(key, &[taken.instrument]);
                continue;
            }
            let Some(entry) = self.parts.iter_mut().find(|entry| entry.part.key == *key) else {
                return;
            };
            let own = entry.part.instrument;
            let players = entry.part.players.iter_mut().enumerate();
            for (_, player) in players.filter(|(idx, _)| taken.players.contains(*idx)) {
                if taken.instrument != own && !player.also.contains(&taken.instrument) {
                    player.also.push(taken.instrument);
                }
            }
        }
    }

    /// Adds instruments that a part takes up without saying who: the last player does (common
    /// practice).
    fn note_doubles(&mut self, key: &PartKey, doubles: &[InstrumentId]) {
        let Some(entry) = self.parts.iter_mut().find(|entry| entry.part.key == *key) else {
            return;
        };
        let Some(player) = entry.part.players.last_mut() else { return };
        for double in doubles {
            if *double != entry.part.instrument && !player.also.contains(double) {
                player.also.push(*double);
            }
        }
    }

    fn find(
        &self,
        wanted: &PartKey,
        header: &PartHeader,
        seats: &Seats,
        numbers: &[u8],
        parts: &[(&PartHeader, &Seats)],
        taken: &[PartKey],
    ) -> Option<PartKey> {
        let free = |entry: &&Entry| !taken.contains(&entry.part.key);
        if let Some(entry) = self.parts.iter().find(|entry| entry.part.key == *wanted) {
            return Some(entry.part.key.clone()).filter(|key| !taken.contains(key));
        }
        // "Piccolo" in one movement and "Piccolo 1" in another, where there is no second.
        header.instrument?;
        let alone = parts.iter().filter(|(other, _)| other.instrument == header.instrument).count();
        let same =
            |entry: &&Entry| entry.instrument == header.instrument && entry.solo == seats.solo;
        let mut candidates = self.parts.iter().filter(same);
        let (only, more) = (candidates.next()?, candidates.next());
        let unnumbered = only.numbers.is_empty() || numbers.is_empty();
        let fits = alone == 1 && more.is_none() && unnumbered && free(&only);
        fits.then(|| only.part.key.clone())
    }

    fn free_key(&self, wanted: PartKey, taken: &[PartKey]) -> PartKey {
        let known = self.parts.iter().map(|entry| &entry.part.key);
        let used: BTreeSet<&PartKey> = taken.iter().chain(known).collect();
        let used = |key: &PartKey| used.contains(key);
        if !used(&wanted) {
            return wanted;
        }
        let mut number = 2u32;
        loop {
            let key = PartKey(format!("{}-{number}", wanted.0));
            if !used(&key) {
                return key;
            }
            number += 1;
        }
    }

    /// A new part stands behind the one that stands before it in its movement.
    fn insert(
        &mut self,
        key: PartKey,
        header: &PartHeader,
        seats: &Seats,
        numbers: Vec<u8>,
        before: Option<&PartKey>,
    ) {
        let at = match before.and_then(|before| self.place(before)) {
            Some(place) => place.idx() + 1,
            None => 0,
        };
        let part = part(key, header, seats);
        let (instrument, solo) = (header.instrument, seats.solo);
        self.parts.insert(at.min(self.parts.len()), Entry { part, instrument, solo, numbers });
    }
}

/// What a part is called when it is spoken of.
fn shown(header: &PartHeader) -> &str {
    if header.name.is_empty() { &header.id } else { &header.name }
}

/// The numbers of a part: those in its name, else its place among several of the same instrument
/// that all have none.
fn numbers_among(parts: &[(&PartHeader, &Seats)], idx: usize) -> Vec<u8> {
    let Some((header, seats)) = parts.get(idx) else { return Vec::new() };
    let own = if seats.numbers.is_empty() { &seats.players } else { &seats.numbers };
    if !own.is_empty() {
        return own.clone();
    }
    let same = |(other, theirs): &&(&PartHeader, &Seats)| {
        other.instrument == header.instrument
            && theirs.solo == seats.solo
            && (header.instrument.is_some() || !header.name.is_empty() && other.name == header.name)
    };
    let alike: Vec<&(&PartHeader, &Seats)> = parts.iter().filter(same).collect();
    if alike.len() < 2 || alike.iter().any(|(_, theirs)| !theirs.numbers.is_empty()) {
        return Vec::new();
    }
    let place = parts.iter().take(idx).filter(same).count();
    u8::try_from(place + 1).map(|number| vec![number]).unwrap_or_default()
}

fn key(header: &PartHeader, seats: &Seats, numbers: &[u8]) -> PartKey {
    let mut key = match header.instrument {
        Some(instrument) => match instrument.get().name {
            // A section, unless it is a soloist's part.
            "violin" if !seats.solo => String::from("violins"),
            "viola" if !seats.solo => String::from("violas"),
            "cello" if !seats.solo => String::from("cellos"),
            "double bass" if !seats.solo => String::from("double-basses"),
            name => slug(name),
        },
        None => {
            let named = slug(&header.name);
            if named.is_empty() { format!("part-{}", slug(&header.id)) } else { named }
        }
    };
    if seats.solo {
        key.push_str("-solo");
    }
    // The name of an unknown instrument has its numbers in it.
    if header.instrument.is_some() || seats.numbers.is_empty() {
        for number in numbers {
            key.push_str(&format!("-{number}"));
        }
    }
    PartKey(key)
}

/// Lower case letters and figures, words joined by hyphens.
fn slug(text: &str) -> String {
    let folded = recognize::fold(text);
    let words = folded.split(|letter: char| !letter.is_ascii_alphanumeric());
    words.filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-")
}

fn part(key: PartKey, header: &PartHeader, seats: &Seats) -> Part {
    let instrument = header.instrument.unwrap_or_else(InstrumentId::unknown);
    let catalog = instrument.get();
    let capital = capitalized(catalog.name);
    let name = match (header.name.is_empty(), header.instrument) {
        (false, _) => header.name.clone(),
        (true, Some(_)) => capital.clone(),
        (true, None) => header.id.clone(),
    };
    let short = if header.short.is_empty() {
        let numbers: Vec<String> = seats.numbers.iter().map(u8::to_string).collect();
        match header.instrument {
            Some(_) => format!("{} {}", catalog.short, numbers.join(".")).trim().to_owned(),
            None => name.clone(),
        }
    } else {
        header.short.clone()
    };
    let player = |name: String| Player { name, also: Vec::new() };
    let players = if seats.players.len() < 2 {
        vec![player(name.clone())]
    } else {
        let numbers = seats.players.iter().take(crate::part::PlayerSet::MAX_PLAYERS);
        numbers.map(|number| player(format!("{capital} {number}"))).collect()
    };
    Part { key, name, short, instrument, players }
}

fn capitalized(name: &str) -> String {
    let mut letters = name.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
