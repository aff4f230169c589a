//! Balance: an estimate of how loud each part is heard, and where the leading part is likely covered.
//!
//! It is an estimate from the page: halls, players and conductors change it. A part about 10 dB below the
//! rest in its own register is in danger of being covered (common practice).

mod level;

pub use level::{db, sum};

use crate::devices::DevicesTrack;
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::leading::Lead;
use crate::melody::BarLines;
use crate::settings::{BalanceSettings, Settings};
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::event::{Device, Level, MarkingKind, PlayersMark};
use barloom_core::instrument::{Family, InstrumentId};
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::Movement;
use level::Estimate;

/// Bars in which a leading part is likely covered.
#[derive(Clone, PartialEq, Debug)]
pub struct Covered {
    /// The leading part.
    pub part: PartIdx,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// Who covers it, the loudest first.
    pub by: Vec<PartIdx>,
    /// Estimated level of the lead less that of the rest in its register, in dB; negative is covered.
    /// Of several bars the worst.
    pub margin_db: f32,
}

/// Estimated balance of a movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct BalanceTrack {
    /// For each bar the margin of the leading parts over the rest in dB; `None` where nobody leads or
    /// nobody else sounds.
    pub margins: Vec<Option<f32>>,
    /// The places to watch, in order.
    pub covered: Vec<Covered>,
}

impl BalanceTrack {
    /// The balance of a movement.
    pub fn of(
        movement: &Movement,
        heard: &HeardNotes,
        dynamics: &DynamicsTrack,
        devices: &DevicesTrack,
        leads: &[Lead],
        settings: &Settings,
    ) -> Self {
        let lines = BarLines::of(movement, heard);
        Self::of_lines(movement, &lines, dynamics, devices, leads, settings)
    }

    /// The same for lines that are known already.
    pub(crate) fn of_lines(
        movement: &Movement,
        lines: &BarLines,
        dynamics: &DynamicsTrack,
        devices: &DevicesTrack,
        leads: &[Lead],
        settings: &Settings,
    ) -> Self {
        let settings = &settings.balance;
        let entered = entered(movement, lines);
        let scene = Scene { movement, lines, dynamics, devices, settings, entered };
        let mut track = Self { margins: vec![None; movement.bars.len()], covered: Vec::new() };
        for lead in leads {
            for bar in lead.from.0..=lead.to.0 {
                scene.bar(BarIndex(bar), lead, &mut track);
            }
        }
        track
    }
}

struct Scene<'a> {
    movement: &'a Movement,
    lines: &'a BarLines,
    dynamics: &'a DynamicsTrack,
    devices: &'a DevicesTrack,
    settings: &'a BalanceSettings,
    /// For each part and bar the bar in which it has come in last.
    entered: Vec<Vec<BarIndex>>,
}

/// For each part and bar the first bar of the run of bars in which it sounds.
fn entered(movement: &Movement, lines: &BarLines) -> Vec<Vec<BarIndex>> {
    let of_part = |part: usize| {
        let mut since = BarIndex(0);
        let mut sounding = false;
        let bars = 0..movement.bars.len();
        bars.map(|bar| {
            let sounds = lines.at(part, bar).is_pitched();
            if sounds && !sounding {
                since = BarIndex::from(bar);
            }
            sounding = sounds;
            since
        })
        .collect()
    };
    (0..lines.n_parts()).map(of_part).collect()
}

impl Scene<'_> {
    fn bar(&self, idx: BarIndex, lead: &Lead, track: &mut BalanceTrack) {
        let Some(bar) = self.movement.bars.get(idx) else { return };
        let mut leading = Vec::new();
        let mut rest: Vec<(PartIdx, f32)> = Vec::new();
        let mut heights = Vec::new();
        for part in &lead.parts {
            if let Some((level, height)) = self.level(*part, idx, bar) {
                leading.push(level);
                heights.push(height);
            }
        }
        let Some(own) = level::sum(leading) else { return };
        for part in self.lines.pitched_in(idx.idx()).filter_map(BarLines::part) {
            if lead.parts.contains(&part) {
                continue;
            }
            let Some((level, height)) = self.level(part, idx, bar) else { continue };
            // What lies farther than an octave from the line covers it less.
            let apart = heights.iter().map(|own| (own - height).abs()).fold(f32::MAX, f32::min);
            let octaves = ((apart - 12.0) / 12.0).max(0.0);
            rest.push((part, level - octaves * self.settings.octave_db));
        }
        let Some(others) = level::sum(rest.iter().map(|(_, level)| *level)) else { return };
        let margin = own - others;
        if let Some(slot) = track.margins.get_mut(idx.idx()) {
            *slot = Some(margin);
        }
        if margin > -self.settings.covered_db || lead.lead < self.settings.least_lead {
            return;
        }
        rest.sort_by(|a, b| b.1.total_cmp(&a.1));
        let by: Vec<PartIdx> = rest.iter().take(3).map(|(part, _)| *part).collect();
        let Some(part) = lead.parts.first().copied() else { return };
        match track.covered.last_mut() {
            Some(open) if open.part == part && open.to.0 + 1 == idx.0 => {
                open.to = idx;
                if margin < open.margin_db {
                    (open.margin_db, open.by) = (margin, by);
                }
            }
            _ => {
                let margin_db = margin;
                track.covered.push(Covered { part, from: idx, to: idx, by, margin_db });
            }
        }
    }

    /// Level in dB and height of a part in a bar; `None` if it does not sound with pitch or no level
    /// is written for it yet.
    fn level(&self, part: PartIdx, idx: BarIndex, bar: &Bar) -> Option<(f32, f32)> {
        let line = self.lines.at(part.idx(), idx.idx());
        if !line.is_pitched() {
            return None;
        }
        let music = self.movement.part(part)?;
        let instrument = music.instrument_at(bar.start).unwrap_or_else(InstrumentId::unknown);
        let level = self.loudest(part, bar)?;
        let devices: Vec<Device> =
            self.devices.at(part, bar.start).map(|span| span.device).collect();
        let estimate = Estimate { settings: self.settings };
        let n = self.n_players(part, bar, instrument);
        let mut db = estimate.level(instrument, level, n, &devices, line.height);
        if self.is_solo_string(part, bar, instrument) {
            db -= level::db(self.settings.section_players as f32);
        }
        // What sounds for a part of the bar only covers only that part.
        db += level::db(line.sounding.clamp(0.05, 1.0));
        Some((db, line.height))
    }

    /// The loudest level in force in the bar.
    fn loudest(&self, part: PartIdx, bar: &Bar) -> Option<Level> {
        let at_start = self.dynamics.level_at(part, bar.start);
        let of_part = self.dynamics.parts.get(part.idx())?;
        let first = of_part.changes.partition_point(|change| change.at < bar.start);
        let inside = of_part.changes.get(first..).unwrap_or_default();
        let inside = inside.iter().take_while(|change| change.at < bar.end());
        let own = at_start.max(inside.map(|change| change.level).max());
        if self.is_written_since_entry(part, bar) { own } else { self.usual(bar).or(own) }
    }

    /// Whether a level has been written for the part since it came in last. One from before a rest of
    /// bars may be left over: copyists often leave out what is clear from the others.
    fn is_written_since_entry(&self, part: PartIdx, bar: &Bar) -> bool {
        let Some(idx) = self.movement.bars.bar_at(bar.start) else { return false };
        let since = self.entered.get(part.idx()).and_then(|bars| bars.get(idx.idx()));
        let since = since.and_then(|since| self.movement.bars.get(*since));
        let from = since.map_or(bar.start, |since| since.start);
        let of_part = self.dynamics.parts.get(part.idx()).map(|part| part.changes.as_slice());
        let changes = of_part.unwrap_or_default();
        let first = changes.partition_point(|change| change.at < from);
        changes.get(first).is_some_and(|change| change.at < bar.end())
    }

    /// The middle one of the levels that parts have had written since they came in.
    fn usual(&self, bar: &Bar) -> Option<Level> {
        let idx = self.movement.bars.bar_at(bar.start)?;
        let mut levels: Vec<Level> = self
            .lines
            .pitched_in(idx.idx())
            .filter_map(BarLines::part)
            .filter(|part| self.is_written_since_entry(*part, bar))
            .filter_map(|part| self.dynamics.level_at(part, bar.start))
            .collect();
        levels.sort_unstable();
        levels.get(levels.len() / 2).copied()
    }

    /// Wind players of a condensed part that sound in the bar.
    fn n_players(&self, part: PartIdx, bar: &Bar, instrument: InstrumentId) -> u32 {
        let winds = matches!(instrument.get().family, Family::Woodwinds | Family::Brass);
        let Some(music) = self.movement.part(part).filter(|_| winds) else { return 1 };
        let mut players = PlayerSet::of([]);
        for note in music.notes_in(bar.start, bar.end()).iter().filter(|note| note.sounds()) {
            if !note.players.is_all() {
                players = players.union(note.players);
            }
        }
        let named = (0..PlayerSet::MAX_PLAYERS).filter(|idx| players.contains(*idx)).count() as u32;
        named.max(1)
    }

    fn is_solo_string(&self, part: PartIdx, bar: &Bar, instrument: InstrumentId) -> bool {
        if instrument.get().family != Family::Strings {
            return false;
        }
        let Some(music) = self.movement.part(part) else { return false };
        let until = music.markings.partition_point(|marking| marking.at <= bar.start);
        let marks = music.markings.get(..until).unwrap_or_default().iter().rev();
        let mut players = marks.filter_map(|marking| match &marking.kind {
            MarkingKind::Players(mark) => Some(*mark == PlayersMark::Solo),
            _ => None,
        });
        players.next().unwrap_or(false)
    }
}

#[cfg(test)]
mod tests;
