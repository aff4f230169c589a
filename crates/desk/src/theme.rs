//! Ink, paper and type: the design tokens, read from one assets file, and the fonts.
//!
//! Nothing else in the desk names a color or a font file.

use egui::{Color32, FontData, FontDefinitions, FontFamily, FontId, Stroke};
use serde::Deserialize;
use std::sync::Arc;

/// The tones of one way of lighting, from ink to paper.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Ink {
    /// The ground of the grid.
    pub paper: Color32,
    /// The ground of panels.
    pub panel: Color32,
    /// Full ink.
    pub ink: Color32,
    /// Five tones from near ink to near paper. Text uses ink and the first two only.
    pub tones: [Color32; 5],
}

impl Ink {
    /// A bar line.
    pub fn bar_line(&self) -> Stroke {
        Stroke::new(1.0, self.tones[3])
    }

    /// A line at a rehearsal mark.
    pub fn mark_line(&self) -> Stroke {
        Stroke::new(1.0, self.tones[2])
    }

    /// The frame of the selection.
    pub fn selection(&self) -> Stroke {
        Stroke::new(1.6, self.ink)
    }
}

/// Text sizes in points.
#[derive(Clone, Copy, PartialEq, Debug, Deserialize)]
pub struct Sizes {
    /// Notes under labels.
    pub small: f32,
    /// Ordinary text.
    pub body: f32,
    /// Section heads.
    pub large: f32,
    /// Titles.
    pub title: f32,
}

/// The look in force.
#[derive(Clone, Debug)]
pub struct Theme {
    /// The tones.
    pub ink: Ink,
    /// Text sizes, already scaled by the user's factor.
    pub sizes: Sizes,
    /// Whether tones are on a dark ground.
    pub dark: bool,
    /// Ink and paper only.
    pub contrast: bool,
}

/// The sans face in its heavier weight.
pub const SEMIBOLD: &str = "sans semibold";
/// The upright serif: titles, sentences.
pub const SERIF: &str = "serif";
/// The serif italic: words of the score.
pub const SERIF_ITALIC: &str = "serif italic";
/// The serif in its heavier weight: titles.
pub const SERIF_SEMIBOLD: &str = "serif semibold";
/// The music font (SMuFL).
pub const MUSIC: &str = "music";

impl Theme {
    /// The look for a lighting, contrast and text scale (0.7 to 2).
    pub fn new(dark: bool, contrast: bool, scale: f32) -> Self {
        let tokens = Tokens::load();
        let row = match (dark, contrast) {
            (false, false) => &tokens.light,
            (true, false) => &tokens.dark,
            (false, true) => &tokens.light_contrast,
            (true, true) => &tokens.dark_contrast,
        };
        let scale = scale.clamp(0.7, 2.0);
        let Sizes { small, body, large, title } = tokens.sizes;
        let sizes = Sizes {
            small: small * scale,
            body: body * scale,
            large: large * scale,
            title: title * scale,
        };
        Self { ink: row.ink(), sizes, dark, contrast }
    }

    /// Sans, ordinary weight.
    pub fn body(&self) -> FontId {
        FontId::new(self.sizes.body, FontFamily::Proportional)
    }

    /// Sans, small.
    pub fn small(&self) -> FontId {
        FontId::new(self.sizes.small, FontFamily::Proportional)
    }

    /// A named face of this module at a size.
    pub fn face(&self, name: &str, size: f32) -> FontId {
        FontId::new(size, FontFamily::Name(name.into()))
    }

    /// Sets egui's visuals and text styles.
    pub fn apply(&self, ctx: &egui::Context) {
        let ink = &self.ink;
        let mut visuals = if self.dark { egui::Visuals::dark() } else { egui::Visuals::light() };
        visuals.panel_fill = ink.paper;
        visuals.window_fill = ink.panel;
        visuals.extreme_bg_color = ink.paper;
        visuals.faint_bg_color = ink.tones[4];
        visuals.override_text_color = Some(ink.ink);
        visuals.hyperlink_color = ink.ink;
        visuals.window_stroke = Stroke::new(1.0, ink.tones[2]);
        visuals.selection.bg_fill = ink.tones[3];
        visuals.selection.stroke = Stroke::new(1.0, ink.ink);
        visuals.window_shadow = egui::Shadow::NONE;
        visuals.popup_shadow = egui::Shadow::NONE;
        let frame = Stroke::new(1.0, ink.tones[2]);
        for (widget, fill) in [
            (&mut visuals.widgets.noninteractive, ink.panel),
            (&mut visuals.widgets.inactive, ink.panel),
            (&mut visuals.widgets.hovered, ink.tones[4]),
            (&mut visuals.widgets.active, ink.tones[3]),
            (&mut visuals.widgets.open, ink.tones[4]),
        ] {
            widget.bg_fill = fill;
            widget.weak_bg_fill = fill;
            widget.bg_stroke = frame;
            widget.fg_stroke = Stroke::new(1.0, ink.ink);
            widget.corner_radius = 2.0.into();
        }
        let body = self.body();
        ctx.all_styles_mut(|style| {
            style.visuals = visuals.clone();
            style.animation_time = 0.0;
            style.interaction.tooltip_delay = 0.3;
            style.text_styles = [
                (egui::TextStyle::Small, self.small()),
                (egui::TextStyle::Body, body.clone()),
                (egui::TextStyle::Button, body.clone()),
                (egui::TextStyle::Monospace, body.clone()),
                (egui::TextStyle::Heading, self.face(SERIF_SEMIBOLD, self.sizes.title)),
            ]
            .into();
        });
    }
}

/// Gives egui the bundled fonts; call once at the start.
pub fn install_fonts(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::empty();
    let faces: [(&str, &'static [u8]); 6] = [
        ("sans", include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf")),
        (SEMIBOLD, include_bytes!("../../../assets/fonts/SourceSans3-SemiBold.ttf")),
        (SERIF, include_bytes!("../../../assets/fonts/SourceSerif4-Regular.ttf")),
        (SERIF_ITALIC, include_bytes!("../../../assets/fonts/SourceSerif4-Italic.ttf")),
        (SERIF_SEMIBOLD, include_bytes!("../../../assets/fonts/SourceSerif4-SemiBold.ttf")),
        (MUSIC, include_bytes!("../../../assets/fonts/Bravura.otf")),
    ];
    for (name, bytes) in faces {
        fonts.font_data.insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
        let chain = vec![name.to_owned(), String::from("sans"), String::from(MUSIC)];
        fonts.families.insert(FontFamily::Name(name.into()), chain);
    }
    let plain = vec![String::from("sans"), String::from(MUSIC)];
    fonts.families.insert(FontFamily::Proportional, plain.clone());
    fonts.families.insert(FontFamily::Monospace, plain);
    ctx.set_fonts(fonts);
}

#[derive(Deserialize)]
struct Tokens {
    light: Row,
    dark: Row,
    light_contrast: Row,
    dark_contrast: Row,
    sizes: Sizes,
}

#[derive(Deserialize)]
struct Row {
    paper: String,
    panel: String,
    ink: String,
    tones: (String, String, String, String, String),
}

impl Tokens {
    fn load() -> Self {
        let text = include_str!("../../../assets/theme.ron");
        // The file is part of the program; the test below reads it.
        ron::from_str(text).expect("the design tokens are valid")
    }
}

impl Row {
    fn ink(&self) -> Ink {
        let (a, b, c, d, e) = &self.tones;
        Ink {
            paper: hex(&self.paper),
            panel: hex(&self.panel),
            ink: hex(&self.ink),
            tones: [hex(a), hex(b), hex(c), hex(d), hex(e)],
        }
    }
}

fn hex(text: &str) -> Color32 {
    Color32::from_hex(text).unwrap_or(Color32::PLACEHOLDER)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn luminance(color: Color32) -> f32 {
        let linear = |channel: u8| {
            let c = f32::from(channel) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(color.r()) + 0.7152 * linear(color.g()) + 0.0722 * linear(color.b())
    }

    /// W3C, Web Content Accessibility Guidelines 2.2, 1.4.3: text needs a contrast of 4.5 to 1.
    #[test]
    fn text_tones_keep_their_contrast_and_no_tone_has_a_hue() {
        for (dark, contrast) in [(false, false), (true, false), (false, true), (true, true)] {
            let ink = Theme::new(dark, contrast, 1.0).ink;
            for text in [ink.ink, ink.tones[0], ink.tones[1]] {
                for ground in [ink.paper, ink.panel] {
                    let (a, b) = (luminance(text), luminance(ground));
                    let ratio = (a.max(b) + 0.05) / (a.min(b) + 0.05);
                    assert!(ratio >= 4.5, "{text:?} on {ground:?}: {ratio}");
                }
            }
            for tone in ink.tones.into_iter().chain([ink.paper, ink.panel, ink.ink]) {
                let (low, high) = tone.to_array()[..3].iter().fold((255, 0), |(low, high), c| {
                    (low.min(i32::from(*c)), high.max(i32::from(*c)))
                });
                assert!(high - low <= 16, "{tone:?} has a hue");
                assert_ne!(tone, Color32::PLACEHOLDER);
            }
        }
    }
}
