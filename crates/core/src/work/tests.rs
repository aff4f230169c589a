//! Tests of opening and of finding places again, with files on disk.

use super::*;
use crate::arrange::{join_edit, reorder_edit, split_edit};
use crate::bar::{BarAddress, BarIndex, MovementId};
use crate::diag::Code;
use crate::import::Watch;
use crate::journal::{self, Base, Header, Journal};
use crate::part::PartKey;
use crate::store::{self, Expect};
use crate::study::{Beating, Correction, Cue, Edit, EntryId, IdMaker, Item, Mark, Sign};
use crate::time::Quarters;
use std::time::Instant;

/// A score of one part: a bar of 3/4 for each figure, which is the octave-less height of its three
/// notes; 0 is a bar of rest. Bars are numbered from 1.
fn music(name: &str, bars: &[u8]) -> String {
    let mut text = format!(
        "<score-partwise version=\"4.0\"><movement-title>{name}</movement-title><part-list>\
         <score-part id=\"P1\"><part-name>Flute</part-name></score-part></part-list><part id=\"P1\">"
    );
    for (idx, height) in bars.iter().enumerate() {
        text.push_str(&format!("<measure number=\"{}\">", idx + 1));
        if idx == 0 {
            text.push_str(
                "<attributes><divisions>1</divisions><time><beats>3</beats>\
                 <beat-type>4</beat-type></time></attributes>",
            );
        }
        let note = |sound: &str, quarters: u8| {
            format!("<note>{sound}<duration>{quarters}</duration></note>")
        };
        match height {
            0 => text.push_str(&note("<rest/>", 3)),
            height => {
                let (step, octave) = (char::from(b'A' + height % 7), 4 + height / 7);
                for step in [step, 'C', 'G'] {
                    let pitch =
                        format!("<pitch><step>{step}</step><octave>{octave}</octave></pitch>");
                    text.push_str(&note(&pitch, 1));
                }
            }
        }
        text.push_str("</measure>");
    }
    text + "</part></score-partwise>"
}

struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().canonicalize().unwrap().join(name)
    }

    fn write(&self, name: &str, bars: &[u8]) -> PathBuf {
        let path = self.path(name);
        store::replace(&path, music(name, bars).as_bytes()).unwrap();
        path
    }

    /// A saved study of one score with these bars and items.
    fn study(&self, bars: &[u8], items: &[Item]) -> PathBuf {
        let score = self.write("suite.musicxml", bars);
        let mut work = opened(&[score]).unwrap();
        put(&mut work, items);
        save(&mut work, &self.path("suite.barloom"))
    }
}

fn opened(paths: &[PathBuf]) -> Result<Work, OpenError> {
    let mut ids = IdMaker::seeded(1);
    open(paths, &Replacements::new(), &mut ids, 0, &Watch::default())
}

fn reopened(path: &Path) -> Result<Work, OpenError> {
    opened(&[path.to_path_buf()])
}

fn put(work: &mut Work, items: &[Item]) {
    let mut ids = IdMaker::seeded(20);
    for item in items {
        let entry = work.study.new_entry(item.clone(), &mut ids, 0);
        work.study.apply(Edit::Put(entry)).unwrap();
    }
    work.rebuild_basis();
}

fn save(work: &mut Work, path: &Path) -> PathBuf {
    let study = work.study_for(path.parent().unwrap());
    let text = crate::sidecar::write(&study);
    let seen = store::save_study(path, &text, Expect::Nothing).unwrap();
    work.note_saved(path.to_path_buf(), seen, study.version);
    path.to_path_buf()
}

fn at(bar: u32, offset: i32) -> BarAddress {
    let offset = Quarters::whole(offset);
    BarAddress { movement: MovementId(1), bar: BarIndex(bar), offset }
}

fn cue(bar: u32, offset: i32) -> Item {
    let (part, who, how) = (PartKey("flute".into()), String::new(), String::new());
    Item::Cue(Cue { at: at(bar, offset), part, wanted: true, who, how })
}

fn beating(bar: u32, beats: u8) -> Item {
    let pattern = crate::pattern::Pattern::Beats(beats);
    Item::Beating(Beating { movement: MovementId(1), bar: BarIndex(bar), pattern, nth: 0 })
}

fn codes(work: &Work) -> Vec<Code> {
    let ours = |code: &Code| {
        matches!(
            code,
            Code::SourceChanged
                | Code::MovementGone
                | Code::MovementUnused
                | Code::BarChanged
                | Code::BarDoubtful
                | Code::BarGone
                | Code::PlaceMoved
                | Code::PartGone
                | Code::PartRenamed
                | Code::DecisionDisplaced
                | Code::CorrectionUnplaced
        )
    };
    work.all_diagnostics().iter().map(|diagnostic| diagnostic.code).filter(ours).collect()
}

#[test]
fn a_saved_study_opens_as_it_was() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3, 4], &[cue(2, 1), beating(3, 1)]);
    let work = reopened(&path).unwrap();
    assert!(!work.fitted);
    assert_eq!(codes(&work), []);
    assert_eq!(work.study.entries().count(), 3 + 2);
    assert_eq!(work.study.title, "suite");
    assert_eq!(work.saved.as_ref().unwrap().0, path);
    assert_eq!(work.basis.score.movements[0].bars.len(), 4);
    assert!(Arc::ptr_eq(&work.basis.score.movements[0], &work.read.movements[0]));
}

#[test]
fn marks_follow_their_bars_into_a_changed_score() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3, 4], &[cue(2, 1), beating(3, 1)]);
    place.write("suite.musicxml", &[9, 8, 1, 2, 3, 4]);
    let work = reopened(&path).unwrap();
    assert!(work.fitted);
    assert_eq!(codes(&work), [Code::SourceChanged]);
    assert_eq!(work.study.cues().next().unwrap().1.at, at(4, 1));
    assert_eq!(work.study.beatings_of(MovementId(1))[0].1.bar, BarIndex(5));
    assert_eq!(work.study.movements[0].bars.len(), 6);
}

#[test]
fn what_loses_its_bar_is_kept_and_listed() {
    let place = Place::new();
    let items = [cue(1, 2), beating(1, 1), beating(2, 3), cue(3, 0)];
    let path = place.study(&[1, 2, 3, 4, 5], &items);
    place.write("suite.musicxml", &[1, 3, 4, 5]);
    let work = reopened(&path).unwrap();
    let n_before = 3 + items.len();
    // One layer more, for the beating that met another.
    assert_eq!(work.study.entries().count(), n_before + 1);
    let found = codes(&work);
    assert!(
        found.contains(&Code::BarGone) && found.contains(&Code::DecisionDisplaced),
        "{found:?}"
    );
    let beatings = work.study.beatings_of(MovementId(1));
    assert_eq!((beatings.len(), beatings[0].1.bar), (1, BarIndex(1)));
    assert_eq!(beatings[0].1.pattern.to_string(), "3");
    let marks: Vec<&str> = work.study.marks().map(|(_, mark)| mark.text.as_str()).collect();
    assert_eq!(marks, ["beating 1"]);
    assert_eq!(reopened(&path).unwrap().study, work.study, "opening twice differs");
}

#[test]
fn changed_transposed_and_shortened_bars_are_told_apart() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3, 4], &[cue(1, 0), cue(3, 2)]);
    // Bar 2 an octave higher.
    place.write("suite.musicxml", &[1, 9, 3, 4]);
    assert_eq!(codes(&reopened(&path).unwrap()), [Code::SourceChanged, Code::BarChanged]);
    // Bar 2 quite different.
    let text = music("suite.musicxml", &[1, 2, 3, 4]);
    let other = text.replacen(
        "<measure number=\"2\"><note>",
        "<measure number=\"2\"><note><rest/>\
        <duration>1</duration></note><note>",
        1,
    );
    let score = place.path("suite.musicxml");
    store::replace(&score, other.as_bytes()).unwrap();
    let found = codes(&reopened(&path).unwrap());
    assert_eq!(found, [Code::SourceChanged, Code::BarDoubtful]);
    // The last bar lost its last two quarters.
    let note = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>\
                <note><pitch><step>G</step><octave>4</octave></pitch><duration>1</duration></note>\
                </measure></part>";
    assert!(text.contains(note));
    store::replace(&score, text.replace(note, "</measure></part>").as_bytes()).unwrap();
    let work = reopened(&path).unwrap();
    assert!(codes(&work).contains(&Code::PlaceMoved), "{:?}", work.diagnostics);
    assert_eq!(work.study.cues().count(), 2);
}

#[test]
fn missing_and_moved_sources_are_asked_for() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3], &[cue(1, 0)]);
    let moved = place.write("elsewhere.musicxml", &[1, 2, 3]);
    store::remove(&place.path("suite.musicxml")).unwrap();
    let Err(OpenError::MissingSource { written, .. }) = reopened(&path) else {
        panic!("a missing source was not noticed")
    };
    assert_eq!(written, "suite.musicxml");
    let replacements = Replacements::from([(written, moved.clone())]);
    let mut ids = IdMaker::seeded(1);
    let work = open(&[path], &replacements, &mut ids, 0, &Watch::default()).unwrap();
    assert_eq!(work.source_paths, [moved]);
    let study = work.study_for(place.folder.path().canonicalize().unwrap().as_path());
    let paths: Vec<_> = study.sources.iter().map(|row| format!("{row:?}")).collect();
    assert!(paths[0].contains("\"elsewhere.musicxml\""), "{paths:?}");
}

#[test]
fn a_damaged_study_names_the_place_and_its_backup() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3], &[cue(1, 0)]);
    let text = std::fs::read_to_string(&path).unwrap();
    store::save_study(&path, &text, Expect::AnyStudy).unwrap();
    let broken = text.replace("m1 b2", "m1 bx");
    store::replace(&path, broken.as_bytes()).unwrap();
    let Err(OpenError::Study { cause, backup, .. }) = reopened(&path) else {
        panic!("damage was not noticed")
    };
    let line = broken.lines().position(|line| line.contains("m1 bx")).unwrap() + 1;
    assert!(cause.to_string().starts_with(&format!("line {line}, column ")), "{cause}");
    assert_eq!(backup, Some(store::backup_path(&path)));
    assert!(matches!(opened(&[]), Err(OpenError::Nothing)));
    let two = [path.clone(), place.path("suite.musicxml")];
    assert!(matches!(opened(&two), Err(OpenError::Mixed(_))));
}

#[test]
fn split_movements_keep_their_music_and_follow_changes() {
    let place = Place::new();
    let score = place.write("suite.musicxml", &[1, 2, 3, 4, 5, 6]);
    let mut work = opened(&[score]).unwrap();
    put(&mut work, &[cue(1, 1), cue(4, 2)]);
    let split = split_edit(&work.study, MovementId(1), BarIndex(3), "Second").unwrap();
    work.study.apply(split).unwrap();
    work.rebuild_basis();
    let second = &work.basis.score.movements[1];
    assert_eq!((second.bars.len(), second.id), (3, MovementId(2)));
    let notes = &second.music[0].notes;
    assert_eq!((notes.len(), notes[0].bar, notes[0].onset.0), (9, BarIndex(0), 0));
    assert_eq!(second.music[0].instruments[0].at.0, 0);
    let placed = |work: &Work| -> Vec<BarAddress> {
        work.study.cues_by_place().iter().map(|(_, cue)| cue.at).collect()
    };
    let in_second = BarAddress { movement: MovementId(2), bar: BarIndex(1), ..at(1, 2) };
    assert_eq!(placed(&work), [at(1, 1), in_second]);
    let path = save(&mut work, &place.path("split.barloom"));
    place.write("suite.musicxml", &[8, 1, 2, 3, 9, 4, 5, 6, 10]);
    let work = reopened(&path).unwrap();
    let n_bars: Vec<usize> = work.basis.score.movements.iter().map(|m| m.bars.len()).collect();
    assert_eq!(n_bars, [5, 4], "the new bar between them belongs to the first");
    assert_eq!(placed(&work), [at(2, 1), in_second]);
    assert_eq!(codes(&work), [Code::SourceChanged]);
}

#[test]
fn joined_movements_are_one_on_the_grid() {
    let place = Place::new();
    let scores = [place.write("a.musicxml", &[1, 2]), place.write("b.musicxml", &[3, 4, 5])];
    let mut work = opened(&scores).unwrap();
    let second = Item::Cue(Cue {
        at: BarAddress { movement: MovementId(2), ..at(2, 1) },
        part: PartKey("flute".into()),
        wanted: true,
        who: String::new(),
        how: String::new(),
    });
    put(&mut work, &[second]);
    let join = join_edit(&work.study, MovementId(2)).unwrap();
    let back = work.study.apply(join).unwrap();
    work.rebuild_basis();
    let joined = &work.basis.score.movements[0];
    assert_eq!((work.basis.score.movements.len(), joined.bars.len()), (1, 5));
    let quarters = |note: &crate::event::Note| joined.resolution.quarters(note.onset);
    let onsets: Vec<Quarters> = joined.music[0].notes.iter().map(quarters).collect();
    assert_eq!(onsets, (0..15).map(Quarters::whole).collect::<Vec<_>>());
    assert_eq!(joined.music[0].notes[6].bar, BarIndex(2));
    assert_eq!(work.study.cues().next().unwrap().1.at, at(4, 1));
    work.study.apply(back).unwrap();
    let order = reorder_edit(&work.study, &[MovementId(2), MovementId(1)]).unwrap();
    work.study.apply(order).unwrap();
    work.rebuild_basis();
    let n_bars: Vec<usize> = work.basis.score.movements.iter().map(|m| m.bars.len()).collect();
    assert_eq!(n_bars, [3, 2]);
}

#[test]
fn corrections_change_the_basis_and_say_when_they_cannot() {
    let place = Place::new();
    let score = place.write("suite.musicxml", &[1, 2, 3]);
    let mut work = opened(&[score]).unwrap();
    let flute = || PartKey("flute".into());
    let instrument = |part: PartKey, name: &str| {
        Item::Correction(Correction::Instrument { at: at(1, 0), part, instrument: name.into() })
    };
    let device = crate::event::Device::Mute;
    let mute = Correction::Device { at: at(2, 1), part: flute(), device, on: true };
    let mark =
        Correction::Rehearsal { movement: MovementId(1), bar: BarIndex(2), mark: "C".into() };
    let players = Correction::Players { part: flute(), players: vec!["A".into(), "B".into()] };
    put(
        &mut work,
        &[
            instrument(flute(), "piccolo"),
            instrument(PartKey("gone".into()), "piccolo"),
            Item::Correction(mute),
            Item::Correction(mark),
            Item::Correction(players),
        ],
    );
    assert_eq!(codes(&work), [Code::CorrectionUnplaced]);
    let movement = &work.basis.score.movements[0];
    let flute = &movement.music[0];
    let names = |ticks: i64| flute.instrument_at(crate::time::Ticks(ticks)).unwrap().get().name;
    assert_eq!((names(0), names(movement.bars.as_slice()[1].start.0)), ("flute", "piccolo"));
    let by_hand: Vec<_> = flute.markings.iter().filter(|m| m.line == 0).collect();
    assert_eq!(by_hand.len(), 2);
    assert_eq!((movement.address(by_hand[1].at), &*by_hand[1].words), (at(2, 1), "by hand"));
    assert_eq!(movement.bars.as_slice()[2].rehearsal.as_deref(), Some("C"));
    assert_eq!(work.basis.score.parts[0].players.len(), 2);
    assert!(work.read.movements[0].music[0].markings.is_empty(), "what was read has changed");
}

#[test]
fn what_the_score_no_longer_has_is_said() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3], &[cue(1, 0)]);
    let text = std::fs::read_to_string(&path).unwrap();
    // As if the study had known a second movement of the file, and the first not at all.
    let gone = text.replace("movement: 1, from: 1", "movement: 2, from: 1");
    store::replace(&path, gone.as_bytes()).unwrap();
    let work = reopened(&path).unwrap();
    assert_eq!(codes(&work), [Code::MovementGone, Code::MovementUnused]);
    assert!(work.basis.score.movements[0].bars.is_empty());
    assert_eq!(work.study.cues().count(), 1);
    let renamed = text.replace("part: \"flute\"", "part: \"oboe\"");
    store::replace(&path, renamed.as_bytes()).unwrap();
    assert_eq!(codes(&reopened(&path).unwrap()), [Code::PartGone]);
}

#[test]
fn a_part_that_got_another_name_is_found_by_what_it_plays() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3], &[cue(1, 0)]);
    let text = music("suite.musicxml", &[1, 2, 4]).replace("Flute", "Flute 1");
    let second = "<score-part id=\"P2\"><part-name>Flute 2</part-name></score-part></part-list>";
    let rest = "<note><rest/><duration>3</duration></note></measure>";
    let part = format!(
        "<part id=\"P2\"><measure number=\"1\"><attributes><divisions>1</divisions></attributes>\
         {rest}<measure number=\"2\">{rest}<measure number=\"3\">{rest}</part></score-partwise>"
    );
    let text = text.replace("</part-list>", second).replace("</score-partwise>", &part);
    store::replace(&place.path("suite.musicxml"), text.as_bytes()).unwrap();
    let work = reopened(&path).unwrap();
    assert_eq!(codes(&work), [Code::PartRenamed, Code::SourceChanged], "{:?}", work.diagnostics);
    assert_eq!(work.study.cues().next().unwrap().1.part.0, "flute-1");
    assert_eq!(work.study.parts.len(), 2);
}

#[test]
fn files_added_to_a_work_come_and_go_with_their_edit() {
    let place = Place::new();
    let scores = [place.write("a.musicxml", &[1, 2]), place.write("b.musicxml", &[3, 4, 5])];
    let mut work = opened(&scores[..1]).unwrap();
    let fresh = work.study.clone();
    let added = work.add_files(&scores[1..], &Watch::default()).unwrap();
    work.take_files(&added);
    let undo = work.study.apply(added.edit).unwrap();
    work.follow_sources();
    work.rebuild_basis();
    let n_bars = |work: &Work| -> Vec<usize> {
        work.basis.score.movements.iter().map(|m| m.bars.len()).collect()
    };
    assert_eq!(n_bars(&work), [2, 3]);
    assert_eq!(work.source_paths, scores);
    let saved = save(&mut work, &place.path("both.barloom"));
    assert_eq!(n_bars(&opened(&[saved]).unwrap()), [2, 3]);
    work.study.apply(undo).unwrap();
    work.follow_sources();
    work.rebuild_basis();
    assert_eq!(n_bars(&work), [2]);
    assert_eq!(work.study.movements, fresh.movements);
}

#[test]
fn a_journal_with_new_sources_is_replayed_onto_all_of_them() {
    let place = Place::new();
    let path = place.study(&[1, 2, 3], &[cue(1, 0)]);
    let mut work = reopened(&path).unwrap();
    let (saved, seen) = work.saved.clone().unwrap();
    let base = Base::Saved { path: saved, version: work.study.version, fingerprint: seen };
    let sources = work.source_paths.clone();
    let header = Header { title: String::new(), base, sources };
    let folder = place.path("journals");
    let mut ids = IdMaker::seeded(9);
    let mut journal = Journal::begin(&folder, &header, &[], &mut ids).unwrap();
    let map = work.put_bar_map(None, "title: Entr'acte; parts: flute; 5 x 4/4").unwrap();
    work.take_files(&map);
    let mut apply = |work: &mut Work, edit: Edit| {
        journal.append(&edit, Instant::now()).unwrap();
        work.study.apply(edit).unwrap();
    };
    apply(&mut work, map.edit.clone());
    let layer: EntryId = work.study.layers()[0].0.id;
    let mark = Item::Mark(Mark {
        layer,
        from: BarAddress { movement: MovementId(2), ..at(4, 3) },
        to: None,
        parts: Vec::new(),
        sign: Sign::Breath,
        text: String::new(),
    });
    let entry = work.study.new_entry(mark, &mut ids, 0);
    apply(&mut work, Edit::Put(entry));
    drop(journal);
    let left = journal::pending(&folder).unwrap().remove(0);
    let (again, replayed, refused) =
        open_left(&left, &Replacements::new(), &Watch::default()).unwrap();
    assert_eq!((replayed.len(), refused), (2, Vec::new()));
    assert_eq!(again.study, work.study);
    assert_eq!(again.basis.score.movements[1].bars.len(), 5);
}

#[test]
fn a_work_without_any_file_is_saved_and_opened() {
    let place = Place::new();
    let text = "title: On paper; parts: 2 oboes, strings; pickup 1/4, 8 x 4/4, 3 x 7/8 (2+2+3)";
    let mut work = new_from_bar_map(text, &mut IdMaker::seeded(1), 0).unwrap();
    put(&mut work, &[beating(9, 3)]);
    let path = save(&mut work, &place.path("paper.barloom"));
    let again = reopened(&path).unwrap();
    assert!(!again.fitted);
    assert_eq!(again.study, work.study);
    assert_eq!(again.basis.score.movements[0].bars.len(), 12);
    assert_eq!(again.basis.score.parts.len(), 6);
}
