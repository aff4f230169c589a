//! Events of a layer: lengths, tuplets, tremolos, grace notes, rests, repeat signs. Sources: MEI 5
//! guidelines, chapter 4 "Common Music Notation".

use super::*;
use crate::event::Manner;

const C: &str = "pname='c' oct='4'";

#[track_caller]
fn check_times(layer: &str, expected: &[(&str, &str)]) {
    let import = read_bars(&[layer]);
    let expected: Vec<(String, String)> =
        expected.iter().map(|(at, length)| ((*at).to_owned(), (*length).to_owned())).collect();
    assert_eq!(times(&import), expected, "{layer}");
}

/// "Basic Usage of Notes in CMN": dur and dots; what a note does not state is that of the one before
/// it in the layer.
#[test]
fn lengths_follow_from_value_and_dots() {
    check_times(
        &format!("<note dur='4' dots='1' {C}/><note dur='8' {C}/><note dur='2' {C}/>"),
        &[("0", "3/2"), ("3/2", "1/2"), ("2", "2")],
    );
    check_times(
        &format!(
            "<note dur='4' {C}><dot/></note><note dur='8' {C}/><note/><note dur='4' dots='1' {C}/>"
        ),
        &[("0", "3/2"), ("3/2", "1/2"), ("2", "1/2"), ("5/2", "3/2")],
    );
    check_times(&format!("<note dur='breve' {C}/>"), &[("0", "8")]);
}

/// "Tuplets": num in the time of numbase; tuplets nest; a tuplet over beams or bars lists its notes.
#[test]
fn tuplets_shorten_what_is_in_them() {
    let eighth = format!("<note dur='8' {C}/>");
    check_times(
        &format!(
            "<tuplet num='3' numbase='2'><beam>{}</beam></tuplet><note dur='2' dots='1' {C}/>",
            eighth.repeat(3)
        ),
        &[("0", "1/3"), ("1/3", "1/3"), ("2/3", "1/3"), ("1", "3")],
    );
    check_times(
        &format!(
            "<tuplet num='3' numbase='2'><note dur='2' {C}/><tuplet num='3' numbase='2'>{}</tuplet>\
             <note dur='4' {C}/></tuplet>",
            eighth.repeat(3)
        ),
        &[("0", "4/3"), ("4/3", "2/9"), ("14/9", "2/9"), ("16/9", "2/9"), ("2", "2/3")],
    );
    let ids = ["a", "b", "c"].map(|id| format!("<note xml:id='{id}' dur='4' {C}/>")).concat();
    for span in ["plist='#a #b #c'", "startid='#a' endid='#c'"] {
        check_times(
            &format!("{ids}<note dur='2' {C}/>|<tupletSpan num='3' numbase='2' {span}/>"),
            &[("0", "2/3"), ("2/3", "2/3"), ("4/3", "2/3"), ("2", "2")],
        );
    }
}

/// "Tremolandi": a tremolo on one note lasts as written, the two notes of one share what is written.
#[test]
fn tremolos_keep_their_written_time() {
    let import = read_bars(&[&format!(
        "<bTrem unitdur='32'><note dur='2' {C}/></bTrem><fTrem beams='3'><note dur='2' {C}/>\
         <note dur='2' pname='e' oct='4'/></fTrem>"
    )]);
    let q = |text: &str| text.to_owned();
    let expected = [(q("0"), q("2")), (q("2"), q("1")), (q("3"), q("1"))];
    assert_eq!(times(&import), expected);
    let notes = notes(&import, 0);
    assert_eq!(notes.iter().map(|note| note.tremolo).collect::<Vec<_>>(), [3, 3, 3]);
    assert!(
        !notes[0].manner.has(Manner::TREMOLO_PAIR) && notes[1].manner.has(Manner::TREMOLO_PAIR)
    );
    let import = read_bars(&[&format!("<note stem.mod='2slash' dur='1' {C}/>")]);
    assert_eq!(super::notes(&import, 0)[0].tremolo, 2);
    // Two beams more than an eighth has: thirty-seconds.
    let import =
        read_bars(&[&format!("<bTrem unitdur='32'><note dur='8' {C}/></bTrem><rest dur='8'/>")]);
    assert_eq!(super::notes(&import, 0)[0].tremolo, 2);
}

/// "Grace Notes": they take no time of the bar.
#[test]
fn grace_notes_take_no_time() {
    let import = read_bars(&[&format!(
        "<note grace='unacc' dur='8' {C}/><note dur='2' {C}/><graceGrp><beam><note dur='16' {C}/>\
         <note dur='16' {C}/></beam></graceGrp><note dur='2' {C}/>"
    )]);
    assert_eq!(lengths(&import, 0), ["4"]);
    assert_eq!(with_trait(&import, NoteTraits::GRACE), [0, 2, 3]);
    assert_eq!(at(&import, notes(&import, 0)[3].onset), "2");
}

/// "Chords in CMN": the chord states the length and the articulation for its notes.
#[test]
fn chords_hold_several_heads() {
    let import = read_bars(&[&format!(
        "<chord dur='1' artic='acc'><note {C}/><note pname='e' oct='4'/><note pname='g' oct='4'/></chord>"
    )]);
    assert_eq!(times(&import).len(), 3);
    assert_eq!(with_trait(&import, NoteTraits::CHORD), [1, 2]);
    assert!(notes(&import, 0).iter().all(|note| note.manner.has(Manner::ACCENT)));
    assert_eq!(lengths(&import, 0), ["4"]);
}

/// "Rests": a measure rest lasts as long as the bar; spaces are no rests; several bars of rest.
#[test]
fn rests_fill_their_bars() {
    let import = read_bars(&[
        "<mRest/>",
        "<rest dur='2'/><space dur='2'/>",
        "<multiRest num='3'/>",
        "<mSpace/>",
    ]);
    assert_eq!(lengths(&import, 0), ["4", "4", "4", "4", "4", "4"]);
    let movement = &import.score.movements[0];
    let rests: Vec<String> =
        movement.music[0].rests.iter().map(|rest| at(&import, rest.length)).collect();
    assert_eq!(rests, ["4", "2", "4", "4", "4"]);
    let labels: Vec<&str> = movement.bars.iter().map(|(_, bar)| bar.label.as_str()).collect();
    assert_eq!(labels, ["1", "2", "3", "4", "5", "4"]);
    assert_eq!(codes(&import), [] as [&str; 0]);
}

/// A whole rest alone in a bar stands for the bar, whatever its meter (common practice).
#[test]
fn a_lone_whole_rest_fills_its_bar() {
    let text = document(
        &flute("3", "4"),
        &format!("<section>{}</section>", measures(&["<rest dur='1'/>", "<mRest/>"])),
    );
    assert_eq!(lengths(&read_text(&text), 0), ["3", "3"]);
}

/// Elements mRpt, mRpt2, multiRpt, halfmRpt, beatRpt of MEI 5: signs that stand for music before
/// them; the bar plays, its notes are not written.
#[test]
fn repeat_signs_make_bars_that_play() {
    let whole = format!("<note dur='1' {C}/>");
    let import = read_bars(&[&whole, "<mRpt/>", &whole, "<mRpt2/>", "<mSpace/>", &whole]);
    let bars = |import: &Import| -> Vec<u32> {
        import.score.movements[0].music[0].repeated_bars.iter().map(|bar| bar.bar.0).collect()
    };
    assert_eq!(bars(&import), [1, 3, 4]);
    assert_eq!(lengths(&import, 0), ["4"; 6]);
    let import = read_bars(&[&format!("<note dur='4' {C}/><beatRpt/><halfmRpt/>")]);
    assert_eq!(lengths(&import, 0), ["4"]);
    assert!(bars(&import).is_empty());
}

/// Voices: "layer" elements of a staff; cross-staff notes state their staff.
#[test]
fn layers_are_voices() {
    let text = document(
        "<scoreDef meter.count='4' meter.unit='4'><staffGrp><staffGrp symbol='brace'><label>Harp</label>\
         <staffDef n='1'/><staffDef n='2'/></staffGrp></staffGrp></scoreDef>",
        &format!(
            "<section><measure n='1'><staff n='1'><layer n='1'><note dur='1' {C}/></layer>\
             <layer n='2'><note dur='2' {C}/><note staff='2' dur='2' {C}/></layer></staff>\
             <staff n='2'><layer n='1'><note dur='1' {C}/></layer></staff></measure></section>"
        ),
    );
    let import = read_text(&text);
    // Notes of one place come by staff, then voice.
    let found: Vec<(u8, u8)> =
        notes(&import, 0).iter().map(|note| (note.staff, note.voice)).collect();
    assert_eq!(found, [(1, 1), (1, 2), (2, 3), (2, 2)]);
}

/// Traits from attributes: beams, tuplets, cue size, visibility, slash heads.
#[test]
fn heads_know_what_they_stand_in() {
    let import = read_bars(&[&format!(
        "<beam><note dur='8' {C}/><note dur='8' {C}/></beam><note cue='true' dur='4' {C}/>\
         <note visible='false' dur='4' {C}/><note head.shape='slash' dur='4' {C}/>"
    )]);
    assert_eq!(with_trait(&import, NoteTraits::BEAM_BEGINS), [0]);
    assert_eq!(with_trait(&import, NoteTraits::BEAM_GOES_ON), [1]);
    assert_eq!(with_trait(&import, NoteTraits::CUE), [2]);
    assert_eq!(with_trait(&import, NoteTraits::HIDDEN), [3]);
    assert_eq!(with_trait(&import, NoteTraits::SLASH), [4]);
}

/// Durations stated for playback only count where nothing is written.
#[test]
fn written_lengths_count_before_clicks() {
    let text = bars(&[&format!(
        "<note dur='4' dur.ppq='7' {C}/><note dur.ppq='6' {C}/><rest dur='4' dots='1'/>"
    )])
    .replace("lines=", "ppq='4' lines=");
    let import = read_text(&text);
    let q = |text: &str| text.to_owned();
    assert_eq!(times(&import), [(q("0"), q("1")), (q("1"), q("3/2"))]);
    assert_eq!(lengths(&import, 0), ["4"]);
}
