//! Parts in words, condensed the way musicians speak of them: everyone, all the brass, three of the
//! strings, or their names.

use crate::playing::PlayingTrack;
use crate::say;
use barloom_core::instrument::Family;
use barloom_core::part::PartIdx;
use barloom_core::score::{Movement, Score};

/// More names than this of one family are counted instead of listed.
const MOST_NAMES: usize = 3;

/// The parts that are spoken of: those that play in the movement at all, with their families.
pub(crate) struct Roll<'a> {
    score: &'a Score,
    /// Active parts in score order.
    parts: Vec<(PartIdx, Family)>,
    /// Whether only some of the parts are asked about.
    chosen: bool,
}

impl<'a> Roll<'a> {
    /// The parts of a movement that play, or those of them in `only`.
    pub(crate) fn of(
        score: &'a Score,
        movement: &Movement,
        playing: &PlayingTrack,
        only: Option<&[PartIdx]>,
    ) -> Self {
        let asked = |part: PartIdx| only.is_none_or(|only| only.contains(&part));
        let parts = movement
            .parts()
            .filter(|(part, _)| asked(*part) && playing.plays(*part))
            .map(|(part, music)| {
                let first = music.instruments.first().map(|taken| taken.instrument);
                let listed = score.parts.get(part.idx()).map(|part| part.instrument);
                let instrument = first.or(listed);
                (part, instrument.map_or(Family::Other, |instrument| instrument.get().family))
            })
            .collect();
        Self { score, parts, chosen: only.is_some() }
    }

    /// The parts in score order.
    pub(crate) fn parts(&self) -> impl Iterator<Item = PartIdx> {
        self.parts.iter().map(|(part, _)| *part)
    }

    pub(crate) fn n_parts(&self) -> usize {
        self.parts.len()
    }

    /// Whether only some of the parts are asked about.
    pub(crate) fn is_chosen(&self) -> bool {
        self.chosen
    }

    /// The printed name of a part.
    pub(crate) fn name(&self, part: PartIdx) -> String {
        match self.score.parts.get(part.idx()) {
            Some(part) if !part.name.is_empty() => part.name.clone(),
            _ => format!("part {}", part.0 + 1),
        }
    }

    /// The parts given in words: "everyone", "all woodwinds, Horn 1 and 3 of 5 strings".
    pub(crate) fn words(&self, given: &[PartIdx]) -> String {
        if given.len() == self.parts.len() && given.len() > 2 {
            return String::from(if self.chosen { "all the chosen parts" } else { "everyone" });
        }
        if given.len() <= MOST_NAMES {
            let names: Vec<String> = given.iter().map(|part| self.name(*part)).collect();
            return say::list(&names);
        }
        let mut words = Vec::new();
        for family in Family::ALL {
            let members: Vec<PartIdx> =
                self.parts.iter().filter(|(_, of)| *of == family).map(|(part, _)| *part).collect();
            let here: Vec<PartIdx> =
                members.iter().filter(|part| given.contains(part)).copied().collect();
            if here.is_empty() {
                continue;
            }
            let collective = collective(family);
            if here.len() == members.len() && here.len() > 1 {
                words.push(format!("all {collective}"));
            } else if here.len() <= MOST_NAMES {
                words.extend(here.iter().map(|part| self.name(*part)));
            } else {
                words.push(format!("{} of {} {collective}", here.len(), members.len()));
            }
        }
        say::list(&words)
    }
}

/// A family as a group of parts is called.
const fn collective(family: Family) -> &'static str {
    match family {
        Family::Percussion => "timpani and percussion",
        Family::HarpAndKeyboards => "harps and keyboards",
        Family::Other => "other parts",
        family => family.name(),
    }
}
