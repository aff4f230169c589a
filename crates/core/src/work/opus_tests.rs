//! Opus files on the disk, and findings of movements that the study has elsewhere.

use super::*;
use crate::arrange::{join_edit, reorder_edit};
use crate::bar::MovementId;
use crate::diag::Code;
use crate::import::Watch;
use crate::store;
use crate::study::IdMaker;

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.0.path().canonicalize().unwrap().join(name);
        store::make_folder(path.parent().unwrap()).unwrap();
        store::replace(&path, text.as_bytes()).unwrap();
        path
    }

    /// Bars of four quarters, the last with a hairpin that never ends.
    fn score(&self, name: &str, n_bars: usize) -> PathBuf {
        let note =
            "<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>";
        let bars: String = (1..=n_bars)
            .map(|n| {
                let head = "<attributes><divisions>1</divisions><time><beats>4</beats>\
                            <beat-type>4</beat-type></time></attributes><sound tempo=\"60\"/>";
                let head = if n == 1 { head } else { "" };
                let wedge = "<direction><direction-type><wedge type=\"crescendo\"/>\
                             </direction-type></direction>";
                let wedge = if n == n_bars { wedge } else { "" };
                format!("<measure number=\"{n}\">{head}{wedge}{note}</measure>\n")
            })
            .collect();
        let text = format!(
            "<score-partwise><movement-title>{name}</movement-title><part-list>\
             <score-part id=\"P1\"><part-name>Flute</part-name></score-part></part-list>\
             <part id=\"P1\">\n{bars}</part></score-partwise>"
        );
        self.write(name, &text)
    }

    fn opus(&self, items: &str) -> PathBuf {
        let text = format!(
            "<opus version=\"4.0\" xmlns:xlink=\"http://www.w3.org/1999/xlink\">\
             <title>Mill Suite</title>\n{items}</opus>"
        );
        self.write("opus.xml", &text)
    }
}

fn opened(paths: &[PathBuf]) -> Result<Work, OpenError> {
    open(paths, &Replacements::new(), &mut IdMaker::seeded(1), 0, &Watch::default())
}

/// Movement, bar and file of every open hairpin.
fn hairpins(work: &Work) -> Vec<(usize, u32, String)> {
    let all = work.all_diagnostics();
    let found = all.into_iter().filter(|found| found.code == Code::HairpinOpen);
    found
        .map(|found| {
            let place = found.place;
            (place.movement.unwrap(), place.bar.unwrap().0.0, place.file)
        })
        .collect()
}

/// `opus` of MusicXML 4.0, beside its scores.
#[test]
fn an_opus_file_opens_what_it_lists_in_its_order() {
    let folder = Folder::new();
    let (one, two) = (folder.score("one.xml", 3), folder.score("part 2/two.xml", 2));
    let opus = folder.opus(
        "<score xlink:href=\"part%202/two.xml\"/><score xlink:href=\"one.xml\" new-page=\"yes\"/>",
    );
    let work = opened(std::slice::from_ref(&opus)).unwrap();
    assert_eq!(work.source_paths, [two.clone(), one.clone()]);
    assert_eq!(work.study.title, "Mill Suite");
    let lengths: Vec<usize> = work.read.movements.iter().map(|m| m.bars.len()).collect();
    assert_eq!(lengths, [2, 3]);
    assert_eq!(listed(&opus), Some(vec![two, one.clone()]));
    assert_eq!(listed(&one), None);
}

#[test]
fn an_opus_file_names_what_is_missing_and_does_not_leave_its_folder() {
    let folder = Folder::new();
    folder.score("one.xml", 1);
    let refused = |items: &str| opened(&[folder.opus(items)]).unwrap_err().to_string();
    let missing = refused("<score xlink:href=\"one.xml\"/>\n<score xlink:href=\"two.xml\"/>");
    assert!(missing.contains("the opus names \"two.xml\", which is not there"), "{missing}");
    assert!(missing.ends_with("opus.xml:3:1"), "{missing}");
    assert!(refused("<score xlink:href=\"../one.xml\"/>").contains("leads out"));
    assert!(refused("<opus-link xlink:href=\"opus.xml\"/>").contains("without end"));
    #[cfg(unix)]
    {
        let outside = Folder::new();
        let target = outside.score("two.xml", 1);
        std::os::unix::fs::symlink(target, folder.0.path().join("link.xml")).unwrap();
        assert!(refused("<score xlink:href=\"link.xml\"/>").contains("leads out"));
    }
}

#[test]
fn findings_follow_movements_that_were_reordered_or_joined() {
    let folder = Folder::new();
    let mut work = opened(&[folder.score("one.xml", 3), folder.score("two.xml", 2)]).unwrap();
    let (one, two) = (String::from("one.xml"), String::from("two.xml"));
    assert_eq!(hairpins(&work), [(0, 2, one.clone()), (1, 1, two.clone())]);
    let order = [MovementId(2), MovementId(1)];
    work.study.apply(reorder_edit(&work.study, &order).unwrap()).unwrap();
    assert_eq!(hairpins(&work), [(1, 2, one.clone()), (0, 1, two.clone())]);
    // Joined by hand: the first is now the second half of the other.
    work.study.apply(join_edit(&work.study, MovementId(1)).unwrap()).unwrap();
    work.rebuild_basis();
    assert_eq!(hairpins(&work), [(0, 4, one), (0, 1, two)]);
    let joined = &work.basis.score.movements[0];
    let sources: Vec<usize> = (0..5).map(|bar| joined.source_of(BarIndex(bar))).collect();
    assert_eq!(sources, [1, 1, 0, 0, 0]);
}
