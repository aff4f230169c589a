//! "Why?": the words, notes and lines behind each kind of value at a bar.

use crate::seats::SeatsEnd;
use crate::who::Roll;
use crate::words::in_words;
use crate::{MovementTracks, Tracks, say};
use barloom_core::bar::{Bar, BarAddress, BarIndex};
use barloom_core::basis::Basis;
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::part_bars::RepeatSign;
use barloom_core::score::{Movement, Score};
use barloom_core::time::Ticks;

/// What is asked about.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Question {
    /// The tempo.
    Tempo,
    /// The meter.
    Meter,
    /// The level of a part.
    Level,
    /// The techniques in force for a part.
    Device,
    /// A part's last entrance.
    Entrance,
    /// How many parts sound.
    Texture,
    /// The proposed pattern.
    Beating,
    /// Whether a part plays.
    Playing,
}

/// One piece of evidence.
#[derive(Clone, PartialEq, Debug)]
pub struct Evidence {
    /// What it says, without a final stop.
    pub text: String,
    /// Where it stands.
    pub at: BarAddress,
    /// The part it is written in, if it belongs to one.
    pub part: Option<PartIdx>,
    /// Line in the source file, 0 when there is none.
    pub line: u32,
}

/// The evidence for a value at a bar; for questions about a part, of that part. Empty if nothing
/// is known.
pub fn why(
    basis: &Basis,
    tracks: &Tracks,
    movement: usize,
    bar: BarIndex,
    part: Option<PartIdx>,
    question: Question,
) -> Vec<Evidence> {
    let found = basis.score.movements.get(movement).zip(tracks.movements.get(movement));
    let Some((movement, tracks)) = found else { return Vec::new() };
    let Some(row) = movement.bars.get(bar) else { return Vec::new() };
    let scene = Scene { score: &basis.score, movement, tracks, bar, row };
    match (question, part) {
        (Question::Tempo, _) => scene.tempo(),
        (Question::Meter, _) => scene.meter(),
        (Question::Texture, _) => scene.texture(),
        (Question::Beating, _) => scene.beating(),
        (Question::Level, Some(part)) => scene.level(part),
        (Question::Device, Some(part)) => scene.devices(part),
        (Question::Entrance, Some(part)) => scene.entrance(part),
        (Question::Playing, Some(part)) => {
            let mut found = scene.playing(part);
            found.extend(scene.seats(part));
            found
        }
        _ => Vec::new(),
    }
}

struct Scene<'a> {
    score: &'a Score,
    movement: &'a Movement,
    tracks: &'a MovementTracks,
    bar: BarIndex,
    row: &'a Bar,
}

impl Scene<'_> {
    fn at(&self, at: Ticks, part: Option<PartIdx>, line: u32, text: String) -> Evidence {
        Evidence { text, at: self.movement.address(at), part, line }
    }

    fn tempo(&self) -> Vec<Evidence> {
        let tempo = &self.tracks.tempo;
        let first = tempo.segments.partition_point(|segment| segment.at <= self.row.start);
        let segments = tempo.segments.iter().skip(first.max(1) - 1);
        let mut found: Vec<Evidence> = segments
            .take_while(|segment| segment.at < self.row.end())
            .map(|segment| {
                let words = quoted(&segment.words);
                let origin = segment.origin;
                let text = format!("{origin}{words}: {}", segment.why);
                self.at(segment.at, None, segment.line, text)
            })
            .collect();
        let from =
            found.first().map(|_| tempo.segment_at(self.row.start).map_or(Ticks::ZERO, |s| s.at));
        let concerns = |at: Ticks| from.is_some_and(|from| from <= at) && at < self.row.end();
        let problems = tempo.problems.iter().filter(|(at, _)| concerns(*at));
        found.extend(problems.map(|(at, text)| self.at(*at, None, 0, text.clone())));
        found
    }

    fn meter(&self) -> Vec<Evidence> {
        let bars = self.movement.bars.as_slice().get(..=self.bar.idx()).unwrap_or_default();
        let same = bars.iter().rev().take_while(|bar| bar.meter.terms == self.row.meter.terms);
        let first = same.last().unwrap_or(self.row);
        let text = format!("{} since bar {}", self.row.meter_text(), self.name_at(first.start));
        let mut found = vec![self.at(first.start, None, first.line, text)];
        found.extend(self.own_meters());
        if self.row.length != self.row.nominal {
            let quarters = |ticks| self.movement.resolution.quarters(ticks);
            let (length, nominal) = (quarters(self.row.length), quarters(self.row.nominal));
            let what = if self.row.pickup { "an upbeat: " } else { "" };
            let text = format!("{what}{length} of {nominal} quarters sound");
            found.push(self.at(self.row.start, None, self.row.line, text));
        }
        found
    }

    /// Parts that count in a meter of their own here.
    fn own_meters(&self) -> Vec<Evidence> {
        let mut found = Vec::new();
        for (part, music) in self.movement.parts() {
            for own in music.meters.iter().filter(|own| own.from <= self.bar && self.bar <= own.to)
            {
                let staff = own.staff.map_or(String::new(), |staff| format!("staff {staff}: "));
                let since = self.movement.bars.get(own.from).unwrap_or(self.row);
                let name = self.name_at(since.start);
                let text = format!("{staff}{} of its own since bar {name}", own.meter);
                found.push(self.at(since.start, Some(part), since.line, text));
            }
        }
        found
    }

    fn level(&self, part: PartIdx) -> Vec<Evidence> {
        let Some(dynamics) = self.tracks.dynamics.parts.get(part.idx()) else { return Vec::new() };
        let mut found: Vec<Evidence> = Vec::new();
        let inside = dynamics
            .changes
            .iter()
            .filter(|change| self.row.start < change.at && change.at < self.row.end());
        for change in dynamics.changes_in_force(self.row.start).chain(inside) {
            let who = self.players(part, change.players);
            let words = quoted(&change.words);
            let text = format!("{}{words} in bar {}{who}", change.level, self.name_at(change.at));
            found.push(self.at(change.at, Some(part), change.line, text));
        }
        for hairpin in &dynamics.hairpins {
            if hairpin.from < self.row.end() && hairpin.to > self.row.start {
                let what = if hairpin.louder { "louder" } else { "softer" };
                let target = hairpin.target.map(|level| format!(" to {level}")).unwrap_or_default();
                let end = if hairpin.end_written { "" } else { ", its end is assumed" };
                let from = self.name_at(hairpin.from);
                let text = format!("{what}{target} from bar {from}{end}");
                found.push(self.at(hairpin.from, Some(part), 0, text));
            }
        }
        found
    }

    fn devices(&self, part: PartIdx) -> Vec<Evidence> {
        let spans = self.tracks.devices.of_part(part).iter();
        let here = spans.filter(|span| span.from < self.row.end() && span.to >= self.row.start);
        let mut found: Vec<Evidence> = here
            .map(|span| {
                let (what, words) = (in_words(span.device), quoted(&span.words));
                let who = self.players(part, span.players);
                let end = if span.ended {
                    let words = quoted(&span.end_words);
                    format!(" to bar {}{words}", self.name_at(span.to))
                } else {
                    String::from(", not taken back")
                };
                let text = format!("{what} from bar {}{words}{end}{who}", self.name_at(span.from));
                self.at(span.from, Some(part), span.line, text)
            })
            .collect();
        let problems = self.tracks.devices.problems.iter();
        let own = problems.filter(|problem| problem.part == part && problem.at < self.row.end());
        found.extend(own.map(|problem| self.at(problem.at, Some(part), 0, problem.to_string())));
        found
    }

    fn entrance(&self, part: PartIdx) -> Vec<Evidence> {
        let mut own = self.tracks.entrances.iter().filter(|entrance| entrance.part == part);
        let Some(last) = own.rfind(|entrance| entrance.bar <= self.bar) else {
            return Vec::new();
        };
        let rest = say::count(last.rest_bars as usize, "bar");
        let bar = self.movement.bar_name(last.bar);
        let silence = last.rest_quarters;
        let text =
            format!("enters in bar {bar} after {rest} of rest, {silence} quarters of silence");
        let line = self.first_line(part, last.at);
        let mut found = vec![self.at(last.at, Some(part), line, text)];
        let reason = |reason: &String| {
            self.at(last.at, Some(part), line, format!("speaks for a cue: {reason}"))
        };
        found.extend(last.reasons.iter().map(reason));
        found
    }

    fn texture(&self) -> Vec<Evidence> {
        let roll = Roll::of(self.score, self.movement, &self.tracks.playing, None);
        let sounding: Vec<PartIdx> = self.tracks.playing.parts_in(self.bar).collect();
        let (n, all) = (sounding.len(), roll.n_parts());
        let who = if n == 0 { String::from("nobody") } else { roll.words(&sounding) };
        let text = format!("{n} of {all} parts that play in this movement sound: {who}");
        let mut found = vec![self.at(self.row.start, None, self.row.line, text)];
        let Some((low, high)) = self.tracks.texture.get(self.bar.idx()).and_then(|t| t.span) else {
            return found;
        };
        for (pitch, what) in [(low, "lowest"), (high, "highest")] {
            for part in &sounding {
                let notes = self.movement.part(*part);
                let notes = notes.map(|music| music.notes_in(self.row.start, self.row.end()));
                let note = notes.unwrap_or_default().iter().find(|n| n.sounding == Some(pitch));
                if let Some(note) = note.filter(|note| note.sounds()) {
                    let written =
                        note.written.map(|w| format!(", written {w}")).unwrap_or_default();
                    let text = format!("{what} note in {}{written}", roll.name(*part));
                    found.push(self.at(note.onset, Some(*part), note.line, text));
                    break;
                }
            }
        }
        found
    }

    fn beating(&self) -> Vec<Evidence> {
        let Some(proposal) = self.tracks.beating.get(self.bar.idx()) else { return Vec::new() };
        let text = proposal.reason.clone();
        let mut found = vec![self.at(self.row.start, None, self.row.line, text)];
        found.extend(self.tempo());
        found
    }

    fn playing(&self, part: PartIdx) -> Vec<Evidence> {
        let Some(music) = self.movement.part(part) else { return Vec::new() };
        let start = self.row.start;
        if let Some(repeat) = music.repeats_in(self.bar).first() {
            let of = repeat.source.map(|source| self.movement.bar_name(source));
            let text = match (repeat.sign, of) {
                (RepeatSign::Bars(_), Some(name)) => format!("a sign repeats bar {name}"),
                (RepeatSign::Bars(_), None) => String::from("a sign repeats bars"),
                (RepeatSign::Beat, _) => String::from("a sign repeats a beat"),
                (RepeatSign::Slashes { .. }, _) => String::from("slashes stand for the music"),
            };
            return vec![self.at(start, Some(part), self.row.line, text)];
        }
        let notes = music.notes_in(start, self.row.end());
        let begun = notes.iter().filter(|note| note.is_counted()).count();
        let first = notes.iter().find(|note| note.sounds());
        let text = match first {
            Some(_) if begun > 0 => format!("{} begin in this bar", say::count(begun, "note")),
            Some(_) => String::from("notes are held over from before"),
            None if self.tracks.playing.sounds(part, self.bar) => {
                String::from("a note reaches into this bar")
            }
            None if notes.is_empty() => String::from("no note is written"),
            None => String::from("only cue notes are written"),
        };
        let at = first.map_or(start, |note| note.onset);
        vec![self.at(at, Some(part), first.map_or(self.row.line, |note| note.line), text)]
    }

    /// Who of the part plays here, with the words behind it.
    fn seats(&self, part: PartIdx) -> Vec<Evidence> {
        let spans = self.tracks.seats.of_part(part).iter();
        let here = spans.filter(|span| span.from < self.row.end() && span.to > self.row.start);
        here.map(|span| {
            let (what, words) = (span.in_words(), quoted(&span.words));
            let end = match span.end {
                SeatsEnd::Marking => {
                    format!(" to bar {}{}", self.name_at(span.to), quoted(&span.end_words))
                }
                SeatsEnd::Rest => String::from(", assumed to its next bar of rest"),
                SeatsEnd::Nothing => String::from(", no word ends it"),
            };
            let text = format!("{what} from bar {}{words}{end}", self.name_at(span.from));
            self.at(span.from, Some(part), span.line, text)
        })
        .collect()
    }

    fn first_line(&self, part: PartIdx, at: Ticks) -> u32 {
        let notes = self.movement.part(part).map(|music| music.notes_in(at, at + Ticks(1)));
        notes.unwrap_or_default().iter().find(|note| note.sounds()).map_or(0, |note| note.line)
    }

    fn name_at(&self, at: Ticks) -> String {
        self.movement.bar_name(self.movement.place(at).0)
    }

    /// " for Clarinet 2" when a marking does not bind everyone.
    fn players(&self, part: PartIdx, players: PlayerSet) -> String {
        if players.is_all() {
            return String::new();
        }
        let all = self.score.parts.get(part.idx()).map(|part| part.players.as_slice());
        let name = |idx: usize| {
            let name = all.and_then(|all| all.get(idx)).map(|player| player.name.clone());
            name.unwrap_or_else(|| format!("player {}", idx + 1))
        };
        let n_players = all.map_or(PlayerSet::MAX_PLAYERS, <[_]>::len);
        let named: Vec<String> =
            (0..n_players).filter(|idx| players.contains(*idx)).map(name).collect();
        if named.is_empty() { String::new() } else { format!(", {}", say::list(&named)) }
    }
}

fn quoted(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!(" \u{201c}{words}\u{201d}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{self, mark, metronome};

    fn texts(question: Question, bar: u32, part: u16) -> Vec<(String, u32, u32)> {
        let mut movement = testing::movement(&[
            "flute: 6/8 !p c5:3 | !+mute=sord. !solo d5:3 | r:3 | r:3 | !cresc e5:3",
            "piccolo: 6/8 c6:3 | r:3 | c6:3_ | ~c6:3 | c6:3",
        ]);
        mark(&mut movement, 0, "0", metronome("3/2", 52.0), "Largamente");
        let (basis, tracks) = testing::analyzed(movement);
        let part = Some(PartIdx(part));
        why(&basis, &tracks, 0, BarIndex(bar), part, question)
            .into_iter()
            .map(|evidence| (evidence.text, evidence.at.bar.0, evidence.line))
            .collect()
    }

    #[test]
    fn every_kind_of_value_answers_with_words_and_a_line() {
        let tempo = &texts(Question::Tempo, 3, 0)[0];
        assert_eq!(tempo.0, "printed \u{201c}Largamente\u{201d}: printed dotted quarter = 52");
        assert_eq!((tempo.1, tempo.2), (0, 7));
        assert_eq!(texts(Question::Meter, 3, 0)[0].0, "6/8 since bar 1");
        let level = texts(Question::Level, 4, 0);
        assert_eq!(level[0].0, "p \u{201c}p\u{201d} in bar 1");
        assert!(level[1].0.starts_with("louder from bar 5, its end is assumed"));
        let device = &texts(Question::Device, 4, 0)[0];
        assert_eq!(device.0, "muted from bar 2 \u{201c}sord.\u{201d}, not taken back");
        assert!(device.2 > 0);
        let entrance = texts(Question::Entrance, 4, 0);
        assert!(entrance[0].0.starts_with("enters in bar 5 after 2 bars of rest"));
        assert!(texts(Question::Texture, 4, 0)[0].0.starts_with("2 of 2 parts"));
        assert!(
            texts(Question::Texture, 4, 0)[2].0.contains("highest note in Piccolo 2, written C6")
        );
        assert_eq!(texts(Question::Beating, 0, 0)[0].0, "dotted quarter = 52: in two");
        assert_eq!(texts(Question::Playing, 3, 1)[0].0, "notes are held over from before");
        assert_eq!(texts(Question::Playing, 3, 0)[0].0, "no note is written");
        let solo = &texts(Question::Playing, 1, 0)[1];
        assert_eq!(solo.0, "solo from bar 2 \u{201c}solo\u{201d}, assumed to its next bar of rest");
        assert!(texts(Question::Playing, 99, 0).is_empty());
    }
}
