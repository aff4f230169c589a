//! The items of a bar map: from tokens to what they ask for. Bars come first, since places name
//! them; everything else is checked against their number.

use super::MAX_BARS;
use super::reader::{Parsed, Reader, joined};
use super::scan::{Item, Kind, Piece, Spot, Token};
use super::tempi::{gradual, tempo};
use crate::meter::{Meter, MeterTerm};
use crate::time::Quarters;

/// A whole map.
#[derive(Default, Debug)]
pub(super) struct Map {
    pub(super) title: String,
    pub(super) parts: Vec<Piece>,
    pub(super) bars: Vec<MapBar>,
    pub(super) marks: Vec<(usize, String)>,
    pub(super) tempi: Vec<MapTempo>,
    pub(super) doubles: Vec<usize>,
    pub(super) repeats: Vec<(usize, usize, u32)>,
    pub(super) endings: Vec<(u32, usize, usize)>,
}

/// A bar.
#[derive(Clone, Debug)]
pub(super) struct MapBar {
    pub(super) meter: Meter,
    pub(super) length: Quarters,
    pub(super) pickup: bool,
}

/// A place: bar index and quarters into it.
pub(super) type At = (usize, Quarters);

/// A tempo mark.
#[derive(Clone, Debug)]
pub(super) struct MapTempo {
    pub(super) at: At,
    pub(super) words: String,
    pub(super) kind: MapTempoKind,
    pub(super) line: usize,
}

/// What a tempo mark asks for.
#[derive(Clone, Debug)]
pub(super) enum MapTempoKind {
    Metronome { unit: Quarters, per_minute: f64, up_to: Option<f64>, about: bool },
    Equation { old: Quarters, new: Quarters },
    Term,
    Gradual { faster: bool, end: Option<At> },
    ATempo,
    Primo,
}

/// Reads all items.
pub(super) fn parse(items: &[Item]) -> Parsed<Map> {
    let mut map = Map::default();
    let mut rest = Vec::new();
    for item in items {
        match &item.head {
            Some((head, pieces)) if head == "title" => {
                map.title = pieces.first().map(|piece| piece.text.clone()).unwrap_or_default();
            }
            Some((_, pieces)) => map.parts.extend(pieces.iter().cloned()),
            None if is_bars(item) => bars(&mut map, &mut Reader::new(item))?,
            None => rest.push(item),
        }
    }
    if map.bars.is_empty() {
        let end = items.last().map_or(Spot { line: 1, column: 1 }, |item| item.end);
        return Err(end.error("bars such as 8 x 4/4", ""));
    }
    for item in rest {
        other(&mut map, &mut Reader::new(item))?;
    }
    Ok(map)
}

fn is_bars(item: &Item) -> bool {
    match item.tokens.as_slice() {
        [first, ..] if first.is_word("pickup") || first.is_word("free") => true,
        [first, second, ..] if first.kind == Kind::Number => {
            is_times(second) || second.is_sign("/") || second.is_sign("+")
        }
        [only] => only.kind == Kind::Number,
        _ => false,
    }
}

fn is_times(token: &Token) -> bool {
    token.is_word("x") || token.is_sign("x")
}

/// `[count x] meter [(groups)]`, `[count x] free length`, `pickup length`.
fn bars(map: &mut Map, reader: &mut Reader<'_>) -> Parsed<()> {
    let start = reader.peek().map_or(reader.end, |token| token.spot);
    if reader.take(|token| token.is_word("pickup")).is_some() {
        if !map.bars.is_empty() {
            return Err(start.error("a pickup only as the first bar", "pickup"));
        }
        let length = plain_length(reader)?;
        let bar = MapBar { meter: Meter::default(), length, pickup: true };
        map.bars.push(bar);
        return reader.done();
    }
    let counted = matches!(reader.tokens, [_, second, ..] if is_times(second));
    let mut count = 1;
    if counted {
        count = reader.number("a number of bars", 1, MAX_BARS as u32)? as usize;
        reader.next();
    }
    let bar = if reader.take(|token| token.is_word("free")).is_some() {
        let length = plain_length(reader)?;
        MapBar { meter: Meter::default(), length, pickup: false }
    } else {
        let meter = meter(reader)?;
        let Some(length) = meter.bar_length() else {
            return reader.fail("a meter such as 4/4");
        };
        MapBar { meter, length, pickup: false }
    };
    reader.done()?;
    if map.bars.len() + count > MAX_BARS {
        return Err(start.error(format!("at most {MAX_BARS} bars in all"), "more"));
    }
    map.bars.extend(std::iter::repeat_n(bar, count));
    Ok(())
}

/// The length of one undivided signature.
fn plain_length(reader: &mut Reader<'_>) -> Parsed<Quarters> {
    let meter = meter(reader)?;
    meter.bar_length().map_or_else(|| reader.fail("a length such as 1/4"), Ok)
}

const MAX_FIGURE: u32 = 128;

/// `4/4`, `3+2/8`, `2/4+3/8`, each possibly with `(groups)`.
fn meter(reader: &mut Reader<'_>) -> Parsed<Meter> {
    let mut terms = Vec::new();
    let mut groups = Vec::new();
    loop {
        groups.push(reader.number("a meter such as 4/4: a figure", 1, MAX_FIGURE)?);
        if reader.take(|token| token.is_sign("/")).is_some() {
            let unit_spot = reader.peek().map_or(reader.end, |token| token.spot);
            let unit = reader.number("a lower figure", 1, MAX_FIGURE)?;
            if !unit.is_power_of_two() {
                let found = unit.to_string();
                return Err(unit_spot.error("a lower figure 1, 2, 4, 8, 16, 32, 64 or 128", &found));
            }
            terms.push(MeterTerm { groups: std::mem::take(&mut groups), unit });
            if reader.take(|token| token.is_sign("+")).is_none() {
                break;
            }
        } else if reader.take(|token| token.is_sign("+")).is_none() {
            return reader.fail("\"/\" or \"+\" in a meter such as 3+2/8");
        }
    }
    let mut meter = Meter { terms, ..Meter::default() };
    let open = reader.peek().map_or(reader.end, |token| token.spot);
    if reader.take(|token| token.is_sign("(")).is_some() {
        let groups = stated_groups(reader)?;
        let sum: u32 = groups.iter().sum();
        let typed: Vec<String> = groups.iter().map(u32::to_string).collect();
        match meter.terms.as_mut_slice() {
            [term] if term.beats() == sum => term.groups = groups,
            [term] => {
                let beats = term.beats();
                return Err(open.error(format!("groups that add up to {beats}"), &typed.join("+")));
            }
            _ => return Err(open.error("no groups after a meter in several terms", "(")),
        }
    }
    Ok(meter)
}

fn stated_groups(reader: &mut Reader<'_>) -> Parsed<Vec<u32>> {
    let mut groups = Vec::new();
    loop {
        groups.push(reader.number("the size of a group", 1, MAX_FIGURE)?);
        if reader.take(|token| token.is_sign(")")).is_some() {
            return Ok(groups);
        }
        if reader.take(|token| token.is_sign("+") || token.is_sign(",")).is_none() {
            return reader.fail("\"+\" or \")\"");
        }
    }
}

/// Everything that names bars.
fn other(map: &mut Map, reader: &mut Reader<'_>) -> Parsed<()> {
    let Some(first) = reader.peek() else { return Ok(()) };
    let second_is = |word: &str| reader.tokens.get(1).is_some_and(|token| token.is_word(word));
    if first.is_word("double") && second_is("after") {
        reader.tokens = &reader.tokens[2..];
        let bar = bar(map, reader)?;
        map.doubles.push(bar);
    } else if first.is_word("repeat") && is_number(reader.tokens.get(1)) {
        reader.next();
        let (from, to) = bar_span(map, reader)?;
        let times = reader.take(is_times).is_some();
        let times = if times { reader.number("how often it is played", 2, 99)? } else { 2 };
        map.repeats.push((from, to, times));
    } else if first.is_word("ending") && is_number(reader.tokens.get(1)) {
        reader.next();
        let number = reader.number("the number of an ending", 1, 99)?;
        let (from, to) = bar_span(map, reader)?;
        map.endings.push((number, from, to));
    } else if let Some(faster) = gradual(first) {
        let line = first.spot.line;
        let words = first.text.clone();
        reader.next();
        reader.word("at")?;
        let at = place(map, reader)?;
        let ends = reader.take(|token| token.is_word("to")).is_some();
        let end = if ends { Some(place(map, reader)?) } else { None };
        let kind = MapTempoKind::Gradual { faster, end };
        map.tempi.push(MapTempo { at, words, kind, line });
    } else if first.is_word("a") && second_is("tempo") {
        reader.tokens = &reader.tokens[2..];
        reader.word("at")?;
        let (at, line) = (place(map, reader)?, first.spot.line);
        let words = String::from("a tempo");
        map.tempi.push(MapTempo { at, words, kind: MapTempoKind::ATempo, line });
    } else if first.is_word("tempo") {
        reader.next();
        tempo(map, reader, first.spot.line)?;
    } else {
        rehearsal(map, reader)?;
    }
    reader.done()
}

pub(super) fn is_number(token: Option<&Token>) -> bool {
    token.is_some_and(|token| token.kind == Kind::Number)
}

/// A text and `at` a bar.
fn rehearsal(map: &mut Map, reader: &mut Reader<'_>) -> Parsed<()> {
    let at = reader.tokens.iter().position(|token| token.is_word("at")).filter(|at| *at > 0);
    let Some(at) = at else {
        return reader.fail(
            "bars (8 x 4/4), a rehearsal mark (C at 9), tempo, rit, accel, double, repeat, ending, \
             title: or parts:",
        );
    };
    let (words, rest) = reader.tokens.split_at(at);
    let mark = joined(words);
    reader.tokens = rest;
    reader.word("at")?;
    let bar = bar(map, reader)?;
    map.marks.push((bar, mark));
    Ok(())
}

/// A bar by its number; answers its index.
fn bar(map: &Map, reader: &mut Reader<'_>) -> Parsed<usize> {
    let has_pickup = map.bars.first().is_some_and(|bar| bar.pickup);
    let n_counted = map.bars.len() - usize::from(has_pickup);
    let first = u32::from(!has_pickup);
    let last = u32::try_from(n_counted).unwrap_or(u32::MAX);
    let number = reader.number("a bar", first, last)? as usize;
    Ok(if has_pickup { number } else { number - 1 })
}

/// `7-8`, or one bar.
fn bar_span(map: &Map, reader: &mut Reader<'_>) -> Parsed<(usize, usize)> {
    let from = bar(map, reader)?;
    if reader.take(|token| token.is_sign("-")).is_none() {
        return Ok((from, from));
    }
    let spot = reader.peek().map_or(reader.end, |token| token.spot);
    let found = reader.peek().map_or("", |token| &token.text);
    let to = bar(map, reader)?;
    if to < from {
        return Err(spot.error("a last bar that does not lie before the first", found));
    }
    Ok((from, to))
}

/// A bar, possibly with a beat of its meter.
pub(super) fn place(map: &Map, reader: &mut Reader<'_>) -> Parsed<At> {
    let bar_idx = bar(map, reader)?;
    if reader.take(|token| token.is_word("beat")).is_none() {
        return Ok((bar_idx, Quarters::ZERO));
    }
    let Some(bar) = map.bars.get(bar_idx) else { return reader.fail("a bar") };
    let unit = i64::from(bar.meter.unit());
    let n_beats = bar.length.scaled(unit, 4).unwrap_or_default();
    let n_beats = (n_beats.numerator() + n_beats.denominator() - 1) / n_beats.denominator();
    let last = u32::try_from(n_beats).unwrap_or(1).max(1);
    let beat = reader.number("a beat", 1, last)?;
    let offset = Quarters::new(i64::from(beat - 1) * 4, unit).unwrap_or_default();
    Ok((bar_idx, offset))
}
