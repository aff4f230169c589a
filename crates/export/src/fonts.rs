//! The fonts of the plan, all under the Open Font License and part of the program, and the widths of
//! texts in them. System fonts are never looked at: a plan looks the same everywhere.

use std::sync::LazyLock;
use typst::foundations::Bytes;
use typst::layout::Abs;
use typst::text::{Font, FontInstance, FontVariations};
use typst_kit::fonts::FontStore;

/// The faces of the plan.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Face {
    /// Source Sans 3, regular.
    Sans,
    /// Source Sans 3, semibold.
    SansBold,
    /// Source Serif 4, regular.
    Serif,
    /// Source Serif 4, italic: words of the score.
    Italic,
    /// Bravura: music signs. One em is four staff spaces.
    Music,
}

impl Face {
    /// The name that the template knows it by.
    pub(crate) const fn key(self) -> &'static str {
        match self {
            Self::Sans => "sans",
            Self::SansBold => "bold",
            Self::Serif => "serif",
            Self::Italic => "italic",
            Self::Music => "music",
        }
    }
}

macro_rules! font_file {
    ($name:literal) => {
        include_bytes!(concat!("../../../assets/fonts/", $name))
    };
}

/// In the order of [`Face`]; the last one is for headings, which the template sets.
static FONTS: LazyLock<Vec<FontInstance>> = LazyLock::new(|| {
    let files: [&'static [u8]; 6] = [
        font_file!("SourceSans3-Regular.ttf"),
        font_file!("SourceSans3-SemiBold.ttf"),
        font_file!("SourceSerif4-Regular.ttf"),
        font_file!("SourceSerif4-Italic.ttf"),
        font_file!("Bravura.otf"),
        font_file!("SourceSerif4-SemiBold.ttf"),
    ];
    let instance = |file: &'static [u8]| {
        let font = Font::new(Bytes::new(file), 0)?;
        let variant = font.info().variant;
        Some(font.instantiate(variant, Abs::pt(10.0), &FontVariations::default()))
    };
    files.into_iter().filter_map(instance).collect()
});

/// All fonts for the typesetter.
pub(crate) static STORE: LazyLock<FontStore> = LazyLock::new(|| {
    let mut store = FontStore::new();
    for font in FONTS.iter().map(FontInstance::font) {
        store.push((font.clone(), font.info().clone()));
    }
    store
});

/// The width of a text in points, kerning left out; letters that the face lacks count half an em.
pub(crate) fn width(text: &str, face: Face, size_pt: f64) -> f64 {
    let Some(font) = FONTS.get(face as usize) else { return 0.5 * size_pt * text.len() as f64 };
    let music = FONTS.get(Face::Music as usize);
    let advance = |font: &FontInstance, letter: char| {
        let glyph = font.ttf().glyph_index(letter)?;
        font.x_advance(glyph.0).map(|advance| advance.get())
    };
    // Signs like the flat come from the music font, as in the template.
    let letter = |letter: char| {
        let from_music = || advance(music?, letter);
        advance(font, letter).or_else(from_music).unwrap_or(0.5)
    };
    text.chars().map(letter).sum::<f64>() * size_pt
}

/// The text cut to a width with an ellipsis; empty if not even that fits.
pub(crate) fn fitted(text: &str, face: Face, size_pt: f64, max_pt: f64) -> String {
    if width(text, face, size_pt) <= max_pt {
        return text.to_owned();
    }
    let mut room = max_pt - width("…", face, size_pt);
    let mut cut = String::new();
    for letter in text.chars() {
        room -= width(letter.encode_utf8(&mut [0; 4]), face, size_pt);
        if room < 0.0 {
            break;
        }
        cut.push(letter);
    }
    let cut = cut.trim_end();
    if cut.is_empty() { String::new() } else { format!("{cut}…") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_face_is_there_under_its_own_name() {
        let names: Vec<&str> =
            FONTS.iter().map(|font| font.font().info().family.as_str()).collect();
        let (sans, serif) = ("Source Sans 3", "Source Serif 4");
        assert_eq!(names, [sans, sans, serif, serif, "Bravura", serif]);
    }

    #[test]
    fn texts_are_cut_to_their_room() {
        let room = 40.0;
        let cut = fitted("Contrabassoon and the rest", Face::Sans, 8.0, room);
        assert!(cut.ends_with('…') && width(&cut, Face::Sans, 8.0) <= room, "{cut}");
        assert_eq!(fitted("Oboe", Face::Sans, 8.0, room), "Oboe");
        assert_eq!(fitted("Oboe", Face::Sans, 8.0, 1.0), "");
    }
}
