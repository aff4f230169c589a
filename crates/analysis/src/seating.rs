//! The seating plan: where every part sits as the conductor sees it, and cues that fall together on
//! different sides.
//!
//! Without decisions the seats are those of the usual concert platform: first violins at the left hand,
//! seconds beside them, violas and cellos at the right, basses behind the cellos, woodwinds in the
//! middle, horns behind on the left, the other brass behind on the right, timpani in the middle at the
//! back, percussion at the back on the left, harps and keyboards on the left (common practice; houses
//! differ).

use crate::settings::CueSettings;
use barloom_core::instrument::Family;
use barloom_core::part::{PartIdx, PartKey};
use barloom_core::score::{Movement, Score};
use barloom_core::study::{Depth, Seat, Side, Study};
use barloom_core::time::Ticks;

/// Where every part of the work sits: decided seats, else the usual ones.
pub fn seats(score: &Score, study: &Study) -> Vec<Seat> {
    let decided = |key: &PartKey| study.seat(key).map(|(_, seat)| seat.clone());
    usual(score).into_iter().map(|seat| decided(&seat.part).unwrap_or(seat)).collect()
}

/// Where every part of the work usually sits. First and second violins are told by their names, else by
/// their order; soloists stand beside the conductor and are not counted.
pub fn usual(score: &Score) -> Vec<Seat> {
    let mut violins = 0;
    let seat = |part: &barloom_core::part::Part| {
        let row = part.instrument.get();
        let name = part.name.to_lowercase();
        let (side, depth) = if name.contains("solo") {
            (Side::Left, Depth::Front)
        } else {
            if row.name == "violin" {
                violins += 1;
            }
            place(row.family, row.name, numbered(&name).unwrap_or(violins))
        };
        Seat { part: part.key.clone(), side, depth }
    };
    score.parts.iter().map(seat).collect()
}

/// The number in a part's name: "violins ii", "violin 1b".
fn numbered(name: &str) -> Option<u32> {
    name.split_whitespace().find_map(|word| match word.trim_matches(|c: char| "().,".contains(c)) {
        "i" => Some(1),
        "ii" => Some(2),
        word => word.chars().next().and_then(|first| first.to_digit(10)),
    })
}

fn place(family: Family, name: &str, nth_violin: u32) -> (Side, Depth) {
    match (family, name) {
        (Family::Strings, "violin") if nth_violin <= 1 => (Side::FarLeft, Depth::Front),
        (Family::Strings, "violin") => (Side::Left, Depth::Front),
        (Family::Strings, "viola") => (Side::Right, Depth::Front),
        (Family::Strings, "cello") => (Side::FarRight, Depth::Front),
        (Family::Strings, "double bass") => (Side::FarRight, Depth::Center),
        (Family::Strings, _) => (Side::Left, Depth::Center),
        (Family::Woodwinds, _) => (Side::Middle, Depth::Center),
        (Family::Brass, "horn" | "wagner tuba") => (Side::Left, Depth::Back),
        (Family::Brass, _) => (Side::Right, Depth::Back),
        (Family::Percussion, "timpani") => (Side::Middle, Depth::Back),
        (Family::Percussion, _) => (Side::Left, Depth::Back),
        (Family::HarpAndKeyboards, _) => (Side::FarLeft, Depth::Center),
        (Family::Voices, _) => (Side::Middle, Depth::Back),
        (Family::Other, _) => (Side::Middle, Depth::Center),
    }
}

/// A cue that is given, or proposed.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct CueAt {
    /// When.
    pub at: Ticks,
    /// For whom.
    pub part: PartIdx,
    /// Silent bars before.
    pub rest_bars: u32,
    /// Points that speak for it.
    pub need: u32,
    /// A whole section: a part of strings or voices that is not solo.
    pub section: bool,
}

/// Two cues less than a beat apart on different sides of the orchestra.
#[derive(Clone, PartialEq, Debug)]
pub struct Clash {
    /// When the earlier falls.
    pub at: Ticks,
    /// When the later falls; the same for both at once.
    pub then: Ticks,
    /// The parts to be cued first.
    pub first: Vec<PartIdx>,
    /// The parts on the other side.
    pub second: Vec<PartIdx>,
    /// Why in this order.
    pub why: &'static str,
}

/// The clashes among the cues of a movement, by place. Where very many enter at once they have the
/// downbeat and are no clash.
///
/// Who is cued first: a whole section before single players, then whoever has rested longest, then who
/// needs it most (McElheran, *Conducting Technique*, from memory; common practice).
pub fn clashes(
    movement: &Movement,
    cues: &[CueAt],
    seats: &[Seat],
    settings: &CueSettings,
) -> Vec<Clash> {
    let mut cues = cues.to_vec();
    cues.sort_by_key(|cue| (cue.at, cue.part));
    let mut moments: Vec<Vec<Group>> = Vec::new();
    for together in cues.chunk_by(|a, b| a.at == b.at) {
        if together.len() > settings.most_together as usize {
            continue;
        }
        let mut here: Vec<Group> = Vec::new();
        for cue in together {
            let Some(seat) = seats.get(cue.part.idx()) else { continue };
            match here.iter_mut().find(|group| group.side == seat.side) {
                Some(group) => group.cues.push(*cue),
                None => here.push(Group { side: seat.side, cues: vec![*cue] }),
            }
        }
        moments.push(here);
    }
    let apart = |one: &Group, other: &Group| one.side.apart(other.side) >= settings.sides_apart;
    let mut found = Vec::new();
    for (nth, here) in moments.iter().enumerate() {
        let Some(at) = here.first().and_then(Group::at) else { continue };
        found.extend(at_once(here, at, &apart));
        let beat = beat_at(movement, at);
        let later = moments.iter().skip(nth + 1).filter_map(|then| {
            let at = then.first().and_then(Group::at)?;
            Some((at, then))
        });
        for (then, groups) in later.take_while(|(then, _)| *then - at < beat) {
            let far = |other: &&Group| here.iter().any(|one| apart(one, other));
            let second: Vec<PartIdx> = groups.iter().filter(far).flat_map(Group::parts).collect();
            let near = |one: &&Group| groups.iter().any(|other| apart(one, other));
            let first: Vec<PartIdx> = here.iter().filter(near).flat_map(Group::parts).collect();
            if !second.is_empty() {
                found.push(Clash { at, then, first, second, why: "the earlier first" });
            }
        }
    }
    found
}

/// Cues of one moment on one side.
struct Group {
    side: Side,
    cues: Vec<CueAt>,
}

impl Group {
    fn at(&self) -> Option<Ticks> {
        self.cues.first().map(|cue| cue.at)
    }

    fn parts(&self) -> impl Iterator<Item = PartIdx> {
        self.cues.iter().map(|cue| cue.part)
    }

    fn rank(&self) -> (bool, Option<u32>, Option<u32>) {
        let section = self.cues.iter().any(|cue| cue.section) || self.cues.len() >= 3;
        let rest = self.cues.iter().map(|cue| cue.rest_bars).max();
        (section, rest, self.cues.iter().map(|cue| cue.need).max())
    }
}

/// One clash at most among the cues of one moment: whoever comes first against all that sit far off.
fn at_once(here: &[Group], at: Ticks, apart: &impl Fn(&Group, &Group) -> bool) -> Option<Clash> {
    let far = |one: &&Group| here.iter().any(|other| apart(one, other));
    let first = here.iter().filter(far).max_by_key(|group| group.rank())?;
    let others: Vec<&Group> = here.iter().filter(|other| apart(first, other)).collect();
    let next = others.iter().map(|group| group.rank()).max()?;
    let own = first.rank();
    let why = if own.0 != next.0 {
        "the section first"
    } else if own.1 != next.1 {
        "the longer rest first"
    } else {
        "the greater need first"
    };
    let second = others.into_iter().flat_map(Group::parts).collect();
    Some(Clash { at, then: at, first: first.parts().collect(), second, why })
}

/// The notated beat at a place; a quarter where nothing is counted.
fn beat_at(movement: &Movement, at: Ticks) -> Ticks {
    let quarter = Ticks(i64::from(movement.resolution.ticks_per_quarter()));
    let bar = movement.bars.bar_at(at).and_then(|bar| movement.bars.get(bar));
    bar.filter(|bar| !bar.meter.is_unmeasured())
        .and_then(|bar| {
            movement.resolution.ticks_floor(crate::tempo::terms::notated_beat(&bar.meter))
        })
        .unwrap_or(quarter)
}

/// The cues of a movement: those that the conductor wants, and the proposals with at least `from` points
/// where nothing was decided.
pub fn cues_of(
    score: &Score,
    movement: &Movement,
    entrances: &[crate::entrances::Entrance],
    study: &Study,
    from: u32,
) -> Vec<CueAt> {
    let mut cues = Vec::new();
    for entrance in entrances {
        let Some(part) = score.parts.get(entrance.part.idx()) else { continue };
        let at = barloom_core::bar::BarAddress {
            movement: movement.id,
            bar: entrance.bar,
            offset: entrance.offset,
        };
        let given = match study.cue(at, &part.key) {
            Some((_, cue)) => cue.wanted,
            None => entrance.need >= from,
        };
        if given {
            cues.push(CueAt {
                at: entrance.at,
                part: entrance.part,
                rest_bars: entrance.rest_bars,
                need: entrance.need,
                section: is_section(part) && !entrance.solo,
            });
        }
    }
    for (_, cue) in study.cues().filter(|(_, cue)| cue.wanted && cue.at.movement == movement.id) {
        let (Some(at), Some(part)) = (movement.ticks(cue.at), score.part_by_key(&cue.part)) else {
            continue;
        };
        if !cues.iter().any(|known| (known.at, known.part) == (at, part)) {
            let section = score.parts.get(part.idx()).is_some_and(is_section);
            cues.push(CueAt { at, part, rest_bars: 0, need: 0, section });
        }
    }
    cues
}

fn is_section(part: &barloom_core::part::Part) -> bool {
    let solo = part.name.to_lowercase().contains("solo");
    !solo && matches!(part.instrument.get().family, Family::Strings | Family::Voices)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{analyzed, movement, ticks};

    fn cue(at: &str, part: u16, rest_bars: u32) -> CueAt {
        CueAt { at: ticks(at), part: PartIdx(part), rest_bars, need: 4, section: part < 3 }
    }

    fn found(cues: &[CueAt]) -> Vec<(Vec<u16>, Vec<u16>, &'static str)> {
        let parts =
            ["violin: 4/4 c5:4 | c5:4", "violin: 4/4 c5:4", "cello: 4/4 c3:4", "horn: 4/4 c4:4"];
        let (basis, _) = analyzed(movement(&parts));
        let seats = usual(&basis.score);
        let clashes = clashes(&basis.score.movements[0], cues, &seats, &CueSettings::default());
        let names = |parts: &[PartIdx]| parts.iter().map(|part| part.0).collect::<Vec<_>>();
        clashes.iter().map(|c| (names(&c.first), names(&c.second), c.why)).collect()
    }

    #[test]
    fn cues_within_a_beat_on_different_sides_clash() {
        let seen = found(&[cue("4", 0, 4), cue("4", 2, 9)]);
        assert_eq!(seen, [(vec![2], vec![0], "the longer rest first")]);
        let seen = found(&[cue("4", 0, 4), cue("9/2", 2, 9)]);
        assert_eq!(seen, [(vec![0], vec![2], "the earlier first")]);
    }

    #[test]
    fn a_section_comes_before_single_players_and_a_moment_is_told_once() {
        // The horn has rested longer, the cellos are a section.
        let seen = found(&[cue("4", 3, 30), cue("4", 2, 2)]);
        assert_eq!(seen, [(vec![2], vec![3], "the section first")]);
        let seen = found(&[cue("4", 0, 4), cue("4", 1, 4), cue("4", 2, 9)]);
        assert_eq!(seen, [(vec![2], vec![0, 1], "the longer rest first")]);
    }

    #[test]
    fn more_than_a_few_have_the_downbeat() {
        let cues: Vec<CueAt> = (0..7).map(|nth| cue("4", nth % 4, 8)).collect();
        assert_eq!(found(&cues), []);
    }

    #[test]
    fn a_beat_apart_or_side_by_side_is_no_clash() {
        assert_eq!(found(&[cue("4", 0, 4), cue("5", 2, 9)]), []);
        assert_eq!(found(&[cue("4", 0, 4), cue("4", 1, 9)]), []);
    }

    #[test]
    fn numbers_in_names_tell_the_violins() {
        assert_eq!(numbered("violins ii"), Some(2));
        assert_eq!(numbered("violin 1b"), Some(1));
        assert_eq!(numbered("violins"), None);
    }

    #[test]
    fn violins_sit_left_and_cellos_right() {
        let parts =
            ["violin: 4/4 c5:4", "violin: 4/4 c5:4", "cello: 4/4 c3:4", "timpani: 4/4 c3:4"];
        let (basis, _) = analyzed(movement(&parts));
        let sides: Vec<Side> = usual(&basis.score).iter().map(|seat| seat.side).collect();
        assert_eq!(sides, [Side::FarLeft, Side::Left, Side::FarRight, Side::Middle]);
    }
}
