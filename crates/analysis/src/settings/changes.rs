//! How long changes take.

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
