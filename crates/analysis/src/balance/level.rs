//! How loud a part is, estimated from its mark, its instrument, its players, its register and its
//! technique.
//!
//! The relations are those of Rimsky-Korsakov, *Principles of Orchestration*, ch. I: in loud music a
//! trumpet, a trombone and a tuba are as strong as two horns, a horn as two woodwinds, a string section
//! as two woodwinds; in soft music all winds are about equal and a string section is as one of them.

use crate::settings::BalanceSettings;
use barloom_core::event::{Device, Level};
use barloom_core::instrument::{Family, InstrumentId};

/// Strength beside one woodwind, in loud and in soft music.
pub(crate) fn strength(instrument: InstrumentId) -> (f32, f32) {
    let row = instrument.get();
    match (row.family, row.name) {
        (Family::Woodwinds, "piccolo") => (2.0, 1.0),
        (Family::Woodwinds, _) => (1.0, 1.0),
        (Family::Brass, "horn" | "wagner tuba") => (2.0, 1.0),
        (Family::Brass, _) => (4.0, 1.0),
        // Struck bars and drums prevail (the same, ch. I).
        (Family::Percussion, _) => (4.0, 2.0),
        (Family::HarpAndKeyboards, "organ") => (8.0, 2.0),
        (Family::HarpAndKeyboards, "piano") => (2.0, 0.5),
        (Family::HarpAndKeyboards, _) => (0.7, 0.5),
        (Family::Strings, "violin" | "viola" | "cello" | "double bass") => (2.0, 1.0),
        (Family::Strings, _) => (0.7, 0.5),
        (Family::Voices, _) => (2.0, 1.0),
        (Family::Other, _) => (1.0, 1.0),
    }
}

/// Levels in dB over one soft woodwind; only differences mean anything.
pub(super) struct Estimate<'a> {
    pub(super) settings: &'a BalanceSettings,
}

impl Estimate<'_> {
    /// The level of a part: `n` equal players add as energies do; a string section is one.
    pub(super) fn level(
        &self,
        instrument: InstrumentId,
        level: Level,
        n: u32,
        devices: &[Device],
        height: f32,
    ) -> f32 {
        let degrees = f32::from(level as u8) - f32::from(Level::P as u8);
        let (loud, soft) = strength(instrument);
        // From p to f the relations go over into each other.
        let share = (degrees / 3.0).clamp(0.0, 1.0);
        let strength = db(soft) + (db(loud) - db(soft)) * share;
        let devices: f32 = devices.iter().map(|device| self.device(instrument, *device)).sum();
        let register = register(instrument, height) * self.settings.register_db;
        degrees * self.settings.degree_db + strength + db(n.max(1) as f32) + devices + register
    }

    fn device(&self, instrument: InstrumentId, device: Device) -> f32 {
        let strings = instrument.get().family == Family::Strings;
        match device {
            Device::Mute if strings => -self.settings.string_mute_db,
            Device::Mute => -self.settings.brass_mute_db,
            Device::Plucked => -self.settings.plucked_db,
            Device::Wood => -self.settings.wood_db,
            Device::Harmonics => -self.settings.harmonics_db,
            Device::Fingerboard => -self.settings.fingerboard_db,
            _ => 0.0,
        }
    }
}

/// How a register carries, -1 (weak) to 1 (strong): flutes weak below and strong above, brass stronger
/// above; reeds speak out below (common practice).
fn register(instrument: InstrumentId, height: f32) -> f32 {
    let row = instrument.get();
    let Some((low, high)) = row.range.filter(|_| height > 0.0) else { return 0.0 };
    let (low, high) = (f32::from(low), f32::from(high));
    let place = ((height - low) / (high - low).max(1.0)).clamp(0.0, 1.0) * 2.0 - 1.0;
    match (row.family, row.name) {
        (Family::Woodwinds, "flute" | "piccolo" | "alto flute" | "recorder" | "bass flute") => {
            place
        }
        (Family::Woodwinds, "oboe" | "cor anglais" | "bassoon") => -0.3 * place,
        (Family::Brass, _) => 0.7 * place,
        _ => 0.0,
    }
}

/// A ratio of energies in dB: 2 equal players are 3.01 dB over one.
pub fn db(ratio: f32) -> f32 {
    10.0 * ratio.max(1e-6).log10()
}

/// The sum of levels in dB as their energies add; `None` of nothing.
pub fn sum(levels: impl IntoIterator<Item = f32>) -> Option<f32> {
    let energy: f32 = levels.into_iter().map(|level| 10_f32.powf(level / 10.0)).sum();
    (energy > 0.0).then(|| 10.0 * energy.log10())
}
