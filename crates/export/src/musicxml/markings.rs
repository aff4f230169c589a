//! The directions of one part from what is printed in it: its typed markings and changes of
//! instrument. How a direction becomes an element is no matter of this module.

use super::direction::{Direction, Dynamic, Rank, Sign, device_words};
use super::header::Listed;
use barloom_core::bar::BarIndex;
use barloom_core::basis::BY_HAND;
use barloom_core::event::{Device, Marking, MarkingKind, PlayersMark};
use barloom_core::instrument::{InstrumentId, recognize};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// Hairpins and dashes have numbers from 1 to 16 in the standard.
const MOST_OPEN: usize = 16;

/// What a part's directions are gathered from and into.
pub(super) struct Gather<'a> {
    movement: &'a Movement,
    wedges: Numbers,
    dashes: Numbers,
    /// Directions so far, in no order.
    pub(super) found: Vec<Direction>,
}

/// A line between two places, with the voice it is written in.
#[derive(Clone, Copy)]
struct Stretch {
    from: (usize, Ticks),
    to: (usize, Ticks),
    voice: Option<u8>,
}

/// The numbers of lines that are open.
#[derive(Default)]
struct Numbers {
    busy: [Option<Stretch>; MOST_OPEN],
}

impl Numbers {
    /// A number that no line has with which this one could be mistaken: the file writes voice after
    /// voice inside a bar, so that those of another voice count as open in the whole of their bars.
    fn take(&mut self, line: Stretch) -> usize {
        let meets = |old: &Stretch| {
            if old.voice == line.voice { old.to.1 > line.from.1 } else { old.to.0 >= line.from.0 }
        };
        let free = self.busy.iter().position(|old| old.as_ref().is_none_or(|old| !meets(old)));
        // With more lines at once than there are numbers, the last number is shared.
        let number = free.unwrap_or(MOST_OPEN - 1);
        if let Some(slot) = self.busy.get_mut(number) {
            *slot = Some(line);
        }
        number + 1
    }
}

impl<'a> Gather<'a> {
    /// Nothing gathered yet.
    pub(super) fn new(movement: &'a Movement) -> Self {
        let (wedges, dashes) = (Numbers::default(), Numbers::default());
        Self { movement, wedges, dashes, found: Vec::new() }
    }

    /// Adds the directions of the part's markings, except those whose words are said already.
    pub(super) fn markings(&mut self, music: &PartMusic, said: impl Fn(&Marking) -> bool) {
        // The texts of the current position, since one text makes several markings.
        let mut texts: Vec<&Marking> = Vec::new();
        for marking in &music.markings {
            if texts.first().is_some_and(|first| first.at != marking.at) {
                texts.clear();
            }
            if marking.words.is_empty() || &*marking.words == BY_HAND {
                self.sign(marking);
                continue;
            }
            if said(marking) || texts.iter().any(|text| same_text(text, marking)) {
                continue;
            }
            texts.push(marking);
            let ends = music.markings.iter().skip_while(|other| other.at < marking.at);
            let ends = ends.take_while(|other| other.at == marking.at);
            let end = ends.filter(|other| same_text(other, marking)).find_map(hairpin_end);
            self.text(marking, &marking.words, end);
        }
    }

    /// A text, with dashes to where it ends if that is known.
    fn text(&mut self, marking: &Marking, text: &str, end: Option<Ticks>) {
        let words = Sign::Words { text: text.to_owned(), bold: false, italic: false };
        let direction = self.bound(marking, words);
        self.with_dashes(direction, end);
    }

    /// Adds a direction with words, and the dashes behind them.
    pub(super) fn with_dashes(&mut self, mut direction: Direction, end: Option<Ticks>) {
        if let Some(end) = end.filter(|end| *end > direction.at) {
            let to = (self.bar_before(end), end);
            let from = (direction.bar, direction.at);
            let number = self.dashes.take(Stretch { from, to, voice: direction.voice });
            direction.signs.push(Sign::Dashes { starts: true, number });
            let stop = Sign::Dashes { starts: false, number };
            self.found.push(Direction {
                rank: Rank::Ends,
                staff: direction.staff,
                voice: direction.voice,
                ..Direction::with(to.0, end, stop)
            });
        }
        self.found.push(direction);
    }

    fn sign(&mut self, marking: &Marking) {
        let sign = match &marking.kind {
            MarkingKind::Level(level) => Sign::Dynamics(Dynamic::Level(*level)),
            MarkingKind::Accent { then } => Sign::Dynamics(Dynamic::Accent(*then)),
            MarkingKind::Hairpin { louder, end, niente } => {
                return self.hairpin(marking, *louder, *end, *niente);
            }
            MarkingKind::Growing { louder, .. } => {
                return self.text(marking, if *louder { "cresc." } else { "dim." }, None);
            }
            MarkingKind::Device { device, on } => return self.device(marking, *device, *on),
            MarkingKind::Players(mark) => return self.text(marking, &players(*mark), None),
            MarkingKind::Instrument(instrument) => {
                return self.text(marking, &takes(*instrument), None);
            }
            MarkingKind::HarpPedals(pedals) => Sign::HarpPedals(*pedals),
            MarkingKind::Watch => Sign::Eyeglasses,
            MarkingKind::Leading { principal, on } => {
                Sign::Leading { principal: *principal, on: *on }
            }
            MarkingKind::Scordatura(strings) => Sign::Scordatura(strings.clone()),
            // Fermatas and breaths stand on notes and barlines; the others are nothing but words.
            _ => return,
        };
        let direction = self.bound(marking, sign);
        self.found.push(direction);
    }

    /// Adds the changes of instrument that no words of the part make.
    pub(super) fn instruments(&mut self, part: &Listed<'_>) {
        for taken in part.music.instruments.iter().skip(1) {
            let (at, instrument) = (taken.at, taken.instrument);
            let next = Ticks(at.0 + 1);
            let said = part.music.markings_in(at, next).iter().any(|marking| {
                marking.kind == MarkingKind::Instrument(instrument) && !marking.words.is_empty()
            });
            // Notes that name their instrument change it themselves.
            let named = part.music.notes_in(at, next).iter().any(|note| note.struck != 0);
            let id = part.instruments.iter().find(|(known, _)| *known == instrument);
            let sound = recognize::sound_id(instrument);
            if let (false, Some((_, id)), Some(sound)) = (said || named, id, sound) {
                let bar = self.movement.bars.bar_at(at).unwrap_or_default();
                let instrument = Some((id.clone(), sound));
                self.found.push(Direction { instrument, ..Direction::at(bar.idx(), at) });
            }
        }
    }

    fn device(&mut self, marking: &Marking, device: Device, on: bool) {
        let by_hand = !marking.words.is_empty();
        let bare = Direction {
            staff: marking.staff,
            voice: marking.voice,
            ..Direction::at(marking.bar.idx(), marking.at)
        };
        let direction = match (device, on) {
            _ if by_hand => return self.text(marking, device_words(device, on), None),
            (Device::Mute, _) => self.bound(marking, Sign::StringMute(on)),
            (Device::LetRing, false) => self.bound(marking, Sign::Damp),
            (Device::Plucked, _) => {
                let value = String::from(if on { "yes" } else { "no" });
                Direction { sound: vec![("pizzicato", value)], ..bare }
            }
            (Device::Stopped, _) => {
                Direction { play_mute: Some(if on { "stop-hand" } else { "off" }), ..bare }
            }
            _ => return self.text(marking, device_words(device, on), None),
        };
        self.found.push(direction);
    }

    fn hairpin(&mut self, marking: &Marking, louder: bool, end: Ticks, niente: bool) {
        let here = end <= marking.at;
        let to = if here { (marking.bar.idx(), marking.at) } else { (self.bar_before(end), end) };
        let from = (marking.bar.idx(), marking.at);
        let number = self.wedges.take(Stretch { from, to, voice: marking.voice });
        let start = self.bound(marking, Sign::Wedge { louder, number, niente });
        self.found.push(start);
        let stop = Sign::WedgeStop { number, niente: niente && !louder };
        self.found.push(Direction {
            rank: if here { Rank::EndsHere } else { Rank::Ends },
            staff: marking.staff,
            voice: marking.voice,
            ..Direction::with(to.0, to.1, stop)
        });
    }

    fn bound(&self, marking: &Marking, sign: Sign) -> Direction {
        Direction {
            staff: marking.staff,
            voice: marking.voice,
            ..Direction::with(marking.bar.idx(), marking.at, sign)
        }
    }

    /// The bar that ends at a position or contains it.
    fn bar_before(&self, at: Ticks) -> usize {
        self.movement.bars.bar_at(Ticks(at.0 - 1)).unwrap_or(BarIndex(0)).idx()
    }
}

fn same_text(a: &Marking, b: &Marking) -> bool {
    a.at == b.at
        && a.bar == b.bar
        && a.line == b.line
        && a.staff == b.staff
        && a.voice == b.voice
        && a.words == b.words
}

fn hairpin_end(marking: &Marking) -> Option<Ticks> {
    match marking.kind {
        MarkingKind::Hairpin { end, .. } => Some(end),
        _ => None,
    }
}

fn players(mark: PlayersMark) -> String {
    match mark {
        PlayersMark::Solo => String::from("solo"),
        PlayersMark::Named => String::from("1."),
        PlayersMark::All => String::from("tutti"),
        PlayersMark::Divided(0) => String::from("div."),
        PlayersMark::Divided(parts) => format!("div. a {parts}"),
        PlayersMark::Desks(1) => String::from("1 desk"),
        PlayersMark::Desks(desks) => format!("{desks} desks"),
        PlayersMark::Half => String::from("half"),
    }
}

/// The words for taking up an instrument.
pub(super) fn takes(instrument: InstrumentId) -> String {
    format!("take {}", instrument.get().name)
}
