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
    /// The archive has no usable container file; the score was found by its name. Save the file
    /// again in the program that made it.
    ContainerOdd, "container-odd", Warning;
    /// The encoding of the text had to be assumed. Check names and words with accents.
    EncodingAssumed, "encoding-assumed", Warning;
    /// The file is of another version of its format than the one that is read. What the versions
    /// have in common was read; look whether anything is missing.
    VersionOther, "version-other", Note;
    /// The edition gives alternatives (variant readings, corrections). The main reading was taken,
    /// or the correction, or what stands first; the others are left out.
    ReadingChosen, "reading-chosen", Note;
    /// An element among the music is not understood. It was left out with all that is in it; where
    /// it held notes, they are missing.
    ElementUnknown, "element-unknown", Error;
    /// A sign refers to something that is not in the music. It stands at the beat it states, or at
    /// the start of its bar.
    ReferenceUnknown, "reference-unknown", Warning;
    /// Notes state no sounding alteration anywhere in the file. It was taken from the accidentals of
    /// the bar and from the key signature, as one reads from paper.
    AlterationImplied, "alteration-implied", Note;
    /// The list of parts and the music do not agree. Parts without an entry keep their id as name;
    /// entries without music are left out.
    PartListOdd, "part-list-odd", Warning;
    /// The instrument of a part was not recognized. Set it by hand so that family, range and score
    /// order are right.
    InstrumentUnknown, "instrument-unknown", Warning;
    /// The file states no divisions before the first note; one division a quarter was assumed.
    DivisionsMissing, "divisions-missing", Warning;
    /// Divisions that are no positive number; those before were kept.
    DivisionsUnreadable, "divisions-unreadable", Error;
    /// A duration is missing or is no number. It counts as nothing.
    DurationUnreadable, "duration-unreadable", Error;
    /// A duration falls between the finest steps of the movement and was rounded down.
    DurationRounded, "duration-rounded", Warning;
    /// A step back goes before the start of the bar. It stops at the start.
    BackupTooLong, "backup-too-long", Warning;
    /// The bar is longer than anything that can be held. What is beyond was cut.
    BarTooLong, "bar-too-long", Error;
    /// A chord note has no note before it in the bar. It stands where it is written.
    ChordWithoutNote, "chord-without-note", Warning;
    /// A chord note is longer than its chord and reaches past the end of the bar. It ends there.
    ChordNoteCut, "chord-note-cut", Warning;
    /// A note has neither pitch nor rest nor the sign for unpitched. It was taken as unpitched.
    NoteUnreadable, "note-unreadable", Warning;
    /// A pitch is no pitch. The note was kept without one.
    PitchUnreadable, "pitch-unreadable", Error;
    /// An alteration finer than a quarter tone was rounded to the nearest quarter tone.
    PitchRounded, "pitch-rounded", Warning;
    /// A note has a printed accidental, and the file states no alteration for it. The note was read as
    /// it is printed. If it sounds wrong, correct the note in the program that made the file.
    AlterationMissing, "alteration-missing", Warning;
    /// A time signature cannot be understood. The one before was kept.
    MeterUnreadable, "meter-unreadable", Error;
    /// No time signature is stated. The bars have the lengths of what is in them.
    MeterMissing, "meter-missing", Warning;
    /// A time signature stands inside a bar. It counts from the next bar on; if the bar should be
    /// two, divide it in the program that wrote the file.
    MeterInsideBar, "meter-inside-bar", Warning;
    /// A part has another time signature than the first part. The bars follow the first part, and
    /// the part keeps its own meter between their barlines.
    MeterDiffers, "meter-differs", Note;
    /// A bar is longer or shorter than its meter says, and is neither an upbeat nor a part of a bar
    /// that was split nor the last bar after an upbeat. What stands in it counts.
    BarLengthOdd, "bar-length-odd", Note;
    /// The printed value of a note or rest and its duration differ. The duration counts.
    ValueDiffers, "value-differs", Note;
    /// Two parts disagree on how long a bar is; the longest counts.
    BarLengthsDiffer, "bar-lengths-differ", Warning;
    /// A part has fewer bars than the longest one. It is silent in those that are missing.
    BarsMissing, "bars-missing", Warning;
    /// A short bar was found to be an upbeat although the file does not mark it as one.
    PickupFound, "pickup-found", Note;
    /// The file holds several movements and was split where one ends and numbering begins again.
    /// Join them by hand if that is wrong.
    MovementSplit, "movement-split", Note;
    /// A hairpin has no end in the file. It was taken to last to the end of its bar.
    HairpinOpen, "hairpin-open", Warning;
    /// A hairpin ends that never began. It was left out.
    HairpinUnbegun, "hairpin-unbegun", Warning;
    /// A tie begins and nothing continues it. The note ends with its written length.
    TieOpen, "tie-open", Note;
    /// A harmonic whose sounding pitch cannot be told: the file shows the string or the place where it
    /// is touched, but not both, or a place where no overtone answers. It is taken to sound as it is
    /// written; ranges and doublings may be wrong there.
    HarmonicUnclear, "harmonic-unclear", Note;
    /// A metronome mark that is no number of beats a minute. Its words are kept.
    TempoUnreadable, "tempo-unreadable", Error;
    /// The printed tempo and the playback tempo of the file differ. The printed one counts.
    TempoConflict, "tempo-conflict", Warning;
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
    /// A part has another name in the changed score; it was found by what it plays.
    PartRenamed, "part-renamed", Warning;
    /// Marks or decisions name a part that the score does not have; they are kept.
    PartGone, "part-gone", Warning;
    /// A decision could not stay one, because another decides the same; it is kept as a mark.
    DecisionDisplaced, "decision-displaced", Warning;
    /// A correction names a part, instrument or bar that is not there, so it has no effect.
    CorrectionUnplaced, "correction-unplaced", Warning;
    /// Words that nobody recognized. They are kept as words; if they ask for a mute, a player or
    /// an instrument, set it by hand.
    WordsUnknown, "words-unknown", Note;
    /// A dynamic sign that is none of the known letters. It is kept as words.
    DynamicUnknown, "dynamic-unknown", Note;
    /// Repeats, endings or jumps do not fit together. The played order follows common practice.
    OrderUnclear, "order-unclear", Warning;
    /// Tempo statements contradict each other, or one that is needed is missing. What was taken is
    /// said; set a tempo by hand if it is wrong.
    TempoUnclear, "tempo-unclear", Warning;
    /// A technique ends that never began, or is still in force at the end of the movement. Correct
    /// it by hand if a word is missing.
    TechniqueUnclear, "technique-unclear", Note;
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
