//! How time is played where a cut begins: whether a clock holds, and whether pairs of notes swing.
//!
//! Ticks are those of the movement that is cut; nothing here moves them.

use crate::score::{Movement, TempoKind, TempoMark};
use crate::time::Ticks;

/// The marks of free time and of swing that were made before `start` and hold there, put at `start`.
pub(super) fn carried(movement: &Movement, start: Ticks) -> Vec<TempoMark> {
    let mut found: Vec<TempoMark> = free(movement, start).into_iter().collect();
    found.extend(swing(movement, start));
    found
}

/// The last mark that takes the clock away, unless a tempo has given it back. Playback values do not:
/// files play a rubato by steps. A tempo at the place of the mark itself ("Andante rubato") does not
/// either.
fn free(movement: &Movement, start: Ticks) -> Option<TempoMark> {
    let is_free = |mark: &&TempoMark| mark.kind == TempoKind::Free;
    let mut before = movement.tempi.iter().filter(|mark| mark.at < start);
    let last = before.rfind(is_free)?;
    let gives_back = |mark: &&TempoMark| {
        use TempoKind::{ATempo, Equation, Metronome, TempoPrimo, Term};
        matches!(mark.kind, Metronome { .. } | Equation { .. } | Term | ATempo | TempoPrimo)
    };
    let between = |mark: &&TempoMark| last.at < mark.at && mark.at <= start;
    let mut since = movement.tempi.iter().filter(between);
    let ended = since.any(|mark| gives_back(&mark) || is_free(&mark));
    (!ended).then(|| put_at(movement, last, start))
}

/// What the last place that speaks of swing says, unless `start` itself speaks of it.
fn swing(movement: &Movement, start: Ticks) -> Vec<TempoMark> {
    let speaks =
        |mark: &&TempoMark| matches!(mark.kind, TempoKind::Swing { .. } | TempoKind::Straight);
    let all = || movement.tempi.iter().filter(speaks);
    if all().any(|mark| mark.at == start) {
        return Vec::new();
    }
    let Some(last) = all().rfind(|mark| mark.at < start) else { return Vec::new() };
    all().filter(|mark| mark.at == last.at).map(|mark| put_at(movement, mark, start)).collect()
}

/// A mark as it stands at the start of the cut. Words that say more than this, as in "Andante rubato",
/// are not said again.
fn put_at(movement: &Movement, mark: &TempoMark, start: Ticks) -> TempoMark {
    let mut here = movement.tempi.iter().filter(|other| other.at == mark.at);
    let says_more = here.any(|other| other.words == mark.words && other.kind != mark.kind);
    TempoMark {
        at: start,
        bar: movement.bars.bar_at(start).unwrap_or_default(),
        kind: mark.kind.clone(),
        words: if says_more { String::new() } else { mark.words.clone() },
        line: mark.line,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bar::{Bar, BarIndex, BarTable};
    use crate::meter::Meter;
    use crate::time::Quarters;

    /// Bars of four ticks with marks at their beginnings.
    fn movement(marks: &[(u32, TempoKind, &str)]) -> Movement {
        let bar = Bar::blank(Meter::simple(4, 4), Ticks(4), "1");
        let mark = |(bar, kind, words): &(u32, TempoKind, &str)| TempoMark {
            at: Ticks(i64::from(*bar) * 4),
            bar: BarIndex(*bar),
            kind: kind.clone(),
            words: (*words).to_owned(),
            line: 0,
        };
        let tempi = marks.iter().map(mark).collect();
        Movement { bars: BarTable::new(vec![bar; 6]), tempi, ..Movement::default() }
    }

    /// What is carried to the start of a bar.
    fn at(movement: &Movement, bar: u32) -> Vec<(TempoKind, String)> {
        let marks = carried(movement, Ticks(i64::from(bar) * 4)).into_iter();
        marks
            .inspect(|mark| assert_eq!(mark.bar, BarIndex(bar)))
            .map(|m| (m.kind, m.words))
            .collect()
    }

    #[test]
    fn free_time_holds_until_a_tempo_that_is_not_for_playback() {
        let free = TempoKind::Free;
        let whole = movement(&[
            (1, TempoKind::Term, "Andante rubato"),
            (1, free.clone(), "Andante rubato"),
            (2, TempoKind::Playback(70.0), ""),
            (3, TempoKind::ATempo, "a tempo"),
            (4, free.clone(), "senza misura"),
        ]);
        assert_eq!(at(&whole, 1), []);
        assert_eq!(at(&whole, 2), [(free.clone(), String::new())]);
        assert_eq!(at(&whole, 3), []);
        assert_eq!(at(&whole, 4), []);
        assert_eq!(at(&whole, 5), [(free, String::from("senza misura"))]);
    }

    #[test]
    fn swing_holds_until_swing_is_spoken_of_again() {
        let unit = Quarters::new(1, 2).unwrap();
        let word = TempoKind::Swing { ratio: None, unit };
        let ratio = TempoKind::Swing { ratio: Some((2, 1)), unit };
        let whole = movement(&[
            (1, word.clone(), "swing"),
            (1, ratio.clone(), ""),
            (2, TempoKind::Term, "Allegro"),
            (4, TempoKind::Straight, "even eighths"),
        ]);
        assert_eq!(at(&whole, 0), []);
        assert_eq!(at(&whole, 1), []);
        let both = [(word, String::from("swing")), (ratio, String::new())];
        assert_eq!(at(&whole, 2), both);
        assert_eq!(at(&whole, 3), both);
        assert_eq!(at(&whole, 4), []);
        assert_eq!(at(&whole, 5), [(TempoKind::Straight, String::from("even eighths"))]);
    }
}
