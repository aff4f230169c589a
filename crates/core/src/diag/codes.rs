//! The table of diagnostic codes: one row each. A test over the suite proves that every code has an
//! input that triggers it. The paragraph of a code is what users read about it, in `barloom check`,
//! on the desk and in `assets/findings.md`: its first sentence says what was found, the second what
//! was done, the others what the user can do.

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
    /// A paragraph of at least three sentences: what was found, what was done, and what the user can
    /// do.
    pub about: &'static str,
}

impl CodeRow {
    /// The name as words: "bar lengths differ".
    pub fn title(&self) -> String {
        self.name.replace('-', " ")
    }

    /// The paragraph as plain text.
    pub fn paragraph(&self) -> &'static str {
        self.about.trim()
    }

    /// The sentences of the paragraph.
    pub fn sentences(&self) -> Vec<&'static str> {
        let mut sentences = Vec::new();
        let mut rest = self.paragraph();
        while let Some(end) = rest.find(". ") {
            let (sentence, behind) = rest.split_at(end + 1);
            sentences.push(sentence);
            rest = behind.trim_start();
        }
        sentences.push(rest);
        sentences
    }

    /// What was found and what was done: the first two sentences.
    pub fn found_and_done(&self) -> String {
        self.sentences().into_iter().take(2).collect::<Vec<_>>().join(" ")
    }

    /// What the user can do: the rest.
    pub fn advice(&self) -> String {
        self.sentences().into_iter().skip(2).collect::<Vec<_>>().join(" ")
    }
}

/// The row with this name, whatever its case.
pub fn by_name(name: &str) -> Option<&'static CodeRow> {
    CODES.iter().find(|row| row.name.eq_ignore_ascii_case(name.trim()))
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
    /// The archive does not say which of its entries is the score, or names one that is not there.
    /// The first entry with a score's name was read. If that is the wrong one, unpack the archive and
    /// open the right file, or save the score again in the program that made it.
    ContainerOdd, "container-odd", Warning;
    /// The file does not say how its letters are written, or says it wrongly. The encoding was worked
    /// out from the bytes, and the text was read with it. Look at names and words with accents; if
    /// they are right, nothing else can be wrong.
    EncodingAssumed, "encoding-assumed", Warning;
    /// The file is of another version of its format than the one that is read. What the versions have
    /// in common was read. Look whether anything is missing, or save the file again in the present
    /// version.
    VersionOther, "version-other", Note;
    /// The edition gives alternatives: variant readings or corrections. The main reading was taken, or
    /// the correction, or what stands first, and the others were left out. Compare the bar with the
    /// printed edition if the other reading is to be played.
    ReadingChosen, "reading-chosen", Note;
    /// An element among the music is not understood. It was left out with all that is in it. Where it
    /// held notes they are missing: compare the bar with the printed page.
    ElementUnknown, "element-unknown", Error;
    /// A sign refers to something that is not in the music. It was put at the beat it states, or at
    /// the start of its bar. Compare its place with the printed page.
    ReferenceUnknown, "reference-unknown", Warning;
    /// Notes state no sounding alteration anywhere in the file. It was taken from the accidentals of
    /// the bar and from the key signature, as one reads from paper. Nothing need be done unless the
    /// file leaves out accidentals that are printed.
    AlterationImplied, "alteration-implied", Note;
    /// The list of parts at the head of the file and the music do not agree. Parts without an entry
    /// in the list keep their id as name, and entries without music were left out. Give such a part
    /// its name and instrument by hand, or repair the list in the program that wrote the file.
    PartListOdd, "part-list-odd", Warning;
    /// Neither the name of a part nor the sound that the file gives it is an instrument we know. The
    /// part was read in full, but without range, family and place in the score order. Set its
    /// instrument by hand and the rest follows.
    InstrumentUnknown, "instrument-unknown", Warning;
    /// The file does not say before the first note how many divisions a quarter note has. One
    /// division a quarter was assumed, as is usual in files without that statement. If every note is
    /// too long or too short, the file needs its divisions.
    DivisionsMissing, "divisions-missing", Warning;
    /// The number of divisions a quarter note has is no positive number. The divisions that held
    /// before were kept. Notes from here on may have wrong lengths: compare the bar with the printed
    /// page and have the file repaired.
    DivisionsUnreadable, "divisions-unreadable", Error;
    /// A note or rest has no length, or one that is no number. It counts as nothing and what follows
    /// stands earlier in the bar. Compare the bar with the printed page: a note may be missing from
    /// counts and entrances.
    DurationUnreadable, "duration-unreadable", Error;
    /// A length falls between the finest steps that this movement can be divided into. It was rounded
    /// down to the step before, less than anyone can hear. Nothing need be done unless a whole voice
    /// drifts.
    DurationRounded, "duration-rounded", Warning;
    /// A step back in time goes to before the start of the bar. It was stopped at the start of the
    /// bar, where the next voice was begun. Look whether the voices of this bar stand under each
    /// other as printed.
    BackupTooLong, "backup-too-long", Warning;
    /// A bar is longer than any that can be held exactly. What lies beyond was cut off. The file is
    /// damaged there; have the bar written again.
    BarTooLong, "bar-too-long", Error;
    /// A note is marked as belonging to a chord, but no note stands before it in the bar. It was read
    /// as a note of its own where it is written. Compare the bar with the printed page.
    ChordWithoutNote, "chord-without-note", Warning;
    /// One note of a chord is longer than the chord and reaches past the end of its bar. It was ended
    /// with the bar. If it should ring on, the file needs a tie there.
    ChordNoteCut, "chord-note-cut", Warning;
    /// A note is neither pitched nor a rest nor marked as unpitched. It was taken as an unpitched
    /// note, so that it sounds and counts but has no pitch. Have the file repaired if the part is a
    /// pitched one.
    NoteUnreadable, "note-unreadable", Warning;
    /// The step or octave of a note is none that exists. The note was kept with its length, without a
    /// pitch, so it is missing from ranges and doublings. Compare the bar with the printed page.
    PitchUnreadable, "pitch-unreadable", Error;
    /// An alteration is finer than a quarter tone. The pitch was rounded to the nearest quarter tone
    /// for ranges and doublings. Nothing need be done: what is printed stays as it is.
    PitchRounded, "pitch-rounded", Warning;
    /// A note has a printed accidental, and the file states no alteration for it. The note was read as
    /// it is printed, since that is what a player sees. If it is a slip, correct the note in the
    /// program that wrote the file.
    AlterationMissing, "alteration-missing", Warning;
    /// A time signature cannot be understood. The one before was kept, and the bar has the length of
    /// what is in it. Set the beating of these bars by hand.
    MeterUnreadable, "meter-unreadable", Error;
    /// No time signature is stated before the first bar. Each bar was given the length of what is in
    /// it, and no beating could be proposed from a meter. Set the beating by hand, or write a time
    /// signature into the file, hidden if need be.
    MeterMissing, "meter-missing", Warning;
    /// A time signature stands inside a bar. It counts from the next bar on. If the bar should be two,
    /// divide it in the program that wrote the file.
    MeterInsideBar, "meter-inside-bar", Warning;
    /// A part has another time signature than the first part in the same bar. The bars follow the
    /// first part, and the part keeps its own meter between their barlines. Nothing need be done if
    /// the music is written in several meters at once; otherwise one of the two is a slip of the pen.
    MeterDiffers, "meter-differs", Note;
    /// The file says that a bar of one part does not begin where bars of other parts do. The bars of
    /// all parts were set side by side by their count all the same. Compare the part with the printed
    /// page.
    BarlinesApart, "barlines-apart", Warning;
    /// A bar is longer or shorter than its meter says, and is neither an upbeat nor a part of a bar
    /// that was split nor the last bar after an upbeat. What stands in it counts. Compare it with the
    /// printed page: a note may be missing, or be there twice.
    BarLengthOdd, "bar-length-odd", Note;
    /// The printed value of a note or rest and its duration differ. The duration counts. Compare the
    /// bar with the printed page; often a dot or a tuplet was left out of one of the two.
    ValueDiffers, "value-differs", Note;
    /// Two parts disagree on how long a bar is. The longest decides, and the others are silent for
    /// what is missing. Compare the bar with the printed page: often a rest was left out or a tuplet
    /// is not marked.
    BarLengthsDiffer, "bar-lengths-differ", Warning;
    /// A part has fewer bars than the longest one. It was taken to be silent in the bars that are
    /// missing at its end. If the part should play there, the file is incomplete.
    BarsMissing, "bars-missing", Warning;
    /// A bar is shorter than its meter and nothing marks it as an upbeat. It was taken as an upbeat,
    /// so it is not counted in bar numbers and groups. If it is a full bar with something missing,
    /// compare it with the printed page.
    PickupFound, "pickup-found", Note;
    /// One file holds several movements: a thick barline ends one, and a title or numbering from 1
    /// begins another. It was split there, and each movement has its own bars, groups and plan. Join
    /// them again in the list of movements if that is wrong.
    MovementSplit, "movement-split", Note;
    /// A part of one movement may be the same as a part of another, or not: names and numbers leave it
    /// open. It was matched, or kept as a part of its own, as the finding says. Rename the part in one
    /// of the files, or set its instrument by hand, if the players are others than that.
    PartMatchDoubtful, "part-match-doubtful", Warning;
    /// A hairpin begins and the file never ends it. It was taken to last to the end of its bar. Look
    /// at the page where it should end, and mark the goal of the crescendo or diminuendo by hand if
    /// it matters.
    HairpinOpen, "hairpin-open", Warning;
    /// A hairpin ends that never began. It was left out. If a crescendo or diminuendo is printed
    /// there, mark it by hand.
    HairpinUnbegun, "hairpin-unbegun", Warning;
    /// A tie begins and no note continues it. The note ends with its written length. Nothing need be
    /// done for a tie that lets a note ring; otherwise the note after it may have another pitch by
    /// mistake.
    TieOpen, "tie-open", Note;
    /// A harmonic whose sounding pitch cannot be told: the file shows the string or the place where it
    /// is touched, but not both, or a place where no overtone answers. It was taken to sound as it is
    /// written. Ranges and doublings may be wrong there: compare them with the printed page.
    HarmonicUnclear, "harmonic-unclear", Note;
    /// A metronome mark is no number of beats a minute. Its words were kept and no tempo was taken
    /// from it. Set the tempo of this place by hand.
    TempoUnreadable, "tempo-unreadable", Error;
    /// The tempo that is printed and the tempo for playback in the file are not the same. The printed
    /// one counts, as a reader of the page would have it. Set a tempo by hand if the playback value
    /// is the right one.
    TempoConflict, "tempo-conflict", Warning;
    /// No metronome mark and no playback tempo stand at the start of a movement. A tempo was assumed,
    /// from the words or the title if they are tempo words, and is shown as assumed wherever it is
    /// used. Set your own tempo: durations, rests in seconds and beatings follow it.
    TempoAssumed, "tempo-assumed", Warning;
    /// A score file is not the one that the study was saved with. Every mark and decision was looked
    /// for again in the new one by its music, and each doubt is a finding of its own. Look through
    /// these findings before you rely on the study.
    SourceChanged, "source-changed", Note;
    /// A movement of the study is no longer in its score file. Its marks and decisions are kept in
    /// the study, and nothing of it can be shown. Bring the old file back, or take the movement out
    /// of the study.
    MovementGone, "movement-gone", Error;
    /// A score file holds music that no movement of the study uses. It was left aside. Add it in the
    /// list of movements if it belongs to the work.
    MovementUnused, "movement-unused", Note;
    /// Movements that were joined by hand divide their quarters so differently that no common grid
    /// holds both exactly. Positions in the later one were rounded down to the grid of the first. The
    /// error is less than anyone can hear; split them again if exact positions matter.
    JoinRounded, "join-rounded", Warning;
    /// The bar of a mark or decision was found again in the changed score, but its music is not the
    /// same. The mark stands at that bar. Look whether it still says what you mean.
    BarChanged, "bar-changed", Note;
    /// The bar of a mark or decision was found again only by its number or its place among the
    /// others. The mark was put there. Look whether it is the right bar, and move the mark if not.
    BarDoubtful, "bar-doubtful", Warning;
    /// The bar of a mark or decision is no longer in the score. The mark was put at the nearest bar
    /// that is. Move it, or take it away.
    BarGone, "bar-gone", Warning;
    /// The bar of a mark or decision is shorter than it was, and the mark stood behind its end. It
    /// was put earlier in the bar. Look whether it is at the right beat.
    PlaceMoved, "place-moved", Warning;
    /// A part has another name in the changed score. It was found again by what it plays, and its
    /// marks and decisions went with it. Look whether the two are the same players.
    PartRenamed, "part-renamed", Warning;
    /// Marks or decisions name a part that the score does not have. They are kept, and have no effect
    /// until the part is there again. Take them away if the part will not come back.
    PartGone, "part-gone", Warning;
    /// A decision could not stay one, because in the changed score another decides the same thing. It
    /// was kept as a mark with its words. Choose which of the two you want, and take the other away.
    DecisionDisplaced, "decision-displaced", Warning;
    /// A correction names a part, an instrument or a bar that is not there. It is kept and has no
    /// effect. Make it again at the right place, or take it away.
    CorrectionUnplaced, "correction-unplaced", Warning;
    /// Words in the score that are none of the terms we know. They are kept and shown as words, and
    /// nothing was concluded from them. If they ask for a mute, a player, an instrument or a tempo,
    /// set that by hand.
    WordsUnknown, "words-unknown", Note;
    /// A dynamic sign that is none of the known letters. It was kept as words, and the level before
    /// it holds on. Mark the level by hand if it matters.
    DynamicUnknown, "dynamic-unknown", Note;
    /// Parts have different rehearsal marks at the start of one bar. All of them were kept, side by
    /// side in the order of the parts. Set the mark of the bar by hand if only one is right.
    RehearsalConflict, "rehearsal-conflict", Warning;
    /// Repeats, endings or jumps do not fit together, or the words say something else than the
    /// playback element. The played order was made as players would read the page, and the finding
    /// says how. Look at the played order of the movement; leave repeats out or cut bars by hand if
    /// it is wrong.
    OrderUnclear, "order-unclear", Warning;
    /// Tempo statements contradict each other, or one that is needed is missing. The finding says
    /// which was taken. Set a tempo by hand if it is wrong; durations follow.
    TempoUnclear, "tempo-unclear", Warning;
    /// A technique ends that never began, or is still in force when the movement ends. The state was
    /// taken as the words stand, and nothing was added. Correct it by hand if a word is missing:
    /// "senza sord.", "arco", "ord.".
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
