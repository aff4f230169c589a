//! The table of diagnostic codes: one row each. A test over the suite proves that every code has an
//! input that triggers it.

use super::Severity;

/// A row of the table.
#[derive(Debug)]
pub struct CodeRow {
    /// The code.
    pub code: Code,
    /// Its stable name, lower case with hyphens.
    pub name: &'static str,
    /// Its severity.
    pub severity: Severity,
    /// What it means and what the user can do, one or two sentences.
    pub about: &'static str,
}

macro_rules! codes {
    ($($(#[doc = $about:literal])+ $code:ident, $name:literal, $severity:ident;)*) => {
        /// A kind of finding.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum Code {
            $($(#[doc = $about])+ $code,)*
        }

        /// All codes, in the order in which the documentation lists them.
        pub static CODES: &[CodeRow] = &[
            $(CodeRow {
                code: Code::$code,
                name: $name,
                severity: Severity::$severity,
                about: concat!($($about),+),
            },)*
        ];
    };
}

codes! {
    /// Two parts disagree on how long a bar is; the longest counts.
    BarLengthsDiffer, "bar-lengths-differ", Warning;
    /// No tempo is stated at the start of a movement; one is assumed and shown as assumed.
    TempoAssumed, "tempo-assumed", Warning;
    /// A score file is not the one that the study was saved with; every place was looked for again.
    SourceChanged, "source-changed", Note;
    /// A movement of the study is no longer in its score file; its marks are kept.
    MovementGone, "movement-gone", Error;
    /// A score file holds music that no movement of the study uses.
    MovementUnused, "movement-unused", Note;
    /// Movements joined by hand have no common time grid; positions were rounded down.
    JoinRounded, "join-rounded", Warning;
    /// The bar of a mark or decision was found again, but its music has changed.
    BarChanged, "bar-changed", Note;
    /// The bar of a mark or decision was found again only by its label or place.
    BarDoubtful, "bar-doubtful", Warning;
    /// The bar of a mark or decision is not in the score any more; it stands at the nearest bar.
    BarGone, "bar-gone", Warning;
    /// The bar of a mark or decision is shorter than it was; it stands earlier in the bar now.
    PlaceMoved, "place-moved", Warning;
    /// Marks or decisions name a part that the score does not have; they are kept.
    PartGone, "part-gone", Warning;
    /// A decision could not stay one, because another decides the same; it is kept as a mark.
    DecisionDisplaced, "decision-displaced", Warning;
    /// A correction names a part, instrument or bar that is not there, so it has no effect.
    CorrectionUnplaced, "correction-unplaced", Warning;
}

impl Code {
    /// The row of this code.
    pub fn row(self) -> &'static CodeRow {
        // The macro builds enum and table from the same list, so positions agree.
        &CODES[self as usize]
    }

    /// The stable name.
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// The severity.
    pub fn severity(self) -> Severity {
        self.row().severity
    }
}
