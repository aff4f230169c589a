//! What the user chooses about the paper, and what can go wrong.

/// The size of the sheets, all upright.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
    /// 297 by 420 mm.
    A3,
}

impl Paper {
    /// All papers, the usual one first.
    pub const ALL: [Self; 3] = [Self::A4, Self::Letter, Self::A3];

    /// The name as people write it: "A4", "Letter", "A3".
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
            Self::A3 => "A3",
        }
    }

    /// Width and height in points.
    pub const fn size_pt(self) -> (f64, f64) {
        match self {
            Self::A4 => (595.28, 841.89),
            Self::Letter => (612.0, 792.0),
            Self::A3 => (841.89, 1190.55),
        }
    }

    /// The paper with this name, in any case: "a4", "letter", "a3".
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|paper| paper.name().eq_ignore_ascii_case(name))
    }
}

/// How to print.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct ExportOptions {
    /// The sheets.
    pub paper: Paper,
    /// The date on the title page and in the file: year, month 1 to 12, day 1 to 31. Without one,
    /// none is printed.
    pub date: Option<(i32, u8, u8)>,
}

/// Why a plan was not printed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ExportError {
    /// The typesetter refused the plan.
    #[error("the plan could not be set ({0})")]
    Typesetting(String),
    /// The pages were set, but the file could not be made.
    #[error("the file could not be made ({0})")]
    Writing(String),
}
