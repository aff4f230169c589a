//! Dynamic signs and hairpins of one part: which staves they hold for, and which start and stop
//! belong together.

use super::direction::Pending;
use super::part::PartReader;
use crate::diag::Code;
use crate::event::MarkingKind;
use crate::import::header::one_line;
use crate::import::raw::{Pos, RawMarking, RawWords};
use crate::import::words::dynamics::{self, Sign};
use crate::import::xml::{Node, elements, name, says_yes};
use crate::instrument::Family;
use crate::part::PlayerSet;
use crate::time::Ticks;

/// The most hairpins open at once in a part; a file that leaves more open is damaged.
const MAX_OPEN: usize = 64;

/// A hairpin that has begun, or the end of one that has not.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wedge {
    /// The number in the file.
    number: u8,
    staff: Option<u8>,
    voice: Option<u8>,
    /// Place in the markings; for an end that waits for its beginning, nothing.
    marking: usize,
    pos: Pos,
    niente: bool,
    byte: usize,
}

impl Wedge {
    /// How well an end fits a beginning: the number in the file, the staff, the voice, in this order.
    /// Several programs count the hairpins of each voice or staff from 1.
    fn fits(&self, end: &Self) -> (bool, bool, bool) {
        (self.number == end.number, self.staff == end.staff, self.voice == end.voice)
    }
}

impl PartReader<'_> {
    /// The staff that a level or hairpin binds; `None` if it holds for all.
    ///
    /// Between the staves of a keyboard or harp part it holds for both hands (common practice); a sign
    /// for the upper staff stands there unless the file puts it above.
    pub(super) fn bound_staff(&self, stated: Option<u8>, placement: Option<&str>) -> Option<u8> {
        let instrument = self.out.header.instrument;
        let braced = instrument.is_some_and(|known| known.get().family == Family::HarpAndKeyboards);
        let between = match stated {
            Some(1) => placement != Some("above"),
            Some(2) => placement == Some("above"),
            _ => false,
        };
        stated.filter(|_| !(braced && between && self.out.staves > 1))
    }

    pub(super) fn wedge(&mut self, item: Node<'_, '_>, pending: &Pending) {
        let number = item.attribute("number").and_then(|text| text.parse().ok()).unwrap_or(1);
        let mut wedge = Wedge {
            number,
            staff: pending.staff,
            voice: pending.voice,
            marking: self.out.markings.len(),
            pos: pending.pos,
            niente: says_yes(item, "niente"),
            byte: self.byte(item),
        };
        let louder = match item.attribute("type") {
            Some("crescendo") => true,
            Some("diminuendo") => false,
            Some("stop") => return self.wedge_end(wedge),
            // A hairpin that goes on over a line break is the same hairpin.
            _ => return,
        };
        if self.wedges.len() >= MAX_OPEN {
            let oldest = self.wedges.remove(0);
            self.leave_hairpin_open(oldest);
        }
        let kind = MarkingKind::Hairpin { louder, end: Ticks::ZERO, niente: wedge.niente };
        self.marking(item, pending, kind);
        // The end may stand earlier in the file: in a voice that is written first.
        let ended = self.unbegun.iter().rposition(|end| {
            let (number, staff, _) = wedge.fits(end);
            number && staff && end.pos > wedge.pos
        });
        if let Some(end) = ended.map(|idx| self.unbegun.remove(idx)) {
            wedge.niente |= end.niente;
            self.end_hairpin(wedge.marking, end);
        } else {
            self.wedges.push(wedge);
        }
    }

    fn wedge_end(&mut self, end: Wedge) {
        let open = self.wedges.iter().enumerate().filter(|(_, open)| open.pos <= end.pos);
        let best = open.max_by_key(|(idx, open)| (open.fits(&end), *idx));
        // Programs that number carelessly still close the one hairpin that is open.
        let alone = self.wedges.len() == 1;
        let found = best.filter(|(_, open)| alone || open.number == end.number);
        match found.map(|(idx, open)| (idx, open.marking)) {
            Some((idx, marking)) => {
                self.wedges.remove(idx);
                self.end_hairpin(marking, end);
            }
            None if self.unbegun.len() < MAX_OPEN => self.unbegun.push(end),
            None => {}
        }
    }

    fn end_hairpin(&mut self, marking: usize, stop: Wedge) {
        if let Some(open) = self.out.markings.get_mut(marking) {
            open.end = Some(stop.pos.max(open.pos));
            if let MarkingKind::Hairpin { niente, .. } = &mut open.kind {
                *niente |= stop.niente;
            }
        }
    }

    /// Ends that found no beginning in their bar.
    pub(super) fn report_unbegun(&mut self) {
        for end in std::mem::take(&mut self.unbegun) {
            self.out.log.add(Code::HairpinUnbegun, end.pos, end.byte, || {
                String::from("a hairpin ends here that did not begin")
            });
        }
    }

    /// Hairpins without an end last to the next level in their bar, or to the end of the bar.
    pub(super) fn close_hairpins(&mut self) {
        for wedge in std::mem::take(&mut self.wedges) {
            self.leave_hairpin_open(wedge);
        }
    }

    fn leave_hairpin_open(&mut self, wedge: Wedge) {
        let later = self.out.markings.get(wedge.marking + 1..).unwrap_or_default();
        let here = later.iter().take_while(|next| next.pos.bar == wedge.pos.bar);
        let level = here
            .filter(|next| {
                let level = matches!(
                    next.kind,
                    MarkingKind::Level(_)
                        | MarkingKind::Accent { then: Some(_) }
                        | MarkingKind::Hairpin { .. }
                );
                level && next.pos > wedge.pos && next.staff == wedge.staff
            })
            .map(|next| next.pos)
            .min();
        let end = level.unwrap_or(Pos { bar: wedge.pos.bar + 1, offset: 0 });
        if let Some(open) = self.out.markings.get_mut(wedge.marking) {
            open.end = Some(end);
        }
        let how = if level.is_some() { "at the next dynamic mark" } else { "with the bar" };
        self.out.log.add(Code::HairpinOpen, wedge.pos, wedge.byte, || {
            format!("a hairpin begins here and has no end; it ends {how}")
        });
    }

    /// Dynamic signs as letters, possibly with words around them.
    pub(super) fn dynamics(
        &mut self,
        letters: &str,
        pos: Pos,
        staff: Option<u8>,
        voice: Option<u8>,
        node: Node<'_, '_>,
    ) {
        let byte = self.byte(node);
        let plain = dynamics::glyphs_as_letters(letters).replace(['[', ']', '(', ')'], " ");
        let plain = one_line(&plain);
        if plain.is_empty() || plain == "other-dynamics" {
            return;
        }
        let kind = match dynamics::sign(&plain) {
            Some(Sign::Level(level)) => MarkingKind::Level(level),
            Some(Sign::Accent(then)) => MarkingKind::Accent { then },
            None => {
                // Words among the signs: "p sempre", "dolce". They are understood like any words.
                let words = dynamics::has_sign(&plain) || plain.contains(' ') || plain.len() > 4;
                if !words {
                    self.out.log.add(Code::DynamicUnknown, pos, byte, || {
                        format!("the dynamic sign \"{plain}\" is not known")
                    });
                }
                self.out.words.push(RawWords { pos, staff, voice, byte, ..RawWords::of(plain) });
                return;
            }
        };
        let words = String::new();
        let players = PlayerSet::ALL;
        let marking = RawMarking { pos, end: None, staff, voice, players, kind, words, byte };
        self.out.markings.push(marking);
    }
}

/// The letters of a `dynamics` element in one text: signs are their own names, other signs their
/// texts, or their glyphs where they name one. Neighboring signs make one, as the standard allows
/// (MusicXML 4.0, `dynamics`: "combined to create marks not covered by a single element").
pub(super) fn dynamics_text(node: Node<'_, '_>) -> String {
    let mut out = String::new();
    for item in elements(node) {
        match name(item) {
            "other-dynamics" => {
                let other = item.text().unwrap_or_default().trim();
                if !out.is_empty() {
                    out.push(' ');
                }
                match item.attribute("smufl").and_then(dynamics::glyph_named) {
                    Some(glyph) if other.is_empty() => out.push(glyph),
                    _ => out.push_str(other),
                }
                out.push(' ');
            }
            sign => out.push_str(sign),
        }
    }
    out.trim().to_owned()
}
