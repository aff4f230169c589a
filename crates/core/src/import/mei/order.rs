//! The order of play where it is written beside the staves: segno and coda, D.C., D.S., Fine.

use super::control::Anchor;
use super::reader::{Control, Reader};
use super::texts::{push_words, words_of};
use super::tree;
use crate::bar::{Jump, JumpTo, WayOut};
use crate::import::header::one_line;
use crate::import::raw::{Pos, RawBar, RawWords};
use crate::import::words::jumps;

/// A sign at the start of a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BarSign {
    Segno,
    Coda,
}

/// The bar of the first part that carries what holds for all.
pub(super) fn bar_of<'r>(reader: &'r mut Reader<'_, '_, '_>, pos: Pos) -> Option<&'r mut RawBar> {
    reader.parts.first_mut()?.out.bars.get_mut(pos.bar as usize)
}

/// The start that a mark belongs to: of its bar, or of the next if it stands behind everything.
pub(super) fn start_of(reader: &Reader<'_, '_, '_>, pos: Pos) -> Pos {
    let bars = reader.parts.iter().filter_map(|part| part.out.bars.get(pos.bar as usize));
    let length = bars.map(|bar| bar.length).max().unwrap_or(0);
    let behind = pos.offset > 0 && pos.offset >= length;
    Pos { bar: pos.bar + u32::from(behind), offset: 0 }
}

/// Sets a sign at the start of its bar, or of the next if it stands behind all music of its bar.
fn at_start(reader: &mut Reader<'_, '_, '_>, pos: Pos, sign: BarSign, name: String) {
    let pos = start_of(reader, pos);
    if let Some(bar) = bar_of(reader, pos) {
        match sign {
            BarSign::Segno => bar.flow.segno.get_or_insert(name),
            BarSign::Coda => bar.flow.coda.get_or_insert(name),
        };
    }
}

/// What the words of a direction, with the signs drawn beside them, say about the order of play.
/// Answers whether they say anything.
pub(super) fn order_words(
    reader: &mut Reader<'_, '_, '_>,
    pos: Pos,
    text: &str,
    signs: &[BarSign],
    byte: usize,
) -> bool {
    if pos.offset == 0
        && jumps::begins_middle(text)
        && let Some(bar) = bar_of(reader, pos)
    {
        bar.flow.middle = true;
    }
    let has = |sign: BarSign| signs.contains(&sign);
    let said = jumps::read(text, (has(BarSign::Segno), has(BarSign::Coda)));
    let jumps = said.as_ref().and_then(|said| said.flow.jump.as_ref());
    let segno = has(BarSign::Segno) && jumps.is_none_or(|jump| jump.to == JumpTo::Beginning);
    let mut coda = has(BarSign::Coda) && said.is_none();
    let mut coda_name = String::new();
    if let Some(said) = said.clone() {
        if let Some(name) = said.flow.coda {
            (coda, coda_name) = (true, name);
        }
        if let Some(bar) = bar_of(reader, pos) {
            if let Some(jump) = said.flow.jump {
                bar.flow.jump.get_or_insert(jump);
            }
            if let Some(way) = said.flow.to_coda {
                bar.flow.to_coda.get_or_insert(way);
            }
            if let Some(way) = said.flow.fine {
                bar.flow.fine.get_or_insert(way);
            }
            bar.times = bar.times.or(said.times);
            bar.flow_byte = byte;
        }
    }
    if segno {
        at_start(reader, pos, BarSign::Segno, String::new());
    }
    if coda {
        at_start(reader, pos, BarSign::Coda, coda_name);
    }
    said.is_some()
}

/// MEI 5, repeatMark: what its function says, else what its words say.
pub(super) fn repeat_mark<'a, 'i: 'a>(reader: &mut Reader<'_, 'a, 'i>, control: Control<'a, 'i>) {
    let Some(anchor) = reader.anchors(control).into_iter().next() else { return };
    let text = one_line(&tree::words(control.node).text);
    let byte = control.node.range().start;
    let func = control.node.attribute("func");
    let mut said = false;
    match func {
        Some("segno") => return at_start(reader, anchor.pos, BarSign::Segno, String::new()),
        Some("coda") if text.is_empty() => {
            return at_start(reader, anchor.pos, BarSign::Coda, String::new());
        }
        _ => {
            if !text.is_empty() {
                said = order_words(reader, anchor.pos, &text, &[], byte);
            }
        }
    }
    if !said {
        without_words(reader, &anchor, func, byte);
    }
    let words = words_of(&anchor, text, byte);
    push_words(reader, &anchor, RawWords { with_jump: true, ..words });
}

/// What the function of a mark alone says.
fn without_words(
    reader: &mut Reader<'_, '_, '_>,
    anchor: &Anchor,
    func: Option<&str>,
    byte: usize,
) {
    let Some(bar) = bar_of(reader, anchor.pos) else { return };
    let jump = |to: JumpTo| Jump { to, ..Jump::default() };
    match func {
        Some("daCapo") => bar.flow.jump = Some(jump(JumpTo::Beginning)),
        Some("dalSegno") => bar.flow.jump = Some(jump(JumpTo::Segno)),
        Some("fine") => bar.flow.fine = Some(WayOut::default()),
        _ => return,
    }
    bar.flow_byte = byte;
}
