//! How long events last: written values, tuplets beside the music, and lengths for playback where
//! nothing is written.

use super::layer::{Frame, Layer};
use super::reader::Reader;
use super::survey::{dots, times};
use super::{tree, values};
use crate::diag::Code;
use crate::import::xml::{Node, name};
use crate::time::Quarters;

/// The most tuplets beside the music that are open at once.
const MAX_OPEN_SPANS: usize = 64;

impl<'a, 'i: 'a> Reader<'_, 'a, 'i> {
    /// The written length of an event and how long it lasts, in ticks; what it does not state
    /// itself is that of the event before it in the layer (MEI 5 guidelines, chapter 4, "Basic Usage
    /// of Notes in CMN").
    pub(super) fn length(
        &mut self,
        node: Node<'a, 'i>,
        stated: Option<Quarters>,
        frame: Frame,
        layer: &mut Layer,
    ) -> i64 {
        let written = stated.or_else(|| written(node));
        if frame.grace {
            layer.last_length = written.or(layer.last_length);
            return 0;
        }
        if written.is_none()
            && let Some(ticks) = self.performed(node, layer)
        {
            return ticks;
        }
        let Some(length) = written.or(layer.last_length) else {
            let pos = self.at(layer);
            self.log_of(layer.part).add(Code::DurationUnreadable, pos, node.range().start, || {
                format!("<{}> has no duration", name(node))
            });
            return 0;
        };
        layer.last_length = Some(length);
        let share = self.span_share(node, layer);
        let length = times(length, frame.share).and_then(|length| times(length, share));
        let ticks = length.and_then(|length| length.scaled(self.resolution, 1));
        ticks.map_or(0, |ticks| ticks.numerator() / ticks.denominator())
    }

    /// The length that is stated for playback only.
    pub(super) fn performed(&self, node: Node<'a, 'i>, layer: &Layer) -> Option<i64> {
        let ppq = self.staves.get(layer.staff)?.ppq.unwrap_or(1);
        let played = node.attribute("dur.ges").map(str::trim).unwrap_or_default();
        let clicks = node.attribute("dur.ppq").map(str::trim).or_else(|| played.strip_suffix('p'));
        let Some(clicks) = clicks else {
            let length = values::note_value(played)?.scaled(self.resolution, 1)?;
            return Some(length.numerator() / length.denominator());
        };
        let clicks: i64 = clicks.parse().ok().filter(|clicks| *clicks >= 0)?;
        let ticks = i128::from(clicks) * i128::from(self.resolution) / i128::from(ppq);
        i64::try_from(ticks).ok()
    }

    /// What a tuplet beside the music makes of an event.
    pub(super) fn span_share(&mut self, node: Node<'a, 'i>, layer: &Layer) -> Quarters {
        let spans = &self.survey.spans;
        if spans.named.is_empty() && spans.ends.is_empty() {
            return Quarters::ONE;
        }
        let Some(id) = tree::id(node) else { return self.open_share(layer.staff) };
        for (last, share) in spans.ends.get(id).into_iter().flatten() {
            // Tuplets beside the music nest a few times at most.
            if self.open_spans.len() < MAX_OPEN_SPANS {
                self.open_spans.push((layer.staff, last, *share));
            }
        }
        let open = self.open_share(layer.staff);
        self.open_spans.retain(|(_, last, _)| *last != id);
        let named = spans.named.get(id).copied().unwrap_or(Quarters::ONE);
        times(open, named).unwrap_or(open)
    }

    pub(super) fn open_share(&self, staff: usize) -> Quarters {
        let open = self.open_spans.iter().filter(|(on, ..)| *on == staff);
        open.fold(Quarters::ONE, |all, (.., share)| times(all, *share).unwrap_or(all))
    }
}

/// The written length of an event: its value and dots.
pub(super) fn written(node: Node<'_, '_>) -> Option<Quarters> {
    values::dotted(values::note_value(node.attribute("dur")?)?, dots(node))
}
