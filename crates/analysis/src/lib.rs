//! Pure analyses: from a [`Basis`] to tracks, one module a track, and the content of the plan.
//!
//! Nothing here knows files, windows or printing, and no analysis sees marks. Every value carries
//! what made it so, or can be asked for it, so that the desk can answer "why?".

pub mod balance;
pub mod beating;
pub mod beats;
pub mod changes;
pub mod compare;
pub mod devices;
pub mod doublings;
pub mod dynamics;
pub mod entrances;
pub mod facts;
pub mod figure;
pub mod findings;
pub mod heard;
pub mod leading;
pub mod manners;
mod melody;
pub mod mixed;
pub mod oddities;
pub mod plan;
pub mod playing;
pub mod ranges;
pub mod say;
pub mod seating;
pub mod seats;
pub mod settings;
pub mod sound;
pub mod tempo;
#[cfg(test)]
mod testing;
pub mod texture;
mod who;
pub mod why;
pub mod words;

use barloom_core::bar::BarIndex;
use barloom_core::basis::Basis;
use barloom_core::pattern::Pattern;
use barloom_core::score::Movement;
use barloom_core::time::Quarters;
use settings::Settings;
use std::sync::atomic::{AtomicBool, Ordering};

/// Everything computed from one revision of the basis.
#[derive(Clone, Debug, Default)]
pub struct Tracks {
    /// The revision of the basis that this was computed from.
    pub revision: u64,
    /// One for each movement of the basis, in its order.
    pub movements: Vec<MovementTracks>,
}

/// The tracks of one movement.
#[derive(Clone, Debug, Default)]
pub struct MovementTracks {
    /// Tempo, times, performing order.
    pub tempo: tempo::TempoTrack,
    /// Attacks and held sound, for questions about single moments.
    pub sounds: sound::Sounds,
    /// Who plays in which bar.
    pub playing: playing::PlayingTrack,
    /// What cues that clash are looked for with.
    pub cues: settings::CueSettings,
    /// Entrances in order of place, then score order.
    pub entrances: Vec<entrances::Entrance>,
    /// Effective levels.
    pub dynamics: dynamics::DynamicsTrack,
    /// Mutes, bows and other techniques as states.
    pub devices: devices::DevicesTrack,
    /// Who of a part plays: solo, divided, by desks.
    pub seats: seats::SeatsTrack,
    /// Density and register for each bar.
    pub texture: Vec<texture::BarTexture>,
    /// The class of the texture, span by span.
    pub textures: Vec<texture::TextureSpan>,
    /// The notes as they are heard.
    pub heard: heard::HeardNotes,
    /// Parts that play one line.
    pub doublings: Vec<doublings::Doubling>,
    /// The same as groups on one line, and what goes with them.
    pub shared: Vec<doublings::Shared>,
    /// Who carries the line.
    pub leading: Vec<leading::Lead>,
    /// Colors of the strings.
    pub manners: Vec<manners::MannerSpan>,
    /// What is written and does not fit together.
    pub contradictions: Vec<manners::Contradiction>,
    /// Changes of mutes, bows, instruments, pedals and drums against the clock.
    pub changes: changes::ChangesTrack,
    /// Fast and slow attacks together.
    pub mixed: Vec<mixed::MixedAttack>,
    /// Whether the lead comes through.
    pub balance: balance::BalanceTrack,
    /// Notes out of range or near its ends.
    pub ranges: Vec<ranges::Extreme>,
    /// Where wind players find no breath or no rest.
    pub stretches: Vec<ranges::comfort::LongStretch>,
    /// The proposed beating of each bar.
    pub beating: Vec<beating::Proposal>,
}

impl Tracks {
    /// Computes all tracks, movement by movement; `None` when cancelled in between.
    pub fn of(basis: &Basis, settings: &Settings, cancel: &AtomicBool) -> Option<Self> {
        let mut movements = Vec::with_capacity(basis.score.movements.len());
        for idx in 0..basis.score.movements.len() {
            if cancel.load(Ordering::Relaxed) {
                return None;
            }
            movements.push(MovementTracks::of(basis, idx, settings));
        }
        for idx in 1..movements.len() {
            let (earlier, later) = movements.split_at_mut(idx);
            if let (Some(before), Some(after)) = (earlier.last_mut(), later.first_mut()) {
                devices::join(&mut before.devices, &mut after.devices);
            }
        }
        Some(Self { revision: basis.revision, movements })
    }
}

impl MovementTracks {
    /// Offsets of the strokes of a pattern in a bar, which need not be the proposed one; of a pattern
    /// over several bars those in its `nth` bar. Upbeats and split bars have the strokes that fall
    /// into them. Empty if there is no such bar.
    pub fn strokes(
        &self,
        movement: &Movement,
        bar: BarIndex,
        pattern: &Pattern,
        nth: u8,
    ) -> Vec<Quarters> {
        let groups = self.beating.get(bar.idx()).map(|proposal| proposal.groups.as_slice());
        let (bars, resolution) = (&movement.bars, movement.resolution);
        let groups = groups.unwrap_or_default();
        beating::strokes_in_bar(pattern, nth, bars, bar, resolution, groups)
    }

    /// The tracks of the movement at `idx`; empty if there is no such movement.
    pub fn of(basis: &Basis, idx: usize, settings: &Settings) -> Self {
        let (Some(movement), Some(plan)) = (basis.score.movements.get(idx), basis.plans.get(idx))
        else {
            return Self::default();
        };
        let tempo = tempo::TempoTrack::of(movement, plan, settings);
        let sounds = sound::Sounds::of(movement);
        let playing = playing::PlayingTrack::of(movement);
        let dynamics = dynamics::DynamicsTrack::of(movement, &playing);
        let devices = devices::DevicesTrack::of(movement);
        let heard = heard::HeardNotes::of(movement);
        let seats = seats::SeatsTrack::of(movement);
        let context = entrances::Context {
            movement,
            playing: &playing,
            tempo: &tempo,
            devices: &devices,
            sounds: &sounds,
            heard: &heard,
            dynamics: &dynamics,
        };
        let entrances = entrances::of(context, settings);
        let texture = texture::of(movement, &playing, &sounds);
        let beating = beating::propose(movement, &tempo, settings);
        let doublings = doublings::of(movement, &heard, settings);
        let shared = doublings::shared(&doublings);
        let lines = melody::BarLines::of(movement, &heard);
        let leading = leading::of_lines(movement, &lines, &dynamics, &doublings, settings);
        let scene = texture::Scene {
            movement,
            playing: &playing,
            dynamics: &dynamics,
            heard: &heard,
            lines: &lines,
            doublings: &doublings,
            texture: &texture,
        };
        let textures = texture::spans(&scene, &settings.texture);
        let manners = manners::of(movement, &heard, &devices);
        let contradictions = manners::contradictions(
            movement,
            &heard,
            &dynamics,
            &devices,
            &seats,
            &doublings,
            &settings.contradictions,
        );
        let parts = &basis.score.parts;
        let changes =
            changes::ChangesTrack::of(movement, parts, &tempo, &devices, &heard, settings);
        let mixed = mixed::of(movement, &heard, &dynamics, &devices, settings);
        let balance = balance::BalanceTrack::of_lines(
            movement, &lines, &dynamics, &devices, &leading, settings,
        );
        let ranges = ranges::of(movement, &heard, &dynamics, &settings.ranges);
        let stretches = ranges::comfort::of(movement, &heard, &playing, &tempo, &settings.comfort);
        Self {
            tempo,
            sounds,
            playing,
            cues: settings.cues.clone(),
            entrances,
            dynamics,
            devices,
            seats,
            texture,
            textures,
            heard,
            doublings,
            shared,
            leading,
            manners,
            contradictions,
            changes,
            mixed,
            balance,
            ranges,
            stretches,
            beating,
        }
    }
}
