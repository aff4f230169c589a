//! Who of a part plays, as states from place to place: solo, the players that are named, divided, one
//! desk, half of the section, all together.

use crate::say;
use barloom_core::event::{Marking, MarkingKind, Note, PlayersMark};
use barloom_core::instrument::Family;
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// What ends a state.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum SeatsEnd {
    /// Another marking of who plays.
    Marking,
    /// A rest of a bar or more, after the solo of a wind player.
    Rest,
    /// Nothing before the end of the movement.
    Nothing,
}

/// Some of a part play, or all of it in another way than usual, over a span.
#[derive(Clone, PartialEq, Debug)]
pub struct SeatsSpan {
    /// The part.
    pub part: PartIdx,
    /// The staff it is said of; `None` for the whole part.
    pub staff: Option<u8>,
    /// The players it binds, as far as the part tells them apart.
    pub players: PlayerSet,
    /// Who plays, or how.
    pub mark: PlayersMark,
    /// From where.
    pub from: Ticks,
    /// To where, exclusive.
    pub to: Ticks,
    /// The words that began it, as written.
    pub words: String,
    /// The words that ended it; empty if none did.
    pub end_words: String,
    /// What ended it.
    pub end: SeatsEnd,
    /// Line in the source file where it begins, 0 when there is none.
    pub line: u32,
}

impl SeatsSpan {
    /// The kind of state in facts.
    pub const fn name(&self) -> &'static str {
        match self.mark {
            PlayersMark::Solo => "solo",
            PlayersMark::Named => "named",
            PlayersMark::All => "together",
            PlayersMark::Divided(_) => "divided",
            PlayersMark::Desks(_) => "desks",
            PlayersMark::Half => "half",
        }
    }

    /// How many parts or desks the words say; `None` where they say no number.
    pub const fn number(&self) -> Option<u8> {
        match self.mark {
            PlayersMark::Divided(0) => None,
            PlayersMark::Divided(n) | PlayersMark::Desks(n) => Some(n),
            _ => None,
        }
    }

    /// "solo", "divided in 3", "2 desks", "player 2 only".
    pub fn in_words(&self) -> String {
        match self.mark {
            PlayersMark::Solo => format!("solo{}", numbers(self.players, ", player")),
            PlayersMark::Named => format!("only{}", numbers(self.players, " player")),
            PlayersMark::All => String::from("all together"),
            PlayersMark::Divided(0) => String::from("divided"),
            PlayersMark::Divided(n) => format!("divided in {n}"),
            PlayersMark::Desks(1) => String::from("one desk"),
            PlayersMark::Desks(n) => format!("{n} desks"),
            PlayersMark::Half => String::from("half of the section"),
        }
    }
}

fn numbers(players: PlayerSet, before: &str) -> String {
    if players.is_all() {
        return String::new();
    }
    let named = (0..PlayerSet::MAX_PLAYERS).filter(|player| players.contains(*player));
    let named: Vec<String> = named.map(|player| (player + 1).to_string()).collect();
    match named.as_slice() {
        [] => String::new(),
        [one] => format!("{before} {one}"),
        several => format!("{before}s {}", say::list(several)),
    }
}

/// Who of the parts of one movement plays.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct SeatsTrack {
    /// Sorted by part, then place.
    pub spans: Vec<SeatsSpan>,
}

impl SeatsTrack {
    /// The states of a movement. A marking of who plays ends the ones before it on its staff; those
    /// that stand at one place hold together. Strings play solo, divided or by desks until they are
    /// told otherwise; a wind player's solo is over after a bar of rest (common practice). That winds
    /// play "a 2" is a state, as they are written apart otherwise; that strings play "tutti" or
    /// "unis." only ends one.
    pub fn of(movement: &Movement) -> Self {
        let mut spans = Vec::new();
        for (part, music) in movement.parts() {
            let mut walk = Walk { movement, part, music, open: Vec::new(), spans: &mut spans };
            let told_apart = tells_apart(music);
            for marking in &music.markings {
                let MarkingKind::Players(mark) = marking.kind else { continue };
                // In the part of one player, numbers and "a 2" are left from the condensed score.
                let of_several = matches!(mark, PlayersMark::Named | PlayersMark::All);
                if told_apart || !of_several || family(music) == Family::Strings {
                    walk.mark(mark, marking);
                } else {
                    walk.end(marking);
                }
            }
            walk.finish(movement.bars.end());
        }
        spans.sort_by_key(|span| (span.part, span.from, span.staff));
        Self { spans }
    }

    /// The states of one part.
    pub fn of_part(&self, part: PartIdx) -> &[SeatsSpan] {
        let first = self.spans.partition_point(|span| span.part < part);
        let last = self.spans.partition_point(|span| span.part <= part);
        self.spans.get(first..last).unwrap_or_default()
    }

    /// The states in force for a part at a place.
    pub fn at(&self, part: PartIdx, at: Ticks) -> impl Iterator<Item = &SeatsSpan> {
        self.of_part(part).iter().filter(move |span| span.from <= at && at < span.to)
    }

    /// Solos, desks and halves of string sections that nothing ends although the section plays on
    /// after a rest of a bar: a "tutti" may be missing.
    pub fn never_ended<'a>(
        &'a self,
        movement: &'a Movement,
    ) -> impl Iterator<Item = &'a SeatsSpan> + 'a {
        self.spans.iter().filter(|span| {
            let some =
                matches!(span.mark, PlayersMark::Solo | PlayersMark::Desks(_) | PlayersMark::Half);
            let music = movement.part(span.part).filter(|music| family(music) == Family::Strings);
            some && span.end == SeatsEnd::Nothing
                && music.is_some_and(|music| rest_after(movement, music, span).is_some())
        })
    }
}

fn family(music: &PartMusic) -> Family {
    music.instruments.first().map_or(Family::Other, |taken| taken.instrument.get().family)
}

/// Whether anything in a part is for some of its players only.
fn tells_apart(music: &PartMusic) -> bool {
    music.notes.iter().any(|note| !note.players.is_all())
        || music.markings.iter().any(|marking| !marking.players.is_all())
}

/// The open states of one part.
struct Walk<'a> {
    movement: &'a Movement,
    part: PartIdx,
    music: &'a PartMusic,
    open: Vec<SeatsSpan>,
    spans: &'a mut Vec<SeatsSpan>,
}

impl Walk<'_> {
    fn mark(&mut self, mark: PlayersMark, marking: &Marking) {
        let is_again = |span: &SeatsSpan| {
            span.mark == mark && span.players == marking.players && span.staff == marking.staff
        };
        // Said again after a page turn; a solo said again begins anew after the rest that ended it.
        if self.open.iter().any(is_again) && mark != PlayersMark::Solo {
            return;
        }
        self.end(marking);
        let winds = matches!(family(self.music), Family::Woodwinds | Family::Brass);
        if mark == PlayersMark::All && !winds {
            return;
        }
        self.open.push(SeatsSpan {
            part: self.part,
            staff: marking.staff,
            players: marking.players,
            mark,
            from: marking.at,
            to: marking.at,
            words: marking.words.to_string(),
            end_words: String::new(),
            end: SeatsEnd::Nothing,
            line: marking.line,
        });
    }

    /// Ends what is open on the staff of a marking; what begins at one place holds together, but for
    /// "all".
    fn end(&mut self, marking: &Marking) {
        let all = marking.kind == MarkingKind::Players(PlayersMark::All);
        let mut kept = Vec::new();
        for span in std::mem::take(&mut self.open) {
            let same_staff =
                span.staff.is_none() || marking.staff.is_none() || span.staff == marking.staff;
            if !same_staff || span.from == marking.at && !all {
                kept.push(span);
            } else if marking.at > span.from {
                let end_words = marking.words.to_string();
                let ended = SeatsSpan { to: marking.at, end_words, end: SeatsEnd::Marking, ..span };
                self.close(ended);
            }
        }
        self.open = kept;
    }

    fn close(&mut self, mut span: SeatsSpan) {
        if span.mark == PlayersMark::Solo && family(self.music) != Family::Strings {
            let rest = rest_after(self.movement, self.music, &span);
            if let Some(rest) = rest.filter(|rest| *rest > span.from) {
                span.to = rest;
                span.end = SeatsEnd::Rest;
                span.end_words.clear();
            }
        }
        self.spans.push(span);
    }

    fn finish(&mut self, end: Ticks) {
        for span in std::mem::take(&mut self.open) {
            if end > span.from {
                self.close(SeatsSpan { to: end, ..span });
            }
        }
    }
}

/// Where in a state the part falls silent for a bar or more and plays again later in it.
fn rest_after(movement: &Movement, music: &PartMusic, span: &SeatsSpan) -> Option<Ticks> {
    let here = |note: &&Note| {
        note.sounds() && span.staff.is_none_or(|staff| staff == note.staff) && note.onset < span.to
    };
    let mut silent_from: Option<Ticks> = None;
    for note in music.notes_in(span.from, span.to).iter().filter(here) {
        if let Some(from) = silent_from
            && has_whole_bar(movement, from, note.onset)
        {
            return Some(from);
        }
        let end = note.onset + note.length;
        silent_from = Some(silent_from.map_or(end, |from| from.max(end)));
    }
    None
}

/// Whether a bar lies wholly in [from, to].
fn has_whole_bar(movement: &Movement, from: Ticks, to: Ticks) -> bool {
    let first = movement.bars.bar_at(from);
    let bars = movement.bars.as_slice();
    let near = bars.get(first.map_or(0, |bar| bar.idx())..).unwrap_or_default();
    near.iter().find(|bar| bar.start >= from).is_some_and(|bar| bar.end() <= to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    /// States with their first and last quarter and what ends them.
    fn states(part: &str) -> Vec<(String, i64, i64, SeatsEnd)> {
        let movement = movement(&[part]);
        let quarter = i64::from(movement.resolution.ticks_per_quarter());
        let row = |span: &SeatsSpan| {
            (span.in_words(), span.from.0 / quarter, span.to.0 / quarter, span.end)
        };
        SeatsTrack::of(&movement).spans.iter().map(row).collect()
    }

    /// Divided players play together again at "unis."; "a 2" for strings divides them (handbooks of
    /// orchestration, from memory).
    #[test]
    fn a_section_is_divided_until_it_is_united() {
        let found = states("violin: 4/4 c4:4 | !div2 c4:4 | c4:4 | !tutti c4:4");
        assert_eq!(found, [(String::from("divided in 2"), 4, 12, SeatsEnd::Marking)]);
    }

    #[test]
    fn one_state_replaces_the_other() {
        let found = states("viola: 4/4 !div3 c4:4 | !half c4:4 | !desks1 c4:4 | !tutti c4:4");
        let names: Vec<_> = found.iter().map(|(name, from, ..)| (name.as_str(), *from)).collect();
        assert_eq!(names, [("divided in 3", 0), ("half of the section", 4), ("one desk", 8)]);
        assert!(found.iter().all(|(.., end)| *end == SeatsEnd::Marking));
    }

    #[test]
    fn a_solo_of_strings_needs_a_tutti_and_one_of_winds_does_not() {
        let line = "!solo c5:4 | r:4 | c5:4";
        let found = states(&format!("oboe: 4/4 {line}"));
        assert_eq!(found, [(String::from("solo"), 0, 4, SeatsEnd::Rest)]);
        let violin = movement(&[&format!("violin: 4/4 {line}")]);
        let track = SeatsTrack::of(&violin);
        assert_eq!(track.spans[0].end, SeatsEnd::Nothing);
        assert_eq!(track.never_ended(&violin).count(), 1);
        let violin = movement(&["violin: 4/4 !solo c5:4 | c5:4 | c5:4"]);
        assert_eq!(SeatsTrack::of(&violin).never_ended(&violin).count(), 0, "a solo to the end");
    }

    #[test]
    fn winds_play_a_2_from_the_words_to_the_next_number() {
        let found = states("flute: 4/4 c5:4 | !tutti=a2 c5:4 | !1:named=1. c5:4 | c5:4");
        let names: Vec<_> = found.iter().map(|(name, from, ..)| (name.as_str(), *from)).collect();
        assert_eq!(names, [("all together", 4), ("only player 1", 8)]);
        assert_eq!(found[1].3, SeatsEnd::Nothing);
    }

    /// A part of one player that was cut out of a condensed score keeps its numbers.
    #[test]
    fn numbers_in_the_part_of_one_player_say_nothing() {
        assert_eq!(states("flute: 4/4 !named=I. c5:4 | !tutti=a2 c5:4"), []);
        let found = states("flute: 4/4 !solo c5:4 | !tutti=a2 c5:4");
        assert_eq!(found, [(String::from("solo"), 0, 4, SeatsEnd::Marking)]);
    }

    #[test]
    fn numbers_at_one_place_hold_together_and_a_reminder_changes_nothing() {
        let found = states("flute: 4/4 !1:named !2:named c5:4 | !1:named c5:4 | !tutti c5:4");
        let names = found.iter().map(|(name, from, to, _)| (name.as_str(), *from, *to));
        let expected = [("only player 1", 0, 8), ("only player 2", 0, 8), ("all together", 8, 12)];
        assert_eq!(names.collect::<Vec<_>>(), expected);
        assert_eq!(states("flute: 4/4"), []);
    }
}
