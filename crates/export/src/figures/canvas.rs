//! A drawing surface: shapes as vector text, texts as data. Greys only.

use crate::fonts::{self, Face};
use std::fmt::Write;

/// A grey, 0 black to 255 white.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Ink(pub(crate) u8);

impl Ink {
    /// Text and whatever must be seen.
    pub(crate) const BLACK: Self = Self(0x14);
    /// Second text.
    pub(crate) const DARK: Self = Self(0x4a);
    /// Lines that carry meaning beside black ones.
    pub(crate) const MIDDLE: Self = Self(0x78);
    /// Bar lines and tails.
    pub(crate) const LIGHT: Self = Self(0xa6);
    /// Areas behind other things.
    pub(crate) const PALE: Self = Self(0xdc);
    /// Paper.
    pub(crate) const PAPER: Self = Self(0xff);
}

/// Where a text's x lies in it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A text in one face and size.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Type {
    pub(crate) face: Face,
    pub(crate) size: f64,
    pub(crate) ink: Ink,
}

impl Type {
    pub(crate) const fn new(face: Face, size: f64, ink: Ink) -> Self {
        Self { face, size, ink }
    }

    pub(crate) fn width(self, text: &str) -> f64 {
        fonts::width(text, self.face, self.size)
    }

    pub(crate) fn fitted(self, text: &str, room: f64) -> String {
        fonts::fitted(text, self.face, self.size, room)
    }
}

/// A placed text; x is its left end, y its baseline.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Text {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) size: f64,
    pub(crate) face: Face,
    pub(crate) ink: Ink,
    pub(crate) text: String,
}

/// A finished drawing.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Drawing {
    pub(crate) width: f64,
    pub(crate) height: f64,
    /// The shapes as an SVG file.
    pub(crate) svg: String,
    pub(crate) texts: Vec<Text>,
    /// What a screen reader says instead.
    pub(crate) alt: String,
}

/// A surface to draw on.
#[derive(Default)]
pub(crate) struct Canvas {
    under: String,
    shapes: String,
    texts: Vec<Text>,
}

impl Canvas {
    pub(crate) fn finish(self, width: f64, height: f64, alt: String) -> Drawing {
        let svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.2}pt\" height=\"{height:.2}pt\" \
             viewBox=\"0 0 {width:.2} {height:.2}\">{}{}</svg>",
            self.under, self.shapes
        );
        Drawing { width, height, svg, texts: self.texts, alt }
    }

    /// A line below everything drawn so far and later.
    pub(crate) fn line_under(&mut self, from: (f64, f64), to: (f64, f64), width: f64, ink: Ink) {
        line(&mut self.under, from, to, width, ink, "");
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), width: f64, ink: Ink) {
        line(&mut self.shapes, from, to, width, ink, "");
    }

    /// A dotted line.
    pub(crate) fn dotted(&mut self, from: (f64, f64), to: (f64, f64), width: f64, ink: Ink) {
        let dots = format!(" stroke-linecap=\"round\" stroke-dasharray=\"0 {:.2}\"", width * 2.4);
        line(&mut self.shapes, from, to, width, ink, &dots);
    }

    pub(crate) fn fill(&mut self, x: f64, y: f64, width: f64, height: f64, ink: Ink) {
        let _ = write!(
            self.shapes,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"{}\"/>",
            width.max(0.0),
            height.max(0.0),
            color(ink)
        );
    }

    pub(crate) fn frame(&mut self, area: [f64; 4], line_width: f64, ink: Ink, fill: Option<Ink>) {
        let [x, y, width, height] = area;
        let fill = fill.map_or_else(|| String::from("none"), color);
        let _ = write!(
            self.shapes,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"{fill}\" \
             stroke=\"{}\" stroke-width=\"{line_width:.2}\"/>",
            width.max(0.0),
            height.max(0.0),
            color(ink)
        );
    }

    pub(crate) fn dotted_frame(&mut self, area: [f64; 4], line_width: f64, ink: Ink) {
        let [x, y, width, height] = area;
        let _ = write!(
            self.shapes,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{:.2}\" height=\"{:.2}\" fill=\"none\" \
             stroke=\"{}\" stroke-width=\"{line_width:.2}\" stroke-dasharray=\"1.2 1\"/>",
            width.max(0.0),
            height.max(0.0),
            color(ink)
        );
    }

    /// Round dots along a path, so far apart from middle to middle.
    pub(crate) fn dashed_dots(&mut self, data: &str, size: f64, distance: f64, ink: Ink) {
        let _ = write!(
            self.shapes,
            "<path d=\"{data}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{size:.2}\" \
             stroke-linecap=\"round\" stroke-dasharray=\"0 {distance:.2}\"/>",
            color(ink)
        );
    }

    pub(crate) fn disc(&mut self, x: f64, y: f64, radius: f64, ink: Ink) {
        let _ = write!(
            self.shapes,
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius:.2}\" fill=\"{}\"/>",
            color(ink)
        );
    }

    pub(crate) fn ring(&mut self, x: f64, y: f64, radius: f64, line_width: f64, ink: Ink) {
        let _ = write!(
            self.shapes,
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius:.2}\" fill=\"none\" stroke=\"{}\" \
             stroke-width=\"{line_width:.2}\"/>",
            color(ink)
        );
    }

    /// An open path in SVG's own words.
    pub(crate) fn path(&mut self, data: &str, line_width: f64, ink: Ink) {
        let _ = write!(
            self.shapes,
            "<path d=\"{data}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{line_width:.2}\" \
             stroke-linejoin=\"round\" stroke-linecap=\"round\"/>",
            color(ink)
        );
    }

    /// A filled path in SVG's own words.
    pub(crate) fn area(&mut self, data: &str, ink: Ink) {
        let _ = write!(self.shapes, "<path d=\"{data}\" fill=\"{}\"/>", color(ink));
    }

    /// Slanted lines that fill a rectangle.
    pub(crate) fn hatch(&mut self, area: [f64; 4], spacing: f64, line_width: f64, ink: Ink) {
        let [x, y, width, height] = area;
        if width <= 0.0 || height <= 0.0 {
            return;
        }
        let mut data = String::new();
        // Lines x + y = c, with c on a fixed raster so that neighboring areas join.
        let mut c = ((x + y) / spacing).ceil() * spacing;
        while c < x + width + y + height {
            let x_low = (c - (y + height)).max(x);
            let x_high = (c - y).min(x + width);
            if x_high > x_low {
                let _ =
                    write!(data, "M{:.2} {:.2}L{:.2} {:.2}", x_low, c - x_low, x_high, c - x_high);
            }
            c += spacing;
        }
        let _ = write!(
            self.shapes,
            "<path d=\"{data}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{line_width:.2}\"/>",
            color(ink)
        );
    }

    /// A text; answers its width.
    pub(crate) fn text(&mut self, x: f64, y: f64, anchor: Anchor, kind: Type, text: &str) -> f64 {
        if text.is_empty() {
            return 0.0;
        }
        let width = kind.width(text);
        let x = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - width / 2.0,
            Anchor::End => x - width,
        };
        let Type { face, size, ink } = kind;
        self.texts.push(Text { x, y, size, face, ink, text: text.to_owned() });
        width
    }
}

impl Canvas {
    /// A text on paper of its own, so that bar lines do not run through it; answers its width.
    pub(crate) fn label(&mut self, x: f64, y: f64, kind: Type, text: &str) -> f64 {
        let width = kind.width(text);
        if width > 0.0 {
            self.fill(x - 0.6, y - 0.72 * kind.size, width + 1.4, 0.92 * kind.size, Ink::PAPER);
        }
        self.text(x, y, Anchor::Start, kind, text)
    }
}

/// Text in several faces on one line.
pub(crate) type Run = Vec<(Type, String)>;

pub(crate) fn run_width(run: &Run) -> f64 {
    run.iter().map(|(kind, text)| kind.width(text)).sum()
}

impl Canvas {
    /// A run of texts; answers its width.
    pub(crate) fn run(&mut self, x: f64, y: f64, run: &Run) -> f64 {
        let mut at = x;
        for (kind, text) in run {
            at += self.text(at, y, Anchor::Start, *kind, text);
        }
        at - x
    }
}

fn line(into: &mut String, from: (f64, f64), to: (f64, f64), width: f64, ink: Ink, more: &str) {
    let _ = write!(
        into,
        "<path d=\"M{:.2} {:.2}L{:.2} {:.2}\" stroke=\"{}\" stroke-width=\"{width:.2}\"{more}/>",
        from.0,
        from.1,
        to.0,
        to.1,
        color(ink)
    );
}

fn color(ink: Ink) -> String {
    format!("#{0:02x}{0:02x}{0:02x}", ink.0)
}
