//! Micro scores: textures of the orchestration books (Rimsky-Korsakov, *Principles of Orchestration*,
//! ch. II: melody in the strings, in the woodwinds, in the bass), each with the answer that a listener
//! gives (common practice).

use super::*;
use crate::playing::PlayingTrack;
use crate::testing::movement;

fn leads(parts: &[&str]) -> Vec<(u32, u32, Vec<u16>)> {
    let movement = movement(parts);
    let settings = Settings::default();
    let heard = HeardNotes::of(&movement);
    let dynamics = DynamicsTrack::of(&movement, &PlayingTrack::of(&movement));
    let doublings = crate::doublings::of(&movement, &heard, &settings);
    let leads = of(&movement, &heard, &dynamics, &doublings, &settings);
    let row = |lead: &Lead| {
        (lead.from.0, lead.to.0, lead.parts.iter().map(|part| part.0).collect::<Vec<_>>())
    };
    leads.iter().map(row).collect()
}

#[test]
fn an_oboe_tune_leads_over_high_tremolo_and_repeated_chords() {
    let seen = leads(&[
        "oboe: 4/4 g4:1( a4:1/2 b4 c5:1 b4:1) | a4:1( g4:1/2 f4 e4:2)",
        "violin: 4/4 e5:1/2 e5 e5 e5 e5:1/2 e5 e5 e5 | d5:1/2 d5 d5 d5 c5:1/2 c5 c5 c5",
        "viola: 4/4 c4:1/2 c4 c4 c4 c4:1/2 c4 c4 c4 | b3:1/2 b3 b3 b3 c4:1/2 c4 c4 c4",
        "cello: 4/4 c3:4 | g2:2 c3",
    ]);
    assert_eq!(seen, [(0, 1, vec![0])]);
}

#[test]
fn a_bass_theme_leads_under_held_chords() {
    let seen = leads(&[
        "flute: 4/4 g5:4_ | ~g5:4",
        "violin: 4/4 e5:4_ | ~e5:4",
        "cello: 4/4 c3:1 d3:1/2 e3 f3:1 g3:1 | a3:1 g3:1/2 f3 e3:1 c3:1",
        "double bass: 4/4 c2:1 d2:1/2 e2 f2:1 g2:1 | a2:1 g2:1/2 f2 e2:1 c2:1",
    ]);
    assert_eq!(seen, [(0, 1, vec![2, 3])]);
}

#[test]
fn the_line_is_handed_from_violins_to_clarinet() {
    let parts = [
        "clarinet: 4/4 r:4 | r:4 | g4:1 a4:1/2 b4 c5:1 d5 | e5:1 d5:1/2 c5 b4:2",
        "violin: 4/4 g5:1 a5:1/2 b5 c6:1 d6 | e6:1 d6:1/2 c6 b5:2 | r:4 | r:4",
        "cello: 4/4 g3:2 g3 | g3:2 g3 | g3:2 g3 | g3:2 g3",
    ];
    assert_eq!(leads(&parts), [(0, 1, vec![1]), (2, 3, vec![0])]);
    let movement = movement(&parts);
    let settings = Settings::default();
    let heard = HeardNotes::of(&movement);
    let dynamics = DynamicsTrack::of(&movement, &PlayingTrack::of(&movement));
    let given = hand_offs(&of(&movement, &heard, &dynamics, &[], &settings));
    let seen: Vec<_> = given.iter().map(|g| (g.bar.0, g.from[0].0, g.to[0].0)).collect();
    assert_eq!(seen, [(2, 1, 0)]);
}

#[test]
fn one_busy_bar_of_the_accompaniment_does_not_take_the_line() {
    let seen = leads(&[
        "violin: 4/4 g5:1 a5 b5 c6 | d6:2 c6:2 | b5:1 a5 g5 f5 | e5:2 d5",
        "bassoon: 4/4 c3:2 c3 | c3:1/2 d3 e3 f3 g3:1/2 f3 e3 d3 | c3:2 c3 | c3:2 c3",
    ]);
    assert_eq!(seen, [(0, 3, vec![0])]);
}

#[test]
fn drums_alone_lead_nothing() {
    assert_eq!(leads(&["4/4 r:4", "4/4 r:4"]), []);
}

#[test]
fn a_running_line_in_the_cellos_leads_under_short_chords_through_a_bar_of_leaps() {
    let seen = leads(&[
        "violin: 3/8 r:1/2 g5:1/2 r:1/2 | r:1/2 g5:1/2 r:1/2 | r:1/2 f5:1/2 r:1/2 | r:1/2 e5:1/2 r:1/2",
        "violin: 3/8 r:1/2 e5:1/2 r:1/2 | r:1/2 e5:1/2 r:1/2 | r:1/2 d5:1/2 r:1/2 | r:1/2 c5:1/2 r:1/2",
        "cello: 3/8 c3:1/4( d3 e3 f3 g3 a3) | g3:1/4( c3 e3 g3 c4 g3) | a3:1/4( g3 f3 e3 f3 d3) | e3:1/4( d3 c3 d3 e3 c3)",
    ]);
    assert_eq!(seen, [(0, 3, vec![2])]);
}
