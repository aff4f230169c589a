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
pub(crate) fn sign(letters: &str) -> Option<Sign> {
    if letters != "n"
        && let Some(level) = Level::from_letters(letters)
    {
        return Some(Sign::Level(level));
    }
    let accent = |then| Some(Sign::Accent(then));
    match letters {
        "n" | "niente" => Some(Sign::Level(Level::N)),
        "sf" | "sfz" | "fz" | "sff" | "sffz" | "ffz" | "rf" | "rfz" | "rinf" | "rinfz" | "rfzz"
        | "sfff" | "sfffz" | "fffz" => accent(None),
        "fp" | "sfp" | "sfzp" | "ffp" | "fzp" | "sffp" | "mfp" => accent(Some(Level::P)),
        "sfpp" | "fpp" | "ffpp" | "sfzpp" | "fzpp" => accent(Some(Level::Pp)),
        "fmp" | "sfmp" => accent(Some(Level::Mp)),
        "fmf" | "sfmf" => accent(Some(Level::Mf)),
        // "pf" is poco forte or più forte: louder, without a level of its own in the trade; taken
        // as the level that the standard's editors give it, between mf and f.
        "pf" => Some(Sign::Level(Level::Mf)),
        _ => None,
    }
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
    }
}
