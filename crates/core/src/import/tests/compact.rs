//! A compact text for scores, so that tests show music and not markup.
//!
//! A part is `NAME: bar | bar | ...`; a bar is words, four divisions a quarter:
//! `C4:4` a note (pitch with `#` or `b`, then divisions), `+E4:4` a further head of its chord,
//! `~C4:4` a tie begins, `-C4:4` a tie ends, `=C4:4` both, `gD5` a grace note, `cD5:4` a cue note,
//! `C4:4^<ornaments>...` a note with these notations (with `_` for spaces), `x:4` unpitched, `r:4` a rest, `R:16` a rest for the whole bar, `v2` what follows is in voice 2,
//! `<8` back, `>8` forward, `@3/4` a meter, `K2` a key, `T-1,-2` a transposition (steps, semitones),
//! `'con_sord.'` words, `!mf` a dynamic sign, `#12` the bar's number, `#i` an implicit bar,
//! `|:` and `:|` repeats, `||` a final barline, `{...}` markup taken as it is (with `_` for spaces).

use crate::diag::{Code, Diagnostic};
use crate::import::{Import, InputFile, Watch, read};

/// The document of these parts.
pub(super) fn document(parts: &[&str]) -> String {
    let mut list = String::new();
    let mut music = String::new();
    for (idx, part) in parts.iter().enumerate() {
        let (name, bars) = part.split_once(':').unwrap();
        let id = idx + 1;
        list.push_str(&format!(
            "<score-part id=\"P{id}\"><part-name>{name}</part-name></score-part>\n"
        ));
        music.push_str(&format!("<part id=\"P{id}\">\n"));
        for (nth, text) in bars.split(" | ").enumerate() {
            music.push_str(&bar(text, nth));
        }
        music.push_str("</part>\n");
    }
    format!(
        "<?xml version=\"1.0\"?>\n<score-partwise version=\"4.0\">\n<part-list>\n{list}</part-list>\n\
         {music}</score-partwise>\n"
    )
}

fn bar(text: &str, nth: usize) -> String {
    let mut number = format!("number=\"{}\"", nth + 1);
    let mut out = String::new();
    if nth == 0 {
        out.push_str("<attributes><divisions>4</divisions></attributes>\n");
    }
    let mut voice = String::from("1");
    for word in text.split_whitespace() {
        let (first, rest) = word.split_at(1);
        match first {
            "#" if rest == "i" => number = String::from("number=\"X1\" implicit=\"yes\""),
            "#" => number = format!("number=\"{rest}\""),
            "@" => {
                let (beats, unit) = rest.split_once('/').unwrap();
                out.push_str(&format!(
                    "<attributes><time><beats>{beats}</beats><beat-type>{unit}</beat-type></time>\
                     </attributes>\n"
                ));
            }
            "K" => out.push_str(&format!(
                "<attributes><key><fifths>{rest}</fifths></key></attributes>\n"
            )),
            "T" => {
                let (steps, semitones) = rest.split_once(',').unwrap();
                out.push_str(&format!(
                    "<attributes><transpose><diatonic>{steps}</diatonic>\
                     <chromatic>{semitones}</chromatic></transpose></attributes>\n"
                ));
            }
            "'" => {
                let words = rest.trim_end_matches('\'').replace('_', " ");
                out.push_str(&format!(
                    "<direction><direction-type><words>{words}</words></direction-type></direction>\n"
                ));
            }
            "!" => out.push_str(&format!(
                "<direction><direction-type><dynamics><{rest}/></dynamics></direction-type>\
                 </direction>\n"
            )),
            "v" => rest.clone_into(&mut voice),
            "<" => out.push_str(&format!("<backup><duration>{rest}</duration></backup>\n")),
            ">" => out.push_str(&format!("<forward><duration>{rest}</duration></forward>\n")),
            "|" if rest == ":" => out
                .push_str("<barline location=\"left\"><repeat direction=\"forward\"/></barline>\n"),
            ":" => out.push_str(
                "<barline location=\"right\"><repeat direction=\"backward\"/></barline>\n",
            ),
            "|" => out.push_str(
                "<barline location=\"right\"><bar-style>light-heavy</bar-style></barline>\n",
            ),
            "{" => out.push_str(&format!("{}\n", rest.trim_end_matches('}').replace('_', " "))),
            _ => out.push_str(&note(word, &voice)),
        }
    }
    format!("<measure {number}>\n{out}</measure>\n")
}

fn note(word: &str, voice: &str) -> String {
    let mut extra = String::new();
    let mut word = word;
    let mut ties = String::new();
    while let Some(rest) = word.get(1..) {
        match word.chars().next() {
            Some('+') => extra.push_str("<chord/>"),
            Some('~') => ties.push_str("<tie type=\"start\"/>"),
            Some('-') => ties.push_str("<tie type=\"stop\"/>"),
            Some('=') => ties.push_str("<tie type=\"stop\"/><tie type=\"start\"/>"),
            Some('g') => extra.insert_str(0, "<grace/>"),
            Some('c') => extra.insert_str(0, "<cue/>"),
            _ => break,
        }
        word = rest;
    }
    let (word, notations) = word.split_once('^').unwrap_or((word, ""));
    let (pitch, length) = word.split_once(':').unwrap_or((word, ""));
    let what = match pitch {
        "r" => String::from("<rest/>"),
        "R" => String::from("<rest measure=\"yes\"/>"),
        "x" => String::from(
            "<unpitched><display-step>E</display-step><display-octave>4</display-octave></unpitched>",
        ),
        pitch => {
            let step = &pitch[..1];
            let octave = pitch.trim_start_matches(|c: char| !c.is_ascii_digit());
            let alter = match pitch.chars().nth(1) {
                Some('#') => "<alter>1</alter>",
                Some('b') => "<alter>-1</alter>",
                _ => "",
            };
            format!("<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>")
        }
    };
    let duration =
        if length.is_empty() { String::new() } else { format!("<duration>{length}</duration>") };
    let notations = match notations {
        "" => String::new(),
        notations => format!("<notations>{}</notations>", notations.replace('_', " ")),
    };
    format!("<note>{extra}{what}{duration}{ties}<voice>{voice}</voice>{notations}</note>\n")
}

/// Reads a document.
#[track_caller]
pub(super) fn read_text(text: &str) -> Import {
    let file = InputFile { name: String::from("test.musicxml"), bytes: text.as_bytes().to_vec() };
    read(&[file], &Watch::default()).unwrap()
}

/// Reads parts in the compact text.
#[track_caller]
pub(super) fn read_parts(parts: &[&str]) -> Import {
    read_text(&document(parts))
}

/// The diagnostics but for those that small tests always cause: no tempo, no meter.
pub(super) fn findings(import: &Import) -> Vec<&Diagnostic> {
    let usual = [Code::TempoAssumed, Code::MeterMissing];
    import.diagnostics.iter().filter(|found| !usual.contains(&found.code)).collect()
}
