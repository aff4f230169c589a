//! Paths of studies and sources as texts that any system reads.

use crate::sidecar::EXTENSION;
use std::path::{Component, Path, PathBuf};

/// A path as it is written into a study in `folder`: relative where there is a way, with forward
/// slashes. Both are absolute.
pub fn relative_path(folder: &Path, target: &Path) -> String {
    let from: Vec<Component<'_>> = folder.components().collect();
    let to: Vec<Component<'_>> = target.components().collect();
    let n_shared = from.iter().zip(&to).take_while(|(a, b)| a == b).count();
    let text = |component: &Component<'_>| component.as_os_str().to_string_lossy().into_owned();
    if n_shared == 0 {
        return target.to_string_lossy().replace('\\', "/");
    }
    let up = std::iter::repeat_n(String::from(".."), from.len() - n_shared);
    let words: Vec<String> = up.chain(to.iter().skip(n_shared).map(text)).collect();
    words.join("/")
}

/// The path of a source as a study in `folder` names it.
pub(super) fn source_path(folder: &Path, written: &str) -> PathBuf {
    let mut path = folder.to_path_buf();
    let written = Path::new(written);
    if written.is_absolute() {
        return written.to_path_buf();
    }
    for component in written.components() {
        match component {
            Component::ParentDir if path.parent().is_some() => {
                path.pop();
            }
            Component::CurDir => {}
            other => path.push(other),
        }
    }
    path
}

/// Where a new study is proposed: named after the work, beside the first of its score files.
pub fn proposed_path(title: &str, sources: &[PathBuf]) -> PathBuf {
    let first = sources.iter().find(|path| !path.as_os_str().is_empty());
    let stem = first.and_then(|path| path.file_stem()).map(|stem| stem.to_string_lossy());
    let title = if title.trim().is_empty() { stem.as_deref().unwrap_or("study") } else { title };
    // Signs that some system forbids in names.
    let allowed = |c: char| if "/\\:*?\"<>|".contains(c) || c.is_control() { '-' } else { c };
    let name: String = title.trim().chars().map(allowed).take(80).collect();
    let name = name.trim_matches(['.', ' ']).to_owned();
    let name = if name.is_empty() { String::from("study") } else { name };
    let folder = first.and_then(|path| path.parent()).unwrap_or(Path::new(""));
    folder.join(format!("{name}.{EXTENSION}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn relative_paths_lead_back() {
        for (folder, target, written) in [
            ("/a/b", "/a/b/suite.mxl", "suite.mxl"),
            ("/a/b", "/a/b/scores/suite.mxl", "scores/suite.mxl"),
            ("/a/b", "/a/c/suite.mxl", "../c/suite.mxl"),
            ("/a/b/c", "/suite.mxl", "../../../suite.mxl"),
        ] {
            assert_eq!(relative_path(Path::new(folder), Path::new(target)), written);
            assert_eq!(source_path(Path::new(folder), written), Path::new(target));
        }
    }

    #[test]
    fn proposed_names_are_allowed_everywhere() {
        let sources = [PathBuf::new(), PathBuf::from("/a/one.mxl")];
        assert_eq!(proposed_path("Six Rooms", &sources), Path::new("/a/Six Rooms.barloom"));
        assert_eq!(proposed_path(" a/b: c? ", &sources), Path::new("/a/a-b- c-.barloom"));
        assert_eq!(proposed_path("", &sources), Path::new("/a/one.barloom"));
        assert_eq!(proposed_path("..", &[]), Path::new("study.barloom"));
    }
}
