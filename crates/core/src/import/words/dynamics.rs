//! Dynamic signs as letters: levels, accents of the sf family, and the glyphs of the standard music
//! font layout (SMuFL) that stand for them in texts.

use crate::event::Level;

/// What a dynamic sign asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Sign {
    /// A level from here.
    Level(Level),
    /// An accent, and the level after it if the sign says one.
    Accent(Option<Level>),
}

/// The sign with these letters; `None` if they are none.
///
/// Signs may be combined beyond the named ones, such as sfmp (MusicXML 4.0, `dynamics`); then the
/// first is an accent and the last says what follows.
pub(crate) fn sign(letters: &str) -> Option<Sign> {
    if letters == "n" || letters == "niente" {
        return Some(Sign::Level(Level::N));
    }
    if let Some(level) = Level::from_letters(letters) {
        return Some(Sign::Level(level));
    }
    let accent = |then| Some(Sign::Accent(then));
    match letters {
        "sf" | "sfz" | "fz" | "sff" | "sffz" | "ffz" | "rf" | "rfz" | "rinf" | "rinfz" | "rfzz"
        | "sfff" | "sfffz" | "fffz" | "rff" | "rffz" | "sforz" | "sforzando" | "sforzato"
        | "forzando" | "forzato" | "rinforz" | "rinforzando" => accent(None),
        "fp" | "sfp" | "sfzp" | "ffp" | "fzp" | "sffp" | "mfp" => accent(Some(Level::P)),
        // Soft, then loud at once: the mirror image of fp.
        "pf" => accent(Some(Level::F)),
        "pianissimo" | "pianiss" => Some(Sign::Level(Level::Pp)),
        "piano" => Some(Sign::Level(Level::P)),
        "mezzopiano" => Some(Sign::Level(Level::Mp)),
        "mezzoforte" => Some(Sign::Level(Level::Mf)),
        "forte" => Some(Sign::Level(Level::F)),
        "fortissimo" | "fortiss" => Some(Sign::Level(Level::Ff)),
        _ => combined(letters),
    }
}

/// Two signs written as one: the first sounds on the note, the second holds.
fn combined(letters: &str) -> Option<Sign> {
    let only_signs = letters.bytes().all(|letter| b"pmfszr".contains(&letter));
    if !only_signs || letters.len() < 3 || letters.len() > 8 {
        return None;
    }
    // The shortest tail that is a level leaves the longest head: "sfpp" ends with pp, not with p.
    (1..letters.len()).find_map(|at| {
        let (head, tail) = letters.split_at_checked(at)?;
        let level = Level::from_letters(tail)?;
        let heads = matches!(head, "f" | "ff" | "fff" | "sf" | "sff" | "sfff" | "fz" | "ffz")
            || matches!(head, "sfz" | "sffz" | "rf" | "rfz" | "mf" | "mp" | "p" | "pp" | "ppp");
        heads.then_some(Sign::Accent(Some(level)))
    })
}

/// Whether these letters are a level and no accent.
pub(crate) fn is_level(letters: &str) -> bool {
    matches!(sign(letters), Some(Sign::Level(_)))
}

/// Whether the last word before a level sign makes it another statement: "più" f, "poco" f.
pub(crate) fn shades(text: &str) -> bool {
    const WORDS: [&str; 12] = [
        "più", "piu", "meno", "poco", "plus", "moins", "ancora", "noch", "etwas", "un", "peu",
        "mezzo",
    ];
    let last = text.split_whitespace().next_back().unwrap_or_default();
    let last = last.trim_end_matches('.');
    WORDS.iter().any(|word| word.eq_ignore_ascii_case(last)) || last == "Più"
}

/// Whether one of the words is a dynamic sign.
pub(crate) fn has_sign(text: &str) -> bool {
    text.split_whitespace().any(|word| sign(word.trim_matches(['.', ','])).is_some())
}

/// A text with the dynamic glyphs of SMuFL (U+E520 to U+E53D) as letters, apart from other words.
pub(crate) fn glyphs_as_letters(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut in_glyphs = false;
    for letter in text.chars() {
        let letters = glyph(letter);
        match letters {
            Some(letters) => {
                if !in_glyphs && !out.is_empty() && !out.ends_with(' ') {
                    out.push(' ');
                }
                out.push_str(letters);
                in_glyphs = true;
            }
            None => {
                if in_glyphs && letter != ' ' {
                    out.push(' ');
                }
                in_glyphs = false;
                out.push(letter);
            }
        }
    }
    out
}

/// The dynamic glyph with this SMuFL name.
pub(crate) fn glyph_named(name: &str) -> Option<char> {
    const NAMES: [&str; 30] = [
        "Piano",
        "Mezzo",
        "Forte",
        "Rinforzando",
        "Sforzando",
        "Z",
        "Niente",
        "PPPPPP",
        "PPPPP",
        "PPPP",
        "PPP",
        "PP",
        "MP",
        "MF",
        "PF",
        "FF",
        "FFF",
        "FFFF",
        "FFFFF",
        "FFFFFF",
        "FortePiano",
        "Forzando",
        "Sforzando1",
        "SforzandoPiano",
        "SforzandoPianissimo",
        "Sforzato",
        "SforzatoPiano",
        "SforzatoFF",
        "Rinforzando1",
        "Rinforzando2",
    ];
    let name = name.strip_prefix("dynamic")?;
    let idx = NAMES.iter().position(|known| *known == name)?;
    char::from_u32(0xE520 + u32::try_from(idx).ok()?)
}

/// The letters of a dynamic glyph: SMuFL 1.4, range "Dynamics".
fn glyph(letter: char) -> Option<&'static str> {
    const GLYPHS: [&str; 30] = [
        "p", "m", "f", "r", "s", "z", "n", "pppppp", "ppppp", "pppp", "ppp", "pp", "mp", "mf",
        "pf", "ff", "fff", "ffff", "fffff", "ffffff", "fp", "fz", "sf", "sfp", "sfpp", "sfz",
        "sfzp", "sffz", "rf", "rfz",
    ];
    let idx = u32::from(letter).checked_sub(0xE520)?;
    GLYPHS.get(usize::try_from(idx).ok()?).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_and_accents_are_told_apart() {
        assert_eq!(sign("pp"), Some(Sign::Level(Level::Pp)));
        assert_eq!(sign("sfz"), Some(Sign::Accent(None)));
        assert_eq!(sign("fp"), Some(Sign::Accent(Some(Level::P))));
        assert_eq!(sign("sfpp"), Some(Sign::Accent(Some(Level::Pp))));
        assert_eq!(sign("dolce"), None);
        assert_eq!(sign("pf"), Some(Sign::Accent(Some(Level::F))));
        assert_eq!(sign("sfmp"), Some(Sign::Accent(Some(Level::Mp))));
        assert_eq!(sign("ffpp"), Some(Sign::Accent(Some(Level::Pp))));
        assert_eq!(sign("pff"), Some(Sign::Accent(Some(Level::Ff))));
        for text in ["ms", "mr", "mm", "fs", "psf", "sfs"] {
            assert_eq!(sign(text), None, "{text}");
        }
        assert!(has_sign("sempre pp"));
        assert!(!has_sign("sempre dolce"));
    }

    /// Code points: SMuFL 1.4, "Dynamics" (U+E520 to U+E54F).
    #[test]
    fn glyphs_are_letters() {
        assert_eq!(glyphs_as_letters("\u{e522}"), "f");
        assert_eq!(glyphs_as_letters("\u{e522}\u{e522}"), "ff");
        assert_eq!(glyphs_as_letters("\u{e52b} dolce"), "pp dolce");
        assert_eq!(glyphs_as_letters("sempre\u{e520}"), "sempre p");
        assert_eq!(glyphs_as_letters("\u{e52c}\u{e520}x"), "mpp x");
        assert_eq!(glyph('\u{e53d}'), Some("rfz"));
        let named = |name| glyph_named(name).and_then(glyph);
        assert_eq!(named("dynamicSforzato"), Some("sfz"));
        assert_eq!(named("dynamicFortePiano"), Some("fp"));
        assert_eq!(named("dynamicRinforzando2"), Some("rfz"));
        assert_eq!(named("gClef"), None);
    }
}
