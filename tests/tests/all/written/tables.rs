//! The tables of a movement as lines of text, so that two movements can be compared whatever their
//! ticks: everything but lines in files, numbers of voices that only name them, and where brackets
//! of endings that have no number close.

use barloom_analysis::settings::Settings;
use barloom_analysis::tempo::TempoTrack;
use barloom_analysis::tempo::swing::SwingChange;
use barloom_core::basis::MovementPlan;
use barloom_core::event::{Marking, MarkingKind, Note};
use barloom_core::score::{Movement, PartMusic, TempoKind, TempoMark, Transposed};
use barloom_core::time::Ticks;

/// What the second movement has otherwise than the first, a line for each table.
pub(crate) fn differences(a: &Movement, b: &Movement) -> Vec<String> {
    let mut found = Vec::new();
    let mut compare = |name: &str, a: Vec<String>, b: Vec<String>| {
        let first = a.iter().zip(&b).find(|(a, b)| a != b);
        if let Some((a, b)) = first {
            found.push(format!("{name}: {a} became {b}"));
        } else if a.len() != b.len() {
            let more = a.iter().chain(&b).nth(a.len().min(b.len()));
            found.push(format!("{name}: {} lines became {}: {more:?}", a.len(), b.len()));
        }
    };
    compare("bars", bars(a), bars(b));
    compare("tempi", tempi(a), tempi(b));
    let swings = |movement: &Movement| {
        let track = TempoTrack::of(movement, &MovementPlan::default(), &Settings::default());
        vec![swing(movement, &track, (Ticks::ZERO, movement.bars.end()))]
    };
    compare("swing", swings(a), swings(b));
    let (parts_a, parts_b) = (present(a), present(b));
    if parts_a.len() != parts_b.len() {
        return vec![format!("{} parts became {}", parts_a.len(), parts_b.len())];
    }
    for (music_a, music_b) in parts_a.iter().zip(parts_b) {
        let name = &music_a.source_name;
        compare(&format!("{name}: notes"), notes(a, music_a), notes(b, music_b));
        compare(&format!("{name}: markings"), markings(a, music_a), markings(b, music_b));
        compare(&format!("{name}: states"), states(a, music_a), states(b, music_b));
    }
    found
}

fn present(movement: &Movement) -> Vec<&PartMusic> {
    movement.music.iter().filter(|music| music.present).collect()
}

fn quarters(movement: &Movement, at: Ticks) -> String {
    movement.resolution.quarters(at).to_string()
}

fn bars(movement: &Movement) -> Vec<String> {
    let line = |bar: &barloom_core::bar::Bar| {
        let mut flow = bar.flow.clone();
        flow.ending_stops &= !flow.endings.is_empty();
        // Signs without a name are called by what they are for playback.
        let called = [(&mut flow.segno, "segno"), (&mut flow.coda, "coda")];
        for (name, plain) in called {
            *name = name.take().map(|name| if name == plain { String::new() } else { name });
        }
        if let Some(jump) = flow.jump.as_mut().filter(|jump| jump.segno == "segno") {
            jump.segno.clear();
        }
        if let Some(way) = flow.to_coda.as_mut().filter(|way| way.name == "coda") {
            way.name.clear();
        }
        format!(
            "{:?} {} of {}, {} {:?} {:?}{}{}{:?} {:?} {flow:?}",
            bar.label,
            quarters(movement, bar.length),
            quarters(movement, bar.nominal),
            bar.meter,
            bar.meter.sign,
            bar.other_meter,
            if bar.pickup { " pickup " } else { " " },
            if bar.continues { " continues " } else { " " },
            bar.rehearsal,
            bar.barline,
        )
    };
    movement.bars.iter().map(|(_, bar)| line(bar)).collect()
}

fn tempi(movement: &Movement) -> Vec<String> {
    let line = |mark: &TempoMark| {
        let kind = match &mark.kind {
            TempoKind::Gradual { faster, end } => {
                let end = end.map(|end| quarters(movement, end));
                format!("gradual, faster {faster}, to {end:?}")
            }
            kind => format!("{kind:?}"),
        };
        format!("{} in {}: {kind} {:?}", quarters(movement, mark.at), mark.bar.0, mark.words)
    };
    movement.tempi.iter().map(line).collect()
}

/// Where pairs of notes swing between two places, and how: what holds at the first, and each change
/// behind it.
pub(super) fn swing(movement: &Movement, tempo: &TempoTrack, (from, to): (Ticks, Ticks)) -> String {
    let holds = |change: &SwingChange| match change.on {
        true => format!("{:?} of {}", change.ratio, change.unit),
        false => String::from("even"),
    };
    let before = tempo.swing.iter().rfind(|change| change.at <= from);
    let mut found = before.map_or(String::from("even"), holds);
    for change in tempo.swing.iter().filter(|change| from < change.at && change.at < to) {
        let at = quarters(movement, Ticks(change.at.0 - from.0));
        found.push_str(&format!("; {at}: {} {:?}", holds(change), change.words));
    }
    found
}

fn notes(movement: &Movement, music: &PartMusic) -> Vec<String> {
    let line = |note: &Note| {
        format!(
            "{} lasts {} in {}: {:?} {:?} staff {} voice {} {:?} {:?} {:?} {:?} tremolo {} struck {}",
            quarters(movement, note.onset),
            quarters(movement, note.length),
            note.bar.0,
            note.written,
            note.sounding,
            note.staff,
            note.voice,
            note.players,
            note.traits,
            note.manner,
            note.tuplet,
            note.tremolo,
            note.struck
        )
    };
    let rests = music.rests.iter().map(|rest| {
        format!(
            "{} rests {} in {}: staff {} voice {} fermata {} {} {:?}",
            quarters(movement, rest.onset),
            quarters(movement, rest.length),
            rest.bar.0,
            rest.staff,
            rest.voice,
            rest.fermata,
            rest.whole_bar,
            rest.tuplet
        )
    });
    music.notes.iter().map(line).chain(rests).collect()
}

/// In order of place and text: at one place, what hangs on notes may come before or behind words.
fn markings(movement: &Movement, music: &PartMusic) -> Vec<String> {
    let line = |marking: &Marking| {
        let kind = match &marking.kind {
            MarkingKind::Hairpin { louder, end, niente } => {
                let end = quarters(movement, *end);
                format!("hairpin, louder {louder}, to {end}, niente {niente}")
            }
            kind => format!("{kind:?}"),
        };
        format!(
            "{} in {}: {kind} staff {:?} voice {:?} {:?} {:?}",
            quarters(movement, marking.at),
            marking.bar.0,
            marking.staff,
            marking.voice,
            marking.players,
            marking.words
        )
    };
    let mut lines: Vec<(Ticks, String)> =
        music.markings.iter().map(|marking| (marking.at, line(marking))).collect();
    lines.sort();
    lines.into_iter().map(|(_, line)| line).collect()
}

fn states(movement: &Movement, music: &PartMusic) -> Vec<String> {
    let at = |at: Ticks| quarters(movement, at);
    let instruments = music.instruments.iter();
    let instruments = instruments
        .map(|taken| format!("{} {} {:?}", at(taken.at), taken.instrument, taken.players));
    let transposed =
        |mark: &Transposed| format!("{} {:?} {:?}", at(mark.at), mark.staff, mark.transposition);
    let transpositions = music.transpositions.iter().map(transposed);
    let transpositions = transpositions.chain(music.part_transpositions.iter().map(transposed));
    let struck =
        music.struck.iter().map(|struck| format!("{} {:?}", struck.name, struck.instrument));
    let instruments = instruments.chain(struck);
    let clefs = music.clefs.iter().map(|clef| {
        format!("{} {} {} {} {}", at(clef.at), clef.staff, clef.sign, clef.line, clef.octaves)
    });
    let keys = music.keys.iter();
    let keys = keys.map(|key| format!("{} {:?} {:?}", at(key.at), key.staff, key.signature));
    let repeated = music.repeated_bars.iter().map(|repeat| format!("{repeat:?}"));
    let own = music.meters.iter().map(|own| format!("{own:?}"));
    let rests = music.multiple_rests.iter().map(|rest| format!("rest {rest:?}"));
    let repeated = repeated.chain(own).chain(rests);
    let staves = [format!("{} staves", music.staves)];
    let all = instruments.chain(transpositions).chain(clefs).chain(keys).chain(repeated);
    all.chain(staves).collect()
}
