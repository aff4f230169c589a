//! Whole letters about small scores.

use super::*;

fn text(work: impl FnOnce(&mut Letter<'_, Vec<u8>>)) -> String {
    let mut out = Vec::new();
    work(&mut Letter::new(&mut out, false));
    String::from_utf8(out).unwrap()
}

fn opened(folder: &std::path::Path, name: &str, score: &str) -> Opened {
    let path = folder.join(name);
    barloom_core::store::replace(&path, score.as_bytes()).unwrap();
    Opened::of(&[path]).unwrap()
}

fn score(bars: &str) -> String {
    format!(
        "<score-partwise version=\"4.0\"><work><work-title>Mill Race</work-title></work>\
         <part-list><score-part id=\"P1\"><part-name>Flute</part-name></score-part>\
         </part-list><part id=\"P1\">\n{bars}</part></score-partwise>"
    )
}

#[test]
fn a_letter_says_what_was_read_what_was_found_and_what_was_done() {
    let folder = tempfile::tempdir().unwrap();
    let wedge = "<direction><direction-type><wedge type=\"crescendo\"/></direction-type>\
                 </direction>";
    let note = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration>\
                </note>";
    let bar = |n: u32, extra: &str| format!("<measure number=\"{n}\">{extra}{note}</measure>\n");
    let head = "<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type>\
                </time></attributes><sound tempo=\"60\"/>";
    let bars: String = (1..=30).map(|n| bar(n, if n == 1 { head } else { wedge })).collect();
    let work = opened(folder.path(), "mill race.xml", &score(&bars));
    let letter = text(|letter| {
        letter.work("mill race.xml", &work).unwrap();
        letter.summary().unwrap();
        assert!(!letter.has_losses());
    });
    assert!(
        letter.starts_with(
            "mill race.xml\n=============\n\u{201c}Mill Race\u{201d}: one movement of 30 bars, 1 \
         part.\n\nAltered or assumed:\n- A hairpin begins"
        ),
        "{letter}"
    );
    assert!(letter.contains("29 times:\n    Flute, bar 2 (mill race.xml:3:"), "{letter}");
    assert!(letter.contains("[hairpin-open]") && letter.contains("--explain hairpin-open"));
    assert!(letter.contains("and 24 more."), "{letter}");
    assert!(letter.contains("Nothing was lost in reading (0 errors, 29 warnings, 0 notes)"));
    assert!(letter.lines().all(|line| line.chars().count() <= WIDTH), "{letter}");
}

#[test]
fn a_kind_is_explained_once_in_a_letter() {
    let folder = tempfile::tempdir().unwrap();
    let bar = "<measure number=\"1\"><note><rest/><duration>4</duration></note></measure>";
    let work = opened(folder.path(), "a.xml", &score(bar));
    let letter = text(|letter| {
        letter.work("a.xml", &work).unwrap();
        letter.work("b.xml", &work).unwrap();
        letter.summary().unwrap();
    });
    assert_eq!(letter.matches("[meter-missing]").count(), 1, "{letter}");
    assert!(letter.contains("- Meter missing again:\n"), "{letter}");
    assert!(letter.contains("In all, 2 works with 2 bars were read."), "{letter}");
}

#[test]
fn what_cannot_be_read_is_said_and_counted() {
    let letter = text(|letter| {
        letter.unreadable("a.xml", "the file is damaged").unwrap();
        letter.left_aside(&[String::from("notes.txt")]).unwrap();
        letter.summary().unwrap();
        assert!(letter.has_losses());
    });
    assert!(letter.contains("This could not be read: the file is damaged."), "{letter}");
    assert!(letter.contains("Left aside") && letter.contains("notes.txt"), "{letter}");
}

#[test]
fn paragraphs_are_wrapped_with_their_indents() {
    let mut out = Vec::new();
    paragraph(&mut out, &"word ".repeat(40), 2, 4).unwrap();
    let text = String::from_utf8(out).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines.len() == 3 && lines[0].starts_with("  word") && lines[1].starts_with("    word"));
    assert!(lines.iter().all(|line| line.len() <= WIDTH));
}
