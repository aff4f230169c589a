//! The same music written by hand in MEI and in MusicXML: both must give the same score.

use super::*;
use crate::import::tests::compact;

const MUSICXML: &[&str] = &[
    "Clarinet in Bb: #0 @3/4 K2 T-1,-2 !p D4:4 | #1 'con_sord.' F#4:6 E4:2 D4:4 | #2 |: ~G4:12 | \
     #3 -G4:8 gA4 F#4:4 :| | #4 R:12 ||",
    "Violin: #0 @3/4 K0 r:4 | #1 C4:4 +E4:4 G4:8 | #2 !ff C5:12 | #3 v1 C4:12 <12 v2 C5:6 B4:6 | \
     #4 C4:12 ||",
];

fn mei() -> String {
    let note = |pitch: &str, oct: u32, dur: &str, more: &str| {
        format!("<note pname='{pitch}' oct='{oct}' dur='{dur}' {more}/>")
    };
    let bar = |n: u32, more: &str, first: &str, second: &str, beside: &str| {
        format!(
            "<measure n='{n}' {more}><staff n='1'><layer n='1'>{first}</layer></staff><staff n='2'>{second}\
             </staff>{beside}</measure>\n"
        )
    };
    let layer = |text: String| format!("<layer n='1'>{text}</layer>");
    let bars = [
        bar(
            0,
            "metcon='false'",
            &note("d", 4, "4", ""),
            &layer(String::from("<rest dur='4'/>")),
            "<dynam staff='1' tstamp='1'>p</dynam>",
        ),
        bar(
            1,
            "",
            &[
                note("f", 4, "4", "dots='1' accid.ges='s'"),
                note("e", 4, "8", ""),
                note("d", 4, "4", ""),
            ]
            .concat(),
            &layer(format!(
                "<chord dur='4'><note pname='c' oct='4'/><note pname='e' oct='4'/></chord>{}",
                note("g", 4, "2", "")
            )),
            "<dir staff='1' tstamp='1'>con sord.</dir>",
        ),
        bar(
            2,
            "left='rptstart'",
            &note("g", 4, "2", "dots='1' tie='i'"),
            &layer(note("c", 5, "2", "dots='1'")),
            "<dynam staff='2' tstamp='1'>ff</dynam>",
        ),
        bar(
            3,
            "right='rptend'",
            &[
                note("g", 4, "2", "tie='t'"),
                note("a", 4, "8", "grace='unknown'"),
                note("f", 4, "4", "accid.ges='s'"),
            ]
            .concat(),
            &format!(
                "{}<layer n='2'>{}{}</layer>",
                layer(note("c", 4, "2", "dots='1'")),
                note("c", 5, "4", "dots='1'"),
                note("b", 4, "4", "dots='1'")
            ),
            "",
        ),
        bar(4, "right='end'", "<mRest/>", &layer(note("c", 4, "2", "dots='1'")), ""),
    ]
    .concat();
    document(
        "<scoreDef meter.count='3' meter.unit='4'><staffGrp><staffDef n='1' trans.diat='-1' trans.semi='-2' \
         keysig='2s'><label>Clarinet in Bb</label></staffDef><staffDef n='2' keysig='0'><label>Violin</label>\
         </staffDef></staffGrp></scoreDef>",
        &format!("<section>\n{bars}</section>"),
    )
}

/// What both files state, with positions as quarters.
fn stated(import: &Import) -> Vec<String> {
    let movement = &import.score.movements[0];
    let mut out: Vec<String> = Vec::new();
    let quarters = |ticks: Ticks| movement.resolution.quarters(ticks).to_string();
    for (idx, bar) in movement.bars.iter() {
        out.push(format!(
            "bar {} {:?} {} {} {} {} {:?} {:?}",
            idx.0,
            bar.label,
            quarters(bar.length),
            bar.meter,
            bar.pickup,
            bar.continues,
            bar.flow,
            bar.barline
        ));
    }
    out.extend(movement.keys.iter().map(|key| format!("key {} {}", quarters(key.at), key.fifths)));
    for (part, music) in import.score.parts.iter().zip(&movement.music) {
        out.push(format!("part {:?} {:?}", part.key, part.players));
        for note in &music.notes {
            out.push(format!(
                "note {} {} {:?} {:?} {} {} {:?} {:?}",
                quarters(note.onset),
                quarters(note.length),
                note.written,
                note.sounding,
                note.staff,
                note.voice,
                note.traits,
                note.manner
            ));
        }
        for rest in &music.rests {
            out.push(format!("rest {} {}", quarters(rest.onset), quarters(rest.length)));
        }
        for marking in &music.markings {
            out.push(format!("marking {} {:?}", quarters(marking.at), marking.kind));
        }
    }
    out
}

#[test]
fn twins_in_both_formats_are_one_score() {
    let musicxml = compact::read_parts(MUSICXML);
    let mei = read_text(&mei());
    assert_eq!(stated(&mei), stated(&musicxml));
    assert_eq!(codes(&mei), ["pickup-found"; 0]);
    let findings = compact::findings(&musicxml);
    assert!(findings.iter().all(|found| found.code.name() == "pickup-found"), "{findings:?}");
}
