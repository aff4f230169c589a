//! Pitch: spelling, what sounds, transposition, octave lines. Sources: MEI 5 guidelines, chapter 4,
//! and the elements and attributes named.

use super::*;

#[track_caller]
fn check(text: &str, expected: &[(&str, f64)]) -> Import {
    let import = read_text(text);
    let expected: Vec<(String, f64)> =
        expected.iter().map(|(name, key)| ((*name).to_owned(), *key)).collect();
    assert_eq!(pitches(&import), expected, "{text}");
    import
}

fn quarters(notes: &[&str]) -> String {
    notes.iter().map(|note| format!("<note dur='4' {note}/>")).collect()
}

/// pname and oct are those of scientific pitch notation; accid is printed, accid.ges sounds.
#[test]
fn sounding_alterations_count_before_printed_ones() {
    let layer = quarters(&[
        "pname='c' oct='4'",
        "pname='f' oct='4' accid.ges='s'",
        "pname='f' oct='4' accid='n' accid.ges='s'",
        "pname='b' oct='3' accid='f'",
    ]);
    check(&bars(&[&layer]), &[("C4", 60.0), ("F#4", 66.0), ("F#4", 66.0), ("Bb3", 58.0)]);
}

/// Accidentals as children; quarter tones.
#[test]
fn accidentals_may_be_elements() {
    let layer = "<note dur='4' pname='c' oct='4'><accid accid='s'/></note>\
                 <note dur='4' pname='d' oct='4'><accid accid.ges='f'/></note>\
                 <note dur='4' pname='e' oct='4'><supplied><accid accid='1qf'/></supplied></note>\
                 <note dur='4' pname='g' oct='4'><accid accid='x'/></note>";
    check(&bars(&[layer]), &[("C#4", 61.0), ("Db4", 61.0), ("E-4", 63.5), ("G##4", 69.0)]);
}

/// In a file without any accid.ges, notes are read as from paper: the signature, then accidentals of
/// the bar for their own octave, up to the barline (common practice).
#[test]
fn without_stated_alterations_signature_and_bar_count() {
    let first = quarters(&[
        "pname='f' oct='4'",
        "pname='f' oct='4' accid='n'",
        "pname='f' oct='4'",
        "pname='f' oct='5'",
    ]);
    let second = quarters(&["pname='f' oct='4'", "pname='g' oct='4'"]);
    let text = bars(&[&first, &format!("{second}<rest dur='2'/>")]);
    let import = check(
        &text.replace("lines=", "keysig='1s' lines="),
        &[("F#4", 66.0), ("F4", 65.0), ("F4", 65.0), ("F#5", 78.0), ("F#4", 66.0), ("G4", 67.0)],
    );
    assert_eq!(codes(&import), ["alteration-implied"]);
    // One stated alteration anywhere means that the others are stated too.
    let layer = quarters(&["pname='f' oct='4'", "pname='f' oct='4' accid.ges='s'"]);
    let text = bars(&[&format!("{layer}<rest dur='2'/>")]).replace("lines=", "keysig='1s' lines=");
    check(&text, &[("F4", 65.0), ("F#4", 66.0)]);
}

/// keySig with keyAccid: a signature of its own accidentals.
#[test]
fn signatures_may_be_free() {
    let signature = "<keySig sig='mixed'><keyAccid pname='e' accid='f'/><keyAccid pname='f' accid='s'/></keySig>";
    let layer = quarters(&["pname='e' oct='4'", "pname='f' oct='4'", "pname='g' oct='4'"]);
    let text = bars(&[&format!("{layer}<rest dur='4'/>")])
        .replace("<label>", &format!("{signature}<label>"));
    let import = check(&text, &[("Eb4", 63.0), ("F#4", 66.0), ("G4", 67.0)]);
    let written = &import.score.movements[0].music[0].keys;
    let accidentals = vec![(crate::pitch::Step::E, -2), (crate::pitch::Step::F, 2)];
    assert_eq!(written[0].signature, crate::score::KeySignature::Free(accidentals));
}

/// "MEI always captures written pitches": trans.diat and trans.semi lead to what sounds. A clarinet
/// in B flat with two sharps plays in C (common practice).
#[test]
fn transposed_staves_sound_elsewhere() {
    let text = bars(&["<note dur='1' pname='d' oct='4'/>"])
        .replace("lines=", "trans.diat='-1' trans.semi='-2' keysig='2s' lines=");
    let import = check(&text, &[("D4", 60.0)]);
    assert_eq!(import.score.movements[0].keys[0].fifths, 0);
    let piccolo = bars(&["<note dur='1' pname='d' oct='4'/>"])
        .replace("lines=", "trans.diat='7' trans.semi='12' lines=");
    check(&piccolo, &[("D4", 74.0)]);
}

/// "Octave Shift": oct is what is written under the line; oct.ges, where it stands, is what sounds.
#[test]
fn octave_lines_move_what_is_under_them() {
    let note =
        |id: &str, more: &str| format!("<note xml:id='{id}' dur='4' pname='c' oct='5' {more}/>");
    let layer = [note("a", ""), note("b", ""), note("c", "oct.ges='6'"), note("d", "")].concat();
    let line = "<octave dis='8' dis.place='above' startid='#b' endid='#c'/>";
    check(
        &bars(&[&format!("{layer}|{line}")]),
        &[("C5", 72.0), ("C6", 84.0), ("C6", 84.0), ("C5", 72.0)],
    );
    let line = "<octave dis='15' dis.place='below' staff='1' tstamp='1' tstamp2='0m+3'/>";
    let layer = quarters(&["pname='c' oct='5'"; 4]);
    check(
        &bars(&[&format!("{layer}|{line}")]),
        &[("C3", 48.0), ("C3", 48.0), ("C5", 72.0), ("C5", 72.0)],
    );
}

/// A note with a place on the staff and no pitch is unpitched.
#[test]
fn notes_with_only_a_place_are_unpitched() {
    let import = read_bars(&["<note loc='4' dur='2'/><note dur='2' pname='h' oct='4'/>"]);
    assert!(notes(&import, 0).iter().all(|note| note.sounding.is_none()));
    assert_eq!(codes(&import), ["pitch-unreadable"]);
}

/// tie: i, m, t on notes; on a chord for the pitches that stay ("Ties, Slurs and Phrase Marks").
#[test]
fn ties_on_notes_and_chords() {
    let import = read_bars(&[
        "<note tie='i' dur='2' pname='c' oct='4'/><note tie='m' dur='2' pname='c' oct='4'/>",
        "<note tie='t' dur='1' pname='c' oct='4'/>",
    ]);
    assert_eq!(with_trait(&import, NoteTraits::TIED_ON), [0, 1]);
    assert_eq!(with_trait(&import, NoteTraits::CONTINUES), [1, 2]);
    let import = read_bars(&[
        "<chord tie='i' dur='2'><note pname='c' oct='4'/><note pname='e' oct='4'/></chord>\
         <chord tie='t' dur='2'><note pname='c' oct='4'/><note pname='f' oct='4'/></chord>",
    ]);
    assert_eq!(with_trait(&import, NoteTraits::TIED_ON), [0]);
    assert_eq!(with_trait(&import, NoteTraits::CONTINUES), [2]);
    assert_eq!(codes(&import), [] as [&str; 0]);
    let import = read_bars(&["<note tie='i' dur='1' pname='c' oct='4'/>"]);
    assert_eq!(codes(&import), ["tie-open"]);
}

/// The element tie joins the notes it names, or those at its beats.
#[test]
fn ties_beside_the_music() {
    let layer =
        "<note xml:id='a' dur='2' pname='c' oct='4'/><note xml:id='b' dur='2' pname='c' oct='4'/>";
    for tie in ["<tie startid='#a' endid='#b'/>", "<tie staff='1' tstamp='1' tstamp2='0m+3'/>"] {
        let import = read_bars(&[&format!("{layer}|{tie}")]);
        assert_eq!(with_trait(&import, NoteTraits::TIED_ON), [0], "{tie}");
        assert_eq!(with_trait(&import, NoteTraits::CONTINUES), [1], "{tie}");
        assert_eq!(codes(&import), [] as [&str; 0]);
    }
}
