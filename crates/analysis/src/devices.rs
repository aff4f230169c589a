//! Mutes, bows and other techniques as states from place to place, with the words or the signs
//! behind them.

mod stopping;

use barloom_core::event::{Device, DeviceGroup, Manner, Marking, MarkingKind, NoteTraits};
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;
use std::fmt;

/// A technique in force for some players over a span.
#[derive(Clone, PartialEq, Debug)]
pub struct DeviceSpan {
    /// The part.
    pub part: PartIdx,
    /// Whom it binds.
    pub players: PlayerSet,
    /// The technique.
    pub device: Device,
    /// From where.
    pub from: Ticks,
    /// To where, exclusive; the end of the movement if nothing ends it.
    pub to: Ticks,
    /// The words that began it, as written.
    pub words: String,
    /// The words that ended it; empty if nothing did.
    pub end_words: String,
    /// Whether a marking ends it.
    pub ended: bool,
    /// Line in the source file where it begins, 0 when there is none.
    pub line: u32,
}

/// The techniques of one movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct DevicesTrack {
    /// Sorted by part, then place.
    pub spans: Vec<DeviceSpan>,
    /// What does not add up, by part.
    pub problems: Vec<DeviceProblem>,
}

/// Techniques that do not add up.
#[derive(Clone, PartialEq, Debug)]
pub struct DeviceProblem {
    /// The part.
    pub part: PartIdx,
    /// Where it shows.
    pub at: Ticks,
    /// What.
    pub kind: DeviceProblemKind,
    /// The words in question, as written.
    pub words: String,
}

/// What does not add up.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum DeviceProblemKind {
    /// A mute that is never taken off.
    MuteStays,
    /// A mute that only the next movement takes off.
    MuteIntoNext,
    /// A mute is taken off that was never put on.
    MuteNotOn,
    /// Pizzicato is written again, and in between the part was bowed.
    ArcoMissing,
}

impl fmt::Display for DeviceProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match self.kind {
            DeviceProblemKind::MuteStays => "is not taken back before the end",
            DeviceProblemKind::MuteIntoNext => "stays on until the next movement takes it off",
            DeviceProblemKind::MuteNotOn => "takes off a mute that was not put on before",
            DeviceProblemKind::ArcoMissing => {
                "is written again after bowed notes: an arco may be missing"
            }
        };
        write!(f, "\u{201c}{}\u{201d} {what}", self.words)
    }
}

impl DevicesTrack {
    /// The techniques of a movement. A device ends where a marking ends it, or where another device of
    /// its group begins for the same players; arco ends plucking and wood. Horns are stopped as long
    /// as their notes have the plus sign.
    pub fn of(movement: &Movement) -> Self {
        let mut track = Self::default();
        for (part, music) in movement.parts() {
            let mut walk = Walk { part, music, open: Vec::new(), track: &mut track };
            for marking in &music.markings {
                if let MarkingKind::Device { device, on } = marking.kind {
                    if on { walk.begin(device, marking) } else { walk.end(device, marking) }
                }
            }
            walk.finish(movement.bars.end());
            stopping::add(part, music, &mut track.spans);
        }
        track.spans.sort_by_key(|span| (span.part, span.from, span.device));
        track
    }

    /// The spans of one part.
    pub fn of_part(&self, part: PartIdx) -> &[DeviceSpan] {
        let first = self.spans.partition_point(|span| span.part < part);
        let last = self.spans.partition_point(|span| span.part <= part);
        self.spans.get(first..last).unwrap_or_default()
    }

    /// The techniques in force for a part at a place.
    pub fn at(&self, part: PartIdx, at: Ticks) -> impl Iterator<Item = &DeviceSpan> {
        self.of_part(part).iter().filter(move |span| span.from <= at && at < span.to)
    }

    /// Whether a mute is put on or taken off by the part in [from, to].
    pub(crate) fn mute_changes(&self, part: PartIdx, from: Ticks, to: Ticks) -> bool {
        let inside = |at: Ticks| from <= at && at <= to;
        self.of_part(part).iter().filter(|span| span.device == Device::Mute).any(|span| {
            // The state at the very start of the part is not a change during a rest.
            inside(span.from) && span.from > Ticks::ZERO || span.ended && inside(span.to)
        })
    }
}

/// The open spans of one part.
struct Walk<'a> {
    part: PartIdx,
    music: &'a PartMusic,
    open: Vec<DeviceSpan>,
    track: &'a mut DevicesTrack,
}

impl Walk<'_> {
    fn begin(&mut self, device: Device, marking: &Marking) {
        let covered = |span: &DeviceSpan| {
            span.device == device && less(marking.players, span.players).is_none()
        };
        if self.open.iter().any(covered) {
            self.said_again(device, marking);
            return;
        }
        let rival = |open: Device| {
            open == device || device.group() != DeviceGroup::Alone && open.group() == device.group()
        };
        self.close(rival, marking);
        self.open.push(DeviceSpan {
            part: self.part,
            players: marking.players,
            device,
            from: marking.at,
            to: marking.at,
            words: marking.words.to_string(),
            end_words: String::new(),
            ended: false,
            line: marking.line,
        });
    }

    fn report(&mut self, at: Ticks, kind: DeviceProblemKind, words: &str) {
        let (part, words) = (self.part, words.to_owned());
        self.track.problems.push(DeviceProblem { part, at, kind, words });
    }

    /// A reminder is common; but when the part was bowed in between, an "arco" is missing.
    fn said_again(&mut self, device: Device, marking: &Marking) {
        let before = self.open.iter().find(|span| span.device == device).map(|span| span.from);
        let Some(from) = before.filter(|_| device == Device::Plucked) else { return };
        let bowed = |note: &barloom_core::event::Note| {
            note.traits.any(NoteTraits::SLUR_BEGINS)
                || note.manner.any(Manner::UP_BOW | Manner::DOWN_BOW | Manner::TREMOLO_PAIR)
                || note.tremolo > 0
        };
        if self.music.notes_in(from, marking.at).iter().any(bowed) {
            self.report(marking.at, DeviceProblemKind::ArcoMissing, &marking.words);
        }
    }

    fn end(&mut self, device: Device, marking: &Marking) {
        let ordinary = says_ordinary(&marking.words);
        let open_again = says_open(&marking.words);
        let ended = self.close(
            |open| {
                open == device
                    || device.group() != DeviceGroup::Alone && open.group() == device.group()
                    || ordinary && is_manner(open)
                    || open_again && matches!(open, Device::Mute | Device::Stopped)
            },
            marking,
        );
        if !ended && device == Device::Mute && !open_again {
            self.report(marking.at, DeviceProblemKind::MuteNotOn, &marking.words);
        }
    }

    /// Ends the open spans of the devices picked, as far as the marking's players go; whether any
    /// was ended.
    fn close(&mut self, picked: impl Fn(Device) -> bool, marking: &Marking) -> bool {
        let mut kept = Vec::new();
        let mut ended = false;
        for span in std::mem::take(&mut self.open) {
            if !picked(span.device) || !span.players.overlaps(marking.players) {
                kept.push(span);
                continue;
            }
            ended = true;
            let rest = less(span.players, marking.players);
            if let Some(players) = rest {
                kept.push(DeviceSpan { players, ..span.clone() });
            }
            let players = rest.map_or(span.players, |_| marking.players);
            if marking.at > span.from {
                self.track.spans.push(DeviceSpan {
                    players,
                    to: marking.at,
                    end_words: marking.words.to_string(),
                    ended: true,
                    ..span
                });
            }
        }
        self.open = kept;
        ended
    }

    fn finish(&mut self, end: Ticks) {
        for span in std::mem::take(&mut self.open) {
            if span.device == Device::Mute {
                self.report(span.from, DeviceProblemKind::MuteStays, &span.words);
            }
            if end > span.from {
                self.track.spans.push(DeviceSpan { to: end, ..span });
            }
        }
    }
}

/// Sees over the ends of movements: a mute that stays on and is taken off in the next movement is
/// no oversight there.
pub fn join(before: &mut DevicesTrack, after: &mut DevicesTrack) {
    for problem in &mut before.problems {
        if problem.kind != DeviceProblemKind::MuteStays {
            continue;
        }
        let taken_off = after.problems.iter().position(|later| {
            later.part == problem.part && later.kind == DeviceProblemKind::MuteNotOn
        });
        if let Some(idx) = taken_off {
            after.problems.remove(idx);
            problem.kind = DeviceProblemKind::MuteIntoNext;
        }
    }
}

/// The players of `all` that are not in `taken`; `None` when nobody is left.
fn less(all: PlayerSet, taken: PlayerSet) -> Option<PlayerSet> {
    if taken.is_all() {
        return None;
    }
    let left =
        (0..PlayerSet::MAX_PLAYERS).filter(|idx| all.contains(*idx) && !taken.contains(*idx));
    let left = PlayerSet::of(left);
    (left != PlayerSet::of([])).then_some(left)
}

/// Whether a device is a manner that "ord." or "nat." ends: place and wood of the bow, harmonics,
/// tremolo, flutter-tongue, brassy, bells up (common practice).
fn is_manner(device: Device) -> bool {
    device.group() == DeviceGroup::Place
        || matches!(
            device,
            Device::Wood
                | Device::Harmonics
                | Device::Tremolo
                | Device::Flutter
                | Device::Brassy
                | Device::BellsUp
        )
}

fn says_ordinary(words: &str) -> bool {
    let has = |start: &str| words.to_lowercase().split_whitespace().any(|w| w.starts_with(start));
    ["ord", "nat", "norm", "gew"].iter().any(|start| has(start))
}

fn says_open(words: &str) -> bool {
    let has = |start: &str| words.to_lowercase().split_whitespace().any(|w| w.starts_with(start));
    ["open", "offen", "ouvert", "apert"].iter().any(|start| has(start))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    fn spans(part: &str) -> (Vec<(Device, i64, i64, bool)>, usize) {
        let movement = movement(&[part]);
        let track = DevicesTrack::of(&movement);
        let quarter = i64::from(movement.resolution.ticks_per_quarter());
        let row = |span: &DeviceSpan| {
            (span.device, span.from.0 / quarter, span.to.0 / quarter, span.ended)
        };
        (track.spans.iter().map(row).collect(), track.problems.len())
    }

    #[test]
    fn a_mute_holds_until_taken_off_and_is_missed_at_the_end() {
        let (found, problems) = spans("4/4 !+mute c4:4 | c4:4 | !-mute c4:4");
        assert_eq!((found, problems), (vec![(Device::Mute, 0, 8, true)], 0));
        let (found, problems) = spans("4/4 c4:4 | !+mute c4:4 | c4:4");
        assert_eq!((found, problems), (vec![(Device::Mute, 4, 12, false)], 1));
        let (found, problems) = spans("4/4 !-mute c4:4");
        assert_eq!((found, problems), (vec![], 1));
    }

    #[test]
    fn a_second_pizzicato_after_bowed_notes_is_noticed() {
        let (found, problems) = spans("4/4 !+plucked c4:4 | c4:2( d4) | !+plucked c4:4");
        assert_eq!((found, problems), (vec![(Device::Plucked, 0, 12, false)], 1));
        let (_, problems) = spans("4/4 !+plucked c4:4 | c4:2 d4 | !+plucked c4:4");
        assert_eq!(problems, 0, "a reminder");
    }

    #[test]
    fn a_mute_may_stay_on_into_the_next_movement() {
        let of = |part| DevicesTrack::of(&movement(&[part]));
        let (mut first, mut second) = (of("4/4 !+mute=sord. c4:4"), of("4/4 c4:4 | !-mute c4:4"));
        join(&mut first, &mut second);
        assert!(second.problems.is_empty());
        let text = first.problems[0].to_string();
        assert_eq!(text, "\u{201c}sord.\u{201d} stays on until the next movement takes it off");
    }

    #[test]
    fn arco_ends_plucking_and_wood() {
        let (found, _) = spans("4/4 !+plucked c4:4 | !+wood c4:4 | !-plucked c4:4");
        assert_eq!(found, [(Device::Plucked, 0, 4, true), (Device::Wood, 4, 8, true)]);
    }

    #[test]
    fn ordinary_ends_place_and_wood_but_not_the_mute() {
        let (found, _) =
            spans("4/4 !+mute !+bridge c4:4 | !+wood c4:4 | !-bridge=ord. c4:4 | !-mute c4:4");
        assert_eq!(
            found,
            [(Device::Mute, 0, 12, true), (Device::Bridge, 0, 8, true), (Device::Wood, 4, 8, true)]
        );
    }

    #[test]
    fn a_mute_is_taken_off_by_one_player_only() {
        let movement = movement(&["4/4 !+mute c4:4 | !1:-mute c4:4 | !-mute c4:4"]);
        let track = DevicesTrack::of(&movement);
        let at = movement.bars.as_slice()[1].start;
        let muted: Vec<_> = track.at(PartIdx(0), at).collect();
        assert_eq!(muted.len(), 1);
        assert!(muted[0].players.contains(1) && !muted[0].players.contains(0));
    }
}
