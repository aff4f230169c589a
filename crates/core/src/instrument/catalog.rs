//! The catalog itself, in score order. The last row is the unknown instrument.

use super::{Family, Instrument};

const fn row(
    name: &'static str,
    short: &'static str,
    family: Family,
    range: Option<(u8, u8)>,
) -> Instrument {
    Instrument { name, family, short, range }
}

use Family::{
    Brass, HarpAndKeyboards as Keys, Other, Percussion as Perc, Strings, Voices, Woodwinds as Winds,
};

/// Ranges in sounding MIDI keys, from the reference table "Ranges of Orchestral Instruments"
/// (orchestralibrary) where it has the instrument, Hancock's "Timpani Notes" for timpani, and
/// handbooks (Adler, Kennan & Grantham) from memory for the rest; common practice for the auxiliary
/// and plucked instruments. A range is what a professional commands, not a wall.
pub(super) static CATALOG: &[Instrument] = &[
    row("piccolo", "picc.", Winds, Some((74, 108))),
    row("flute", "fl.", Winds, Some((59, 98))),
    row("alto flute", "a. fl.", Winds, Some((55, 91))),
    row("bass flute", "b. fl.", Winds, Some((48, 84))),
    row("recorder", "rec.", Winds, Some((53, 98))),
    row("oboe", "ob.", Winds, Some((58, 93))),
    row("oboe d'amore", "ob. d'am.", Winds, Some((55, 85))),
    row("oboe da caccia", "ob. da c.", Winds, Some((52, 84))),
    row("cor anglais", "c. a.", Winds, Some((52, 84))),
    row("heckelphone", "heck.", Winds, Some((45, 79))),
    row("piccolo clarinet", "picc. cl.", Winds, Some((55, 99))),
    row("clarinet", "cl.", Winds, Some((49, 94))),
    row("basset horn", "bst. hn.", Winds, Some((41, 84))),
    row("alto clarinet", "a. cl.", Winds, Some((43, 84))),
    row("bass clarinet", "b. cl.", Winds, Some((34, 77))),
    row("contrabass clarinet", "cb. cl.", Winds, Some((22, 65))),
    row("soprano saxophone", "s. sax.", Winds, Some((56, 88))),
    row("alto saxophone", "a. sax.", Winds, Some((49, 81))),
    row("tenor saxophone", "t. sax.", Winds, Some((44, 76))),
    row("baritone saxophone", "bar. sax.", Winds, Some((36, 69))),
    row("saxophone", "sax.", Winds, Some((36, 88))),
    row("bassoon", "bsn.", Winds, Some((34, 76))),
    row("contrabassoon", "cbsn.", Winds, Some((22, 58))),
    row("sarrusophone", "sarr.", Winds, None),
    row("woodwind", "ww.", Winds, None),
    row("horn", "hn.", Brass, Some((35, 77))),
    row("wagner tuba", "w. tba.", Brass, Some((28, 72))),
    row("trumpet", "tpt.", Brass, Some((52, 86))),
    row("piccolo trumpet", "picc. tpt.", Brass, Some((62, 91))),
    row("bass trumpet", "b. tpt.", Brass, Some((40, 77))),
    row("cornet", "crt.", Brass, Some((52, 84))),
    row("flugelhorn", "flhn.", Brass, Some((52, 82))),
    row("cornett", "ctt.", Brass, Some((55, 86))),
    row("alto trombone", "a. tbn.", Brass, Some((45, 77))),
    row("trombone", "tbn.", Brass, Some((34, 77))),
    row("bass trombone", "b. tbn.", Brass, Some((34, 70))),
    row("contrabass trombone", "cb. tbn.", Brass, Some((24, 62))),
    row("euphonium", "euph.", Brass, Some((40, 70))),
    row("tuba", "tba.", Brass, Some((26, 65))),
    row("cimbasso", "cimb.", Brass, Some((24, 62))),
    row("ophicleide", "oph.", Brass, Some((35, 74))),
    row("serpent", "serp.", Brass, Some((36, 70))),
    row("saxhorn", "sxhn.", Brass, None),
    row("brass", "br.", Brass, None),
    row("timpani", "timp.", Perc, Some((38, 60))),
    row("snare drum", "s. dr.", Perc, None),
    row("tenor drum", "t. dr.", Perc, None),
    row("bass drum", "b. dr.", Perc, None),
    row("tambourine", "tamb.", Perc, None),
    row("triangle", "trgl.", Perc, None),
    row("cymbals", "cym.", Perc, None),
    row("suspended cymbal", "susp. cym.", Perc, None),
    row("tam-tam", "t.-t.", Perc, None),
    row("gong", "gong", Perc, None),
    row("castanets", "cast.", Perc, None),
    row("wood block", "w. bl.", Perc, None),
    row("temple blocks", "t. bl.", Perc, None),
    row("tom-toms", "t.-toms", Perc, None),
    row("whip", "whip", Perc, None),
    row("ratchet", "ratch.", Perc, None),
    row("maracas", "mar.", Perc, None),
    row("guiro", "guiro", Perc, None),
    row("sleigh bells", "sl. b.", Perc, None),
    row("anvil", "anv.", Perc, None),
    row("cowbells", "cowb.", Perc, None),
    row("wind machine", "wind m.", Perc, None),
    row("thunder sheet", "thun.", Perc, None),
    row("drum set", "dr. set", Perc, None),
    row("crotales", "crot.", Perc, Some((84, 108))),
    row("glockenspiel", "glock.", Perc, Some((79, 108))),
    row("xylophone", "xyl.", Perc, Some((65, 108))),
    row("vibraphone", "vib.", Perc, Some((53, 89))),
    row("marimba", "mrb.", Perc, Some((36, 96))),
    row("tubular bells", "t. bells", Perc, Some((60, 77))),
    row("bells", "bells", Perc, None),
    row("cimbalom", "cimb.", Perc, Some((36, 88))),
    row("percussion", "perc.", Perc, None),
    row("harp", "hp.", Keys, Some((23, 104))),
    row("celesta", "cel.", Keys, Some((60, 108))),
    row("piano", "pno.", Keys, Some((21, 108))),
    row("harpsichord", "hpschd.", Keys, Some((29, 89))),
    row("organ", "org.", Keys, Some((24, 108))),
    row("harmonium", "harm.", Keys, Some((29, 89))),
    row("accordion", "acc.", Keys, Some((28, 105))),
    row("clavichord", "clav.", Keys, Some((29, 89))),
    row("ondes martenot", "o. m.", Keys, None),
    row("keyboard", "kbd.", Keys, None),
    row("continuo", "cont.", Keys, None),
    row("guitar", "gtr.", Keys, Some((40, 88))),
    row("electric guitar", "e. gtr.", Keys, Some((40, 88))),
    row("bass guitar", "b. gtr.", Keys, Some((28, 67))),
    row("mandolin", "mand.", Keys, Some((55, 93))),
    row("lute", "lute", Keys, None),
    row("theorbo", "theo.", Keys, None),
    row("banjo", "bjo.", Keys, None),
    row("plucked strings", "pl. str.", Keys, None),
    row("soprano", "s.", Voices, Some((57, 84))),
    row("mezzo-soprano", "mez.", Voices, Some((55, 81))),
    row("alto", "a.", Voices, Some((52, 77))),
    row("countertenor", "ct.", Voices, Some((52, 77))),
    row("tenor", "t.", Voices, Some((47, 72))),
    row("baritone", "bar.", Voices, Some((41, 68))),
    row("bass voice", "b.", Voices, Some((36, 65))),
    row("children's choir", "ch. choir", Voices, None),
    row("choir", "choir", Voices, None),
    row("narrator", "narr.", Voices, None),
    row("voice", "v.", Voices, None),
    row("violin", "vn.", Strings, Some((55, 105))),
    row("viola", "va.", Strings, Some((48, 88))),
    row("viola d'amore", "va. d'am.", Strings, Some((45, 88))),
    row("cello", "vc.", Strings, Some((36, 81))),
    row("double bass", "db.", Strings, Some((24, 67))),
    row("viola da gamba", "gamba", Strings, Some((38, 81))),
    row("strings", "str.", Strings, None),
    row("unknown", "?", Other, None),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::instrument::InstrumentId;

    /// Sounding ranges as MIDI keys: the reference table "Ranges of Orchestral Instruments"
    /// (orchestralibrary) and, for timpani, Hancock's "Timpani Notes" (the whole set).
    #[test]
    fn ranges_are_those_of_the_reference_table() {
        for (name, low, high) in [
            ("piccolo", 74, 108),
            ("alto flute", 55, 91),
            ("oboe", 58, 93),
            ("oboe d'amore", 55, 85),
            ("cor anglais", 52, 84),
            ("basset horn", 41, 84),
            ("horn", 35, 77),
            ("timpani", 38, 60),
            ("harp", 23, 104),
            ("glockenspiel", 79, 108),
            ("xylophone", 65, 108),
            ("violin", 55, 105),
            ("viola", 48, 88),
            ("cello", 36, 81),
        ] {
            let range = InstrumentId::by_name(name).unwrap().get().range;
            assert_eq!(range, Some((low, high)), "{name}");
        }
        // Clarinets in B flat and in A share a row: its range holds both.
        let (low, high) = InstrumentId::by_name("clarinet").unwrap().get().range.unwrap();
        assert!(low <= 49 && high >= 94);
    }

    #[test]
    fn names_are_unique_families_stand_together_and_the_unknown_is_last() {
        let names: std::collections::BTreeSet<_> = CATALOG.iter().map(|row| row.name).collect();
        assert_eq!(names.len(), CATALOG.len());
        assert!(CATALOG.is_sorted_by_key(|row| row.family));
        assert_eq!(CATALOG.last().map(|row| row.name), Some("unknown"));
        assert!(CATALOG.iter().all(|row| row.range.is_none_or(|(low, high)| low < high)));
        assert_eq!(InstrumentId::unknown().get().name, "unknown");
    }
}
