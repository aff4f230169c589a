//! Balance: an estimate of how loud each part is heard, and where the leading part is likely covered.
//!
//! It is an estimate from the page: halls, players and conductors change it. A part about 10 dB below the
//! rest in its own register is in danger of being covered (common practice).

mod level;
mod marks;

pub(crate) use level::strength;
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
use marks::Marks;

/// Bars in which a leading part is likely covered.
#[derive(Clone, PartialEq, Debug)]
pub struct Covered {
    /// The leading part.
    pub part: PartIdx,
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive; single bars between in which it is not are counted in.
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
        let marks = Marks::of(movement, lines, dynamics);
        let scene = Scene { movement, lines, marks, devices, settings };
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
    marks: Marks<'a>,
    devices: &'a DevicesTrack,
    settings: &'a BalanceSettings,
}

/// A part in a bar.
struct Heard {
    part: PartIdx,
    /// Estimated level in dB while it sounds.
    db: f32,
    /// Mean height in semitones.
    height: f32,
    /// Share of the bar in which it sounds, 0 to 1.
    sounding: f32,
}

impl Scene<'_> {
    fn bar(&self, idx: BarIndex, lead: &Lead, track: &mut BalanceTrack) {
        let Some(bar) = self.movement.bars.get(idx) else { return };
        let parts = self.lines.pitched_in(idx.idx()).filter_map(BarLines::part);
        let levels = self.marks.levels(parts, idx, bar);
        let heard = levels.into_iter().filter_map(|(part, level)| {
            // A level that changes inside the bar counts for the line as far as it helps it.
            let leads = lead.parts.contains(&part);
            let loudest = self.marks.loudest_of_changing(part, bar).filter(|_| leads);
            self.heard(part, idx, bar, loudest.map_or(level, |loudest| loudest.max(level)))
        });
        let (leading, others): (Vec<Heard>, Vec<Heard>) =
            heard.partition(|heard| lead.parts.contains(&heard.part));
        let sounding = leading.iter().map(|own| own.sounding).fold(0.0, f32::max);
        // A line that only ends here, or has yet to begin, is not covered by what follows or precedes.
        if sounding < self.settings.least_sounding {
            return;
        }
        let Some(own) = level::sum(leading.iter().map(|own| own.db)) else { return };
        let mut rest: Vec<(PartIdx, f32)> = Vec::new();
        for other in &others {
            // What lies farther than an octave from the line covers it less.
            let apart = leading.iter().map(|own| (own.height - other.height).abs());
            let octaves = ((apart.fold(f32::MAX, f32::min) - 12.0) / 12.0).max(0.0);
            // What sounds shorter than the line covers only a part of it.
            let share = (other.sounding / sounding).clamp(0.05, 1.0);
            let db = other.db - octaves * self.settings.octave_db + level::db(share);
            rest.push((other.part, db));
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
            // A single bar between does not make two places.
            Some(open) if open.part == part && open.to.0 + 2 >= idx.0 => {
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

    /// A part that sounds with pitch in a bar; `None` for one that does not.
    fn heard(&self, part: PartIdx, idx: BarIndex, bar: &Bar, level: Level) -> Option<Heard> {
        let line = self.lines.at(part.idx(), idx.idx());
        if !line.is_pitched() {
            return None;
        }
        let music = self.movement.part(part)?;
        let instrument = music.instrument_at(bar.start).unwrap_or_else(InstrumentId::unknown);
        let devices: Vec<Device> =
            self.devices.at(part, bar.start).map(|span| span.device).collect();
        let estimate = Estimate { settings: self.settings };
        let n = self.n_players(part, bar, instrument);
        let mut db = estimate.level(instrument, level, n, &devices, line.height);
        if self.is_solo_string(part, bar, instrument) {
            db -= level::db(self.settings.section_players as f32);
        }
        Some(Heard { part, db, height: line.height, sounding: line.sounding })
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
