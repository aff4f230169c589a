//! Effective dynamic levels of every part, hairpins, and the band between the softest and the
//! loudest part of each bar.

use crate::playing::PlayingTrack;
use barloom_core::bar::BarIndex;
use barloom_core::event::{Level, Marking, MarkingKind};
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::Ticks;

/// A level that holds for some players from a place on.
#[derive(Clone, PartialEq, Debug)]
pub struct LevelChange {
    /// From where.
    pub at: Ticks,
    /// The level.
    pub level: Level,
    /// Whom it binds.
    pub players: PlayerSet,
    /// As written; empty for a plain sign.
    pub words: String,
    /// Line in the source file, 0 when there is none.
    pub line: u32,
}

/// A hairpin, or cresc./dim. in words, with the end it was given or reaches.
#[derive(Clone, PartialEq, Debug)]
pub struct Hairpin {
    /// From where.
    pub from: Ticks,
    /// To where, exclusive.
    pub to: Ticks,
    /// Louder or softer.
    pub louder: bool,
    /// Whether the end is written (a sign, or a level that follows) and not assumed.
    pub end_written: bool,
    /// The level it leads to, if one follows at its end.
    pub target: Option<Level>,
}

/// The levels of one part.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct PartDynamics {
    /// Sorted by place.
    pub changes: Vec<LevelChange>,
    /// Sorted by place.
    pub hairpins: Vec<Hairpin>,
    /// Accents of the sf family, by place.
    pub accents: Vec<Ticks>,
}

impl PartDynamics {
    /// The level in force at a place, the loudest of its players; `None` before any is written.
    pub fn level_at(&self, at: Ticks) -> Option<Level> {
        self.changes_in_force(at).map(|change| change.level).max()
    }

    /// The changes that still bind someone at a place, the latest first.
    pub fn changes_in_force(&self, at: Ticks) -> impl Iterator<Item = &LevelChange> {
        let after = self.changes.partition_point(|change| change.at <= at);
        let earlier = self.changes.get(..after).unwrap_or_default();
        let mut bound = PlayerSet::of([]);
        let mut moment = None;
        earlier.iter().rev().filter(move |change| {
            let here = moment == Some(change.at);
            if bound.is_all() && !here {
                return false;
            }
            let binds_more = bound.union(change.players) != bound;
            bound = bound.union(change.players);
            if binds_more {
                moment = Some(change.at);
            }
            // Two levels written at one moment, for two voices, hold together.
            binds_more || here
        })
    }

    /// The levels and the places where they change in (from, to).
    fn changes_inside(&self, from: Ticks, to: Ticks) -> impl Iterator<Item = &LevelChange> {
        let first = self.changes.partition_point(|change| change.at <= from);
        let rest = self.changes.get(first..).unwrap_or_default();
        rest.iter().take_while(move |change| change.at < to)
    }
}

/// The levels of one movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct DynamicsTrack {
    /// By part of the work.
    pub parts: Vec<PartDynamics>,
    /// For each bar the softest and the loudest level among the sounding parts at its start and, when
    /// it differs, inside it; `None` where no level is known or nothing sounds.
    pub band: Vec<Option<(Level, Level)>>,
}

impl DynamicsTrack {
    /// The levels of a movement.
    pub fn of(movement: &Movement, playing: &PlayingTrack) -> Self {
        let indices = (0..movement.music.len()).map(|idx| PartIdx(idx as u16));
        let parts: Vec<PartDynamics> = movement
            .music
            .iter()
            .zip(indices)
            .map(|(music, part)| part_dynamics(movement, music, part, playing))
            .collect();
        let band = movement.bars.iter().map(|(bar, _)| band_of(movement, playing, &parts, bar));
        let band = band.collect();
        Self { parts, band }
    }

    /// The level of a part at a place.
    pub fn level_at(&self, part: PartIdx, at: Ticks) -> Option<Level> {
        self.parts.get(part.idx())?.level_at(at)
    }

    /// The band of a bar.
    pub fn band(&self, bar: BarIndex) -> Option<(Level, Level)> {
        self.band.get(bar.idx()).copied().flatten()
    }
}

fn part_dynamics(
    movement: &Movement,
    music: &PartMusic,
    part: PartIdx,
    playing: &PlayingTrack,
) -> PartDynamics {
    let mut found = PartDynamics::default();
    for marking in &music.markings {
        match &marking.kind {
            MarkingKind::Level(level) => found.add_level(marking, *level),
            MarkingKind::Accent { then } => {
                if found.accents.last() != Some(&marking.at) {
                    found.accents.push(marking.at);
                }
                if let Some(level) = then {
                    found.add_level(marking, *level);
                }
            }
            _ => {}
        }
    }
    for (idx, marking) in music.markings.iter().enumerate() {
        let hairpin = match &marking.kind {
            MarkingKind::Hairpin { louder, end, niente } if *end > marking.at => {
                let target = target_at(movement, &found, *end);
                let target = target.or((*niente && !*louder).then_some(Level::N));
                Hairpin { from: marking.at, to: *end, louder: *louder, end_written: true, target }
            }
            MarkingKind::Growing { louder } => {
                let later = music.markings.get(idx + 1..).unwrap_or_default();
                let silence = end_of_run(movement, playing, part, marking);
                growing(&found, marking, *louder, later, silence)
            }
            _ => continue,
        };
        if found.hairpins.last() != Some(&hairpin) && hairpin.to > hairpin.from {
            found.hairpins.push(hairpin);
        }
    }
    found
}

impl PartDynamics {
    fn add_level(&mut self, marking: &Marking, level: Level) {
        let change = LevelChange {
            at: marking.at,
            level,
            players: marking.players,
            words: marking.words.to_string(),
            line: marking.line,
        };
        // Both staves of a harp, or both voices, often carry the same level.
        let again = |have: &&LevelChange| {
            have.at == change.at && have.level == level && have.players == change.players
        };
        if self
            .changes
            .iter()
            .rev()
            .take_while(|have| have.at == change.at)
            .any(|have| again(&have))
        {
            return;
        }
        self.changes.push(change);
    }
}

/// The level that follows at the end of a hairpin, at most a quarter after it.
fn target_at(movement: &Movement, dynamics: &PartDynamics, end: Ticks) -> Option<Level> {
    let reach = end + Ticks(i64::from(movement.resolution.ticks_per_quarter()));
    let first = dynamics.changes.partition_point(|change| change.at < end);
    dynamics.changes.get(first).filter(|change| change.at <= reach).map(|change| change.level)
}

/// cresc. or dim. in words: until the next level, hairpin or opposite word for the same players, or
/// until the part falls silent.
fn growing(
    dynamics: &PartDynamics,
    marking: &Marking,
    louder: bool,
    later: &[Marking],
    silence: Ticks,
) -> Hairpin {
    let ends = |next: &&Marking| {
        let relevant = next.at > marking.at && next.players.overlaps(marking.players);
        let kind = match &next.kind {
            MarkingKind::Level(_) | MarkingKind::Accent { then: Some(_) } => true,
            MarkingKind::Hairpin { .. } => true,
            MarkingKind::Growing { louder: other } => *other != louder,
            _ => false,
        };
        relevant && kind
    };
    let stop = later.iter().find(ends).map_or(silence, |next| next.at);
    let to = stop.min(silence);
    let target = dynamics.changes.iter().find(|change| change.at == to && to == stop);
    Hairpin {
        from: marking.at,
        to,
        louder,
        end_written: target.is_some(),
        target: target.map(|change| change.level),
    }
}

/// The end of the bars through which the part plays on from a marking; a level right behind them
/// still counts as the end.
fn end_of_run(
    movement: &Movement,
    playing: &PlayingTrack,
    part: PartIdx,
    marking: &Marking,
) -> Ticks {
    let mut end = movement.bars.get(marking.bar).map_or(marking.at, |bar| bar.end());
    for idx in marking.bar.idx() + 1..movement.bars.len() {
        let bar = BarIndex::from(idx);
        let Some(row) = movement.bars.get(bar).filter(|_| playing.sounds(part, bar)) else { break };
        end = row.end();
    }
    end
}

fn band_of(
    movement: &Movement,
    playing: &PlayingTrack,
    parts: &[PartDynamics],
    bar: BarIndex,
) -> Option<(Level, Level)> {
    let row = movement.bars.get(bar)?;
    let mut band: Option<(Level, Level)> = None;
    let mut take = |level: Level| {
        let (low, high) = band.unwrap_or((level, level));
        band = Some((low.min(level), high.max(level)));
    };
    for part in playing.parts_in(bar) {
        let Some(dynamics) = parts.get(part.idx()) else { continue };
        // The level at the bar's start means nothing to a part that enters later in the bar.
        let notes = movement.part(part).map(|music| music.notes_in(row.start, row.end()));
        let first = notes.unwrap_or_default().iter().find(|note| note.sounds());
        let begin = first.map_or(row.start, |note| note.onset);
        dynamics.level_at(begin).into_iter().for_each(&mut take);
        dynamics.changes_inside(begin, row.end()).for_each(|change| take(change.level));
    }
    band
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    fn track(parts: &[&str]) -> (Movement, DynamicsTrack) {
        let movement = movement(parts);
        let playing = PlayingTrack::of(&movement);
        let track = DynamicsTrack::of(&movement, &playing);
        (movement, track)
    }

    #[test]
    fn a_level_holds_until_the_next_and_fp_leaves_piano() {
        let (movement, track) = track(&["4/4 c4:4 | !f c4 | c4:2 !fp c4:2 | c4:4"]);
        let at = |bar: usize| movement.bars.as_slice()[bar].start;
        let levels: Vec<_> = (0..4).map(|bar| track.level_at(PartIdx(0), at(bar))).collect();
        assert_eq!(levels, [None, Some(Level::F), Some(Level::F), Some(Level::P)]);
        assert_eq!(track.parts[0].accents.len(), 1);
        assert_eq!(track.band(BarIndex(0)), None);
        assert_eq!(track.band(BarIndex(2)), Some((Level::P, Level::F)));
    }

    #[test]
    fn the_loudest_player_gives_the_level_of_a_part() {
        let (movement, track) = track(&["4/4 !p c4:4 | !1:ff c4:4 | !2:pp c4:4 | !mf c4:4"]);
        let at = |bar: usize| movement.bars.as_slice()[bar].start;
        let level = |bar: usize| track.level_at(PartIdx(0), at(bar));
        assert_eq!(level(1), Some(Level::Ff));
        assert_eq!(level(2), Some(Level::Ff));
        assert_eq!(level(3), Some(Level::Mf));
    }

    #[test]
    fn cresc_in_words_lasts_until_the_next_level_or_silence() {
        let (movement, track) =
            track(&["4/4 !p c4:4 | !cresc c4:4 | c4:4 | !f c4:4 | !dim c4:4 | c4:4 | r:4"]);
        let at = |bar: usize| movement.bars.as_slice()[bar].start;
        let hairpins = &track.parts[0].hairpins;
        assert_eq!((hairpins[0].from, hairpins[0].to), (at(1), at(3)));
        assert_eq!((hairpins[0].target, hairpins[0].end_written), (Some(Level::F), true));
        assert_eq!((hairpins[1].to, hairpins[1].end_written), (at(6), false));
    }

    #[test]
    fn the_band_spans_the_parts_that_sound() {
        let (_, track) = track(&["4/4 !pp c4:4 | r:4", "4/4 !ff c4:4 | c4:4", "4/4 !fff r:4"]);
        assert_eq!(track.band(BarIndex(0)), Some((Level::Pp, Level::Ff)));
        assert_eq!(track.band(BarIndex(1)), Some((Level::Ff, Level::Ff)));
    }
}
