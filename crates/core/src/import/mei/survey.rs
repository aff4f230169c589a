//! One look over a whole document before it is read: the number of ticks at which every length is
//! whole, which ids are referred to, and which habits of encoding the file has.

use super::tree::{reference, references};
use super::values::{dotted, note_value};
use crate::import::error::ImportError;
use crate::import::resolution::joined;
use crate::import::xml::{Node, Sheet, elements, name};
use crate::time::{Quarters, Resolution};
use std::collections::{HashMap, HashSet};

/// Ticks in a quarter that are always divided further: thirty-seconds and their triplets, so that
/// marks between the notes stand where they are written.
const BASE: u64 = 24;

/// What is known of a document beforehand.
#[derive(Debug, Default)]
pub(super) struct Survey<'a> {
    /// Ticks in a quarter.
    pub(super) resolution: u32,
    /// Ids that something refers to.
    pub(super) referred: HashSet<&'a str>,
    /// Sounding alterations are stated (`accid.ges`).
    pub(super) states_alterations: bool,
    /// Tuplets that reach over beams or bars: what they make of the notes they name.
    pub(super) spans: Spans<'a>,
    /// Wrappers with several readings: how many, and where the first stands.
    pub(super) readings: (u32, usize),
}

/// Tuplets written beside the music.
#[derive(Debug, Default)]
pub(super) struct Spans<'a> {
    /// The share of its written length that each named event lasts.
    pub(super) named: HashMap<&'a str, Quarters>,
    /// Tuplets that name only their first and last event, by the first.
    pub(super) ends: HashMap<&'a str, Vec<(&'a str, Quarters)>>,
}

/// Looks over a document.
///
/// # Errors
/// The lengths have no common measure inside [`Resolution::MAX`].
pub(super) fn survey<'a, 'i>(
    sheet: &Sheet<'_>,
    root: Node<'a, 'i>,
) -> Result<Survey<'a>, ImportError>
where
    'i: 'a,
{
    let mut look =
        Look { sheet, ticks: BASE, spans: 1, seen: HashSet::new(), out: Survey::default() };
    look.node(root, Quarters::ONE)?;
    let ticks = look.joined(look.ticks, look.ticks.saturating_mul(look.spans), root)?;
    let Look { mut out, .. } = look;
    out.resolution = u32::try_from(ticks).unwrap_or(Resolution::MAX);
    Ok(out)
}

struct Look<'s, 'a> {
    sheet: &'s Sheet<'s>,
    ticks: u64,
    /// What tuplets beside the music divide by.
    spans: u64,
    /// Denominators met before.
    seen: HashSet<u64>,
    out: Survey<'a>,
}

impl<'a> Look<'_, 'a> {
    fn node<'i: 'a>(&mut self, node: Node<'a, 'i>, share: Quarters) -> Result<(), ImportError> {
        let mut inner = share;
        match name(node) {
            "tuplet" => {
                inner = tuplet_share(node).and_then(|own| times(share, own)).unwrap_or(share)
            }
            "fTrem" => inner = share.scaled(1, 2).unwrap_or(share),
            "tupletSpan" => self.span(node)?,
            "app" | "choice" => {
                let (count, first) = self.out.readings;
                let first = if count == 0 { node.range().start } else { first };
                self.out.readings = (count.saturating_add(1), first);
            }
            _ => {}
        }
        for (attribute, value) in node.attributes() {
            match attribute {
                "dur" => self.length(node, value, inner)?,
                "unit" | "meter.unit" => self.unit(node, value)?,
                "startid" | "endid" | "sameas" => {
                    self.out.referred.insert(reference(value));
                }
                "plist" => self.out.referred.extend(references(value)),
                "accid.ges" => self.out.states_alterations = true,
                _ => {}
            }
        }
        for child in elements(node) {
            self.node(child, inner)?;
        }
        Ok(())
    }

    fn length(
        &mut self,
        node: Node<'_, '_>,
        text: &str,
        share: Quarters,
    ) -> Result<(), ImportError> {
        let length = note_value(text)
            .and_then(|value| dotted(value, dots(node)))
            .and_then(|value| times(value, share));
        match length {
            Some(length) => self.divide(length.denominator().unsigned_abs(), node),
            None => Ok(()),
        }
    }

    fn unit(&mut self, node: Node<'_, '_>, text: &str) -> Result<(), ImportError> {
        let unit = text.trim().parse().ok().filter(|unit: &i64| (1..=999).contains(unit));
        let beat = unit.and_then(|unit| Quarters::new(4, unit));
        beat.map_or(Ok(()), |beat| self.divide(beat.denominator().unsigned_abs(), node))
    }

    fn divide(&mut self, denominator: u64, node: Node<'_, '_>) -> Result<(), ImportError> {
        if self.seen.insert(denominator) {
            self.ticks = self.joined(self.ticks, denominator, node)?;
        }
        Ok(())
    }

    fn span<'i: 'a>(&mut self, node: Node<'a, 'i>) -> Result<(), ImportError> {
        let Some(share) = tuplet_share(node) else { return Ok(()) };
        self.spans = self.joined(self.spans, share.denominator().unsigned_abs(), node)?;
        let spans = &mut self.out.spans;
        match (node.attribute("plist"), node.attribute("startid"), node.attribute("endid")) {
            (Some(list), ..) => {
                for id in references(list) {
                    let own = spans.named.entry(id).or_insert(Quarters::ONE);
                    *own = times(*own, share).unwrap_or(*own);
                }
            }
            (None, Some(first), Some(last)) => {
                let list = spans.ends.entry(reference(first)).or_default();
                list.push((reference(last), share));
            }
            _ => {}
        }
        Ok(())
    }

    fn joined(&self, ticks: u64, other: u64, node: Node<'_, '_>) -> Result<u64, ImportError> {
        joined(self.sheet, node.range().start, ticks, other)
    }
}

/// The dots of an event: the attribute, or children.
pub(super) fn dots(node: Node<'_, '_>) -> u32 {
    let stated = node.attribute("dots").and_then(|dots| dots.trim().parse().ok());
    stated.unwrap_or_else(|| {
        let dots = elements(node).filter(|child| name(*child) == "dot").count();
        u32::try_from(dots).unwrap_or(u32::MAX)
    })
}

/// What share of its written length an event of a tuplet lasts: `numbase / num`. `None` for figures
/// that are none.
pub(super) fn tuplet_share(node: Node<'_, '_>) -> Option<Quarters> {
    let (num, base) = tuplet_figures(node)?;
    Quarters::new(i64::from(base), i64::from(num))
}

/// So many notes in the time of so many, three in the time of two unless stated. `None` for figures
/// that are none.
pub(super) fn tuplet_figures(node: Node<'_, '_>) -> Option<(u32, u32)> {
    let figure = |wanted: &str, missing: u32| match node.attribute(wanted) {
        Some(text) => text.trim().parse().ok().filter(|figure: &u32| (1..=1000).contains(figure)),
        None => Some(missing),
    };
    let num = figure("num", 3)?;
    // Without a base, as common practice has it: two or four in the time of three, others in that
    // of the next lower power of two (3:2, 5:4, 6:4, 7:4).
    let usual = if num == 2 || num == 4 { 3 } else { 1 << (num - 1).max(1).ilog2() };
    Some((num, figure("numbase", usual)?))
}

/// The product of a length and a share.
pub(super) fn times(length: Quarters, share: Quarters) -> Option<Quarters> {
    length.scaled(share.numerator(), share.denominator())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::xml;

    fn resolution(text: &str) -> Result<u32, ImportError> {
        let tree = xml::parse_plain(text).unwrap();
        let sheet = Sheet::new("a.mei", "a.mei", text);
        survey(&sheet, tree.root_element()).map(|survey| survey.resolution)
    }

    #[test]
    fn every_length_is_whole() {
        assert_eq!(resolution("<layer><note dur='4'/></layer>"), Ok(24));
        assert_eq!(resolution("<layer><note dur='64' dots='1'/></layer>"), Ok(96));
        assert_eq!(
            resolution(
                "<tuplet num='5' numbase='4'><tuplet num='7'><note dur='8'/></tuplet></tuplet>"
            ),
            Ok(24 * 35)
        );
        assert_eq!(resolution("<fTrem><note dur='64'/></fTrem>"), Ok(96));
        assert_eq!(resolution("<m><note dur='4'/><tupletSpan num='5' plist='#a'/></m>"), Ok(120));
        assert_eq!(resolution("<meterSig count='3' unit='x'/>"), Ok(24));
    }

    #[test]
    fn what_cannot_be_held_is_refused_with_its_place() {
        let text = "<l><tuplet num='997'><tuplet num='991'><tuplet num='983'><note dur='8'/></tuplet>\
                    </tuplet></tuplet></l>";
        assert!(resolution(text).unwrap_err().to_string().contains("a.mei:1:"));
    }

    #[test]
    fn tuplets_without_a_base_follow_common_practice() {
        let share = |text: &str| {
            tuplet_share(xml::parse_plain(text).unwrap().root_element()).unwrap().to_string()
        };
        assert_eq!(share("<tuplet num='3' numbase='2'/>"), "2/3");
        assert_eq!(share("<tuplet/>"), "2/3");
        assert_eq!(share("<tuplet num='5'/>"), "4/5");
        assert_eq!(share("<tuplet num='6'/>"), "2/3");
        assert_eq!(share("<tuplet num='2'/>"), "3/2");
    }
}
