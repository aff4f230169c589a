//! Balance: an estimate of how loud each part is heard, and where the leading part is likely covered.

use crate::devices::DevicesTrack;
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::leading::Lead;
use crate::settings::Settings;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;

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
    pub margin_db: f32,
}

/// Estimated balance of a movement.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct BalanceTrack {
    /// For each bar the margin of the leading parts over the rest in dB; `None` where nobody leads.
    pub margins: Vec<Option<f32>>,
    /// The places to watch, in order.
    pub covered: Vec<Covered>,
}

impl BalanceTrack {
    /// The balance of a movement.
    pub fn of(
        _movement: &Movement,
        _heard: &HeardNotes,
        _dynamics: &DynamicsTrack,
        _devices: &DevicesTrack,
        _leads: &[Lead],
        _settings: &Settings,
    ) -> Self {
        Self::default()
    }
}
