//! Notes as strings and positions: each letter flat, natural or sharp.

use barloom_core::event::Note;
use barloom_core::pitch::{Step, WrittenPitch};
use barloom_core::time::Ticks;

/// The pedals from left to right.
pub const ORDER: [Step; 7] = [Step::D, Step::C, Step::B, Step::E, Step::F, Step::G, Step::A];

/// Positions in that order: -1 flat, 0 natural, 1 sharp.
pub type Pedals = [i8; 7];

/// `D C# B | E F# G A`: a setting as players write it.
pub fn pedals_in_words(pedals: Pedals) -> String {
    let word = |pedal: usize| position_words(pedal, pedals.get(pedal).copied().unwrap_or(0));
    let feet = [0..super::LEFT, super::LEFT..ORDER.len()];
    let sides = feet.map(|side| side.map(word).collect::<Vec<_>>().join(" "));
    sides.join(" | ")
}

/// One position: `F#`.
pub(super) fn position_words(pedal: usize, position: i8) -> String {
    let letter = ORDER.get(pedal).copied().unwrap_or(Step::C);
    let sign = match position {
        1 => "#",
        -1 => "b",
        _ => "",
    };
    format!("{letter:?}{sign}")
}

/// What one moment asks of the strings.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Need {
    pub(super) at: Ticks,
    /// When the last of its notes ends.
    pub(super) end: Ticks,
    /// For each pedal the position asked for.
    pub(super) positions: [Option<i8>; 7],
    /// For each of those when the string has done; ties go on as needs of their own.
    pub(super) ends: [Ticks; 7],
}

impl Need {
    /// The strings for notes that begin together. A letter that is asked for in two positions is
    /// spelled anew on a neighboring string where one is free; what is left over cannot be played.
    pub(super) fn of(
        notes: &[(Ticks, &Note)],
        impossible: &mut Vec<(Ticks, String)>,
    ) -> Option<Self> {
        let at = notes.first()?.0;
        let end = notes.iter().map(|(at, note)| *at + note.length).max()?;
        let mut need = Self { at, end, positions: [None; 7], ends: [at; 7] };
        let mut clashing = Vec::new();
        for (at, note) in notes {
            let (Some(pitch), end) = (note.written, *at + note.length) else { continue };
            let spelled = ways(pitch).into_iter().next();
            match spelled {
                Some((pedal, position)) if need.take(pedal, position, end) => {}
                _ => clashing.push((pitch, end)),
            }
        }
        for (pitch, end) in clashing {
            let placed = ways(pitch).into_iter().any(|(pedal, to)| need.take(pedal, to, end));
            if !placed {
                let what = match pitch.alter_quarter_tones % 2 {
                    0 => format!("{} is asked for in two positions at once", letter(pitch)),
                    _ => format!("{pitch} is a quarter tone, which no pedal makes"),
                };
                impossible.push((at, what));
            }
        }
        Some(need)
    }

    /// Asks for a position; false if another one is asked for already.
    fn take(&mut self, pedal: usize, position: i8, end: Ticks) -> bool {
        match self.positions.get_mut(pedal).zip(self.ends.get_mut(pedal)) {
            Some((slot, known_end)) if slot.is_none_or(|known| known == position) => {
                *slot = Some(position);
                *known_end = end.max(*known_end);
                true
            }
            _ => false,
        }
    }

    /// Whether it asks for anything.
    pub(super) fn asks(&self) -> bool {
        self.positions.iter().any(Option::is_some)
    }
}

fn letter(pitch: WrittenPitch) -> String {
    format!("{:?}", pitch.step)
}

/// The strings that give a pitch, as written first: nine of the twelve pitch classes have two ways,
/// D, G and A only one.
fn ways(pitch: WrittenPitch) -> Vec<(usize, i8)> {
    if pitch.alter_quarter_tones % 2 != 0 {
        return Vec::new();
    }
    let class = (pitch.step.semitones() + i32::from(pitch.alter_quarter_tones) / 2).rem_euclid(12);
    let way = |(pedal, step): (usize, &Step)| {
        [0_i8, -1, 1].into_iter().find_map(|position| {
            let fits = (step.semitones() + i32::from(position)).rem_euclid(12) == class;
            fits.then_some((pedal, position))
        })
    };
    let mut ways: Vec<(usize, i8)> = ORDER.iter().enumerate().filter_map(way).collect();
    ways.sort_by_key(|(pedal, _)| ORDER.get(*pedal) != Some(&pitch.step));
    ways
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On the strings of a harp D, G and A natural are found one way only, the other nine pitch
    /// classes two ways: 21 positions (counted from the seven letters and three positions).
    #[test]
    fn nine_pitch_classes_have_two_ways() {
        let of = |step, alter| ways(WrittenPitch { step, alter_quarter_tones: alter, octave: 4 });
        let mut counts: Vec<usize> = Vec::new();
        for (step, alter) in [
            (Step::C, 0),
            (Step::C, 2),
            (Step::D, 0),
            (Step::D, 2),
            (Step::E, 0),
            (Step::F, 0),
            (Step::F, 2),
            (Step::G, 0),
            (Step::G, 2),
            (Step::A, 0),
            (Step::A, 2),
            (Step::B, 0),
        ] {
            let ways = of(step, alter);
            assert_eq!(ORDER[ways[0].0], step, "as written first");
            counts.push(ways.len());
        }
        assert_eq!(counts, [2, 2, 1, 2, 2, 2, 2, 1, 2, 1, 2, 2]);
        assert_eq!(counts.iter().sum::<usize>(), 21);
    }

    #[test]
    fn settings_are_written_as_players_write_them() {
        assert_eq!(pedals_in_words([0, 1, 0, 0, 1, 0, 0]), "D C# B | E F# G A");
        assert_eq!(pedals_in_words([-1, -1, -1, -1, -1, 0, -1]), "Db Cb Bb | Eb Fb G Ab");
    }
}
