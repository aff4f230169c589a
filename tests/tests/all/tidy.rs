//! Rules about the shape of the repository: which crate may know which, what the top level holds,
//! where file access, text formats and the window may appear.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::outside::root;

/// Package, folder, and the packages of ours it may depend on.
const CRATES: &[(&str, &str, &[&str])] = &[
    ("barloom-core", "crates/core", &[]),
    ("barloom-analysis", "crates/analysis", &["barloom-core"]),
    ("barloom-export", "crates/export", &["barloom-core", "barloom-analysis"]),
    ("barloom-sound", "crates/sound", &["barloom-core", "barloom-analysis"]),
    (
        "barloom-desk",
        "crates/desk",
        &["barloom-core", "barloom-analysis", "barloom-export", "barloom-sound"],
    ),
    (
        "barloom",
        "crates/barloom",
        &["barloom-core", "barloom-analysis", "barloom-export", "barloom-sound", "barloom-desk"],
    ),
    (
        "barloom-tests",
        "tests",
        &[
            "barloom-core",
            "barloom-analysis",
            "barloom-export",
            "barloom-sound",
            "barloom-desk",
            "barloom",
        ],
    ),
];

/// Everything the top level may show, besides dot files and the target folder.
const TOP_LEVEL: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE-APACHE",
    "LICENSE-MIT",
    "crates",
    "assets",
    "tests",
    "examples",
];

/// Libraries from outside that belong to the named folders alone.
const CONFINED: &[(&str, &[&str])] = &[
    ("egui", &["crates/desk"]),
    ("eframe", &["crates/desk", "crates/barloom"]),
    ("rfd", &["crates/desk"]),
    ("typst", &["crates/export"]),
    ("roxmltree", &["crates/core", "tests"]),
    ("zip", &["crates/core", "crates/export", "tests"]),
];

#[test]
fn crates_depend_only_along_the_arrows() {
    for (folder, manifest) in manifests() {
        let name = manifest["package"]["name"].as_str().unwrap();
        let row = CRATES.iter().find(|row| row.0 == name);
        let (_, home, allowed) =
            row.unwrap_or_else(|| panic!("{name} is not in the table of crates"));
        assert_eq!(&folder, home, "{name} lies in the wrong folder");
        for library in dependencies(&manifest) {
            if library.starts_with("barloom") {
                assert!(allowed.contains(&library.as_str()), "{name} must not know {library}");
            }
            for (confined, homes) in CONFINED {
                let is_it = library == *confined || library.starts_with(&format!("{confined}-"));
                assert!(!is_it || homes.contains(home), "{name} must not know {library}");
            }
        }
    }
}

#[test]
fn every_crate_inherits_the_lints_and_the_version() {
    for (folder, manifest) in manifests() {
        let inherited = |table: &str, key: &str| {
            let value = manifest.get(table).and_then(|table| table.get(key));
            let value = value.map(|value| value.get("workspace").unwrap_or(value));
            value.and_then(toml::Value::as_bool) == Some(true)
        };
        assert!(inherited("lints", "workspace"), "{folder} does not inherit the lints");
        for key in ["version", "edition", "rust-version", "license"] {
            assert!(inherited("package", key), "{folder} states its own {key}");
        }
        for key in ["dependencies", "dev-dependencies", "build-dependencies"] {
            let table = manifest.get(key).and_then(toml::Value::as_table).cloned();
            for (library, _) in table.unwrap_or_default() {
                assert!(inherited(key, &library), "{folder}: {library} is not from the workspace");
            }
        }
    }
}

#[test]
fn the_top_level_holds_exactly_this() {
    let entries = std::fs::read_dir(root()).unwrap();
    let names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let shown: BTreeSet<String> =
        names.filter(|name| !name.starts_with('.') && name != "target").collect();
    let wanted: BTreeSet<String> = TOP_LEVEL.iter().map(|name| (*name).to_owned()).collect();
    assert_eq!(shown, wanted);
}

#[test]
fn the_readme_and_the_continuous_check_run_the_same_command() {
    let text = |path: &str| std::fs::read_to_string(root().join(path)).unwrap();
    let readme = text("README.md");
    let mut blocks = readme.split("```\n").skip(1).step_by(2).map(str::trim);
    assert_eq!(blocks.next(), Some("cargo run --release"));
    let second = blocks.next().unwrap();
    assert_eq!(text(".ci/run").lines().last(), Some(second));
}

#[test]
fn every_source_file_says_what_it_owns() {
    for (path, text) in sources() {
        assert!(text.starts_with("//! "), "{path} does not open with //!");
    }
}

#[test]
fn only_the_store_and_the_rim_touch_files() {
    for (path, text) in sources() {
        let free = path.starts_with("crates/core/src/store/")
            || path.starts_with("crates/barloom/")
            || path.starts_with("tests/")
            || path.contains("/tests/")
            || path.contains("/benches/")
            || path.ends_with("/tests.rs");
        let touches = ["std::fs", "File::open", "File::create"];
        let found = touches.iter().find(|word| outside_tests(&text).contains(*word));
        assert!(free || found.is_none(), "{path} uses {}", found.unwrap_or(&""));
    }
}

#[test]
fn only_text_formats_know_serde() {
    let homes = ["sidecar", "settings", "facts", "theme"];
    for (path, text) in sources() {
        let stems = || path.split('/').map(|part| part.trim_end_matches(".rs"));
        let free = path.starts_with("tests/")
            || path.contains("/tests/")
            || path.starts_with("crates/export/")
            || path.contains("/benches/")
            || stems().any(|stem| homes.contains(&stem));
        let found = ["serde::", "serde_json::", "ron::"].iter().find(|word| {
            outside_tests(&text).lines().any(|line| {
                !line.trim_start().starts_with("//")
                    && line
                        .split(|c: char| !c.is_alphanumeric() && c != '_' && c != ':')
                        .any(|token| token.starts_with(*word))
            })
        });
        assert!(free || found.is_none(), "{path} uses {}", found.unwrap_or(&""));
    }
}

#[test]
fn no_file_names_a_folder_of_somebody_s_machine() {
    // Put together here so that this file does not name them.
    let folders = ["home", "root", "work", "Users"].map(|name| format!("/{name}/"));
    let endings = ["rs", "toml", "md", "py", "sh", "ron", "musicxml", "xml", "csv", "barloom"];
    for path in files(&endings) {
        let text = std::fs::read_to_string(root().join(&path)).unwrap();
        for folder in &folders {
            assert!(!text.contains(folder.as_str()), "{path} names {folder}");
        }
    }
}

#[test]
fn the_sources_that_the_developers_guide_names_exist() {
    let text = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let named: Vec<_> =
        text.split('`').skip(1).step_by(2).filter(|name| name.contains("/src/")).collect();
    assert!(named.len() > 5, "the guide names no sources");
    for name in named {
        let found = root().join("crates").join(name).exists() || root().join(name).exists();
        assert!(found, "DEVELOPERS.md names {name}, which does not exist");
    }
}

/// The text before the first test module: tests may use what they like.
fn outside_tests(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or(text)
}

/// Every member of the workspace: its folder and its manifest.
fn manifests() -> Vec<(String, toml::Table)> {
    let read = |folder: &str| -> toml::Table {
        let text = std::fs::read_to_string(root().join(folder).join("Cargo.toml")).unwrap();
        text.parse().unwrap()
    };
    let members = read("")["workspace"]["members"].as_array().unwrap().clone();
    let folders = members.iter().map(|member| member.as_str().unwrap().to_owned());
    let found: Vec<_> = folders.map(|folder| (folder.clone(), read(&folder))).collect();
    assert!(found.len() >= 6, "the workspace lost members");
    found
}

/// The names of all libraries of a manifest, of whatever kind.
fn dependencies(manifest: &toml::Table) -> BTreeSet<String> {
    let kinds = ["dependencies", "dev-dependencies", "build-dependencies"];
    let tables = kinds.iter().filter_map(|kind| manifest.get(*kind)?.as_table());
    tables.flat_map(|table| table.keys().cloned()).collect()
}

/// Every Rust source of the repository with its text.
fn sources() -> Vec<(String, String)> {
    let found: Vec<_> = files(&["rs"])
        .into_iter()
        .map(|path| (path.clone(), std::fs::read_to_string(root().join(&path)).unwrap()))
        .collect();
    assert!(found.len() > 10, "the sources were not found");
    found
}

/// Paths, relative to the root, of the files with one of these endings.
fn files(endings: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> = vec![root()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap();
            if name.starts_with('.') || name == "target" {
                continue;
            }
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| endings.iter().any(|e| ending == *e)) {
                found.push(relative(&path));
            }
        }
    }
    found.sort();
    found
}

fn relative(path: &Path) -> String {
    path.strip_prefix(root()).unwrap().to_str().unwrap().replace('\\', "/")
}

/// The document of findings is made from the table of codes; `BARLOOM_UPDATE=1` writes it again.
#[test]
fn the_document_of_findings_is_fresh() {
    let path = root().join("assets/findings.md");
    let text = barloom_core::diag::document();
    if std::env::var_os("BARLOOM_UPDATE").is_some() {
        barloom_core::store::replace(&path, text.as_bytes()).unwrap();
    }
    let stored = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(stored, text, "set BARLOOM_UPDATE=1 and run this test to renew assets/findings.md");
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    assert!(readme.contains("assets/findings.md"), "README.md does not lead to the findings");
}
