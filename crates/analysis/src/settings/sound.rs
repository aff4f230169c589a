//! What comes together and what comes through: mixed attacks, balance, contradictions.

use barloom_core::time::Quarters;

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
