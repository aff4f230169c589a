//! What the conductor wrote, in the written score: marks of the layers that are shown, cues, groups
//! and beatings of the example's study as directions over the right bars of the right parts.

use barloom_core::bar::BarIndex;
use barloom_core::import::Watch;
use barloom_core::study::{Edit, IdMaker, Item, Study};
use barloom_core::work::{self, Replacements, Work};
use barloom_export::musicxml::{self, Excerpt};

use super::all_parts;
use crate::outside;

fn open() -> Work {
    let path = outside::root().join("examples/tide-mill/the-tide-mill.barloom");
    let mut ids = IdMaker::seeded(1);
    work::open(&[path], &Replacements::new(), &mut ids, 0, &Watch::default()).unwrap()
}

/// Bars of a movement with marks, by their places from 0.
fn written(work: &Work, study: &Study, movement: usize, from: usize, to: usize) -> String {
    let (from, to) = (BarIndex::from(from), BarIndex::from(to));
    let parts = all_parts(&work.basis.score);
    let excerpt = Excerpt { movement, from, to, parts };
    let bytes = musicxml::excerpt(&work.basis, &excerpt, Some(study), false).unwrap();
    String::from_utf8(bytes).unwrap()
}

/// The conductor's words, which alone are in italics: bar, part and text, sorted.
fn said(document: &str) -> Vec<String> {
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let tree = roxmltree::Document::parse_with_options(document, options).unwrap();
    let names: Vec<(&str, &str)> = tree
        .descendants()
        .filter(|node| node.has_tag_name("score-part"))
        .map(|part| {
            let name = part.children().find(|child| child.has_tag_name("part-name")).unwrap();
            (part.attribute("id").unwrap(), name.text().unwrap())
        })
        .collect();
    let italic = |node: &roxmltree::Node<'_, '_>| {
        node.has_tag_name("words") && node.attribute("font-style") == Some("italic")
    };
    let line = |words: roxmltree::Node<'_, '_>| {
        let up = |name: &str| words.ancestors().find(|node| node.has_tag_name(name)).unwrap();
        let id = up("part").attribute("id").unwrap();
        let part = names.iter().find(|(known, _)| *known == id).unwrap().1;
        format!("{} {part}: {}", up("measure").attribute("number").unwrap(), words.text().unwrap())
    };
    let mut found: Vec<String> = tree.descendants().filter(italic).map(line).collect();
    found.sort();
    found
}

/// The study with one layer hidden.
fn hidden(study: &Study, name: &str) -> Study {
    let mut study = study.clone();
    let found = study.layers().into_iter().find(|(_, layer)| layer.name == name);
    let mut entry = found.unwrap().0.clone();
    let Item::Layer(layer) = &mut entry.item else { panic!("no layer") };
    layer.shown = false;
    study.apply(Edit::Put(entry)).unwrap();
    study
}

/// All movements of the example's study with its marks.
pub(super) fn documents() -> Vec<(String, String)> {
    let work = open();
    let movements = work.basis.score.movements.iter().enumerate();
    movements
        .flat_map(|(idx, movement)| {
            let last = movement.bars.len() - 1;
            let span = |name: &str, from, to| {
                let text = written(&work, &work.study, idx, from, to);
                (format!("marks-{idx}-{name}.musicxml"), text)
            };
            [span("whole", 0, last), span("span", last / 3, 2 * last / 3)]
        })
        .collect()
}

/// Bars 46 to 55 of the third movement: what the study says there, as its file can be read.
#[test]
fn marks_cues_groups_and_beatings_are_directions() {
    let work = open();
    let first = "Flutes 1.2";
    let cue = "cue: eyes a bar before, left hand";
    let mut wanted = vec![
        // A group and a pattern that began before.
        format!("46 {first}: [lock opens"),
        format!("46 {first}: in 3"),
        format!("47 {first}: in 2"),
        format!("48 {first}: keep 1 low, 2 large"),
        format!("48 {first}: darker than bar 43"),
        format!("48 {first}: which mallets? ask"),
        format!("48 Bassoon 3 (Contrabassoon): {cue}"),
        format!("48 Percussion 1: Xylophone: {cue}"),
        format!("49 {first}: [flood"),
        format!("49 {first}: in 2+2+3"),
        format!("50 Clarinet 1 in B\u{266d}: {cue}"),
        format!("52 {first}: move on: grow through the threes"),
        format!("52 {first}: {cue}"),
        format!("52 Flute 3 (Piccolo): {cue}"),
        format!("52 {first}: in 3"),
        format!("54 {first}: in 3 div."),
        format!("55 {first}: in 2"),
        format!("55 {first}: watch: trumpets: mutes out in time?"),
    ];
    for part in ["Horns 1.2 in F", "Trumpet 3 in B\u{266d}", "Trombone 3 (bass)", "Double basses"] {
        wanted.push(format!("55 {part}: {cue}"));
    }
    wanted.sort();
    assert_eq!(said(&written(&work, &work.study, 2, 45, 54)), wanted);
    let none = musicxml::movement(
        &work.basis.score,
        &work.basis.score.movements[2],
        &all_parts(&work.basis.score),
    );
    assert_eq!(said(&none), Vec::<String>::new(), "without the study nothing is in italics");
}

#[test]
fn hidden_layers_are_not_written() {
    let work = open();
    let all = said(&written(&work, &work.study, 2, 45, 54));
    let layers = [
        ("Questions", vec!["which mallets? ask"]),
        ("Sound", vec!["darker than bar 43", "watch: trumpets: mutes out in time?"]),
    ];
    for (layer, gone) in layers {
        let left = said(&written(&work, &hidden(&work.study, layer), 2, 45, 54));
        let of_layer = |line: &&String| gone.iter().any(|text| line.ends_with(text));
        let wanted: Vec<&String> = all.iter().filter(|line| !of_layer(line)).collect();
        assert_eq!(left.iter().collect::<Vec<_>>(), wanted, "{layer}");
        assert_eq!(left.len() + gone.len(), all.len(), "{layer}");
    }
}

/// A cue stands where the entrance is, not at the start of its bar: the clarinet's of bar 50 a
/// quarter in.
#[test]
fn a_cue_stands_at_its_beat() {
    let work = open();
    let text = written(&work, &work.study, 2, 49, 49);
    let again = super::read(text);
    let movement = &again.score.movements[0];
    let at = again.score.movements[0].music.iter().flat_map(|music| &music.markings);
    let cue = at.filter(|marking| marking.words.contains("eyes a bar before")).collect::<Vec<_>>();
    assert!(!cue.is_empty());
    for marking in cue {
        assert_eq!(movement.resolution.quarters(marking.at).to_string(), "1");
    }
}
