//! The marked study of the example suite, made through the same edits as a user's.
//!
//! Ids and times are fixed, so that the committed file can be compared with what this makes.

use barloom_analysis::settings::Settings;
use barloom_analysis::{MovementTracks, Tracks};
use barloom_core::bar::{BarAddress, BarIndex, MovementId};
use barloom_core::basis::Basis;
use barloom_core::part::PartKey;
use barloom_core::pattern::Pattern;
use barloom_core::score::{Movement, Score};
use barloom_core::study::{
    Beating, Cue, Edit, EditError, EntryId, Group, IdMaker, Item, Mark, OrderChoice, PlanTempo,
    PlanTempoValue, Sign, Study,
};
use barloom_core::time::Quarters;
use std::sync::atomic::AtomicBool;

/// 2026-11-25, in seconds since 1970-01-01 UTC.
const MARKED_ON: u64 = 1_795_564_800;
/// Who marked the example: invented.
const AUTHOR: &str = "Ilka Tornby";
/// Proposed cues with at least this need are taken over.
const CUE_NEED: u32 = 5;

/// Marks the study of the freshly read example suite.
///
/// # Errors
/// A decision names a bar, part or layer that is not there.
pub fn mark(score: &Score, study: Study) -> Result<Study, MarkError> {
    let basis = Basis::of(score.clone());
    let tracks = Tracks::of(&basis, &Settings::default(), &AtomicBool::new(false));
    let tracks = tracks.ok_or(MarkError::Missing(String::from("tracks")))?;
    let mut desk = Desk { study, ids: IdMaker::seeded(1871), score };
    desk.apply(Edit::Author(AUTHOR.to_owned()))?;
    for (movement, tracks) in score.movements.iter().zip(&tracks.movements) {
        desk.accept_beatings(movement, tracks)?;
        desk.accept_cues(movement, tracks)?;
    }
    desk.choose_beatings()?;
    desk.group_bars()?;
    desk.write_marks()?;
    desk.plan_tempi_and_order()?;
    Ok(desk.study)
}

/// Why the example could not be marked.
#[derive(Debug)]
pub enum MarkError {
    /// Something named is not in the score.
    Missing(String),
    /// The study refused an edit.
    Refused(EditError),
}

impl From<EditError> for MarkError {
    fn from(error: EditError) -> Self {
        Self::Refused(error)
    }
}

struct Desk<'a> {
    study: Study,
    ids: IdMaker,
    score: &'a Score,
}

/// Movement (0-based), first bar, last bar, level, name.
type Bracket = (usize, &'static str, &'static str, u8, &'static str);

/// The bar groups: four-bar phrases where the tunes have them, sections above.
const GROUPS: &[Bracket] = &[
    (0, "1", "4", 1, ""),
    (0, "5", "8", 1, ""),
    (0, "1", "8", 2, "a"),
    (0, "9", "12", 1, ""),
    (0, "13", "16", 1, ""),
    (0, "9", "16", 2, "b"),
    (0, "17", "20", 1, ""),
    (0, "21", "24", 1, ""),
    (0, "17", "24", 2, "a'"),
    (0, "25", "30", 1, "height"),
    (0, "31", "36", 1, "close"),
    (2, "41", "44", 1, ""),
    (2, "45", "48", 1, ""),
    (2, "41", "48", 2, "lock opens"),
    (2, "49", "51", 1, ""),
    (2, "52", "54", 1, ""),
    (2, "55", "56", 1, ""),
    (2, "49", "56", 2, "flood"),
    (2, "57", "60", 1, ""),
    (2, "61", "64", 1, ""),
    (2, "65", "68", 1, ""),
    (2, "61", "68", 2, "chain again"),
    (2, "77", "80", 1, ""),
    (2, "81", "84", 1, ""),
    (2, "77", "84", 2, "lock closes"),
    (5, "33", "36", 1, ""),
    (5, "37", "40", 1, ""),
    (5, "33", "40", 2, "spring tide"),
];

/// Movement, bar, pattern: choices that differ from the proposals.
const BEATINGS: &[(usize, &str, &str)] = &[
    (2, "49", "2+2+3"),
    (2, "50", "2+2+3"),
    (2, "51", "2+2+3"),
    (2, "52", "3"),
    (2, "53", "3"),
    (2, "54", "3/2"),
    (5, "31", "4"),
    (5, "32", "4/2"),
];

/// Movement, bar, last bar of a span, layer (0 hands, 1 sound, 2 questions), sign, words.
type Note = (usize, &'static str, &'static str, usize, Sign, &'static str);

const MARKS: &[Note] = &[
    (0, "1", "", 0, Sign::Watch, "stillness first, then the smallest four"),
    (0, "9", "16", 1, Sign::KeepDown, "under the oboe"),
    (0, "29", "30", 0, Sign::HoldBack, "let it sink, no subdivision"),
    (1, "17", "", 0, Sign::Text, "in one, phrases of four"),
    (1, "49", "", 1, Sign::Watch, "piccolo has no time: give the flute an empty hand"),
    (1, "64", "", 0, Sign::Caesura, ""),
    (2, "9", "", 0, Sign::Text, "wrist only, 3+2+3"),
    (2, "40", "", 0, Sign::CutOff, "cut is the preparation of the six eight"),
    (2, "48", "", 0, Sign::Text, "keep 1 low, 2 large"),
    (2, "48", "", 1, Sign::Text, "darker than bar 43"),
    (2, "48", "", 2, Sign::Text, "which mallets? ask"),
    (2, "52", "54", 0, Sign::MoveOn, "grow through the threes"),
    (2, "55", "", 1, Sign::Watch, "trumpets: mutes out in time?"),
    (3, "23", "26", 0, Sign::Text, "3+2, do not hurry the two"),
    (4, "17", "", 0, Sign::Text, "eighth stays eighth"),
    (4, "8", "", 0, Sign::Lift, ""),
    (5, "9", "16", 2, Sign::Rehearse, "strings alone, slowly"),
    (5, "33", "40", 1, Sign::BringOut, "horns and trombones"),
];

impl Desk<'_> {
    fn apply(&mut self, edit: Edit) -> Result<(), MarkError> {
        self.study.apply(edit)?;
        Ok(())
    }

    fn put(&mut self, item: Item) -> Result<(), MarkError> {
        let entry = self.study.new_entry(item, &mut self.ids, MARKED_ON);
        self.apply(Edit::Put(entry))
    }

    fn bar(&self, movement: usize, label: &str) -> Result<(MovementId, BarIndex), MarkError> {
        let missing = || MarkError::Missing(format!("movement {}, bar {label}", movement + 1));
        let movement = self.score.movements.get(movement).ok_or_else(missing)?;
        Ok((movement.id, movement.bars.by_label(label).ok_or_else(missing)?))
    }

    fn layer(&self, nth: usize) -> Result<EntryId, MarkError> {
        let layers = self.study.layers();
        let layer = layers.get(nth).map(|(entry, _)| entry.id);
        layer.ok_or_else(|| MarkError::Missing(format!("layer {nth}")))
    }

    fn accept_beatings(
        &mut self,
        movement: &Movement,
        tracks: &MovementTracks,
    ) -> Result<(), MarkError> {
        for ((bar, _), proposal) in movement.bars.iter().zip(&tracks.beating) {
            let (movement, pattern) = (movement.id, proposal.pattern.clone());
            self.put(Item::Beating(Beating { movement, bar, pattern, nth: 0 }))?;
        }
        Ok(())
    }

    fn accept_cues(
        &mut self,
        movement: &Movement,
        tracks: &MovementTracks,
    ) -> Result<(), MarkError> {
        for entrance in tracks.entrances.iter().filter(|entrance| entrance.need >= CUE_NEED) {
            let Some(part) = self.score.parts.get(entrance.part.idx()) else { continue };
            let at = movement.address(entrance.at);
            let how =
                if entrance.rest_bars >= 16 { "eyes a bar before, left hand" } else { "eyes" };
            let (who, how) = (String::new(), how.to_owned());
            let part = part.key.clone();
            self.put(Item::Cue(Cue { at, part, wanted: true, who, how }))?;
        }
        Ok(())
    }

    fn choose_beatings(&mut self) -> Result<(), MarkError> {
        for (movement, label, pattern) in BEATINGS {
            let (movement, bar) = self.bar(*movement, label)?;
            let missing = |_| MarkError::Missing(format!("pattern {pattern}"));
            let pattern = pattern.parse::<Pattern>().map_err(missing)?;
            self.put(Item::Beating(Beating { movement, bar, pattern, nth: 0 }))?;
        }
        // The wheel turns in phrases of four bars from the first rehearsal mark on.
        for label in 17_u8..=48 {
            let (movement, bar) = self.bar(1, &label.to_string())?;
            let pattern = Pattern::Joined { bars: 4, beats: 4 };
            let nth = (label - 17) % 4;
            self.put(Item::Beating(Beating { movement, bar, pattern, nth }))?;
        }
        Ok(())
    }

    fn group_bars(&mut self) -> Result<(), MarkError> {
        for (nth, from, to, level, name) in GROUPS {
            let (movement, from) = self.bar(*nth, from)?;
            let (_, to) = self.bar(*nth, to)?;
            let (level, name) = (*level, (*name).to_owned());
            let group = Group { movement, from, to, level, name, elision: false, extension: 0 };
            self.put(Item::Group(group))?;
        }
        Ok(())
    }

    fn write_marks(&mut self) -> Result<(), MarkError> {
        for (nth, from, to, layer, sign, text) in MARKS {
            let (movement, bar) = self.bar(*nth, from)?;
            let to = if to.is_empty() { None } else { Some(self.bar(*nth, to)?.1) };
            let from = BarAddress::start_of(movement, bar);
            let layer = self.layer(*layer)?;
            let parts: Vec<PartKey> = Vec::new();
            let text = (*text).to_owned();
            self.put(Item::Mark(Mark { layer, from, to, parts, sign: *sign, text }))?;
        }
        Ok(())
    }

    fn plan_tempi_and_order(&mut self) -> Result<(), MarkError> {
        let (movement, bar) = self.bar(5, "41")?;
        let at = BarAddress::start_of(movement, bar);
        let value = PlanTempoValue::Beats { unit: Quarters::ONE, per_minute: 56.0 };
        self.put(Item::Tempo(PlanTempo { at, value }))?;
        let (movement, after) = self.bar(2, "84")?;
        self.put(Item::Order(OrderChoice::Pause { movement, after, seconds: 8.0 }))
    }
}
