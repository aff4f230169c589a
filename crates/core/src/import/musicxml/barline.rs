//! Barlines: repeats, endings, fermatas between bars.

use super::notations::fermata_shape;
use super::part::PartReader;
use crate::bar::Barline;
use crate::event::{FermataPlace, MarkingKind};
use crate::import::raw::{Pos, RawMarking};
use crate::import::xml::{Node, elements, name, text};
use crate::part::PlayerSet;

impl PartReader<'_> {
    pub(super) fn barline(&mut self, node: Node<'_, '_>) {
        let location = node.attribute("location").unwrap_or("right");
        let (left, right) = (location == "left", location == "right");
        for item in elements(node) {
            match name(item) {
                "bar-style" if right => self.bar_style(text(item)),
                "repeat" => self.repeat(item),
                "ending" => self.ending(item),
                sign @ ("segno" | "coda") => {
                    // At the end of a bar it stands at the start of the next.
                    let offset = if right { i64::MAX } else { 0 };
                    let pos = Pos { bar: self.bar_idx, offset };
                    let name = node.attribute(sign).unwrap_or_default().to_owned();
                    let waiting = &mut self.waiting;
                    let list = if sign == "segno" { &mut waiting.segno } else { &mut waiting.coda };
                    list.push((pos, name));
                }
                "fermata" => {
                    let offset = if left { 0 } else { self.cursor };
                    self.out.markings.push(RawMarking {
                        pos: Pos { bar: self.bar_idx, offset },
                        end: None,
                        staff: None,
                        voice: None,
                        players: PlayerSet::ALL,
                        kind: MarkingKind::Fermata(fermata_shape(item), FermataPlace::Barline),
                        words: String::new(),
                        byte: self.byte(item),
                    });
                }
                _ => {}
            }
        }
        if self.bar.flow.repeat_end.is_some() && self.bar.barline == Barline::Final {
            // The thick line belongs to the repeat.
            self.bar.barline = Barline::Single;
        }
    }

    fn bar_style(&mut self, style: &str) {
        self.bar.heavy_end = matches!(style, "light-heavy" | "heavy-heavy" | "heavy");
        self.bar.barline = match style {
            "regular" => Barline::Single,
            "light-light" => Barline::Double,
            "light-heavy" => Barline::Final,
            _ => Barline::Other,
        };
    }

    fn repeat(&mut self, node: Node<'_, '_>) {
        match node.attribute("direction") {
            Some("forward") => self.bar.flow.repeat_start = true,
            Some("backward") => {
                let times = node.attribute("times").and_then(|text| text.parse().ok());
                self.bar.flow.repeat_end = Some(times.unwrap_or(2u32).clamp(1, 100));
                let after_jump = node.attribute("after-jump").map(|value| value == "yes");
                self.bar.flow.repeat_after_jump = after_jump;
            }
            _ => {}
        }
    }

    fn ending(&mut self, node: Node<'_, '_>) {
        match node.attribute("type") {
            Some("start") => {
                let stated = node.attribute("number").unwrap_or_default();
                let mut numbers = ending_numbers(stated);
                if numbers.is_empty() {
                    numbers = ending_numbers(text(node));
                }
                self.bar.flow.endings = numbers;
            }
            Some("stop" | "discontinue") => self.bar.flow.ending_stops = true,
            _ => {}
        }
    }
}

/// The numbers of an ending as printed: "1", "1, 2", "1.-3.".
pub(in crate::import) fn ending_numbers(text: &str) -> Vec<u32> {
    let mut numbers = Vec::new();
    for piece in text.split([',', ' ', '.', ';']).filter(|piece| !piece.is_empty()) {
        let figure = |text: &str| text.trim().parse::<u32>().ok().filter(|n| (1..=100).contains(n));
        match piece.split_once('-') {
            Some((from, to)) => {
                if let (Some(from), Some(to)) = (figure(from), figure(to)) {
                    numbers.extend(from..=to);
                } else if let Some(from) = figure(from) {
                    numbers.push(from);
                }
            }
            None => numbers.extend(figure(piece)),
        }
    }
    numbers
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn endings_are_read_as_printed() {
        assert_eq!(ending_numbers("1"), [1]);
        assert_eq!(ending_numbers("1, 2"), [1, 2]);
        assert_eq!(ending_numbers("1.2."), [1, 2]);
        assert_eq!(ending_numbers("1-3"), [1, 2, 3]);
        assert!(ending_numbers("").is_empty());
        assert!(ending_numbers("x-").is_empty());
    }
}
