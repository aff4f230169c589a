//! A texture in words, for lists, the plan and the desk.

use super::{TextureClass, TextureSpan};

impl TextureClass {
    /// The name as it is said: "unison or octaves".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Octaves => "unison or octaves",
            other => other.name(),
        }
    }

    /// One word for it, where there is little room.
    pub const fn short(self) -> &'static str {
        match self {
            Self::Melody => "melody",
            other => other.name(),
        }
    }
}

impl TextureSpan {
    /// "homophony", "tutti: unison or octaves".
    pub fn words(&self) -> String {
        if self.class == self.relation {
            return String::from(self.class.words());
        }
        format!("{}: {}", self.class.words(), self.relation.words())
    }

    /// The numbers behind the class: "18 parts in 8 lines, 42 % of the attacks together, 60 % of the
    /// moves alike".
    pub fn numbers(&self) -> String {
        let parts = crate::say::count(self.n_parts as usize, "part");
        let percent = |share: f32| (share * 100.0).round();
        match (self.n_parts, self.n_lines) {
            (0, _) => String::new(),
            (_, 0) => parts,
            (1, _) => parts,
            (_, 1) => format!("{parts} in one line"),
            (_, lines) => format!(
                "{parts} in {lines} lines, {} % of the attacks together, {} % of the moves alike",
                percent(self.synchrony),
                percent(self.together),
            ),
        }
    }

    /// "as strong as 30 woodwinds": Rimsky-Korsakov's measure; empty in silence.
    pub fn strength(&self) -> String {
        match self.weight.round() as i32 {
            0 => String::new(),
            1 => String::from("as strong as one woodwind"),
            n => format!("as strong as {n} woodwinds"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_texture_is_said_with_what_it_rests_on() {
        let span = TextureSpan {
            class: TextureClass::Tutti,
            relation: TextureClass::Octaves,
            n_parts: 18,
            n_lines: 1,
            weight: 30.2,
            ..TextureSpan::default()
        };
        assert_eq!(span.words(), "tutti: unison or octaves");
        assert_eq!(span.numbers(), "18 parts in one line");
        assert_eq!(span.strength(), "as strong as 30 woodwinds");
        assert_eq!(TextureSpan::default().words(), "silence");
        assert_eq!(TextureSpan::default().numbers(), "");
    }
}
