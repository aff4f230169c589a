//! Printed note values: their lengths, dots and tuplets, held against the durations.

use super::part::PartReader;
use crate::diag::Code;
use crate::event::Tuplet;
use crate::import::xml::{Node, child_text};
use crate::time::Quarters;

/// The printed value of a note or rest.
#[derive(Clone, Copy, Default, Debug)]
pub(super) struct Value<'a> {
    /// The name of the value in the file; `None` if it has none.
    pub(super) kind: Option<&'a str>,
    /// Dots.
    pub(super) dots: u8,
    /// The tuplet it is in.
    pub(super) tuplet: Tuplet,
}

impl Value<'_> {
    /// How long it is printed; `None` without a value that the standard knows.
    fn length(self) -> Option<Quarters> {
        let whole = Quarters::whole(4);
        let plain = match self.kind? {
            "maxima" => Quarters::whole(32),
            "long" => Quarters::whole(16),
            "breve" => Quarters::whole(8),
            "whole" => whole,
            "half" => whole.scaled(1, 2)?,
            "quarter" => whole.scaled(1, 4)?,
            "eighth" => whole.scaled(1, 8)?,
            "16th" => whole.scaled(1, 16)?,
            "32nd" => whole.scaled(1, 32)?,
            "64th" => whole.scaled(1, 64)?,
            "128th" => whole.scaled(1, 128)?,
            "256th" => whole.scaled(1, 256)?,
            "512th" => whole.scaled(1, 512)?,
            "1024th" => whole.scaled(1, 1024)?,
            _ => return None,
        };
        // One dot makes 3/2 of a value, two make 7/4, ...
        let under = 1i64 << self.dots.min(8);
        let dotted = plain.scaled(2 * under - 1, under)?;
        dotted.scaled(i64::from(self.tuplet.normal), i64::from(self.tuplet.actual))
    }
}

/// The ratio in a `time-modification` element; two notes of a tremolo between them are printed with
/// twice their length, which is no tuplet.
pub(super) fn ratio(node: Node<'_, '_>, tremolo_pair: bool) -> Tuplet {
    let figure = |wanted: &str| child_text(node, wanted).and_then(|text| text.parse::<u32>().ok());
    let (Some(actual), Some(normal)) = (figure("actual-notes"), figure("normal-notes")) else {
        return Tuplet::NONE;
    };
    let halved = tremolo_pair && actual % 2 == 0;
    let tuplet = Tuplet::new(if halved { actual / 2 } else { actual }, normal);
    let tuplet = tuplet.unwrap_or_default();
    // As many in the time of as many is none.
    if tuplet.actual == tuplet.normal { Tuplet::NONE } else { tuplet }
}

impl PartReader<'_> {
    /// Says where the printed value and the duration differ by what the divisions could have told.
    pub(super) fn check_value(&mut self, value: Value<'_>, length: i64, node: Node<'_, '_>) {
        let Some(printed) = value.length() else { return };
        let Some(stated) = Quarters::new(length, self.resolution) else { return };
        if printed == stated {
            return;
        }
        let Some(apart) = printed.checked_sub(stated) else { return };
        let apart =
            if apart < Quarters::ZERO { Quarters::ZERO.checked_sub(apart) } else { Some(apart) };
        // Less than a division apart is only the grain of the file.
        if apart.is_some_and(|apart| apart < self.division()) {
            return;
        }
        let byte = self.byte(node);
        self.out.log.add(Code::ValueDiffers, self.pos(), byte, || {
            let kind = value.kind.unwrap_or_default();
            let dots = match value.dots {
                0 => "",
                1 => "dotted ",
                _ => "double-dotted ",
            };
            let Tuplet { actual, normal } = value.tuplet;
            let tuplet = match value.tuplet.is_none() {
                true => String::new(),
                false => format!(" in a tuplet of {actual} for {normal}"),
            };
            format!("a {dots}{kind}{tuplet} has a duration of {stated} quarters, not {printed}")
        });
    }
}
