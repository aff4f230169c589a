//! Standard sound ids and General MIDI programs to rows of the catalog.
//!
//! The ids are those of the MusicXML 4.0 standard sounds list. Every id of the list finds a row: an
//! id that has none of its own finds the collective row of its group.

use super::InstrumentId;

/// Ids and their rows. The longest id that begins a stated one (at a full stop) counts.
const SOUNDS: &[(&str, &str)] = &[
    ("brass", "brass"),
    ("brass.alphorn", "horn"),
    ("brass.alto-horn", "saxhorn"),
    ("brass.mellophone", "horn"),
    ("brass.bugle", "flugelhorn"),
    ("brass.cimbasso", "cimbasso"),
    ("brass.cornet", "cornet"),
    ("brass.cornett", "cornett"),
    ("brass.cornettino", "cornett"),
    ("brass.euphonium", "euphonium"),
    ("brass.baritone-horn", "euphonium"),
    ("brass.flugelhorn", "flugelhorn"),
    ("brass.french-horn", "horn"),
    ("brass.natural-horn", "horn"),
    ("brass.vienna-horn", "horn"),
    ("brass.helicon", "tuba"),
    ("brass.ophicleide", "ophicleide"),
    ("brass.sackbutt", "trombone"),
    ("brass.saxhorn", "saxhorn"),
    ("brass.serpent", "serpent"),
    ("brass.sousaphone", "tuba"),
    ("brass.trombone", "trombone"),
    ("brass.trombone.alto", "alto trombone"),
    ("brass.trombone.bass", "bass trombone"),
    ("brass.trombone.contrabass", "contrabass trombone"),
    ("brass.trumpet", "trumpet"),
    ("brass.trumpet.bass", "bass trumpet"),
    ("brass.trumpet.piccolo", "piccolo trumpet"),
    ("brass.tuba", "tuba"),
    ("brass.wagner-tuba", "wagner tuba"),
    ("drum", "percussion"),
    ("drum.bass-drum", "bass drum"),
    ("drum.group.set", "drum set"),
    ("drum.kick-drum", "bass drum"),
    ("drum.snare-drum", "snare drum"),
    ("drum.tambourine", "tambourine"),
    ("drum.tenor-drum", "tenor drum"),
    ("drum.timpani", "timpani"),
    ("drum.tom-tom", "tom-toms"),
    ("effect", "percussion"),
    ("effect.thunder", "thunder sheet"),
    ("effect.whip", "whip"),
    ("effect.wind", "wind machine"),
    ("keyboard", "keyboard"),
    ("keyboard.accordion", "accordion"),
    ("keyboard.bandoneon", "accordion"),
    ("keyboard.celesta", "celesta"),
    ("keyboard.clavichord", "clavichord"),
    ("keyboard.concertina", "accordion"),
    ("keyboard.fortepiano", "piano"),
    ("keyboard.harmonium", "harmonium"),
    ("keyboard.harpsichord", "harpsichord"),
    ("keyboard.ondes-martenot", "ondes martenot"),
    ("keyboard.organ", "organ"),
    ("keyboard.piano", "piano"),
    ("keyboard.virginal", "harpsichord"),
    ("metal", "percussion"),
    ("metal.anvil", "anvil"),
    ("metal.bells", "bells"),
    ("metal.bells.chimes", "tubular bells"),
    ("metal.bells.cowbell", "cowbells"),
    ("metal.bells.almglocken", "cowbells"),
    ("metal.bells.sleigh-bells", "sleigh bells"),
    ("metal.bells.jingle-bell", "sleigh bells"),
    ("metal.crotales", "crotales"),
    ("metal.cymbal", "cymbals"),
    ("metal.cymbal.suspended", "suspended cymbal"),
    ("metal.gong", "gong"),
    ("metal.hi-hat", "cymbals"),
    ("metal.tamtam", "tam-tam"),
    ("metal.thundersheet", "thunder sheet"),
    ("metal.triangle", "triangle"),
    ("pitched-percussion", "percussion"),
    ("pitched-percussion.bells", "bells"),
    ("pitched-percussion.bell-lyre", "glockenspiel"),
    ("pitched-percussion.cimbalom", "cimbalom"),
    ("pitched-percussion.tsymbaly", "cimbalom"),
    ("pitched-percussion.glockenspiel", "glockenspiel"),
    ("pitched-percussion.marimba", "marimba"),
    ("pitched-percussion.tubular-bells", "tubular bells"),
    ("pitched-percussion.vibraphone", "vibraphone"),
    ("pitched-percussion.xylophone", "xylophone"),
    ("pitched-percussion.xylorimba", "xylophone"),
    ("pluck", "plucked strings"),
    ("pluck.archlute", "theorbo"),
    ("pluck.banjo", "banjo"),
    ("pluck.bass", "bass guitar"),
    ("pluck.celtic-harp", "harp"),
    ("pluck.guitar", "guitar"),
    ("pluck.guitar.electric", "electric guitar"),
    ("pluck.harp", "harp"),
    ("pluck.lute", "lute"),
    ("pluck.mandolin", "mandolin"),
    ("pluck.theorbo", "theorbo"),
    ("rattle", "percussion"),
    ("rattle.cog", "ratchet"),
    ("rattle.maraca", "maracas"),
    ("rattle.ratchet", "ratchet"),
    ("strings", "strings"),
    ("strings.cello", "cello"),
    ("strings.contrabass", "double bass"),
    ("strings.fiddle", "violin"),
    ("strings.viol", "viola da gamba"),
    ("strings.octobass", "double bass"),
    ("strings.viol.violone", "double bass"),
    ("strings.violotta", "viola"),
    ("strings.viola", "viola"),
    ("strings.viola-damore", "viola d'amore"),
    ("strings.violin", "violin"),
    ("synth", "keyboard"),
    ("voice", "voice"),
    ("voice.aa", "choir"),
    ("voice.alto", "alto"),
    ("voice.aw", "choir"),
    ("voice.baritone", "baritone"),
    ("voice.bass", "bass voice"),
    ("voice.child", "children's choir"),
    ("voice.countertenor", "countertenor"),
    ("voice.doo", "choir"),
    ("voice.ee", "choir"),
    ("voice.mezzo-soprano", "mezzo-soprano"),
    ("voice.mm", "choir"),
    ("voice.oo", "choir"),
    ("voice.soprano", "soprano"),
    ("voice.tenor", "tenor"),
    ("wind", "woodwind"),
    ("wind.flutes.flute", "flute"),
    ("wind.flutes.flute.alto", "alto flute"),
    ("wind.flutes.flute.bass", "bass flute"),
    ("wind.flutes.flute.piccolo", "piccolo"),
    ("wind.flutes.recorder", "recorder"),
    ("wind.reed.basset-horn", "basset horn"),
    ("wind.reed.bassoon", "bassoon"),
    ("wind.reed.chalumeau", "clarinet"),
    ("wind.reed.clarinet", "clarinet"),
    ("wind.reed.dulcian", "bassoon"),
    ("wind.reed.clarinet.alto", "alto clarinet"),
    ("wind.reed.clarinet.bass", "bass clarinet"),
    ("wind.reed.clarinet.contra-alto", "contrabass clarinet"),
    ("wind.reed.clarinet.contrabass", "contrabass clarinet"),
    ("wind.reed.clarinet.d", "piccolo clarinet"),
    ("wind.reed.clarinet.eflat", "piccolo clarinet"),
    ("wind.reed.clarinet.piccolo", "piccolo clarinet"),
    ("wind.reed.contrabass", "contrabassoon"),
    ("wind.reed.contrabassoon", "contrabassoon"),
    ("wind.reed.english-horn", "cor anglais"),
    ("wind.reed.harmonica", "accordion"),
    ("wind.reed.heckelphone", "heckelphone"),
    ("wind.reed.oboe", "oboe"),
    ("wind.reed.oboe-da-caccia", "oboe da caccia"),
    ("wind.reed.oboe-damore", "oboe d'amore"),
    ("wind.reed.sarrusaphone", "sarrusophone"),
    ("wind.reed.saxophone", "saxophone"),
    ("wind.reed.saxophone.alto", "alto saxophone"),
    ("wind.reed.saxophone.baritone", "baritone saxophone"),
    ("wind.reed.saxophone.soprano", "soprano saxophone"),
    ("wind.reed.saxophone.tenor", "tenor saxophone"),
    ("wood", "percussion"),
    ("wood.castanets", "castanets"),
    ("wood.guiro", "guiro"),
    ("wood.slapstick", "whip"),
    ("wood.temple-block", "temple blocks"),
    ("wood.wood-block", "wood block"),
];

/// The ids whose row this is.
pub(super) fn ids_of(name: &str) -> impl Iterator<Item = &'static str> {
    SOUNDS.iter().filter(move |(_, row)| *row == name).map(|(id, _)| *id)
}

/// The row of a standard sound id; `None` if the id begins like no group of the standard.
pub(super) fn by_sound(sound: &str) -> Option<InstrumentId> {
    let mut id = sound.trim();
    loop {
        if let Some((_, name)) = SOUNDS.iter().find(|(known, _)| *known == id) {
            return InstrumentId::by_name(name);
        }
        (id, _) = id.rsplit_once('.')?;
    }
}

/// The row of a General MIDI program, 1 to 128; `None` outside, and for sounds that are no
/// instrument. The groups are those of the General MIDI level 1 sound set.
pub(super) fn by_midi_program(program: u8) -> Option<InstrumentId> {
    let name = match program {
        1..=6 => "piano",
        7 => "harpsichord",
        8 => "clavichord",
        9 => "celesta",
        10 => "glockenspiel",
        12 => "vibraphone",
        13 => "marimba",
        14 => "xylophone",
        15 => "tubular bells",
        17..=21 => "organ",
        22 | 24 => "accordion",
        25..=32 => "guitar",
        33..=40 => "bass guitar",
        41 => "violin",
        42 => "viola",
        43 => "cello",
        44 => "double bass",
        45 | 46 | 49..=52 => "strings",
        47 => "harp",
        48 => "timpani",
        53..=55 => "choir",
        57 | 60 => "trumpet",
        58 => "trombone",
        59 => "tuba",
        61 => "horn",
        62..=64 => "brass",
        65 => "soprano saxophone",
        66 => "alto saxophone",
        67 => "tenor saxophone",
        68 => "baritone saxophone",
        69 => "oboe",
        70 => "cor anglais",
        71 => "bassoon",
        72 => "clarinet",
        73 => "piccolo",
        74 => "flute",
        75 => "recorder",
        113..=119 => "percussion",
        _ => return None,
    };
    InstrumentId::by_name(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_names_an_instrument_and_a_sound_falls_back_to_its_group() {
        for (_, name) in SOUNDS {
            assert!(InstrumentId::by_name(name).is_some(), "{name}");
        }
        for program in 1..=128 {
            by_midi_program(program);
        }
        let name = |sound| by_sound(sound).map(|found| found.get().name);
        assert_eq!(name("wind.reed.clarinet.bflat"), Some("clarinet"));
        assert_eq!(name("brass.trombone.tenor"), Some("trombone"));
        assert_eq!(name("drum.apentemma"), Some("percussion"));
        assert_eq!(name("nonsense"), None);
        assert_eq!(by_midi_program(41).map(|found| found.get().name), Some("violin"));
    }
}
