//! Density and register of each bar, and the class of its texture.

mod class;
mod said;
mod smooth;

pub(crate) use class::{Scene, spans};
pub use class::{TextureClass, TextureSpan};

use crate::playing::PlayingTrack;
use crate::sound::Sounds;
use barloom_core::bar::BarIndex;
use barloom_core::pitch::SoundingPitch;
use barloom_core::score::Movement;

/// The span that a bar lies in; the spans are in order.
pub fn span_at(spans: &[TextureSpan], bar: BarIndex) -> Option<&TextureSpan> {
    let after = spans.partition_point(|span| span.from <= bar);
    after.checked_sub(1).and_then(|nth| spans.get(nth)).filter(|span| bar <= span.to)
}

/// How thick and how wide one bar is.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub struct BarTexture {
    /// Parts that sound.
    pub n_sounding: u32,
    /// Their share of the parts that play at all in the movement, 0 to 1.
    pub share: f32,
    /// Lowest and highest sounding pitch, if any is pitched.
    pub span: Option<(SoundingPitch, SoundingPitch)>,
    /// Attacks of all parts in the bar; a chord is one attack.
    pub attacks: u32,
}

/// The texture of each bar.
pub fn of(movement: &Movement, playing: &PlayingTrack, sounds: &Sounds) -> Vec<BarTexture> {
    let n_active = playing.n_active().max(1) as f32;
    let mut texture: Vec<BarTexture> = movement
        .bars
        .iter()
        .map(|(idx, bar)| {
            let n_sounding = playing.n_sounding(idx);
            BarTexture {
                n_sounding: n_sounding as u32,
                share: n_sounding as f32 / n_active,
                span: None,
                attacks: sounds.n_attacks(bar.start, bar.end()) as u32,
            }
        })
        .collect();
    for note in movement.music.iter().flat_map(|music| &music.notes) {
        let Some(pitch) = note.sounding.filter(|_| note.sounds()) else { continue };
        widen(&mut texture, note.bar, pitch);
        for idx in note.bar.idx() + 1..movement.bars.len() {
            let bar = BarIndex::from(idx);
            if movement.bars.get(bar).is_none_or(|bar| bar.start >= note.end()) {
                break;
            }
            widen(&mut texture, bar, pitch);
        }
    }
    texture
}

fn widen(texture: &mut [BarTexture], bar: BarIndex, pitch: SoundingPitch) {
    if let Some(bar) = texture.get_mut(bar.idx()) {
        let (low, high) = bar.span.unwrap_or((pitch, pitch));
        bar.span = Some((low.min(pitch), high.max(pitch)));
    }
}

#[cfg(test)]
mod class_tests;
#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::movement;

    #[test]
    fn bars_tell_how_many_sound_and_how_wide() {
        let movement = movement(&[
            "2/4 c5:1 d5 | e5:2_ | ~e5:2",
            "2/4 c3:2 | r:2 | c2:1 c2",
            "2/4 r:2 | r:2 | r:2",
        ]);
        let playing = PlayingTrack::of(&movement);
        let texture = of(&movement, &playing, &Sounds::of(&movement));
        let seen: Vec<_> = texture.iter().map(|bar| (bar.n_sounding, bar.attacks)).collect();
        assert_eq!(seen, [(2, 3), (1, 1), (2, 2)]);
        // Two of the three parts play at all.
        assert_eq!(texture[1].share, 0.5);
        let (low, high) = texture[2].span.unwrap();
        assert_eq!((low.midi(), high.midi()), (36.0, 76.0));
    }
}
