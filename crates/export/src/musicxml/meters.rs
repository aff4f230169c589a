//! Which time signatures a part has and where: those of the bars, and its own where it has others.
//! [`super::attributes`] writes them.

use super::xml::Xml;
use barloom_core::bar::{Bar, BarIndex};
use barloom_core::meter::{Meter, MeterSign};
use barloom_core::score::{Movement, PartMusic};

/// A signature as it is written.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Signature {
    /// The staff it holds for.
    staff: Option<u8>,
    meter: Meter,
    /// The second of two of which either may be meant.
    other: Option<Meter>,
}

/// The signatures of a part with the bars they begin at.
pub(super) fn of(movement: &Movement, music: &PartMusic) -> Vec<(usize, Vec<Signature>)> {
    let bars = movement.bars.as_slice();
    let mut found: Vec<(usize, Vec<Signature>)> = Vec::new();
    let mut turns_until = 0;
    let mut last: Option<Vec<Signature>> = None;
    for (idx, bar) in bars.iter().enumerate() {
        let own = own(music, idx, bar);
        let here = match own {
            Some(own) => own,
            None if idx < turns_until => continue,
            None => match in_turn(bars, idx) {
                Some((meter, until)) => {
                    turns_until = until;
                    last = None;
                    vec![Signature { staff: None, meter, other: None }]
                }
                None => {
                    let (meter, other) = (bar.meter.clone(), bar.other_meter.clone());
                    vec![Signature { staff: None, meter, other }]
                }
            },
        };
        if last.as_ref() != Some(&here) {
            found.push((idx, here.clone()));
            last = Some(here);
        }
    }
    found
}

/// The part's own signatures in a bar, staff by staff if they differ; `None` if it has none there.
fn own(music: &PartMusic, idx: usize, bar: &Bar) -> Option<Vec<Signature>> {
    let here = BarIndex::from(idx);
    let mut holding =
        music.meters.iter().filter(|own| (own.from..=own.to).contains(&here)).peekable();
    holding.peek()?;
    if let Some(all) = holding.find(|own| own.staff.is_none()) {
        return Some(vec![Signature { staff: None, meter: all.meter.clone(), other: None }]);
    }
    let of_staff = |staff: u8| {
        let own = music.own_meter(here, staff);
        let meter = own.unwrap_or(&bar.meter).clone();
        let other = bar.other_meter.clone().filter(|_| own.is_none());
        Signature { staff: Some(staff), meter, other }
    };
    Some((1..=music.staves.max(1)).map(of_staff).collect())
}

/// Bars that take the pairs of one signature in turn: the signature, and the bar behind the last.
fn in_turn(bars: &[Bar], from: usize) -> Option<(Meter, usize)> {
    let first = bars.get(from)?;
    first.other_meter.as_ref()?;
    let turns = |n: usize| {
        let fits = |(nth, bar): &(usize, &Bar)| {
            let at = |nth: usize| bars.get(from + nth % n).map(|bar| &bar.meter.terms);
            let other = bar.other_meter.as_ref().map(|other| &other.terms);
            at(*nth) == Some(&bar.meter.terms) && other == at(nth + 1) && other.is_some()
        };
        let rest = bars.get(from..).unwrap_or_default();
        rest.iter().enumerate().take_while(fits).count()
    };
    let (n, count) = (2..=4).map(|n| (n, turns(n))).find(|(n, count)| count >= n)?;
    let pairs = bars.get(from..from + n)?;
    let differ = pairs.iter().any(|bar| bar.meter.terms != first.meter.terms);
    let terms = pairs.iter().flat_map(|bar| bar.meter.terms.clone()).collect();
    differ.then_some((Meter { terms, sign: first.meter.sign }, from + count))
}

impl Signature {
    /// Writes the element.
    pub(super) fn write(&self, xml: &mut Xml) {
        let staff = self.staff.map(|staff| staff.to_string());
        let mut attributes: Vec<(&'static str, &str)> = Vec::new();
        if let Some(staff) = &staff {
            attributes.push(("number", staff));
        }
        attributes.extend(sign(&self.meter));
        if self.meter.sign == MeterSign::Hidden {
            attributes.push(("print-object", "no"));
        }
        xml.open("time", &attributes);
        terms(xml, &self.meter);
        if self.meter.is_unmeasured() {
            xml.empty("senza-misura", &[]);
        } else if let Some(other) = self.other.as_ref().filter(|other| !other.is_unmeasured()) {
            let attributes: Vec<(&'static str, &str)> = sign(other).into_iter().collect();
            xml.open("interchangeable", &attributes);
            terms(xml, other);
            xml.close();
        }
        xml.close();
    }
}

fn sign(meter: &Meter) -> Option<(&'static str, &'static str)> {
    let symbol = match meter.sign {
        MeterSign::Figures | MeterSign::Hidden => return None,
        MeterSign::Common => "common",
        MeterSign::Cut => "cut",
        MeterSign::SingleNumber => "single-number",
        MeterSign::Note => "note",
        MeterSign::DottedNote => "dotted-note",
    };
    Some(("symbol", symbol))
}

fn terms(xml: &mut Xml, meter: &Meter) {
    for term in &meter.terms {
        let groups: Vec<String> = term.groups.iter().map(u32::to_string).collect();
        xml.leaf("beats", &[], &groups.join("+"));
        xml.number("beat-type", term.unit);
    }
}
