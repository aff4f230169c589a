//! Harp pedals: the setting before every passage, the moves inside, and what cannot be played.
//!
//! Seven pedals, in the order D C B for the left foot and E F G A for the right, each flat, natural or
//! sharp for all octaves ("Harp step 2"; MusicXML 4.0, `harp-pedals`). One foot moves one pedal at a
//! time, so that two can move at once only on opposite sides (Sibelius Academy, "Pedaling"). The letters
//! do not depend on each other: the fewest moves of all are the fewest of each, and each moves only
//! where its next note asks for another position. When a letter moves is free between the end of its
//! last note and its next; each foot's moves are laid as late as they can be.

mod feet;
mod spelling;

use super::{Change, ChangeKind, Clock, Verdict};
use barloom_core::event::{MarkingKind, Note, NoteTraits};
use barloom_core::instrument::InstrumentId;
use barloom_core::part::{PartIdx, PlayerSet};
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;
use spelling::{Need, position_words};
pub use spelling::{ORDER, Pedals, pedals_in_words};

/// Pedals of the left foot: D, C, B.
pub(super) const LEFT: usize = 3;

/// One pedal moves.
#[derive(Clone, PartialEq, Debug)]
pub struct Move {
    /// Place in the order D C B E F G A.
    pub pedal: usize,
    /// From -1 flat, 0 natural, 1 sharp.
    pub from: i8,
    /// To.
    pub to: i8,
    /// From when its string no longer sounds.
    pub free_from: Ticks,
    /// When it is needed.
    pub at: Ticks,
    /// Seconds that the foot has for it, other moves of the foot left out.
    pub available_seconds: f64,
}

/// A setting of all pedals.
#[derive(Clone, PartialEq, Debug)]
pub struct Setting {
    /// The first note of the passage.
    pub at: Ticks,
    /// The positions.
    pub pedals: Pedals,
    /// The positions that differ from those before the passage; all of them before the first.
    pub n_changed: usize,
    /// The fewest instants that setting these takes with a foot on each side; 0 before the first.
    pub instants: usize,
}

/// What a harp does with its pedals in a movement.
#[derive(Clone, PartialEq, Debug)]
pub struct HarpPlan {
    /// The part.
    pub part: PartIdx,
    /// Before every passage that needs another one: the first, and those after a rest that is long
    /// enough.
    pub settings: Vec<Setting>,
    /// All moves, by place.
    pub moves: Vec<Move>,
    /// What no setting plays, with why.
    pub impossible: Vec<(Ticks, String)>,
    /// Printed diagrams that do not fit the notes after them, with what does not.
    pub misprints: Vec<(Ticks, String)>,
}

impl Move {
    /// "F to F#".
    pub fn in_words(&self) -> String {
        let words = |position| position_words(self.pedal, position);
        format!("{} to {}", words(self.from), words(self.to))
    }
}

impl HarpPlan {
    /// How the pedals stand at a place: as set before the passage, with what has been moved since.
    pub fn pedals_at(&self, at: Ticks) -> Pedals {
        let after = self.settings.partition_point(|setting| setting.at <= at).max(1);
        let Some(setting) = self.settings.get(after - 1) else { return Pedals::default() };
        let mut pedals = setting.pedals;
        let since = |one: &&Move| setting.at < one.at && one.at <= at;
        for one in self.moves.iter().filter(since) {
            if let Some(position) = pedals.get_mut(one.pedal) {
                *position = one.to;
            }
        }
        pedals
    }
}

/// The plan of a part; `None` if it is no harp or does not play.
pub(super) fn plan(clock: &Clock<'_>, part: PartIdx, music: &PartMusic) -> Option<HarpPlan> {
    let harp = InstrumentId::by_name("harp")?;
    if !music.instruments.iter().any(|taken| taken.instrument == harp) {
        return None;
    }
    let written = music.notes.iter().map(|note| (note.onset, note));
    let mut notes: Vec<(Ticks, &Note)> =
        written.chain(music.heard_again(&clock.movement.bars)).collect();
    notes.sort_by_key(|(at, _)| *at);
    notes
        .retain(|(at, note)| note.sounds() && music.instrument_of(note.players, *at) == Some(harp));
    let mut impossible = Vec::new();
    let needs = needs(&notes, &mut impossible);
    let first = needs.first()?.at;
    let mut moves: Vec<Move> = Vec::new();
    let mut pedals = starting(&needs);
    let mut settings = vec![Setting { at: first, pedals, n_changed: ORDER.len(), instants: 0 }];
    let mut free = [first; 7];
    let mut silent_since = first;
    for (nth, need) in needs.iter().enumerate() {
        let rest = clock.between(silent_since, need.at);
        if nth > 0 && rest >= clock.settings.harp_passage_rest_seconds {
            let ahead = passage(clock, &needs, nth);
            let changed = (0..ORDER.len()).filter(|pedal| differs(&ahead, &pedals, *pedal));
            let mut setting = pedals;
            let n_changed = changed.clone().count();
            let n_left = changed.clone().filter(|pedal| *pedal < LEFT).count();
            let instants = n_left.max(n_changed - n_left);
            for pedal in changed {
                if let (Some(slot), Some(Some(to))) = (setting.get_mut(pedal), ahead.get(pedal)) {
                    *slot = *to;
                }
            }
            if n_changed > 0 {
                settings.push(Setting { at: need.at, pedals: setting, n_changed, instants });
            }
        }
        for (pedal, wanted) in need.positions.iter().enumerate() {
            let Some(to) = *wanted else { continue };
            let (Some(now), Some(free)) = (pedals.get_mut(pedal), free.get_mut(pedal)) else {
                continue;
            };
            if *now != to {
                moves.push(Move {
                    pedal,
                    from: *now,
                    to,
                    free_from: (*free).min(need.at),
                    at: need.at,
                    available_seconds: 0.0,
                });
                *now = to;
            }
            *free = (*free).max(need.ends.get(pedal).copied().unwrap_or(need.end));
        }
        silent_since = silent_since.max(need.end);
    }
    feet::lay(clock, &mut moves);
    let misprints = misprints(music, &needs);
    Some(HarpPlan { part, settings, moves, impossible, misprints })
}

/// The strings that every moment asks for.
fn needs(notes: &[(Ticks, &Note)], impossible: &mut Vec<(Ticks, String)>) -> Vec<Need> {
    let mut needs: Vec<Need> = Vec::new();
    let together = |(at, a): &(Ticks, &Note), (then, b): &(Ticks, &Note)| {
        at == then && !is_grace(a) && !is_grace(b)
    };
    for together in notes.chunk_by(together) {
        let need = Need::of(together, impossible);
        needs.extend(need.filter(Need::asks));
    }
    needs
}

fn is_grace(note: &Note) -> bool {
    note.traits.any(NoteTraits::GRACE)
}

/// For each letter the position that its first note asks for; natural for those that never play.
fn starting(needs: &[Need]) -> Pedals {
    let mut pedals = [0; 7];
    for (pedal, slot) in pedals.iter_mut().enumerate() {
        let first = needs.iter().find_map(|need| need.positions.get(pedal).copied().flatten());
        *slot = first.unwrap_or(0);
    }
    pedals
}

/// What each letter is first asked for in the passage that begins with a need.
fn passage(clock: &Clock<'_>, needs: &[Need], from: usize) -> [Option<i8>; 7] {
    let mut ahead = [None; 7];
    let mut end: Option<Ticks> = None;
    for need in needs.iter().skip(from) {
        let rest = end.map_or(0.0, |end| clock.between(end, need.at));
        if rest >= clock.settings.harp_passage_rest_seconds {
            break;
        }
        for (slot, wanted) in ahead.iter_mut().zip(need.positions) {
            *slot = slot.or(wanted);
        }
        end = end.max(Some(need.end));
        if ahead.iter().all(Option::is_some) {
            break;
        }
    }
    ahead
}

fn differs(ahead: &[Option<i8>; 7], pedals: &Pedals, pedal: usize) -> bool {
    match (ahead.get(pedal), pedals.get(pedal)) {
        (Some(Some(to)), Some(now)) => to != now,
        _ => false,
    }
}

/// Printed diagrams whose positions the very next notes contradict.
fn misprints(music: &PartMusic, needs: &[Need]) -> Vec<(Ticks, String)> {
    let mut found = Vec::new();
    for marking in &music.markings {
        let MarkingKind::HarpPedals(printed) = marking.kind else { continue };
        let next = needs.partition_point(|need| need.at < marking.at);
        let Some(need) = needs.get(next) else { continue };
        let wrong: Vec<String> = printed
            .iter()
            .zip(need.positions)
            .enumerate()
            .filter_map(|(pedal, (printed, wanted))| {
                let wanted = wanted.filter(|wanted| *wanted != printed.signum())?;
                let (has, asks) = (printed.signum(), wanted);
                Some(format!(
                    "{} where the next notes ask for {}",
                    position_words(pedal, has),
                    position_words(pedal, asks)
                ))
            })
            .collect();
        if !wrong.is_empty() {
            found.push((marking.at, format!("the printed diagram has {}", wrong.join(", "))));
        }
    }
    found
}

/// The moves as changes, those needed at one moment together.
pub(super) fn add_changes(clock: &Clock<'_>, plan: &HarpPlan, changes: &mut Vec<Change>) {
    for together in plan.moves.chunk_by(|a, b| a.at == b.at) {
        let worst =
            together.iter().min_by(|a, b| a.available_seconds.total_cmp(&b.available_seconds));
        let Some(worst) = worst else { continue };
        let words: Vec<String> = together.iter().map(Move::in_words).collect();
        changes.push(clock.judged(Change {
            part: plan.part,
            players: PlayerSet::ALL,
            kind: ChangeKind::Pedals,
            what: words.join(", "),
            free_from: worst.free_from,
            at: worst.at,
            available_seconds: worst.available_seconds.max(0.0),
            wanted_seconds: clock.settings.pedal_seconds,
            verdict: Verdict::Enough,
            words: String::new(),
        }));
    }
}
