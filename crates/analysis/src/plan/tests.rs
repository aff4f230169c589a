//! Checks of the plan's content on small scores.

use super::*;
use crate::testing::{analyzed, mark, metronome, movement};
use barloom_core::bar::{BarAddress, BarIndex, MovementId};
use barloom_core::event::Level;
use barloom_core::part::PartKey;
use barloom_core::score::{Movement, TempoKind};
use barloom_core::study::{
    BarSeen, Beating, Cue, Edit, Entry, Group, IdMaker, Item, Layer, Mark, MovementRow, OrderKey,
    Sign,
};
use barloom_core::time::Quarters;

/// A study of a movement of 100 bars of 4/4, which is more than any of these scores has.
fn blank() -> Study {
    let bar = BarSeen {
        label: String::new(),
        length: Quarters::whole(4),
        meter: String::from("4/4"),
        exact: 0,
        shape: 0,
        parts: Vec::new(),
    };
    let row = MovementRow {
        id: MovementId(1),
        title: String::new(),
        spans: Vec::new(),
        bars: vec![bar; 100],
    };
    let mut study = Study::default();
    study.movements.push(row);
    study
}

/// A study that holds these items.
fn study(items: Vec<Item>) -> Study {
    let mut study = blank();
    let mut ids = IdMaker::seeded(1);
    for item in items {
        put(&mut study, &mut ids, item);
    }
    study
}

fn put(study: &mut Study, ids: &mut IdMaker, item: Item) -> barloom_core::study::EntryId {
    let id = ids.next_id();
    let order = OrderKey::between(None, None);
    let entry = Entry { id, author: String::new(), changed: 0, order, item };
    study.apply(Edit::Put(entry)).unwrap();
    id
}

fn plan_of(movement: Movement, study: &Study) -> StudyPlan {
    let (basis, tracks) = analyzed(movement);
    build(&basis, &tracks, study, &[], &PlanOptions::default())
}

fn at(bar: u32, offset: &str) -> BarAddress {
    let offset = offset.parse().unwrap();
    BarAddress { movement: MovementId(1), bar: BarIndex(bar), offset }
}

fn group(from: u32, to: u32, level: u8) -> Item {
    let (from, to) = (BarIndex(from), BarIndex(to));
    let name = String::new();
    let movement = MovementId(1);
    Item::Group(Group { movement, from, to, level, name, elision: false, extension: 0 })
}

/// Bars of silence after a first note, for bars without much in them.
fn bars(n: usize) -> String {
    format!("4/4 c4:4{}", " | r:4".repeat(n - 1))
}

/// The way bar groups are written: two phrases of 8 bars, the sum checked against the bars
/// (common practice in bar-group analysis).
#[test]
fn groups_are_summed_and_checked() {
    let level_1 = [(0, 3), (4, 7), (8, 10), (11, 13), (14, 15)];
    let mut items: Vec<Item> = level_1.iter().map(|(from, to)| group(*from, *to, 1)).collect();
    items.extend([group(0, 7, 2), group(8, 15, 2), group(0, 15, 3)]);
    let plan = plan_of(movement(&[&bars(16)]), &study(items.clone()));
    let groups = &plan.movements[0].groups;
    let sum_of = |level| -> Vec<&str> {
        groups.iter().filter(|group| group.level == level).map(|group| &*group.sum).collect()
    };
    assert_eq!(sum_of(3), ["(4+4)+(3+3+2)"]);
    assert_eq!(sum_of(2), ["4+4", "3+3+2"]);
    assert_eq!(sum_of(1), [""; 5]);
    let sums = |plan: &StudyPlan| plan.looks.iter().filter(|look| look.what.contains('≠')).count();
    assert_eq!(sums(&plan), 0);

    // One group taken out: the sum says so, and the place is listed.
    items.remove(1);
    let plan = plan_of(movement(&[&bars(16)]), &study(items));
    assert_eq!(plan.movements[0].groups[0].sum, "(4)+(3+3+2) ≠ 16");
    assert_eq!(sums(&plan), 1, "{:?}", plan.looks);
}

#[test]
fn a_shared_bar_is_taken_off_again_and_an_extension_is_shown() {
    let mut first = group(0, 7, 1);
    if let Item::Group(group) = &mut first {
        group.elision = true;
    }
    let mut second = group(7, 12, 1);
    if let Item::Group(group) = &mut second {
        group.extension = 2;
    }
    let plan = plan_of(movement(&[&bars(13)]), &study(vec![first, second, group(0, 12, 2)]));
    let groups = &plan.movements[0].groups;
    assert_eq!(groups[0].sum, "8−1+6");
    assert_eq!(groups[2].text, "6 = 4+2");
}

#[test]
fn a_choice_stands_before_the_proposal() {
    let choice = Item::Beating(Beating {
        movement: MovementId(1),
        bar: BarIndex(1),
        pattern: "4/2".parse().unwrap(),
        nth: 0,
    });
    let mut score = movement(&["4/4 c4:4 | c4:4 | c4:4"]);
    mark(&mut score, 0, "0", metronome("1", 84.0), "Andante");
    let plan = plan_of(score, &study(vec![choice]));
    let bars = &plan.movements[0].bars;
    let beating = |bar: usize| bars[bar].beating.as_ref().unwrap();
    assert!(!beating(0).chosen && beating(1).chosen && !beating(2).chosen);
    assert_eq!((beating(0).text.as_str(), beating(1).text.as_str()), ("4", "4 div."));
    assert_eq!(beating(1).strokes.len(), 8);
    let rows: Vec<_> =
        plan.movements[0].beatings.iter().map(|row| (row.chosen, row.n_bars)).collect();
    assert_eq!(rows, [(false, 1), (true, 1), (false, 1)]);
    assert_eq!(plan.movements[0].beatings[1].words, "in 4, each beat divided in 2");
    // 84 quarters a minute in eighths.
    let (unit, rate) = plan.movements[0].beatings[1].rate.unwrap();
    assert_eq!((unit.to_string().as_str(), rate.round()), ("1/2", 168.0));
}

/// A beat on which nothing sounds is shown without asking for sound; one that an off-beat entry
/// answers is given.
#[test]
fn strokes_into_silence_are_passed() {
    let plan = plan_of(movement(&["4/4 c4:1 r:1 r:1/2 c4:1/2 r:1"]), &Study::default());
    let beating = plan.movements[0].bars[0].beating.clone().unwrap();
    let signs: Vec<StrokeSign> = beating.strokes.iter().map(|(_, sign)| *sign).collect();
    use StrokeSign::{Given, Passed};
    assert_eq!(signs, [Given, Passed, Given, Passed]);
}

#[test]
fn cues_for_one_beat_stand_together_and_dropped_ones_are_gone() {
    let silence = "4/4 | r:4 | r:4 | r:4 | r:4 | r:4 | r:4 | r:4 | c4:4";
    let parts = [
        format!("flute: {}", silence.replacen("4/4", "4/4 c4:4", 1)),
        format!("trumpet: {}", silence.replacen("4/4", "4/4 r:4", 1)),
        format!("trumpet: {}", silence.replacen("4/4", "4/4 r:4", 1)),
        format!("timpani: {}", silence.replacen("4/4", "4/4 r:4", 1)),
    ];
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    let cue = |part: &str, wanted| {
        Item::Cue(Cue {
            at: at(8, "0"),
            part: PartKey(part.to_owned()),
            wanted,
            who: String::new(),
            how: String::from("left hand"),
        })
    };
    let study = study(vec![cue("part-2", true), cue("part-3", true), cue("part-4", false)]);
    let plan = plan_of(movement(&parts), &study);
    let wanted: Vec<&CuePlace> =
        plan.cue_places.iter().filter(|cue| cue.state == CueState::Wanted).collect();
    assert_eq!(wanted.len(), 1);
    assert_eq!((wanted[0].place.as_str(), wanted[0].beat.as_str()), ("9", "1"));
    assert_eq!(wanted[0].parts, "Trumpet 2.3");
    assert!(plan.cues.iter().all(|cue| cue.part != "Timpani 4"), "a dropped cue is listed");
    let entry = plan.movements[0].entries.iter().find(|entry| entry.at.bar == 8).unwrap();
    assert_eq!(entry.cue, CueState::Wanted);
}

#[test]
fn a_cue_for_a_silent_part_is_a_place_to_look_at() {
    let cue = Item::Cue(Cue {
        at: at(2, "0"),
        part: PartKey(String::from("part-1")),
        wanted: true,
        who: String::new(),
        how: String::new(),
    });
    let plan = plan_of(movement(&[&bars(4)]), &study(vec![cue]));
    assert_eq!(plan.cue_places.len(), 1);
    let look = plan.looks.iter().find(|look| look.what.contains("cue")).unwrap();
    assert_eq!(look.place, "3");
}

#[test]
fn hidden_layers_are_left_out_unless_asked_for() {
    let mut study = blank();
    let mut ids = IdMaker::seeded(3);
    let layer =
        |shown, name: &str| Item::Layer(Layer { name: name.to_owned(), shown, locked: false });
    for (shown, name) in [(true, "hands"), (false, "questions")] {
        let id = put(&mut study, &mut ids, layer(shown, name));
        let mark = Mark {
            layer: id,
            from: at(1, "2"),
            to: Some(BarIndex(99)),
            parts: vec![PartKey(String::from("part-1"))],
            sign: Sign::Watch,
            text: name.to_owned(),
        };
        put(&mut study, &mut ids, Item::Mark(mark));
    }
    let (basis, tracks) = analyzed(movement(&[&bars(4)]));
    let plan = build(&basis, &tracks, &study, &[], &PlanOptions::default());
    assert_eq!(plan.layers.len(), 1);
    assert_eq!(plan.layers[0].name, "hands");
    let mark = &plan.movements[0].marks[0];
    assert_eq!(mark.from, Spot { bar: 1, share: 0.5 });
    // A span past the end stops there.
    assert_eq!(mark.to, Some(3));
    let all = PlanOptions { with_hidden_layers: true, ..PlanOptions::default() };
    assert_eq!(build(&basis, &tracks, &study, &[], &all).layers.len(), 2);
}

#[test]
fn rows_show_what_sounds_how_and_at_which_level() {
    let plan = plan_of(
        movement(&[
            "violin: 4/4 !p c4:2 r:2 | !+mute=sord. !f c4:4 | !+plucked=pizz. c4:4",
            "violin: 4/4 r:4 | r:4 | !pp c5:4",
            "timpani: 4/4 r:4 | r:4 | r:4",
        ]),
        &Study::default(),
    );
    let movement = &plan.movements[0];
    assert_eq!(movement.rows.len(), 3);
    let sound = |row: usize, bar: usize| movement.rows[row].sounds[bar];
    let first = sound(0, 0).unwrap();
    assert_eq!((first.from, first.to, first.level), (0.0, 0.5, Some(Level::P)));
    assert!(!first.muted);
    assert!(sound(1, 0).is_none() && sound(2, 2).is_none());
    // The two violins share one row: it is as loud as the louder.
    assert_eq!(movement.section_rows.len(), 2);
    assert_eq!(movement.section_rows[0].name, "Violins");
    assert_eq!(movement.section_rows[0].sounds[2].unwrap().level, sound(0, 2).unwrap().level);
}

#[test]
fn tempo_marks_say_where_they_come_from() {
    let mut score = movement(&["6/8 c4:3 | c4:3 | c4:3"]);
    mark(&mut score, 0, "0", TempoKind::Term, "Andante");
    mark(&mut score, 2, "0", metronome("3/2", 52.0), "");
    let plan = plan_of(score, &Study::default());
    let tempi = &plan.movements[0].tempi;
    assert_eq!((tempi[0].words.as_str(), tempi[0].origin), ("Andante", "term"));
    // In 6/8 the dotted quarter is counted.
    assert_eq!(tempi[0].metronome.as_ref().unwrap().0.to_string(), "3/2");
    assert_eq!(tempi[1].metronome.as_ref().unwrap().1, "52");
    assert_eq!((tempi[1].origin, tempi[1].at.bar), ("", 2));
}

#[test]
fn nothing_gives_an_empty_plan() {
    let plan = build(
        &Basis::default(),
        &Tracks::default(),
        &Study::default(),
        &[],
        &PlanOptions::default(),
    );
    assert_eq!(plan.title, "Untitled");
    assert!(plan.movements.is_empty() && plan.cues.is_empty() && plan.forces.is_empty());
    let (basis, tracks) = analyzed(Movement::default());
    let plan = build(&basis, &tracks, &Study::default(), &[], &PlanOptions::default());
    assert_eq!(plan.movements.len(), 1);
    assert!(plan.movements[0].bars.is_empty());
}

/// Orchestra libraries count flutes, oboes, clarinets, bassoons, then horns, trumpets, trombones,
/// tubas (common practice).
#[test]
fn the_forces_are_counted_as_orchestra_libraries_do() {
    let lines = [
        "flute: c4",
        "flute: c4",
        "piccolo: c4",
        "oboe: c4",
        "clarinet: c4",
        "bassoon: c4",
        "horn: c4",
        "horn: c4",
        "trumpet: c4",
        "trombone: c4",
        "timpani: c4",
        "harp: c4",
        "violin: c4",
        "cello: c4",
    ];
    let plan = plan_of(movement(&lines), &Study::default());
    assert!(plan.forces.starts_with("3(3.=picc.) 1 1 1 – 2 1 1 0 – timpani"), "{}", plan.forces);
    assert!(plan.forces.ends_with("– harp – strings"), "{}", plan.forces);
}

/// At most about one cue a beat can be given, in one direction (common practice): violins at the left and
/// cellos at the right that enter at once after a long rest, off the beat, clash.
#[test]
fn cues_on_different_sides_at_once_are_told_with_who_is_first() {
    let rest = ["r:4"; 8].join(" | ");
    let parts = [
        format!("flute: 4/4 {} | c5:4", ["c5:4"; 8].join(" | ")),
        format!("violin: 4/4 {rest} | r:1/2 c5:7/2"),
        format!("cello: 4/4 {rest} | r:1/2 c3:7/2"),
    ];
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    let (basis, tracks) = crate::testing::analyzed(crate::testing::movement(&parts));
    let mut study = Study::default();
    let found = clashes_of(&basis, &tracks, &study, 0);
    let words = "Cello 3 together with Violin 2, on different sides: the greater need first";
    assert_eq!(found, [(BarIndex(8), words.to_owned())]);
    // Side by side they do not clash.
    let part = basis.score.parts[2].key.clone();
    let seat = barloom_core::study::Seat {
        part,
        side: barloom_core::study::Side::Left,
        depth: barloom_core::study::Depth::Front,
    };
    let mut ids = barloom_core::study::IdMaker::seeded(1);
    let entry = study.new_entry(barloom_core::study::Item::Seat(seat), &mut ids, 0);
    study.apply(barloom_core::study::Edit::Put(entry)).unwrap();
    assert_eq!(clashes_of(&basis, &tracks, &study, 0), []);
}
