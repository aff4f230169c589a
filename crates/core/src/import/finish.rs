//! From raw scores to the work: movements, the list of parts, and findings with named places.

use super::assemble::{self, Places};
use super::error::ImportError;
use super::header::PartHeader;
use super::log::{Finding, Log};
use super::raw::{RawPart, RawScore};
use super::roster::{self, Roster, Seats};
use super::words::resolve::{self, PartFacts};
use super::xml::Sheet;
use super::{Import, bars, movements};
use crate::bar::{BarIndex, MovementId};
use crate::basis::MovementPlan;
use crate::diag::{Code, Diagnostic, Place};
use crate::instrument::{Family, InstrumentId};
use crate::part::PartKey;
use crate::play_order::play_order;
use crate::score::{Movement, PartMusic, Score, Source, TempoKind};
use crate::time::{Resolution, Ticks};
use std::ops::Range;
use std::sync::Arc;

/// The work as it grows file by file.
#[derive(Default)]
pub(super) struct Work {
    score: Score,
    roster: Roster,
    /// Movements whose parts do not yet have their places in the work's list.
    movements: Vec<(Movement, Vec<(PartKey, PartMusic)>)>,
    diagnostics: Vec<Diagnostic>,
}

impl Work {
    /// How many sources there are.
    pub(super) fn n_sources(&self) -> usize {
        self.score.sources.len()
    }

    /// Gives the sources from `first` on the fingerprint of their file.
    pub(super) fn sign(&mut self, first: usize, fingerprint: u64) {
        for source in self.score.sources.iter_mut().skip(first) {
            source.fingerprint = fingerprint;
        }
    }

    /// How many movements there are.
    pub(super) fn n_movements(&self) -> usize {
        self.movements.len()
    }

    /// Begins a file: what is added from here on comes from it.
    pub(super) fn begin(&mut self, file: &str) {
        self.score.sources.push(Source { name: file.to_owned(), fingerprint: 0 });
    }

    /// Gives the work a title, unless it has one.
    pub(super) fn entitle(&mut self, title: &str) {
        if self.score.title.is_empty() {
            title.clone_into(&mut self.score.title);
        }
    }

    /// Adds the scores of one document of the file that was begun last, each with its findings; a
    /// score may hold several movements.
    ///
    /// # Errors
    /// A movement is too long to be held exactly.
    pub(super) fn add(
        &mut self,
        sheet: &Sheet<'_>,
        scores: Vec<(RawScore, Log)>,
    ) -> Result<(), ImportError> {
        scores.into_iter().try_for_each(|(raw, log)| self.add_score(sheet, raw, log))
    }

    fn add_score(
        &mut self,
        sheet: &Sheet<'_>,
        mut raw: RawScore,
        mut log: Log,
    ) -> Result<(), ImportError> {
        let source = self.score.sources.len().saturating_sub(1);
        if self.score.title.is_empty() {
            self.score.title.clone_from(&raw.title);
        }
        if self.score.composer.is_empty() {
            self.score.composer.clone_from(&raw.composer);
        }
        let seats = resolve_words(&mut raw);
        let ranges = movements::split(&raw, &mut log);
        check_movements(sheet, &raw.parts, &ranges)?;
        let resolution = Resolution::new(raw.resolution).unwrap_or_default();
        let line = |byte: usize| sheet.line(byte);
        let first = self.movements.len();
        let mut tables = Vec::with_capacity(ranges.len());
        let mut doubts = Vec::new();
        for range in &ranges {
            let longest = sheet.limits.movement_quarters;
            let table = bars::table(&raw.parts, range, resolution, longest, line, &mut log);
            let table = table.ok_or_else(|| too_long(sheet, &raw.parts, range))?;
            report_missing_bars(&mut raw.parts, range);
            tables.push(table);
        }
        for (nth, (range, table)) in ranges.iter().zip(tables).enumerate() {
            let bars::Table { bars, own_meters } = table;
            let title = title(&raw, range, nth);
            let places = Places { bars: &bars, range: range.clone() };
            let headers: Vec<(&PartHeader, &Seats)> =
                raw.parts.iter().map(|part| &part.header).zip(&seats).collect();
            let keys = self.roster.add(&headers);
            doubts.extend(self.roster.take_doubts());
            let parts = raw.parts.iter().zip(&seats).zip(keys).zip(own_meters);
            let music: Vec<(PartKey, PartMusic)> = parts
                .map(|(((part, seats), key), own_meters)| {
                    let n_players = seats.players.len();
                    let mut music = assemble::part_music(part, n_players, &places, &line);
                    music.meters = own_meters;
                    self.roster.note_taken(&key, &music.instruments);
                    (key, music)
                })
                .collect();
            let tempi = assemble::tempi(&raw.parts, &places, &line);
            let keys = assemble::keys(&raw.parts, &places);
            let id = MovementId(u32::try_from(self.movements.len() + 1).unwrap_or(u32::MAX));
            let movement = Movement {
                id,
                title,
                source,
                entry: sheet.entry.to_owned(),
                resolution,
                bars,
                tempi,
                keys,
                ..Movement::default()
            };
            report_tempo(&movement, &raw.parts, range, &mut log);
            report_order(&movement, &raw.parts, range, &mut log);
            self.movements.push((movement, music));
        }
        for (idx, doubt) in doubts {
            let Some(part) = raw.parts.get_mut(idx) else { continue };
            part.log.add_general(Code::PartMatchDoubtful, Some(part.header.byte), doubt);
        }
        self.collect(sheet, raw, log, &ranges, first);
        Ok(())
    }

    /// Gives every finding its names.
    fn collect(
        &mut self,
        sheet: &Sheet<'_>,
        raw: RawScore,
        log: Log,
        ranges: &[Range<usize>],
        first: usize,
    ) {
        let mut found: Vec<(Option<(String, String)>, Finding)> =
            log.finish().into_iter().map(|finding| (None, finding)).collect();
        for part in raw.parts {
            let name = (part.header.id, part.header.name);
            let findings = part.log.finish().into_iter();
            found.extend(findings.map(|finding| (Some(name.clone()), finding)));
        }
        found.sort_by_key(|(_, finding)| finding.byte);
        let spots = sheet.lines_columns(found.iter().map(|(_, finding)| finding.byte.unwrap_or(0)));
        let mut found: Vec<_> = found.into_iter().zip(spots).collect();
        found.sort_by_key(|((_, finding), _)| finding.pos);
        for ((part, finding), spot) in found {
            let mut place = self.place(sheet, ranges, first, part, &finding);
            if finding.byte.is_some() {
                (place.line, place.column) = spot;
            }
            let Finding { code, message, hint, more, .. } = finding;
            self.diagnostics.push(Diagnostic { code, place, message, hint, more });
        }
    }

    fn place(
        &self,
        sheet: &Sheet<'_>,
        ranges: &[Range<usize>],
        first: usize,
        part: Option<(String, String)>,
        finding: &Finding,
    ) -> Place {
        let mut place = Place {
            file: sheet.file.to_owned(),
            part,
            entry: sheet.entry.to_owned(),
            ..Place::default()
        };
        let Some(pos) = finding.pos else { return place };
        let nth = ranges.iter().position(|range| range.contains(&(pos.bar as usize)));
        let Some((nth, range)) = nth.and_then(|nth| Some((nth, ranges.get(nth)?))) else {
            return place;
        };
        place.movement = Some(first + nth);
        if let Some((movement, _)) = self.movements.get(first + nth) {
            let bar = BarIndex::from(pos.bar as usize - range.start);
            place.bar = Some((bar, movement.bar_name(bar)));
            let at = movement.resolution.quarters(Ticks(pos.offset));
            place.at = Some(at);
            place.beat = movement.beat(bar, at);
        }
        place
    }

    /// The finished import.
    pub(super) fn finish(self) -> Import {
        let Self { mut score, roster, movements, diagnostics } = self;
        let places: Vec<Vec<_>> = movements
            .iter()
            .map(|(_, music)| music.iter().map(|(key, _)| roster.place(key)).collect())
            .collect();
        score.parts = roster.into_parts();
        for ((mut movement, music), places) in movements.into_iter().zip(places) {
            movement.music = vec![PartMusic::default(); score.parts.len()];
            for ((_, music), place) in music.into_iter().zip(places) {
                if let Some(slot) = place.and_then(|place| movement.music.get_mut(place.idx())) {
                    *slot = music;
                }
            }
            score.movements.push(Arc::new(movement));
        }
        Import { score, diagnostics }
    }
}

/// Who sits in each part, and its texts understood.
fn resolve_words(raw: &mut RawScore) -> Vec<Seats> {
    let mut all = Vec::with_capacity(raw.parts.len());
    let instruments: Vec<Option<InstrumentId>> =
        raw.parts.iter().map(|part| part.header.instrument).collect();
    for part in &mut raw.parts {
        let same = |other: &&Option<InstrumentId>| **other == part.header.instrument;
        let alone = instruments.iter().filter(same).count() < 2;
        let family = part.header.instrument.map_or(Family::Other, |known| known.get().family);
        let mentioned = resolve::players_mentioned(part, family);
        let seats = roster::seats(&part.header, mentioned, alone);
        let facts = PartFacts {
            instrument: part.header.instrument,
            doubles: &seats.doubles,
            players: &seats.players,
        };
        resolve::resolve(part, facts);
        all.push(seats);
    }
    all
}

fn title(raw: &RawScore, range: &Range<usize>, nth: usize) -> String {
    let heading = raw.parts.iter().find_map(|part| part.bars.get(range.start)?.heading.clone());
    match (nth, heading) {
        (0, _) if !raw.movement_title.is_empty() => raw.movement_title.clone(),
        (0, _) => raw.title.clone(),
        (_, heading) => heading.unwrap_or_default(),
    }
}

/// Every movement has a place for every part, whether it plays or not.
fn check_movements(
    sheet: &Sheet<'_>,
    parts: &[RawPart],
    ranges: &[Range<usize>],
) -> Result<(), ImportError> {
    let limits = sheet.limits;
    let most = limits.movements.min(limits.part_movements / parts.len().max(1)).max(1);
    let Some(range) = ranges.get(most) else { return Ok(()) };
    let byte = bars::lead(parts, range.start).map_or(0, |bar| bar.byte);
    let what = format!("the file has too many movements for {} parts", parts.len());
    Err(sheet.too_large(byte, &what, most as u64))
}

fn too_long(sheet: &Sheet<'_>, parts: &[RawPart], range: &Range<usize>) -> ImportError {
    let byte = bars::lead(parts, range.start).map_or(0, |bar| bar.byte);
    let what = "a movement has too many quarters to be held exactly";
    sheet.too_large(byte, what, sheet.limits.movement_quarters.unsigned_abs())
}

fn report_missing_bars(parts: &mut [RawPart], range: &Range<usize>) {
    for part in parts {
        let has = part.bars.len();
        if has < range.end && (has >= range.start || range.start == 0) {
            let missing = range.end - has.max(range.start);
            let byte = part.bars.last().map_or(part.header.byte, |bar| bar.byte);
            let message =
                format!("the part has {missing} bars less than the longest; it is silent there");
            part.log.add_general(Code::BarsMissing, Some(byte), message);
        }
    }
}

/// Repeats and jumps that do not fit together.
fn report_order(movement: &Movement, parts: &[RawPart], range: &Range<usize>, log: &mut Log) {
    let (_, problems) = play_order(movement, &MovementPlan::default());
    for problem in problems {
        let bar = u32::try_from(range.start + problem.bar.idx()).unwrap_or(u32::MAX);
        let pos = Some(super::raw::Pos { bar, offset: 0 });
        let message = problem.to_string();
        // The words or signs in question, else the bar.
        let here = parts.iter().filter_map(|part| part.bars.get(bar as usize));
        let said = here.map(|bar| bar.flow_byte).find(|byte| *byte > 0);
        let byte = said.or_else(|| bars::lead(parts, bar as usize).map(|bar| bar.byte));
        let code = Code::OrderUnclear;
        log.findings.push(Finding { code, pos, byte, message, hint: None, more: 0 });
    }
}

/// A movement should begin with a tempo.
fn report_tempo(movement: &Movement, parts: &[RawPart], range: &Range<usize>, log: &mut Log) {
    let at_start = |kinds: fn(&TempoKind) -> bool| {
        movement.tempi.iter().any(|mark| mark.at == Ticks::ZERO && kinds(&mark.kind))
    };
    if at_start(|kind| matches!(kind, TempoKind::Metronome { .. } | TempoKind::Playback(_))) {
        return;
    }
    let pos = super::raw::Pos { bar: range.start as u32, offset: 0 };
    let words = movement.tempi.iter().find(|mark| mark.at == Ticks::ZERO && !mark.words.is_empty());
    let message = match words {
        Some(mark) => format!("no metronome mark, only \"{}\"", mark.words),
        None => String::from("no tempo is stated at the start of the movement"),
    };
    log.findings.push(Finding {
        code: Code::TempoAssumed,
        pos: Some(pos),
        byte: bars::lead(parts, range.start).map(|bar| bar.byte),
        message,
        hint: Some(String::from("set a tempo by hand")),
        more: 0,
    });
}
