//! The standard sounds list of MusicXML 4.0 (W3C, `sounds.xml`): every id finds an instrument of the
//! right family.

use barloom_core::instrument::recognize::{Hints, instrument};
use barloom_core::instrument::{Family, InstrumentId};

use crate::outside;

const WHAT: &str = "the standard sounds list";

/// The list published with MusicXML 4.0 has 894 ids.
const LIST_LEN: usize = 894;

fn by_sound(sound: &str) -> Option<InstrumentId> {
    instrument(&Hints { sound, ..Hints::default() })
}

/// The family of an id by the group of the list it stands in. The list sorts by how a sound is made,
/// scores by who plays it: mouth organs sit with the accordions.
fn family(id: &str) -> Family {
    if id.starts_with("wind.reed.harmonica") {
        return Family::HarpAndKeyboards;
    }
    match id.split('.').next().unwrap_or_default() {
        "brass" => Family::Brass,
        "drum" | "effect" | "metal" | "pitched-percussion" | "rattle" | "wood" => {
            Family::Percussion
        }
        "keyboard" | "pluck" | "synth" => Family::HarpAndKeyboards,
        "strings" => Family::Strings,
        "voice" => Family::Voices,
        "wind" => Family::Woodwinds,
        group => panic!("a group that the list did not have: {group}"),
    }
}

#[test]
fn every_standard_sound_finds_an_instrument_of_its_family() {
    let Some(data) = outside::data(WHAT) else { return };
    let text = std::fs::read_to_string(data.join("standard/sounds.xml")).unwrap();
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let document = roxmltree::Document::parse_with_options(&text, options).unwrap();
    let ids: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_tag_name("sound"))
        .filter_map(|node| node.attribute("id"))
        .collect();
    assert!(ids.len() >= LIST_LEN, "only {} ids in the list", ids.len());
    let wrong: Vec<String> = ids
        .iter()
        .filter_map(|id| match by_sound(id) {
            None => Some(format!("{id} finds nothing")),
            Some(found) if found.get().family != family(id) => {
                Some(format!("{id} is {found} of {}", found.get().family))
            }
            Some(_) => None,
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Instruments of the orchestra find their own rows, not only their families.
#[test]
fn orchestral_sounds_find_their_own_rows() {
    for (id, name) in [
        ("wind.flutes.flute", "flute"),
        ("wind.flutes.flute.piccolo", "piccolo"),
        ("wind.flutes.flute.alto", "alto flute"),
        ("wind.reed.oboe", "oboe"),
        ("wind.reed.oboe-damore", "oboe d'amore"),
        ("wind.reed.english-horn", "cor anglais"),
        ("wind.reed.clarinet", "clarinet"),
        ("wind.reed.clarinet.bflat", "clarinet"),
        ("wind.reed.clarinet.a", "clarinet"),
        ("wind.reed.clarinet.eflat", "piccolo clarinet"),
        ("wind.reed.clarinet.bass", "bass clarinet"),
        ("wind.reed.basset-horn", "basset horn"),
        ("wind.reed.saxophone.alto", "alto saxophone"),
        ("wind.reed.bassoon", "bassoon"),
        ("wind.reed.contrabassoon", "contrabassoon"),
        ("brass.french-horn", "horn"),
        ("brass.natural-horn", "horn"),
        ("brass.wagner-tuba", "wagner tuba"),
        ("brass.trumpet.bflat", "trumpet"),
        ("brass.cornet", "cornet"),
        ("brass.flugelhorn", "flugelhorn"),
        ("brass.trombone.alto", "alto trombone"),
        ("brass.trombone.tenor", "trombone"),
        ("brass.trombone.bass", "bass trombone"),
        ("brass.euphonium", "euphonium"),
        ("brass.tuba.bass", "tuba"),
        ("drum.timpani", "timpani"),
        ("drum.snare-drum", "snare drum"),
        ("drum.bass-drum", "bass drum"),
        ("drum.tambourine", "tambourine"),
        ("metal.triangle", "triangle"),
        ("metal.cymbal.crash", "cymbals"),
        ("metal.cymbal.suspended", "suspended cymbal"),
        ("metal.tamtam", "tam-tam"),
        ("pitched-percussion.glockenspiel", "glockenspiel"),
        ("pitched-percussion.xylophone", "xylophone"),
        ("pitched-percussion.marimba", "marimba"),
        ("pitched-percussion.vibraphone", "vibraphone"),
        ("pitched-percussion.tubular-bells", "tubular bells"),
        ("pluck.harp", "harp"),
        ("keyboard.celesta", "celesta"),
        ("keyboard.piano", "piano"),
        ("keyboard.organ.pipe", "organ"),
        ("keyboard.harpsichord", "harpsichord"),
        ("voice.soprano", "soprano"),
        ("voice.bass", "bass voice"),
        ("strings.violin", "violin"),
        ("strings.viola", "viola"),
        ("strings.cello", "cello"),
        ("strings.contrabass", "double bass"),
        ("strings.octobass", "double bass"),
        ("brass.mellophone", "horn"),
        ("brass.alto-horn", "saxhorn"),
        ("wind.reed.chalumeau", "clarinet"),
        ("wind.reed.dulcian", "bassoon"),
        ("pitched-percussion.tsymbaly", "cimbalom"),
    ] {
        assert_eq!(by_sound(id).map(|found| found.get().name), Some(name), "{id}");
    }
}
