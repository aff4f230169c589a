//! Who carries the line: the leading part or parts of each bar, and where the line goes from hand to
//! hand.

use crate::doublings::Doubling;
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::settings::Settings;
use barloom_core::bar::BarIndex;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;

/// Bars in which the same parts lead.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Lead {
    /// First bar.
    pub from: BarIndex,
    /// Last bar, inclusive.
    pub to: BarIndex,
    /// The leading part first, then those that double it in unison or octaves, in score order.
    pub parts: Vec<PartIdx>,
    /// How far ahead of the next line it is, 0 (as good as equal) to 1.
    pub lead: f32,
    /// What speaks for it, strongest first: "highest", "most active", "marked solo".
    pub reasons: Vec<String>,
}

/// The line goes from some parts to others.
#[derive(Clone, PartialEq, Debug)]
pub struct HandOff {
    /// The first bar of the parts that take over.
    pub bar: BarIndex,
    /// Who had it.
    pub from: Vec<PartIdx>,
    /// Who takes it.
    pub to: Vec<PartIdx>,
}

/// Leading parts by bar; bars without sound are in no span.
pub fn of(
    _movement: &Movement,
    _heard: &HeardNotes,
    _dynamics: &DynamicsTrack,
    _doublings: &[Doubling],
    _settings: &Settings,
) -> Vec<Lead> {
    Vec::new()
}

/// The hand-offs that the spans tell of, in order.
pub fn hand_offs(_leads: &[Lead]) -> Vec<HandOff> {
    Vec::new()
}
