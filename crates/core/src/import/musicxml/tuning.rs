//! How strings are tuned: harp pedals and scordatura.

use super::direction::Pending;
use super::part::PartReader;
use crate::event::{MarkingKind, StringTuning};
use crate::import::xml::{Node, child_text, elements, name};
use crate::pitch::{Step, WrittenPitch};

/// No instrument has more strings that are tuned by name.
const MAX_STRINGS: usize = 64;

impl PartReader<'_> {
    pub(super) fn harp_pedals(&mut self, item: Node<'_, '_>, pending: &Pending) {
        let mut pedals = [0i8; 7];
        for tuning in elements(item).filter(|child| name(*child) == "pedal-tuning") {
            let step = child_text(tuning, "pedal-step").unwrap_or_default();
            let alter: Option<f32> =
                child_text(tuning, "pedal-alter").and_then(|text| text.parse().ok());
            let place = ["D", "C", "B", "E", "F", "G", "A"].iter().position(|known| *known == step);
            if let Some(pedal) = place.and_then(|place| pedals.get_mut(place)) {
                *pedal = alter.unwrap_or(0.0).round().clamp(-1.0, 1.0) as i8;
            }
        }
        self.marking(item, pending, MarkingKind::HarpPedals(pedals));
    }

    /// Strings tuned otherwise. The pitches of the part stay what the file says: the standard ties
    /// written and sounding pitch by `transpose` alone, and a part that is written as it is gripped
    /// needs one to sound right.
    pub(super) fn scordatura(&mut self, item: Node<'_, '_>, pending: &Pending) {
        let strings = elements(item).filter(|child| name(*child) == "accord");
        let tunings: Vec<StringTuning> = strings.filter_map(accord).take(MAX_STRINGS).collect();
        if !tunings.is_empty() {
            self.marking(item, pending, MarkingKind::Scordatura(tunings.into()));
        }
    }
}

/// The tuning of one string; `None` if it names no string or no pitch.
fn accord(node: Node<'_, '_>) -> Option<StringTuning> {
    let string = node.attribute("string")?.trim().parse().ok()?;
    let step = child_text(node, "tuning-step")?.chars().next()?;
    let step = Step::from_letter(step.to_ascii_uppercase())?;
    let alter: f64 = child_text(node, "tuning-alter").map_or(Ok(0.0), str::parse).ok()?;
    let octave = child_text(node, "tuning-octave")?.parse().ok()?;
    let octave = Some(octave).filter(|octave: &i8| (-10..=20).contains(octave))?;
    let alter_quarter_tones = (alter * 2.0).round().clamp(-24.0, 24.0) as i8;
    Some(StringTuning { string, pitch: WrittenPitch { step, alter_quarter_tones, octave } })
}
