//! Every threshold of the analyses, with its source. Users may change each.

use barloom_core::time::Quarters;

/// Thresholds of the analyses.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Below this many beats a minute the beat is divided. 40: the pulse needs more information
    /// below it ("5.1 Subdividing", open university conducting course).
    pub divide_below_bpm: f64,
    /// Below this the divided beat is offered as an alternative. 50: Labuta, *Basic Conducting
    /// Techniques* ch. 5.
    pub offer_divided_below_bpm: f64,
    /// Below this many dotted beats a minute the beats of 6/8, 9/8 and 12/8 are divided in three.
    /// 50, so that the small beats stay below 150; Gehrkens, *Essentials in Conducting* p. 25 gives
    /// 6, 9 and 12 for very slow movements, without a figure.
    pub divide_compound_below_bpm: f64,
    /// Above this the next larger beat is taken. 140: common practice, textbooks' exercises cluster
    /// at 140 to 144.
    pub merge_above_bpm: f64,
    /// Above this the larger beat is offered. 120: common practice, 120 to 126.
    pub offer_merged_above_bpm: f64,
    /// While the tempo changes by degrees, a pattern is kept until its threshold is passed by this
    /// share, so that it does not flicker. 0.15; no published figure.
    pub keep_pattern_share: f64,
    /// Quarters a minute where the score says nothing at all.
    pub assumed_quarters_per_minute: f64,
    /// What a ritardando without a stated end comes down to, as a share of the tempo before it.
    /// 0.8: common practice.
    pub slowing_factor: f64,
    /// What an accelerando without a stated end goes up to. 1.2: common practice.
    pub quickening_factor: f64,
    /// So many bars a change by degrees lasts when neither its end nor a further tempo is written.
    /// 4; no published figure.
    pub gradual_bars: u32,
    /// What "più mosso" and the like multiply the tempo by when no figure is written. 1.15; no
    /// published figure.
    pub quicker_term_factor: f64,
    /// What "meno mosso" and the like multiply the tempo by. 0.85; no published figure.
    pub slower_term_factor: f64,
    /// What speaks for giving a cue.
    pub cue: CuePoints,
    /// Imitations and clashes of cues.
    pub cues: CueSettings,
    /// What makes parts double each other.
    pub doublings: DoublingSettings,
    /// What makes a part the leading one.
    pub leading: LeadingSettings,
    /// Where one texture ends and the next begins.
    pub texture: TextureSettings,
    /// How long changes take.
    pub changes: ChangeSettings,
    /// When attacks of unlike instruments need care.
    pub mixed: MixedSettings,
    /// The estimate of the balance.
    pub balance: BalanceSettings,
    /// What does not fit together.
    pub contradictions: ContradictionSettings,
    /// What is extreme in a range.
    pub ranges: RangeSettings,
    /// What is long for wind players.
    pub comfort: ComfortSettings,
    /// When two passages are called alike.
    pub compare: CompareSettings,
}

/// When something in a passage is called the same as in another. The trade has no figures for it; all
/// are settings without a published source.
#[derive(Clone, PartialEq, Debug)]
pub struct CompareSettings {
    /// Share of a line's attacks that must be found again for it to be the same line, 0 to 1.
    pub line_share: f32,
    /// Share of the sounding pitch classes, beat by beat, that makes the same harmony, 0 to 1.
    pub harmony_share: f32,
    /// So many semitones higher or lower is another register.
    pub register_semitones: u32,
    /// From this share on, 0 to 1, a tempo is another one.
    pub tempo_share: f32,
}

impl Default for CompareSettings {
    fn default() -> Self {
        Self { line_share: 0.6, harmony_share: 0.7, register_semitones: 7, tempo_share: 0.04 }
    }
}

/// When something written is asked about; without a published source.
#[derive(Clone, PartialEq, Debug)]
pub struct ContradictionSettings {
    /// So many degrees of loudness apart parts in unison do not fit.
    pub line_degrees: u8,
    /// So many degrees apart the levels written for one attack of one family do not fit.
    pub attack_degrees: u8,
    /// So many trumpets, trombones or tubas at f or louder cover a pizzicato, or twice as many horns.
    pub loud_brass_parts: u32,
}

impl Default for ContradictionSettings {
    fn default() -> Self {
        Self { line_degrees: 3, attack_degrees: 3, loud_brass_parts: 2 }
    }
}

/// What counts as extreme inside the range of an instrument, in semitones; common practice, the
/// figures without a published source.
#[derive(Clone, PartialEq, Debug)]
pub struct RangeSettings {
    /// So many below the top it is high, where no source says what is comfortable.
    pub high_semitones: i32,
    /// So many over the bottom double reeds and saxophones are hard to play softly.
    pub low_soft_semitones: i32,
    /// So many below the top brass are hard to play very softly.
    pub high_soft_semitones: i32,
}

impl Default for RangeSettings {
    fn default() -> Self {
        Self { high_semitones: 3, low_soft_semitones: 4, high_soft_semitones: 5 }
    }
}

/// What is long for wind players, in seconds; common practice, without a published source. Players
/// know better.
#[derive(Clone, PartialEq, Debug)]
pub struct ComfortSettings {
    /// Without a place to breathe.
    pub breath_seconds: f64,
    /// The same for flutes, tubas and contrabassoons, which spend more air.
    pub short_breath_seconds: f64,
    /// The shortest gap that gives a breath.
    pub breath_gap_seconds: f64,
    /// A note as long as this that no slur joins to the next can be shortened for a breath.
    pub breath_note_seconds: f64,
    /// Without a bar of rest.
    pub rest_seconds: f64,
}

impl Default for ComfortSettings {
    fn default() -> Self {
        Self {
            breath_seconds: 20.0,
            short_breath_seconds: 12.0,
            breath_gap_seconds: 0.25,
            breath_note_seconds: 0.5,
            rest_seconds: 180.0,
        }
    }
}

/// Points for a mixed attack; without a published source. The distance of the classes less one counts
/// as it is.
#[derive(Clone, PartialEq, Debug)]
pub struct MixedSettings {
    /// So many points a moment must have to be told.
    pub least_weight: f32,
    /// Everyone was silent before.
    pub silence: f32,
    /// Both sides enter after a rest.
    pub entry: f32,
    /// Nothing else sounds, and few begin.
    pub alone: f32,
    /// Few begin, others go on.
    pub few: f32,
    /// Nobody is louder than p.
    pub soft: f32,
    /// What is taken off when many begin together.
    pub many: f32,
    /// What is taken off where nobody enters and others sound: the beat is known there.
    pub inside: f32,
    /// Up to so many parts are few.
    pub few_parts: u32,
    /// More parts than that are many.
    pub many_parts: u32,
    /// The shortest rest that makes an entry, in quarters.
    pub entry_rest_quarters: Quarters,
    /// Parts that met within so many quarters have found each other.
    pub passage_quarters: Quarters,
}

impl Default for MixedSettings {
    fn default() -> Self {
        Self {
            least_weight: 3.5,
            silence: 1.0,
            entry: 1.0,
            alone: 1.0,
            few: 0.5,
            soft: 0.5,
            many: 1.0,
            inside: 1.0,
            few_parts: 6,
            many_parts: 10,
            entry_rest_quarters: Quarters::whole(2),
            passage_quarters: Quarters::whole(16),
        }
    }
}

/// The estimate of the balance, in dB. The relations of the instruments are Rimsky-Korsakov's and fixed;
/// the rest are settings.
#[derive(Clone, PartialEq, Debug)]
pub struct BalanceSettings {
    /// From one degree of loudness (p, mp, mf ...) to the next. 3.5; between the 10 dB that many
    /// instruments give in all (Patterson, "Musical dynamics", 1974, from memory) and more than 30 that
    /// others do (Meyer, *Acoustics and the Performance of Music*, from memory).
    pub degree_db: f32,
    /// So far below the rest the lead is likely covered. 10: common practice.
    pub covered_db: f32,
    /// What each octave of distance beyond the first takes from what covers. 6; no published figure.
    pub octave_db: f32,
    /// The most that a weak or strong register takes or gives. 4; no published figure.
    pub register_db: f32,
    /// What a mute takes from strings. 4; no published figure.
    pub string_mute_db: f32,
    /// What a mute takes from brass. 6; no published figure.
    pub brass_mute_db: f32,
    /// What pizzicato takes. 6; easily covered (Rimsky-Korsakov), the figure is a guess.
    pub plucked_db: f32,
    /// What the wood of the bow takes. 10; as before.
    pub wood_db: f32,
    /// What harmonics take. 5; no published figure.
    pub harmonics_db: f32,
    /// What playing over the fingerboard takes. 2; no published figure.
    pub fingerboard_db: f32,
    /// How many players a string section has, for solos out of it. 8: they are 9 dB over one.
    pub section_players: u32,
    /// Bars in which the line sounds for less than this share, 0 to 1, are passed over. 0.3; no published
    /// figure.
    pub least_sounding: f32,
    /// Leads that are less far ahead than this, 0 to 1, are too unsure to warn about.
    pub least_lead: f32,
}

impl Default for BalanceSettings {
    fn default() -> Self {
        Self {
            degree_db: 3.5,
            covered_db: 10.0,
            octave_db: 6.0,
            register_db: 4.0,
            string_mute_db: 4.0,
            brass_mute_db: 6.0,
            plucked_db: 6.0,
            wood_db: 10.0,
            harmonics_db: 5.0,
            fingerboard_db: 2.0,
            section_players: 8,
            least_sounding: 0.3,
            least_lead: 0.15,
        }
    }
}

/// Seconds that changes take. Players' advice, not measurements: each depends on the player and on
/// what lies ready.
#[derive(Clone, PartialEq, Debug)]
pub struct ChangeSettings {
    /// Enough is all of the wanted time; down to this share it is tight, below it too short. 0.6; no
    /// published figure.
    pub tight_share: f64,
    /// A mute on a bowed string. 5.0: two bars of four quarters at 96, after Berlioz, *Treatise on
    /// Instrumentation*.
    pub string_mute_on_seconds: f64,
    /// The same off: "much less" (Berlioz); half of it is taken here.
    pub string_mute_off_seconds: f64,
    /// A mute into or out of a trumpet or trombone. 4.0: 3 to 4 seconds are comfortable ("Mutes, part
    /// one", The Modern Trumpet 2020); in as long as out (Clayville, "Trombone Mutes").
    pub brass_mute_seconds: f64,
    /// One mute of a trumpet for another. 5.0: at least ("Mutes, part one", The Modern Trumpet 2020).
    pub brass_swap_seconds: f64,
    /// The same of a trombone. 6.0: 3.45 were too fast for a player (Clayville, "Trombone Mutes: What
    /// Not To Do"), and the largest mutes take longer.
    pub trombone_swap_seconds: f64,
    /// Into or out of a horn. 4.5: common practice, 4 to 5.
    pub horn_mute_seconds: f64,
    /// Into or out of a tuba. 7.0: common practice, 6 to 8.
    pub tuba_mute_seconds: f64,
    /// Another wind instrument. 8.0: 8 to 10 are safe, under 5 is risky (Pimentel, "Time required for
    /// instrument switches").
    pub instrument_seconds: f64,
    /// To or from a bassoon or contrabassoon. 10.0: common practice, 10 and more.
    pub low_instrument_seconds: f64,
    /// Another percussion or keyboard instrument. 5.0: common practice, 3 to 10.
    pub percussion_seconds: f64,
    /// From the bow to the finger. 0.4: shorter than back (after Adler, Kennan and Grantham, in
    /// words); the figure is common practice.
    pub to_plucked_seconds: f64,
    /// From the finger to the bow. 0.5: a beat at 120; common practice.
    pub to_bowed_seconds: f64,
    /// One pedal of the harp. 0.25; no published figure.
    pub pedal_seconds: f64,
    /// From this rest on a harp sets its pedals anew, so that a diagram helps. 2.0 seconds; no
    /// published figure.
    pub harp_passage_rest_seconds: f64,
    /// A drum with a pedal. 2.0: common practice, 1 to 3 (Holmes, "On tuning pedals", in words).
    pub timpani_seconds: f64,
    /// How many drums a player of timpani has, 2 to 5.
    pub n_timpani: u8,
}

impl Default for ChangeSettings {
    fn default() -> Self {
        Self {
            tight_share: 0.6,
            string_mute_on_seconds: 5.0,
            string_mute_off_seconds: 2.5,
            brass_mute_seconds: 4.0,
            brass_swap_seconds: 5.0,
            trombone_swap_seconds: 6.0,
            horn_mute_seconds: 4.5,
            tuba_mute_seconds: 7.0,
            instrument_seconds: 8.0,
            low_instrument_seconds: 10.0,
            percussion_seconds: 5.0,
            to_plucked_seconds: 0.4,
            to_bowed_seconds: 0.5,
            pedal_seconds: 0.25,
            harp_passage_rest_seconds: 2.0,
            timpani_seconds: 2.0,
            n_timpani: 4,
        }
    }
}

/// Limits between textures. The measures are Huron's (1989); he prints regions and no limits, so that
/// the figures are settings without a published source.
#[derive(Clone, PartialEq, Debug)]
pub struct TextureSettings {
    /// From this synchrony of attacks on, 0 to 1, it is homophony.
    pub synchrony: f32,
    /// From this share of moves in one direction on, 0 to 1, lines do not go their own ways.
    pub together: f32,
    /// From so much of a line on, 0 to 1, a part has one of its own.
    pub melodic: f32,
    /// From this share of the parts that play in the movement on, it is a tutti.
    pub tutti_share: f32,
    /// Down to this share a tutti goes on for a bar or two.
    pub tutti_keeps_share: f32,
    /// What a change of the class costs against calling a bar otherwise than measured, which costs 1.
    pub change_cost: f32,
}

impl Default for TextureSettings {
    fn default() -> Self {
        Self {
            synchrony: 0.7,
            together: 0.75,
            melodic: 0.45,
            tutti_share: 0.85,
            tutti_keeps_share: 0.6,
            change_cost: 0.8,
        }
    }
}

/// Points for the leading part of a bar. The kinds of evidence are common practice; the numbers have
/// no published source.
#[derive(Clone, PartialEq, Debug)]
pub struct LeadingSettings {
    /// The highest of all that sound; the lowest has nothing, the others are between.
    pub register: f32,
    /// All there is to a tune: moves, steps, varied rhythm. Held and repeated notes have nothing.
    pub melodic: f32,
    /// Marked solo.
    pub solo: f32,
    /// New after at least two bars of rest, for two bars.
    pub novelty: f32,
    /// For each degree louder than the mean of all that sound.
    pub level: f32,
    /// For each part that plays along, four at most.
    pub doubling: f32,
    /// What is taken off for the share of the bar in which a part rests: short chords accompany.
    pub silence: f32,
    /// Of an instrument that usually has the line; as much is taken from one that rarely does.
    pub instrument: f32,
    /// What a change of the leader costs.
    pub change_cost: f32,
    /// What a change costs between parts that play one line.
    pub change_inside_cost: f32,
}

impl Default for LeadingSettings {
    fn default() -> Self {
        Self {
            register: 0.45,
            melodic: 1.0,
            solo: 0.5,
            novelty: 0.25,
            level: 0.1,
            doubling: 0.06,
            silence: 0.25,
            instrument: 0.15,
            change_cost: 0.4,
            change_inside_cost: 0.1,
        }
    }
}

/// Imitations and clashes of cues; without a published source. At most about one cue a beat can be given
/// (common practice).
#[derive(Clone, PartialEq, Debug)]
pub struct CueSettings {
    /// So many notes of an entrance are compared with lines just heard, 3 or more.
    pub imitation_notes: u32,
    /// How far back lines are looked for, in quarters.
    pub imitation_quarters: Quarters,
    /// Points from which a proposal counts when clashes are looked for.
    pub clash_need: u32,
    /// So many sides apart two cues clash: of far left, left, middle, right, far right.
    pub sides_apart: u8,
    /// More than so many cues at one moment are a common entry with the downbeat.
    pub most_together: u32,
}

impl Default for CueSettings {
    fn default() -> Self {
        Self {
            imitation_notes: 5,
            imitation_quarters: Quarters::whole(32),
            clash_need: 4,
            sides_apart: 2,
            most_together: 6,
        }
    }
}

/// When two parts play one line. The trade has no figures for it; all are settings without a
/// published source, chosen so that parts of one chord are not taken for doublings.
#[derive(Clone, PartialEq, Debug)]
pub struct DoublingSettings {
    /// Notes in common from which a doubling counts, at least that many moves included.
    pub least_notes: u32,
    /// The same for a phrase that both play from its first note to its last.
    pub least_phrase_notes: u32,
    /// The same where one part plays only some notes of the other's line.
    pub least_partial_notes: u32,
    /// The same for parallel thirds and sixths.
    pub least_parallel_notes: u32,
    /// Share of the notes that must be common, 0 to 1.
    pub least_share: f32,
    /// Moves of one part alone that a doubling outlives.
    pub patience_moves: f32,
    /// Silence of both that a doubling outlives, in quarters.
    pub gap_quarters: Quarters,
    /// The shortest rest that parts phrases, in quarters.
    pub phrase_rest_quarters: Quarters,
}

impl Default for DoublingSettings {
    fn default() -> Self {
        Self {
            least_notes: 5,
            least_phrase_notes: 3,
            least_partial_notes: 6,
            least_parallel_notes: 6,
            least_share: 0.8,
            patience_moves: 3.0,
            gap_quarters: Quarters::whole(4),
            phrase_rest_quarters: Quarters::whole(1),
        }
    }
}

/// Points for the need of a cue. The criteria are those of Heron (2004), J. R. Smith (2024) and
/// the conducting textbooks (Green, Labuta, McElheran, Meier); the numbers are settings without a
/// published source.
#[derive(Clone, Debug, PartialEq)]
pub struct CuePoints {
    /// Rests of at least so many bars, with their points; ascending. 4, 8 and 16 bars: 1, 2, 3.
    pub rests: Vec<(u32, u32)>,
    /// The part's first entrance, after at least one bar of rest.
    pub first: u32,
    /// Marked solo.
    pub solo: u32,
    /// At most two parts sound.
    pub exposed: u32,
    /// Three or more parts of one family enter together.
    pub section: u32,
    /// Not on a notated beat.
    pub off_beat: u32,
    /// Within a bar after a change of tempo or meter or a fermata.
    pub after_change: u32,
    /// The mute or the instrument changed during the rest.
    pub after_swap: u32,
    /// A single stroke of percussion or harp.
    pub single_stroke: u32,
    /// Takes up a line just heard, as the voices of a fugue do.
    pub imitation: u32,
    /// At ppp or softer, or near the top of the range.
    pub extreme: u32,
}

impl Default for CuePoints {
    fn default() -> Self {
        Self {
            rests: vec![(4, 1), (8, 2), (16, 3)],
            first: 3,
            solo: 2,
            exposed: 2,
            section: 1,
            off_beat: 1,
            after_change: 1,
            after_swap: 1,
            single_stroke: 1,
            imitation: 1,
            extreme: 1,
        }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            divide_below_bpm: 40.0,
            offer_divided_below_bpm: 50.0,
            divide_compound_below_bpm: 50.0,
            merge_above_bpm: 140.0,
            offer_merged_above_bpm: 120.0,
            keep_pattern_share: 0.15,
            assumed_quarters_per_minute: 96.0,
            slowing_factor: 0.8,
            quickening_factor: 1.2,
            gradual_bars: 4,
            quicker_term_factor: 1.15,
            slower_term_factor: 0.85,
            cue: CuePoints::default(),
            cues: CueSettings::default(),
            doublings: DoublingSettings::default(),
            leading: LeadingSettings::default(),
            texture: TextureSettings::default(),
            changes: ChangeSettings::default(),
            mixed: MixedSettings::default(),
            balance: BalanceSettings::default(),
            contradictions: ContradictionSettings::default(),
            ranges: RangeSettings::default(),
            comfort: ComfortSettings::default(),
            compare: CompareSettings::default(),
        }
    }
}
