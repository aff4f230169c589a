//! Settings of the program and recent files: kept as RON where the system keeps settings, never in
//! a study. Damage or a missing file means the defaults.

mod recent;
mod thresholds;

pub use recent::{Recent, RecentFile};
pub use thresholds::{SECTIONS, Section, Threshold, Thresholds};

use crate::model::view_state::{TrackRow, ViewState};
use barloom_core::store::{self, StoreError};
use barloom_export::Paper;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// How the desk is lit.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub enum Light {
    /// As the system says.
    #[default]
    System,
    /// Ink on paper.
    Light,
    /// Chalk on slate.
    Dark,
}

/// Settings of the program.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Light or dark.
    pub light: Light,
    /// Ink and paper only, no tones.
    pub contrast: bool,
    /// Factor on all text sizes, 0.7 to 2.
    pub text_scale: f32,
    /// Bars of equal width.
    pub equal_bars: bool,
    /// The names of the track rows that are not shown.
    pub hidden_rows: BTreeSet<String>,
    /// The names of the track rows that are thin.
    pub thin_rows: BTreeSet<String>,
    /// Whether the figure of the beating is drawn in the side panel.
    pub figure: bool,
    /// Who marks: the author of new entries.
    pub author: String,
    /// The name of the paper that the plan is printed on.
    pub paper: String,
    /// The thresholds of the proposals.
    pub thresholds: Thresholds,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            light: Light::System,
            contrast: false,
            text_scale: 1.0,
            equal_bars: false,
            hidden_rows: BTreeSet::new(),
            thin_rows: names(&TrackRow::THIN.into()),
            figure: true,
            author: String::new(),
            paper: Paper::default().name().to_owned(),
            thresholds: Thresholds::default(),
        }
    }
}

impl Settings {
    /// The paper of the plan; the usual one for a name that nobody knows.
    pub fn paper(&self) -> Paper {
        Paper::from_name(&self.paper).unwrap_or_default()
    }

    /// The hidden rows as rows; names of rows that no longer exist are left out.
    pub fn hidden(&self) -> BTreeSet<TrackRow> {
        rows(&self.hidden_rows)
    }

    /// The thin rows as rows.
    pub fn thin(&self) -> BTreeSet<TrackRow> {
        rows(&self.thin_rows)
    }

    /// Keeps how the rows of a view are shown.
    pub fn keep_rows(&mut self, view: &ViewState) {
        self.hidden_rows = names(&view.hidden_rows);
        self.thin_rows = names(&view.thin_rows);
    }
}

fn rows(kept: &BTreeSet<String>) -> BTreeSet<TrackRow> {
    TrackRow::ALL.into_iter().filter(|row| kept.contains(row.name())).collect()
}

fn names(rows: &BTreeSet<TrackRow>) -> BTreeSet<String> {
    rows.iter().map(|row| row.name().to_owned()).collect()
}

/// Where settings and data lie. Tests use folders of their own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Folders {
    /// Settings and recent files.
    pub config: PathBuf,
    /// Journals and the copy of the example suite.
    pub data: PathBuf,
}

impl Folders {
    /// Where the system keeps such things; the present folder when it names no home.
    pub fn of_system() -> Self {
        match directories::ProjectDirs::from("", "", "barloom") {
            Some(dirs) => Self {
                config: dirs.config_dir().to_path_buf(),
                data: dirs.data_local_dir().to_path_buf(),
            },
            None => Self { config: PathBuf::from("."), data: PathBuf::from(".") },
        }
    }

    /// Both inside one folder.
    pub fn inside(folder: &Path) -> Self {
        Self { config: folder.join("config"), data: folder.join("data") }
    }

    /// Where recovery journals lie.
    pub fn journals(&self) -> PathBuf {
        self.data.join("journals")
    }

    /// Where the example suite is copied to.
    pub fn example(&self) -> PathBuf {
        self.data.join("The Tide Mill")
    }

    fn settings(&self) -> PathBuf {
        self.config.join("settings.ron")
    }

    fn recent(&self) -> PathBuf {
        self.config.join("recent.ron")
    }

    /// Whether the program was never started here, which is true once: the list of recent files is
    /// begun by asking.
    pub fn begin_first_start(&self) -> bool {
        !store::is_file(&self.recent()) && self.save_recent(&Recent::default()).is_ok()
    }

    /// The settings; the defaults where there are none or they cannot be read.
    pub fn load_settings(&self) -> Settings {
        let mut settings: Settings = load(&self.settings()).unwrap_or_default();
        settings.text_scale = settings.text_scale.clamp(0.7, 2.0);
        settings
    }

    /// Keeps the settings.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn save_settings(&self, settings: &Settings) -> Result<(), StoreError> {
        self.save(&self.settings(), settings)
    }

    /// The recent files.
    pub fn load_recent(&self) -> Recent {
        load(&self.recent()).unwrap_or_default()
    }

    /// Keeps the recent files.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn save_recent(&self, recent: &Recent) -> Result<(), StoreError> {
        self.save(&self.recent(), recent)
    }

    fn save<T: Serialize>(&self, path: &Path, value: &T) -> Result<(), StoreError> {
        store::make_folder(&self.config)?;
        let pretty = ron::ser::PrettyConfig::new();
        // Plain structs of texts and numbers always serialize.
        let text = ron::ser::to_string_pretty(value, pretty).unwrap_or_default();
        store::replace(path, text.as_bytes())
    }
}

/// The largest settings file that is read, in bytes.
const MAX_BYTES: u64 = 1 << 20;

fn load<T: for<'a> Deserialize<'a>>(path: &Path) -> Option<T> {
    let bytes = store::read(path, MAX_BYTES).ok()?;
    ron::from_str(std::str::from_utf8(&bytes).ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::view_state::RowShow;

    #[test]
    fn settings_are_read_as_they_were_kept_and_damage_means_the_defaults() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders::inside(folder.path());
        assert_eq!(folders.load_settings(), Settings::default());
        let mut settings = Settings { light: Light::Dark, text_scale: 1.25, ..Settings::default() };
        let mut view = ViewState::default();
        view.show_row(TrackRow::Texture, RowShow::Hidden);
        view.show_row(TrackRow::Meter, RowShow::Thin);
        settings.keep_rows(&view);
        folders.save_settings(&settings).unwrap();
        assert_eq!(folders.load_settings(), settings);
        assert_eq!(settings.hidden(), BTreeSet::from([TrackRow::Texture]));
        assert_eq!(settings.thin(), BTreeSet::from([TrackRow::Meter]));
        store::replace(&folders.settings(), b"(light: ").unwrap();
        assert_eq!(folders.load_settings(), Settings::default());
    }

    #[test]
    fn settings_of_another_version_keep_what_is_known() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders::inside(folder.path());
        store::make_folder(&folders.config).unwrap();
        store::replace(&folders.settings(), b"(contrast: true, text_scale: 9.0)").unwrap();
        let settings = folders.load_settings();
        assert!(settings.contrast);
        assert_eq!(settings.text_scale, 2.0);
        assert_eq!(settings.paper(), Paper::A4);
    }

    #[test]
    fn the_first_start_is_the_first_once() {
        let folder = tempfile::tempdir().unwrap();
        let folders = Folders::inside(folder.path());
        assert!(folders.begin_first_start());
        assert!(!folders.begin_first_start());
    }
}
