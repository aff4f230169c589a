//! Time signatures: one or several pairs of figures, two signatures of which either may be meant, or
//! none at all.

use super::part::PartReader;
use crate::diag::Code;
use crate::import::raw::RawMeter;
use crate::import::xml::{Node, child, child_text, elements, name, text};
use crate::meter::{Meter, MeterSign, MeterTerm};

/// The most groups in the upper figure of a signature, and the most terms of a signature: no music
/// has more, and sums stay small.
const MAX_GROUPS: usize = 32;
const MAX_TERMS: usize = 8;

impl PartReader<'_> {
    pub(super) fn time(&mut self, node: Node<'_, '_>) {
        let byte = self.byte(node);
        match meter(node) {
            Some(meter) => {
                let other = child(node, "interchangeable").and_then(self::meter);
                let staff = Self::staff(node.attribute("number"));
                let meter = RawMeter { bar: self.bar_idx, staff, meter, other, byte };
                self.meters_here.push((self.cursor, meter));
            }
            None => self.out.log.add(Code::MeterUnreadable, self.pos(), byte, || {
                let beats = child_text(node, "beats").unwrap_or_default();
                let unit = child_text(node, "beat-type").unwrap_or_default();
                format!("\"{beats}/{unit}\" is no time signature")
            }),
        }
    }

    /// Gives the signatures of this bar to the part. One that stands at the end of the bar announces
    /// the next; one that stands inside the bar can only count from the next bar on.
    pub(super) fn settle_meters(&mut self) {
        for (offset, mut meter) in std::mem::take(&mut self.meters_here) {
            let before = self.out.meters.iter().rev().find(|before| before.staff == meter.staff);
            let changes = before.is_some_and(|before| before.meter.terms != meter.meter.terms);
            if offset > 0 && before.is_some() {
                meter.bar += 1;
                if changes && offset < self.bar.length {
                    let at = crate::import::raw::Pos { bar: self.bar_idx, offset };
                    self.out.log.add(Code::MeterInsideBar, at, meter.byte, || {
                        let meter = &meter.meter;
                        format!("{meter} stands inside a bar; it counts from the next bar on")
                    });
                }
            }
            self.out.meters.push(meter);
        }
    }
}

/// The signature in a `time` or `interchangeable` element; `None` if it cannot be understood.
fn meter(node: Node<'_, '_>) -> Option<Meter> {
    let hidden = node.attribute("print-object") == Some("no");
    let sign = match node.attribute("symbol") {
        _ if hidden => MeterSign::Hidden,
        Some("common") => MeterSign::Common,
        Some("cut") => MeterSign::Cut,
        Some("single-number") => MeterSign::SingleNumber,
        Some("note") => MeterSign::Note,
        Some("dotted-note") => MeterSign::DottedNote,
        _ => MeterSign::Figures,
    };
    if child(node, "senza-misura").is_some() {
        return Some(Meter { terms: Vec::new(), sign });
    }
    let mut terms = Vec::new();
    let mut groups: Option<Vec<u32>> = None;
    for item in elements(node) {
        match name(item) {
            "beats" => groups = Some(beats(text(item))?),
            "beat-type" => {
                let unit = figure(text(item))?;
                terms.push(MeterTerm { groups: groups.take()?, unit });
            }
            _ => {}
        }
    }
    // Every bar has a copy of its meter, so a long one must not be one of many terms too.
    let n_groups: usize = terms.iter().map(|term: &MeterTerm| term.groups.len()).sum();
    let too_long = terms.len() > MAX_TERMS || n_groups > MAX_GROUPS;
    if terms.is_empty() || too_long || groups.is_some() {
        return None;
    }
    Some(Meter { terms, sign })
}

/// `4`, `3+2`.
fn beats(text: &str) -> Option<Vec<u32>> {
    let groups: Option<Vec<u32>> =
        text.split('+').take(MAX_GROUPS + 1).map(|group| figure(group.trim())).collect();
    groups.filter(|groups| groups.len() <= MAX_GROUPS)
}

fn figure(text: &str) -> Option<u32> {
    text.parse().ok().filter(|figure| (1..=999).contains(figure))
}
