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
    /// The staff it holds for, 1-based; `None` for all staves of the part.
    pub staff: Option<u8>,
    /// No sign of its own stands here: a hairpin from or to nothing implies it.
    pub implied: bool,
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
    /// The level it leads to, if one follows at its end or the words name it.
    pub target: Option<Level>,
    /// The staff it stands at, 1-based; `None` for all staves of the part.
    pub staff: Option<u8>,
    /// The words, as written; empty for a sign.
    pub words: String,
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
    /// How many staves the part has; 0 counts as one.
    staves: u8,
}

/// The most staves that are told apart; further ones count as the last.
const MAX_STAVES: usize = 8;

impl PartDynamics {
    /// The level in force at a place, the loudest of its players and staves; `None` before any is
    /// written.
    pub fn level_at(&self, at: Ticks) -> Option<Level> {
        self.changes_in_force(at).map(|change| change.level).max()
    }

    /// The changes that still bind someone on some staff at a place, the latest first.
    pub fn changes_in_force(&self, at: Ticks) -> impl Iterator<Item = &LevelChange> {
        let after = self.changes.partition_point(|change| change.at <= at);
        let earlier = self.changes.get(..after).unwrap_or_default();
        let staves = usize::from(self.staves).clamp(1, MAX_STAVES);
        // Whom later changes bind, and with them those of the moment looked at: two levels written at
        // one moment, for two voices, hold together.
        let mut later = vec![PlayerSet::of([]); staves];
        let mut bound = later.clone();
        let mut moment = None;
        let mut earlier = earlier.iter().rev();
        std::iter::from_fn(move || {
            loop {
                let change = earlier.next()?;
                if moment != Some(change.at) {
                    moment = Some(change.at);
                    later.clone_from(&bound);
                }
                if later.iter().all(|later| later.is_all()) {
                    return None;
                }
                let mut binds = false;
                for (idx, (later, bound)) in later.iter().zip(&mut bound).enumerate() {
                    if change.staff.is_none_or(|staff| lane(staff, staves) == idx) {
                        binds |= later.union(change.players) != *later;
                        *bound = bound.union(change.players);
                    }
                }
                if binds {
                    return Some(change);
                }
            }
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
    let mut found = PartDynamics { staves: music.staves, ..PartDynamics::default() };
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
    let mut silences = Vec::new();
    for (idx, marking) in music.markings.iter().enumerate() {
        let hairpin = match &marking.kind {
            MarkingKind::Hairpin { louder, end, niente } if *end > marking.at => {
                if *niente {
                    silences.push((if *louder { marking.at } else { *end }, marking, Level::N));
                }
                let target = target_at(movement, &found, marking.staff, *end);
                let target = target.or((*niente && !*louder).then_some(Level::N));
                hairpin(marking, *end, *louder, target, true)
            }
            MarkingKind::Growing { louder, to } => {
                let later = music.markings.get(idx + 1..).unwrap_or_default();
                let silence = end_of_run(movement, playing, part, marking);
                let grown = growing(&found, marking, *louder, later, silence);
                Hairpin { target: to.or(grown.target), ..grown }
            }
            _ => continue,
        };
        if found.hairpins.last() != Some(&hairpin) && hairpin.to > hairpin.from {
            found.hairpins.push(hairpin);
        }
    }
    for (at, marking, level) in silences {
        found.add_reached(at, marking, level);
    }
    found
}

fn hairpin(
    marking: &Marking,
    to: Ticks,
    louder: bool,
    target: Option<Level>,
    end_written: bool,
) -> Hairpin {
    let words = marking.words.to_string();
    Hairpin { from: marking.at, to, louder, end_written, target, staff: marking.staff, words }
}

/// The place of a staff among those that are told apart.
fn lane(staff: u8, staves: usize) -> usize {
    usize::from(staff).saturating_sub(1).min(staves.saturating_sub(1))
}

/// Whether what is written at one staff concerns the other.
fn same_staff(a: Option<u8>, b: Option<u8>) -> bool {
    a.is_none() || b.is_none() || a == b
}

impl PartDynamics {
    fn add_level(&mut self, marking: &Marking, level: Level) {
        let change = LevelChange {
            at: marking.at,
            level,
            players: marking.players,
            staff: marking.staff,
            implied: false,
            words: marking.words.to_string(),
            line: marking.line,
        };
        // Both staves of a harp, or both voices, often carry the same level.
        let again = |have: &&LevelChange| {
            let alike = have.level == level && have.players == change.players;
            have.at == change.at && alike && have.staff == change.staff
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

    /// The level that a hairpin from or to nothing comes to, unless another is written there.
    fn add_reached(&mut self, at: Ticks, marking: &Marking, level: Level) {
        let first = self.changes.partition_point(|change| change.at < at);
        let mut here = self.changes.iter().skip(first).take_while(|change| change.at == at);
        let written = here.any(|change| {
            same_staff(change.staff, marking.staff) && change.players.overlaps(marking.players)
        });
        if !written {
            let change = LevelChange {
                at,
                level,
                players: marking.players,
                staff: marking.staff,
                implied: true,
                words: marking.words.to_string(),
                line: marking.line,
            };
            self.changes.insert(first, change);
        }
    }
}

/// The level that follows at the end of a hairpin, at most a quarter after it.
fn target_at(
    movement: &Movement,
    dynamics: &PartDynamics,
    staff: Option<u8>,
    end: Ticks,
) -> Option<Level> {
    let reach = end + Ticks(i64::from(movement.resolution.ticks_per_quarter()));
    let first = dynamics.changes.partition_point(|change| change.at < end);
    let near = dynamics.changes.iter().skip(first).take_while(|change| change.at <= reach);
    near.into_iter().find(|change| same_staff(change.staff, staff)).map(|change| change.level)
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
        let relevant = next.at > marking.at
            && next.players.overlaps(marking.players)
            && same_staff(next.staff, marking.staff);
        let kind = match &next.kind {
            MarkingKind::Level(_) | MarkingKind::Accent { then: Some(_) } => true,
            MarkingKind::Hairpin { .. } => true,
            MarkingKind::Growing { louder: other, .. } => *other != louder,
            _ => false,
        };
        relevant && kind
    };
    let stop = later.iter().find(ends).map_or(silence, |next| next.at);
    let to = stop.min(silence);
    let first = dynamics.changes.partition_point(|change| change.at < to);
    let mut here = dynamics.changes.iter().skip(first).take_while(|change| change.at == to);
    let target = here.find(|change| to == stop && same_staff(change.staff, marking.staff));
    hairpin(marking, to, louder, target.map(|change| change.level), target.is_some())
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
mod tests;
