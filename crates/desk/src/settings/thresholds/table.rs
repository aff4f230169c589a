//! The table of thresholds: every field of the settings of the analyses, with what it means and where
//! its usual value comes from. A test fails for a field that is missing.

use super::row::{Section, Threshold, rows};

/// All thresholds, section by section.
pub static SECTIONS: &[Section] = &[
    Section { name: "Beating", note: "", rows: BEATING },
    Section { name: "Tempo", note: "", rows: TEMPO },
    Section { name: "Cues", note: CUES_NOTE, rows: CUES },
    Section { name: "Rests before a cue", note: "", rows: RESTS },
    Section { name: "Texture", note: TEXTURE_NOTE, rows: TEXTURE },
    Section { name: "Doublings", note: DOUBLINGS_NOTE, rows: DOUBLINGS },
    Section { name: "Who has the line", note: LEADING_NOTE, rows: LEADING },
    Section { name: "Time for changes", note: CHANGES_NOTE, rows: CHANGES },
    Section { name: "Mixed attacks", note: MIXED_NOTE, rows: MIXED },
    Section { name: "Balance", note: BALANCE_NOTE, rows: BALANCE },
    Section { name: "Contradictions", note: CONTRADICTIONS_NOTE, rows: CONTRADICTIONS },
    Section { name: "Ranges", note: RANGES_NOTE, rows: RANGES },
    Section { name: "Breath and rest", note: COMFORT_NOTE, rows: COMFORT },
    Section { name: "Passages side by side", note: COMPARE_NOTE, rows: COMPARE },
];

static BEATING: &[Threshold] = rows! {
    divide_below_bpm, "Divide the beat below", "a minute", 20.0..=300.0, "an open university conducting course, \u{201c}Subdividing\u{201d}";
    offer_divided_below_bpm, "Offer divided beats below", "a minute", 20.0..=300.0, "Labuta, Basic Conducting Techniques, chapter 5";
    divide_compound_below_bpm, "Divide the dotted beat below", "a minute", 20.0..=300.0, "after Gehrkens, Essentials in Conducting, page 25, who gives no figure";
    merge_above_bpm, "Join beats above", "a minute", 20.0..=300.0, "common practice; exercises of textbooks cluster at 140 to 144";
    offer_merged_above_bpm, "Offer joined beats above", "a minute", 20.0..=300.0, "common practice, 120 to 126";
    keep_pattern_share, "While the tempo glides, keep the beating for a further share of", "", 0.0..=1.0, "no published figure";
};

static TEMPO: &[Threshold] = rows! {
    assumed_quarters_per_minute, "Quarters a minute where nothing is stated", "a minute", 20.0..=300.0, "ours; shown as assumed wherever it is used";
    slowing_factor, "A ritardando without an end comes down to", "of the tempo", 0.1..=1.0, "common practice";
    quickening_factor, "An accelerando without an end goes up to", "of the tempo", 1.0..=4.0, "common practice";
    gradual_bars, "A change by degrees without an end lasts", "bars", 1.0..=64.0, "no published figure";
    quicker_term_factor, "\u{201c}Più mosso\u{201d} without a figure", "of the tempo", 1.0..=4.0, "no published figure";
    slower_term_factor, "\u{201c}Meno mosso\u{201d} without a figure", "of the tempo", 0.1..=1.0, "no published figure";
};

const CUES_NOTE: &str = "Points for the need of a cue. The criteria are those of Heron (2004), J. R. Smith (2024) and the textbooks of Green, Labuta, McElheran and Meier; the numbers have no published source.";

static CUES: &[Threshold] = rows! {
    cue.first, "First entrance of a part", "points", 0.0..=20.0, "number without a published source";
    cue.solo, "Marked solo", "points", 0.0..=20.0, "number without a published source";
    cue.exposed, "At most two parts sound", "points", 0.0..=20.0, "number without a published source";
    cue.section, "Three or more parts of a family enter together", "points", 0.0..=20.0, "number without a published source";
    cue.off_beat, "Off the beat", "points", 0.0..=20.0, "number without a published source";
    cue.after_change, "After a change of tempo or meter or a fermata", "points", 0.0..=20.0, "number without a published source";
    cue.after_swap, "Mute or instrument changed in the rest", "points", 0.0..=20.0, "number without a published source";
    cue.single_stroke, "A single stroke of percussion or harp", "points", 0.0..=20.0, "number without a published source";
    cue.imitation, "Takes up a line just heard", "points", 0.0..=20.0, "fugal entries in turn (textbooks, from memory); number without a published source";
    cue.extreme, "At ppp or softer, or near the top of the range", "points", 0.0..=20.0, "number without a published source";
    cues.imitation_notes, "Notes compared with lines just heard", "notes", 3.0..=12.0, "no published figure";
    cues.imitation_quarters, "Lines are looked for so far back", "quarters", 1.0..=128.0, "no published figure";
    cues.clash_need, "Proposals count for clashes from", "points", 1.0..=20.0, "no published figure";
    cues.sides_apart, "Cues clash when so many sides apart", "sides", 1.0..=4.0, "far left, left, middle, right, far right; no published figure";
    cues.most_together, "More cues at once are a common entry", "cues", 2.0..=40.0, "they have the downbeat; no published figure";
};

static RESTS: &[Threshold] = &[
    rest_row::<0>("cue.rests.short.bars", true, "A short rest is at least"),
    rest_row::<0>("cue.rests.short.points", false, "After a short rest"),
    rest_row::<1>("cue.rests.middle.bars", true, "A longer rest is at least"),
    rest_row::<1>("cue.rests.middle.points", false, "After a longer rest"),
    rest_row::<2>("cue.rests.long.bars", true, "A long rest is at least"),
    rest_row::<2>("cue.rests.long.points", false, "After a long rest"),
];

/// A row of the steps of rests: of the step `NTH` its bars or its points.
const fn rest_row<const NTH: usize>(
    key: &'static str,
    bars: bool,
    name: &'static str,
) -> Threshold {
    let (unit, source) = if bars {
        ("bars", "Heron (2004): after long rests; number without a published source")
    } else {
        ("points", "number without a published source")
    };
    Threshold {
        key,
        name,
        unit,
        source,
        range: if bars { (1.0, 200.0) } else { (0.0, 20.0) },
        decimals: 0,
        get: if bars {
            |settings| settings.cue.rests.get(NTH).map_or(0.0, |(bars, _)| (*bars).into())
        } else {
            |settings| settings.cue.rests.get(NTH).map_or(0.0, |(_, points)| (*points).into())
        },
        set: if bars {
            |settings, value| {
                if let Some((bars, _)) = settings.cue.rests.get_mut(NTH) {
                    *bars = value as u32;
                }
            }
        } else {
            |settings, value| {
                if let Some((_, points)) = settings.cue.rests.get_mut(NTH) {
                    *points = value as u32;
                }
            }
        },
    }
}

const TEXTURE_NOTE: &str = "The measures are those of Huron, \u{201c}Characterizing musical textures\u{201d} (1989), who prints regions and no limits; the figures have no published source.";

static TEXTURE: &[Threshold] = rows! {
    texture.synchrony, "Homophony from this synchrony of attacks on", "", 0.0..=1.0, "after Huron (1989), without a figure";
    texture.together, "Lines go together from this share of common moves on", "", 0.0..=1.0, "after Huron (1989), without a figure";
    texture.melodic, "A part has a line of its own from", "", 0.0..=1.0, "no published figure";
    texture.tutti_share, "Tutti from this share of the parts on", "", 0.0..=1.0, "no published figure";
    texture.tutti_keeps_share, "A tutti goes on for a bar or two down to", "", 0.0..=1.0, "no published figure";
    texture.change_cost, "Cost of a change of texture", "", 0.0..=5.0, "no published figure; a bar called otherwise than measured costs 1";
};

const DOUBLINGS_NOTE: &str = "When two parts play one line. The trade has no figures for it; all are chosen so that parts of one chord are not taken for doublings.";

static DOUBLINGS: &[Threshold] = rows! {
    doublings.least_notes, "Notes in common, at least", "notes", 2.0..=50.0, "no published figure";
    doublings.least_phrase_notes, "The same for a phrase played from first to last note", "notes", 2.0..=50.0, "no published figure";
    doublings.least_partial_notes, "The same where only some notes are doubled", "notes", 2.0..=50.0, "no published figure";
    doublings.least_parallel_notes, "The same for parallel thirds and sixths", "notes", 2.0..=50.0, "no published figure";
    doublings.least_share, "Share of the notes that must be common", "", 0.0..=1.0, "no published figure";
    doublings.patience_moves, "Moves of one part alone that a doubling outlives", "moves", 0.0..=20.0, "no published figure";
    doublings.gap_quarters, "Silence that a doubling outlives", "quarters", 0.0..=64.0, "no published figure";
    doublings.phrase_rest_quarters, "The shortest rest that parts phrases", "quarters", 0.0..=16.0, "no published figure";
};

const LEADING_NOTE: &str = "Points for the leading part. The kinds of evidence are common practice; the numbers have no published source.";

static LEADING: &[Threshold] = rows! {
    leading.register, "Highest of all", "points", 0.0..=5.0, "number without a published source";
    leading.melodic, "A tune: moves, steps, varied rhythm", "points", 0.0..=5.0, "number without a published source";
    leading.solo, "Marked solo", "points", 0.0..=5.0, "number without a published source";
    leading.novelty, "New after two bars of rest", "points", 0.0..=5.0, "number without a published source";
    leading.level, "Each degree louder than the mean", "points", 0.0..=5.0, "number without a published source";
    leading.doubling, "Each part that plays along", "points", 0.0..=5.0, "number without a published source";
    leading.silence, "Taken off for what sounds for a part of the bar only", "points", 0.0..=5.0, "number without a published source";
    leading.instrument, "An instrument that usually has the line", "points", 0.0..=5.0, "number without a published source";
    leading.change_cost, "Cost of a change of the leader", "points", 0.0..=5.0, "number without a published source";
    leading.change_inside_cost, "The same between parts that play one line", "points", 0.0..=5.0, "number without a published source";
};

const CHANGES_NOTE: &str =
    "Players\u{2019} advice, not measurements: each depends on the player and on what lies ready.";

static CHANGES: &[Threshold] = rows! {
    changes.tight_share, "Tight down to this share of the time wanted", "", 0.0..=1.0, "no published figure";
    changes.string_mute_on_seconds, "A mute on a bowed string", "s", 0.0..=60.0, "Berlioz, Treatise on Instrumentation: two bars of four quarters at 96";
    changes.string_mute_off_seconds, "A mute off a bowed string", "s", 0.0..=60.0, "Berlioz: \u{201c}much less\u{201d}; half is taken";
    changes.brass_mute_seconds, "A mute into or out of trumpet or trombone", "s", 0.0..=60.0, "\u{201c}Mutes, part one\u{201d}, The Modern Trumpet (2020): 3 to 4 are comfortable; Clayville, \u{201c}Trombone Mutes\u{201d}";
    changes.brass_swap_seconds, "One mute for another, trumpet", "s", 0.0..=60.0, "\u{201c}Mutes, part one\u{201d}, The Modern Trumpet (2020): at least 5";
    changes.trombone_swap_seconds, "One mute for another, trombone", "s", 0.0..=60.0, "Clayville, \u{201c}Trombone Mutes: What Not To Do\u{201d}: 3.45 was too fast; the figure is common practice";
    changes.horn_mute_seconds, "Into or out of a horn", "s", 0.0..=60.0, "common practice, 4 to 5";
    changes.tuba_mute_seconds, "Into or out of a tuba", "s", 0.0..=60.0, "common practice, 6 to 8";
    changes.instrument_seconds, "Another wind instrument", "s", 0.0..=60.0, "Pimentel, \u{201c}Time required for instrument switches\u{201d}: 8 to 10 are safe, under 5 is risky";
    changes.low_instrument_seconds, "To or from a bassoon or contrabassoon", "s", 0.0..=60.0, "common practice, 10 and more";
    changes.percussion_seconds, "Another percussion or keyboard instrument", "s", 0.0..=60.0, "common practice, 3 to 10";
    changes.to_plucked_seconds, "From the bow to the finger", "s", 0.0..=60.0, "shorter than back (after Adler, Kennan and Grantham, in words); the figure is common practice";
    changes.to_bowed_seconds, "From the finger to the bow", "s", 0.0..=60.0, "a beat at 120; common practice";
    changes.pedal_seconds, "One pedal of the harp", "s", 0.0..=60.0, "no published figure";
    changes.harp_passage_rest_seconds, "The harp sets its pedals anew after a rest of", "s", 0.0..=60.0, "no published figure";
    changes.timpani_seconds, "Tuning a drum with a pedal", "s", 0.0..=60.0, "common practice, 1 to 3 (Holmes, \u{201c}On tuning pedals\u{201d}, in words)";
    changes.n_timpani, "Drums of a player of timpani", "drums", 2.0..=5.0, "common practice, 2 to 5";
};

const MIXED_NOTE: &str =
    "Points for moments where fast and slow attacks meet. The numbers have no published source.";

static MIXED: &[Threshold] = rows! {
    mixed.least_weight, "Told from", "points", 0.0..=20.0, "number without a published source";
    mixed.silence, "Everyone was silent before", "points", 0.0..=10.0, "number without a published source";
    mixed.entry, "Both sides enter after a rest", "points", 0.0..=10.0, "number without a published source";
    mixed.alone, "Nothing else sounds", "points", 0.0..=10.0, "number without a published source";
    mixed.few, "Few begin, others go on", "points", 0.0..=10.0, "number without a published source";
    mixed.soft, "Nobody is louder than p", "points", 0.0..=10.0, "number without a published source";
    mixed.many, "Taken off when many begin together", "points", 0.0..=10.0, "number without a published source";
    mixed.inside, "Taken off where nobody enters and others sound", "points", 0.0..=10.0, "number without a published source";
    mixed.few_parts, "Few are at most", "parts", 1.0..=60.0, "number without a published source";
    mixed.many_parts, "Many are more than", "parts", 1.0..=60.0, "number without a published source";
    mixed.entry_rest_quarters, "The shortest rest that makes an entry", "quarters", 0.0..=64.0, "number without a published source";
    mixed.passage_quarters, "Parts have found each other for", "quarters", 0.0..=256.0, "number without a published source";
};

const BALANCE_NOTE: &str = "An estimate in decibels. The relations of the instruments are Rimsky-Korsakov\u{2019}s and fixed.";

static BALANCE: &[Threshold] = rows! {
    balance.degree_db, "From one degree of loudness to the next", "dB", 0.0..=20.0, "between Patterson, \u{201c}Musical dynamics\u{201d} (1974), and Meyer, Acoustics and the Performance of Music; both from memory";
    balance.covered_db, "Likely covered from so far below the rest on", "dB", 0.0..=40.0, "common practice";
    balance.octave_db, "Each octave of distance beyond the first takes", "dB", 0.0..=20.0, "no published figure";
    balance.register_db, "A weak or strong register takes or gives at most", "dB", 0.0..=20.0, "no published figure";
    balance.string_mute_db, "A mute takes from strings", "dB", 0.0..=30.0, "no published figure";
    balance.brass_mute_db, "A mute takes from brass", "dB", 0.0..=30.0, "no published figure";
    balance.plucked_db, "Pizzicato takes", "dB", 0.0..=30.0, "easily covered (Rimsky-Korsakov); the figure is a guess";
    balance.wood_db, "The wood of the bow takes", "dB", 0.0..=30.0, "easily covered (Rimsky-Korsakov); the figure is a guess";
    balance.harmonics_db, "Harmonics take", "dB", 0.0..=30.0, "no published figure";
    balance.fingerboard_db, "Playing over the fingerboard takes", "dB", 0.0..=30.0, "no published figure";
    balance.section_players, "Players of a string section", "players", 1.0..=32.0, "eight players are 9 dB over one (addition of energies)";
    balance.least_sounding, "Bars in which the line sounds for less are passed over", "", 0.0..=1.0, "no published figure";
    balance.least_lead, "Leads less far ahead than this are not warned about", "", 0.0..=1.0, "no published figure";
};

const CONTRADICTIONS_NOTE: &str =
    "When something written is asked about. The figures have no published source.";

static CONTRADICTIONS: &[Threshold] = rows! {
    contradictions.line_degrees, "Parts in unison do not fit from a distance of", "degrees", 1.0..=12.0, "no published figure";
    contradictions.attack_degrees, "Levels of one attack of a family do not fit from", "degrees", 1.0..=12.0, "no published figure";
    contradictions.loud_brass_parts, "Loud trumpets, trombones or tubas that cover a pizzicato; horns count half", "parts", 1.0..=20.0, "no published figure";
};

const RANGES_NOTE: &str =
    "What counts as extreme inside the range of an instrument: common practice.";

static RANGES: &[Threshold] = rows! {
    ranges.high_semitones, "High from so many below the top", "semitones", 0.0..=24.0, "common practice; no published figure";
    ranges.low_soft_semitones, "Double reeds and saxophones soft, hard so many over the bottom", "semitones", 0.0..=24.0, "common practice; no published figure";
    ranges.high_soft_semitones, "Brass very soft, hard so many below the top", "semitones", 0.0..=24.0, "common practice; no published figure";
};

const COMFORT_NOTE: &str = "What is long for wind players. Players know better.";

static COMFORT: &[Threshold] = rows! {
    comfort.breath_seconds, "Without a place to breathe", "s", 1.0..=120.0, "common practice; no published figure";
    comfort.short_breath_seconds, "The same for flutes, tubas and contrabassoons", "s", 1.0..=120.0, "common practice: they spend more air; no published figure";
    comfort.breath_gap_seconds, "The shortest gap that gives a breath", "s", 0.0..=5.0, "common practice; no published figure";
    comfort.breath_note_seconds, "A note that lends a breath lasts at least", "s", 0.0..=10.0, "common practice; no published figure";
    comfort.rest_seconds, "Without a bar of rest", "s", 5.0..=900.0, "common practice; no published figure";
};

const COMPARE_NOTE: &str = "When something in a passage is called the same as in another. The trade has no figures for it.";

static COMPARE: &[Threshold] = rows! {
    compare.line_share, "Share of a line\u{2019}s attacks that must be found again", "", 0.0..=1.0, "no published figure";
    compare.harmony_share, "Share of the pitch classes that makes the same harmony", "", 0.0..=1.0, "no published figure";
    compare.register_semitones, "Another register from", "semitones", 1.0..=48.0, "no published figure";
    compare.tempo_share, "Another tempo from a difference of", "", 0.0..=1.0, "no published figure";
};
