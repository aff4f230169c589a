//! Movements, sections, endings, bars, meters, parts, versions. Sources: MEI 5 guidelines, chapter 4,
//! and the elements and attributes named.

use super::*;
use crate::bar::Barline;

const WHOLE: &str = "<note dur='1' pname='c' oct='4'/>";

fn meters(import: &Import) -> Vec<String> {
    import.score.movements[0].bars.iter().map(|(_, bar)| bar.meter.to_string()).collect()
}

/// Each mdiv is a movement; divisions nest.
#[test]
fn divisions_are_movements() {
    let score = |n: u32| {
        format!(
            "<mdiv label='{n}. Weir'><score>{}<section>{}</section></score></mdiv>",
            flute("4", "4"),
            measures(&[WHOLE, WHOLE])
        )
    };
    let text = document("", "").replace(
        "<mdiv><score>\n\n\n</score></mdiv>",
        &format!("<mdiv label='Suite'>{}{}</mdiv>", score(1), score(2)),
    );
    let import = read_text(&text);
    let titles: Vec<&str> = import.score.movements.iter().map(|m| m.title.as_str()).collect();
    assert_eq!(titles, ["Suite, 1. Weir", "Suite, 2. Weir"]);
    assert_eq!(import.score.title, "Test");
    assert_eq!(import.score.sources.len(), 1);
    assert_eq!(import.score.parts.len(), 1);
    assert_eq!(lengths(&import, 1), ["4", "4"]);
}

/// Performers' parts, where there is no score.
#[test]
fn parts_without_a_score_make_one() {
    let part = |n: u32, name: &str| {
        format!(
            "<part><scoreDef meter.count='4' meter.unit='4'><staffGrp><staffDef n='{n}'><label>{name}</label>\
             </staffDef></staffGrp></scoreDef><section><measure n='1'><staff n='{n}'><layer>{WHOLE}</layer>\
             </staff></measure></section></part>"
        )
    };
    let text = document("", "").replace(
        "<score>\n\n\n</score>",
        &format!("<parts>{}{}</parts>", part(1, "Flute"), part(1, "Oboe")),
    );
    let import = read_text(&text);
    let names: Vec<&str> = import.score.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["Flute", "Oboe"]);
    assert_eq!(notes(&import, 1).len(), 1);
}

/// "Redefinition of Score Parameters": meters change between bars; signatures of several kinds.
#[test]
fn meters_change_and_combine() {
    let change = |definition: &str, first: &str| {
        let text = document(
            &flute("4", "4"),
            &format!(
                "<section>{}{definition}{}</section>",
                measures(&[WHOLE]),
                measures(&[first, first, first])
            ),
        );
        let import = read_text(&text);
        meters(&import)
    };
    let rest = "<mRest/>";
    assert_eq!(change("<scoreDef meter.count='3+2' meter.unit='8'/>", rest)[1..], ["3+2/8"; 3]);
    assert_eq!(change("<staffDef n='1'><meterSig sym='cut'/></staffDef>", rest)[1], "2/2");
    let group = |func: &str| {
        format!(
            "<scoreDef><meterSigGrp func='{func}'><meterSig count='2' unit='4'/><meterSig count='3' unit='8'/>\
             </meterSigGrp></scoreDef>"
        )
    };
    assert_eq!(change(&group("mixed"), rest)[1..], ["2/4+3/8"; 3]);
    assert_eq!(change(&group("alternating"), rest)[1..], ["2/4", "3/8", "2/4"]);
    assert_eq!(change(&group("interchanging"), rest)[1..], ["2/4"; 3]);
}

/// Attributes left and right of measure.
#[test]
fn barlines_and_repeats() {
    let bar = |n: u32, more: &str| {
        format!("<measure n='{n}' {more}><staff n='1'><layer>{WHOLE}</layer></staff></measure>")
    };
    let text = document(
        &flute("4", "4"),
        &format!(
            "<section>{}{}{}{}</section>",
            bar(1, "right='dbl'"),
            bar(2, "left='rptstart' right='rptboth'"),
            bar(3, "right='rptend'"),
            bar(4, "right='end'")
        ),
    );
    let import = read_text(&text);
    let bars = import.score.movements[0].bars.as_slice();
    let flows: Vec<(bool, Option<u32>)> =
        bars.iter().map(|bar| (bar.flow.repeat_start, bar.flow.repeat_end)).collect();
    assert_eq!(flows, [(false, None), (true, Some(2)), (true, Some(2)), (false, None)]);
    assert_eq!((bars[0].barline, bars[3].barline), (Barline::Double, Barline::Final));
}

/// An ending holds its bars; its number says when it is played.
#[test]
fn endings_hold_their_bars() {
    let ending = |n: &str, right: &str| {
        format!(
            "<ending n='{n}'><measure n='9' right='{right}'><staff n='1'><layer>{WHOLE}</layer></staff></measure>\
             </ending>"
        )
    };
    let text = document(
        &flute("4", "4"),
        &format!(
            "<section>{}{}{}</section>",
            measures(&[WHOLE]),
            ending("1, 2", "rptend"),
            ending("3", "end")
        ),
    );
    let import = read_text(&text);
    let endings: Vec<Vec<u32>> =
        import.score.movements[0].bars.iter().map(|(_, bar)| bar.flow.endings.clone()).collect();
    assert_eq!(endings, [vec![], vec![1, 2], vec![3]]);
}

/// metcon="false": the bar does not fill its meter; join: two bars are one.
#[test]
fn short_bars_are_upbeats_or_halves() {
    let bar = |n: &str, dur: &str, more: &str| {
        format!(
            "<measure n='{n}' {more}><staff n='1'><layer><note dur='{dur}' pname='c' oct='4'/></layer></staff>\
             </measure>"
        )
    };
    let text = document(
        &flute("4", "4"),
        &format!(
            "<section>{}{}{}{}</section>",
            bar("0", "4", "metcon='false'"),
            bar("1", "1", ""),
            bar("2", "2", "metcon='false' right='rptend'"),
            bar("2", "2", "metcon='false'")
        ),
    );
    let import = read_text(&text);
    let bars = import.score.movements[0].bars.as_slice();
    assert_eq!(lengths(&import, 0), ["1", "4", "2", "2"]);
    assert!(bars[0].pickup && bars[0].label.is_empty());
    assert!(!bars[2].continues && bars[3].continues);
}

/// metcon says that the bar does not fill its meter, not that it is not counted: two bars of their own
/// numbers stay two. mNum is the number as printed.
#[test]
fn numbers_say_which_bars_count() {
    let bar = |n: &str, dur: &str, more: &str| {
        format!(
            "<measure n='{n}' metcon='false'>{more}<staff n='1'><layer><note dur='{dur}' pname='c' oct='4'/>\
             </layer></staff></measure>"
        )
    };
    let text = document(
        &flute("4", "4"),
        &format!(
            "<section>{}{}{}{}</section>",
            measures(&[WHOLE]),
            bar("2", "2", ""),
            bar("3", "2", ""),
            bar("X1", "1", "<mNum>3<rend>a</rend></mNum>")
        ),
    );
    let import = read_text(&text);
    let bars = import.score.movements[0].bars.as_slice();
    assert!(bars.iter().all(|bar| !bar.continues));
    assert_eq!(bars[3].label, "3a");
}

/// Two files of the same: MEI 4 names some attributes otherwise (key.sig for keysig).
#[test]
fn older_versions_are_read_and_said() {
    let text = bars(&[WHOLE]).replace("5.0", "4.0.1").replace("lines=", "key.sig='2f' lines=");
    let import = read_text(&text);
    assert_eq!(codes(&import), ["version-other"]);
    assert_eq!(import.score.movements[0].keys[0].fifths, -2);
}

/// A staff that comes later was silent before; a staff that is not defined is said.
#[test]
fn staves_may_come_later() {
    let text = document(
        &flute("4", "4"),
        &format!(
            "<section>{}<scoreDef><staffGrp><staffDef n='1'/><staffDef n='2'><label>Oboe</label></staffDef></staffGrp>\
             </scoreDef><measure n='2'><staff n='2'><layer>{WHOLE}</layer></staff><staff n='7'/></measure></section>",
            measures(&[WHOLE])
        ),
    );
    let import = read_text(&text);
    assert_eq!(codes(&import), ["part-list-odd"]);
    assert_eq!(at(&import, notes(&import, 1)[0].onset), "4");
}

/// A few signs cannot ask for more bars than a file of their size could hold.
#[test]
fn small_files_do_not_fill_the_memory() {
    let refused = |text: &str| {
        let bytes = text.as_bytes().to_vec();
        let file = crate::import::InputFile { name: String::from("a.mei"), bytes };
        crate::import::read(&[file], &crate::import::Watch::default()).unwrap_err().to_string()
    };
    assert!(refused(&bars(&["<multiRest num='99999'/>"])).contains("too many bars"));
    let staves: String = (1..=900).map(|n| format!("<staffDef n='{n}'/>")).collect();
    let text = document(
        &format!("<scoreDef><staffGrp>{staves}</staffGrp></scoreDef>"),
        &format!("<section>{}</section>", "<measure/>".repeat(500)),
    );
    assert!(refused(&text).contains("too many bars"));
    let import = read_bars(&["<multiRest num='300'/>"]);
    assert_eq!(import.score.movements[0].bars.len(), 300);
}

/// Music that points to other music (copyof) is said to be missing.
#[test]
fn copies_are_said() {
    let import =
        read_bars(&["<note xml:id='a' dur='1' pname='c' oct='4'/>", "<beam copyof='#a'/>"]);
    assert_eq!(codes(&import), ["element-unknown"]);
}

/// Only documents of the format's own namespace, or of none, are MEI.
#[test]
fn foreign_documents_are_refused() {
    let read = |text: &str| {
        let file = crate::import::InputFile {
            name: String::from("a.mei"),
            bytes: text.as_bytes().to_vec(),
        };
        crate::import::read(&[file], &crate::import::Watch::default()).unwrap_err().to_string()
    };
    assert!(
        read("<mei xmlns='urn:other'><music/></mei>").contains("neither a MusicXML nor an MEI")
    );
    assert!(read("<mei><music/></mei>").contains("no bars"));
    assert!(read("<music xmlns='http://www.music-encoding.org/ns/mei'/>").contains("neither"));
    assert!(read("<mei><music><body><mdiv><score><section><measure/></section></score></mdiv></body></music></mei>").contains("no bars"));
}

/// Elements may carry a prefix for the namespace.
#[test]
fn prefixes_do_not_matter() {
    let text = "<m:mei xmlns:m='http://www.music-encoding.org/ns/mei' meiversion='5.0'><m:music><m:body>\
                <m:mdiv><m:score><m:scoreDef><m:staffGrp><m:staffDef n='1' meter.sym='common'/></m:staffGrp>\
                </m:scoreDef><m:section><m:measure n='1'><m:staff n='1'><m:layer>\
                <m:note dur='1' pname='c' oct='4'/></m:layer></m:staff></m:measure></m:section></m:score>\
                </m:mdiv></m:body></m:music></m:mei>";
    assert_eq!(notes(&read_text(text), 0).len(), 1);
}
