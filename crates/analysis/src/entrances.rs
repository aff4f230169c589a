//! Entrances: a part's first sounding note after a rest, with the rest before it, and what speaks
//! for a cue.

mod cue;
mod imitation;

use crate::devices::DevicesTrack;
use crate::dynamics::DynamicsTrack;
use crate::heard::HeardNotes;
use crate::playing::PlayingTrack;
use crate::settings::Settings;
use crate::sound::Sounds;
use crate::tempo::TempoTrack;
use barloom_core::bar::BarIndex;
use barloom_core::event::{Device, Level, Note, NoteTraits};
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, PartMusic};
use barloom_core::time::{Quarters, Ticks};

/// A part begins to play after at least one bar of rest, or for the first time.
#[derive(Clone, PartialEq, Debug)]
pub struct Entrance {
    /// The part.
    pub part: PartIdx,
    /// Where the first note begins.
    pub at: Ticks,
    /// The bar.
    pub bar: BarIndex,
    /// Offset inside the bar.
    pub offset: Quarters,
    /// Whole silent bars before, a bar split in two counted once, an upbeat not at all.
    pub rest_bars: u32,
    /// Exact length of the silence.
    pub rest_quarters: Quarters,
    /// The same in seconds.
    pub rest_seconds: f64,
    /// The part's first entrance in the movement.
    pub first: bool,
    /// The level it enters on, if one is in force.
    pub level: Option<Level>,
    /// The techniques it enters with.
    pub devices: Vec<Device>,
    /// Not on a notated beat.
    pub off_beat: bool,
    /// How many parts sound in its bar, itself included.
    pub n_sounding: u32,
    /// Marked solo.
    pub solo: bool,
    /// The family of which at least three parts enter in the same moment.
    pub section: Option<Family>,
    /// The part whose line, just heard, it takes up.
    pub imitates: Option<PartIdx>,
    /// Need of a cue in points; 0 means none.
    pub need: u32,
    /// What the points stand for, in words, strongest first.
    pub reasons: Vec<String>,
}

/// The tracks that entrances are found and weighed with.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a> {
    /// The movement.
    pub movement: &'a Movement,
    /// Who plays when.
    pub playing: &'a PlayingTrack,
    /// Tempo and seconds.
    pub tempo: &'a TempoTrack,
    /// Mutes.
    pub devices: &'a DevicesTrack,
    /// Attacks.
    pub sounds: &'a Sounds,
    /// Notes as they are heard.
    pub heard: &'a HeardNotes,
    /// Levels.
    pub dynamics: &'a DynamicsTrack,
}

/// The entrances of a movement in order of place, then score order.
pub fn of(context: Context<'_>, settings: &Settings) -> Vec<Entrance> {
    let movement = context.movement;
    let mut entrances = Vec::new();
    let mut runs_of = Vec::with_capacity(movement.music.len());
    for (idx, music) in movement.music.iter().enumerate() {
        let part = PartIdx(idx as u16);
        let runs = context.playing.runs(part);
        let mut silent_since = (Ticks::ZERO, 0);
        for (nth, (from, to)) in runs.iter().enumerate() {
            let at = first_sound(movement, music, *from);
            let (bar, offset) = (*from, offset_in(movement, *from, at));
            let rest = at.since(silent_since.0);
            entrances.push(Entrance {
                part,
                at,
                bar,
                offset,
                rest_bars: whole_bars(movement, silent_since.1, from.idx()),
                rest_quarters: movement.resolution.quarters(rest),
                rest_seconds: context.tempo.seconds_at(at)
                    - context.tempo.seconds_at(silent_since.0.min(at)),
                first: nth == 0,
                level: context.dynamics.level_at(part, at),
                devices: context.devices.at(part, at).map(|span| span.device).collect(),
                off_beat: false,
                n_sounding: context.playing.n_sounding(bar) as u32,
                solo: false,
                section: None,
                imitates: None,
                need: 0,
                reasons: Vec::new(),
            });
            silent_since = (last_sound(movement, music, *to), to.idx() + 1);
        }
        runs_of.push(runs);
    }
    entrances.sort_by_key(|entrance| (entrance.at, entrance.part));
    imitation::find(&mut entrances, movement, context.heard, &settings.cues);
    cue::weigh(&mut entrances, context, &runs_of, settings);
    entrances
}

/// Where the first note of a run begins: its first note in the bar, or the bar where only a repeat
/// sign stands.
fn first_sound(movement: &Movement, music: &PartMusic, bar: BarIndex) -> Ticks {
    let Some(row) = movement.bars.get(bar) else { return Ticks::ZERO };
    let notes = music.notes_in(row.start, row.end().max(row.start + Ticks(1)));
    let mut sounding = notes.iter().filter(|note| note.sounds());
    // Where the file does not spell out what a sign stands for, it is taken to fill the bar.
    if !music.repeats_in(bar).is_empty() && !spelled_out(notes) {
        return row.start;
    }
    sounding.next().map_or(row.start, |note| note.onset)
}

fn spelled_out(notes: &[Note]) -> bool {
    notes.iter().any(|note| note.sounds() && note.traits.any(NoteTraits::UNDER_SIGN))
}

/// Where the last note of a run ends.
fn last_sound(movement: &Movement, music: &PartMusic, bar: BarIndex) -> Ticks {
    let Some(row) = movement.bars.get(bar) else { return Ticks::ZERO };
    let notes = music.notes_in(row.start, row.end());
    if !music.repeats_in(bar).is_empty() && !spelled_out(notes) {
        return row.end();
    }
    let last = notes.iter().filter(|note| note.sounds()).map(|note| note.end()).max();
    // Only a note held over from the bar before, in one head, leaves the bar without an onset.
    last.unwrap_or_else(|| {
        let before = music.notes_in(Ticks::ZERO, row.start);
        before.iter().rev().take(64).map(|note| note.end()).max().unwrap_or(row.end())
    })
}

fn offset_in(movement: &Movement, bar: BarIndex, at: Ticks) -> Quarters {
    let start = movement.bars.get(bar).map_or(at, |row| row.start);
    movement.resolution.quarters(at.since(start))
}

/// Whole bars among the entries [from, to): the halves of a split bar are one, and only if both
/// are among them; an upbeat is no whole bar.
fn whole_bars(movement: &Movement, from: usize, to: usize) -> u32 {
    let bars = movement.bars.as_slice();
    let continues = |idx: usize| bars.get(idx).is_some_and(|bar| bar.continues);
    let mut count = 0;
    for idx in from..to {
        let whole = bars.get(idx).is_some_and(|bar| !bar.pickup && !bar.continues);
        // The rest of a split bar has to be silent as well.
        let cut_off = (idx + 1..).take_while(|next| continues(*next)).any(|next| next >= to);
        count += u32::from(whole && !cut_off);
    }
    count
}

#[cfg(test)]
mod tests;
