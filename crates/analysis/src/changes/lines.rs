//! The sounds of a part, told apart by player where the part does so.

use crate::devices::DeviceSpan;
use crate::heard::Heard;
use barloom_core::part::PlayerSet;
use barloom_core::score::PartMusic;
use barloom_core::time::Ticks;
use std::borrow::Cow;

/// What one player plays, or several who always do the same.
pub(super) struct Line<'a> {
    pub(super) players: PlayerSet,
    /// Sorted by attack.
    pub(super) sounds: Cow<'a, [Heard]>,
}

/// The lines of a part; one of everyone where nothing in it is for some players only.
pub(super) fn of<'a>(
    music: &PartMusic,
    sounds: &'a [Heard],
    spans: &[DeviceSpan],
    n_players: usize,
) -> Vec<Line<'a>> {
    let mut sets: Vec<PlayerSet> = Vec::new();
    let all = sounds.iter().map(|sound| sound.players);
    let all = all.chain(spans.iter().map(|span| span.players));
    for set in all.chain(music.instruments.iter().map(|taken| taken.players)) {
        if !set.is_all() && !sets.contains(&set) {
            sets.push(set);
        }
    }
    if sets.is_empty() {
        return vec![Line { players: PlayerSet::ALL, sounds: Cow::Borrowed(sounds) }];
    }
    let mut named =
        (0..PlayerSet::MAX_PLAYERS).filter(|idx| sets.iter().any(|set| set.contains(*idx)));
    let n_players = n_players.max(named.next_back().map_or(0, |idx| idx + 1));
    // Players who are always named together are one line.
    let mut groups: Vec<(Vec<bool>, Vec<usize>)> = Vec::new();
    for player in 0..n_players.min(PlayerSet::MAX_PLAYERS) {
        let in_sets: Vec<bool> = sets.iter().map(|set| set.contains(player)).collect();
        match groups.iter_mut().find(|(known, _)| *known == in_sets) {
            Some((_, members)) => members.push(player),
            None => groups.push((in_sets, vec![player])),
        }
    }
    let everyone = groups.len() == 1;
    let line = |(_, members): (Vec<bool>, Vec<usize>)| {
        let first = members.first().copied().unwrap_or_default();
        let own = sounds.iter().filter(|sound| sound.players.contains(first));
        let players = if everyone { PlayerSet::ALL } else { PlayerSet::of(members) };
        Line { players, sounds: Cow::Owned(own.copied().collect()) }
    };
    groups.into_iter().map(line).collect()
}

impl Line<'_> {
    /// Calls `found` wherever a note is in another state than the one before it, with both states,
    /// from when the player is free and when the new note begins. `free` says when a note lets the
    /// hands go, given the state it is in.
    pub(super) fn changes<S: PartialEq + Copy>(
        &self,
        state: impl Fn(&Heard) -> S,
        free: impl Fn(&Heard, S) -> Ticks,
        mut found: impl FnMut(S, S, Ticks, Ticks),
    ) {
        let mut before: Option<S> = None;
        let mut free_from = Ticks::ZERO;
        for attack in self.sounds.chunk_by(|a, b| a.at == b.at) {
            let Some(first) = attack.first() else { continue };
            let here = state(first);
            if let Some(old) = before.filter(|old| *old != here) {
                found(old, here, free_from.min(first.at), first.at);
            }
            before = Some(here);
            let ends = attack.iter().map(|sound| free(sound, here));
            free_from = ends.fold(free_from, Ticks::max);
        }
    }

    /// The first player of the line, as the lists of instruments and devices count them.
    pub(super) fn player(&self) -> usize {
        self.players.first()
    }
}
