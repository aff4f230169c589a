//! What the analyses find odd in a movement, each thing once: tempi that contradict each other,
//! techniques that nothing begins or ends, strings that are tuned otherwise. Findings, the desk's
//! places to look at and the plan all begin here.

use crate::MovementTracks;
use crate::devices::DeviceProblemKind;
use barloom_core::bar::BarIndex;
use barloom_core::diag::{Code, Diagnostic};
use barloom_core::event::MarkingKind;
use barloom_core::part::PartIdx;
use barloom_core::score::Movement;
use barloom_core::time::Ticks;

/// Something odd that an analysis noticed.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Oddity {
    /// Where.
    pub at: Ticks,
    /// The part; `None` where it concerns all.
    pub part: Option<PartIdx>,
    /// Of which kind.
    pub kind: OddityKind,
    /// What is odd, without the part.
    pub text: String,
}

/// What an oddity is about.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum OddityKind {
    /// Statements about the tempo that contradict each other or are missing.
    Tempo,
    /// A technique that nothing begins or ends.
    Technique,
    /// Strings that are tuned otherwise: what sounds there is for the conductor to check, since a
    /// score may be written as it is gripped.
    Tuning,
}

/// The oddities of the movement at `idx` in order of place. What the reader has reported for the
/// same bar (`known`) is not said twice.
pub fn oddities(
    movement: &Movement,
    tracks: &MovementTracks,
    idx: usize,
    known: &[Diagnostic],
) -> Vec<Oddity> {
    let mut found = Vec::new();
    for (at, problem) in &tracks.tempo.problems {
        if !is_known(movement, idx, *at, known) {
            let (at, text) = (*at, problem.clone());
            found.push(Oddity { at, part: None, kind: OddityKind::Tempo, text });
        }
    }
    for problem in &tracks.devices.problems {
        // A mute that the next movement takes off is meant so.
        if problem.kind != DeviceProblemKind::MuteIntoNext {
            let (at, part, text) = (problem.at, Some(problem.part), problem.to_string());
            found.push(Oddity { at, part, kind: OddityKind::Technique, text });
        }
    }
    found.extend(tunings(movement));
    found.sort();
    found.dedup();
    found
}

/// Whether the reader said something about tempo or order at this bar; what it says without a bar
/// belongs to the first.
fn is_known(movement: &Movement, idx: usize, at: Ticks, known: &[Diagnostic]) -> bool {
    let (bar, _) = movement.place(at);
    known.iter().any(|known| {
        let code = matches!(
            known.code,
            Code::TempoConflict | Code::TempoAssumed | Code::TempoUnreadable | Code::OrderUnclear
        );
        let there = known.place.bar.as_ref().map_or(BarIndex(0), |(bar, _)| *bar);
        code && known.place.movement == Some(idx) && there == bar
    })
}

fn tunings(movement: &Movement) -> Vec<Oddity> {
    let mut found = Vec::new();
    for (part, music) in movement.parts() {
        for marking in &music.markings {
            let MarkingKind::Scordatura(strings) = &marking.kind else { continue };
            let strings: Vec<String> = strings
                .iter()
                .map(|tuned| format!("string {} to {}", tuned.string, tuned.pitch))
                .collect();
            let text = format!("tuned otherwise, {}", strings.join(", "));
            let (at, part) = (marking.at, Some(part));
            found.push(Oddity { at, part, kind: OddityKind::Tuning, text });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;
    use barloom_core::event::StringTuning;

    #[test]
    fn each_oddity_is_there_once_and_in_order() {
        let mut movement = testing::movement(&["4/4 c4:4 | !+mute c4:4 | c4:4"]);
        let part = &mut movement.music[0];
        // The same tuning printed for two voices is one.
        let pitch = part.notes[0].written.unwrap();
        let mut tuned = part.markings[0].clone();
        tuned.kind = MarkingKind::Scordatura([StringTuning { string: 4, pitch }].into());
        part.markings.extend([tuned.clone(), tuned]);
        let (basis, tracks) = testing::analyzed(movement);
        let found = oddities(&basis.score.movements[0], &tracks.movements[0], 0, &[]);
        let kinds: Vec<OddityKind> = found.iter().map(|odd| odd.kind).collect();
        assert_eq!(kinds, [OddityKind::Tempo, OddityKind::Technique, OddityKind::Tuning]);
        assert!(found.is_sorted_by_key(|odd| odd.at), "{found:?}");
    }
}
