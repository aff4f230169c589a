//! Words that belong to something else: modifiers beside a level, and rehearsal marks.

use super::Resolver;
use crate::event::MarkingKind;
use crate::import::raw::RawWords;
use crate::import::words::sentence::{self, Reader};
use crate::import::words::{dynamics, levels};
use crate::instrument::Family;

impl Resolver<'_, '_> {
    /// Modifiers beside a level sign that stands in a direction of its own: "più" and f. Answers
    /// whether there is one.
    pub(super) fn shade(&mut self, words: &RawWords, reader: Reader<'_>) -> bool {
        if !dynamics::shades(&words.text) {
            return false;
        }
        let typed = self.part.markings.get_mut(..self.typed).unwrap_or_default();
        let first = typed.partition_point(|marking| marking.byte < words.byte);
        let here = typed.iter_mut().skip(first).take_while(|marking| marking.pos == words.pos);
        for marking in here.filter(|marking| marking.staff == words.staff) {
            let MarkingKind::Level(level) = marking.kind else { continue };
            let text = format!("{} {}", words.text, level.letters());
            let kind = sentence::understand(&text, reader).pieces.iter().find_map(levels::kind_of);
            let Some(kind) = kind else { return false };
            (marking.kind, marking.words) = (kind, text);
            return true;
        }
        false
    }

    /// Short framed texts are rehearsal marks, and so is a bold capital at the start of a bar; the
    /// bar's own number is none.
    pub(super) fn rehearsal(&mut self, words: &RawWords) -> bool {
        let mark = words.text.trim().trim_matches(['"', '“', '”']);
        let short = mark.chars().count() <= 3 && mark.chars().all(char::is_alphanumeric);
        let bars = &mut self.part.bars;
        let idx = words.pos.bar as usize;
        let behind =
            bars.get(idx).is_some_and(|bar| words.pos.offset > 0 && words.pos.offset >= bar.length);
        let mut letters = mark.chars();
        let first = letters.next();
        let alone = letters.all(|letter| Some(letter) == first);
        let capital = first.is_some_and(|first| {
            // Numbers of players, and crooks of the brass.
            first.is_ascii_uppercase() && !matches!(first, 'I' | 'V' | 'X')
        });
        let starts = words.pos.offset == 0 || behind;
        let brass = self.family == Family::Brass;
        let bold = words.prominent && alone && capital && starts && !brass;
        if mark.is_empty() || !short || !(words.framed || bold) {
            return false;
        }
        if let Some(bar) = bars.get_mut(idx + usize::from(behind))
            && bar.label != mark
        {
            bar.rehearsal.push(mark.to_owned());
        }
        true
    }
}
