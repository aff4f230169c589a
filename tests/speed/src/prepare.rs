//! Where everything lies, and what must be there before anything is measured.

use crate::{movements, synthetic};
use anyhow::{Context, Result, ensure};
use std::path::PathBuf;
use std::process::Command;

/// The movement that the synthetic score repeats, and the size of that score.
const REPEATED: &str = "Beach_Op.32_3";
const SYNTHETIC_BYTES: usize = 100_000_000;

/// A file to read, unpacked.
pub(crate) struct Input {
    pub(crate) name: String,
    pub(crate) path: PathBuf,
    pub(crate) is_synthetic: bool,
    n_bytes: usize,
}

impl Input {
    pub(crate) fn megabytes(&self) -> f64 {
        self.n_bytes as f64 / 1e6
    }
}

/// The folders.
pub(crate) struct Places {
    /// This workspace.
    home: PathBuf,
    /// For everything that is made, under the target folder.
    work: PathBuf,
    /// The open test data.
    data: PathBuf,
}

impl Places {
    pub(crate) fn find() -> Result<Self> {
        let home = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
        let data = std::env::var_os("BARLOOM_DATA").map(PathBuf::from);
        let data = data.context("BARLOOM_DATA must name the folder of the open test data")?;
        let target = std::env::var_os("CARGO_TARGET_DIR").map(PathBuf::from);
        let work = target.unwrap_or_else(|| home.join("../../target")).join("speed");
        std::fs::create_dir_all(&work)?;
        Ok(Self { home, work, data })
    }

    pub(crate) fn developers_md(&self) -> PathBuf {
        self.home.join("../../DEVELOPERS.md")
    }

    pub(crate) fn python(&self) -> PathBuf {
        self.work.join("python/bin/python")
    }

    pub(crate) fn readers_py(&self) -> PathBuf {
        self.home.join("readers.py")
    }

    /// Installs the Python libraries unless the wanted versions are there.
    pub(crate) fn install_python(&self) -> Result<()> {
        let wanted = self.home.join("requirements.txt");
        let installed = self.work.join("installed.txt");
        let text = std::fs::read_to_string(&wanted)?;
        if std::fs::read_to_string(&installed).is_ok_and(|known| known == text) {
            return Ok(());
        }
        eprintln!("installing the Python libraries");
        run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(self.work.join("python")))?;
        let pip = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-r"];
        run(Command::new(self.python()).args(pip).arg(&wanted))?;
        Ok(std::fs::write(installed, text)?)
    }

    /// The six movements by name, then the synthetic score.
    pub(crate) fn inputs(&self) -> Result<Vec<Input>> {
        let folder = self.data.join("orchestra");
        let mut inputs = Vec::new();
        let mut synthetic = None;
        for (name, bytes) in movements::packed(&folder) {
            let text = movements::unpacked(&bytes);
            let text = text.with_context(|| format!("{name} holds no score"))?;
            if name == REPEATED {
                synthetic = synthetic::of_size(&text, SYNTHETIC_BYTES);
            }
            inputs.push(self.input(name, false, &text)?);
        }
        ensure!(
            inputs.len() == 6,
            "{} holds {} movements, not six",
            folder.display(),
            inputs.len()
        );
        let text = synthetic.context("the movement to repeat is missing")?;
        inputs.push(self.input(String::from("synthetic"), true, &text)?);
        Ok(inputs)
    }

    fn input(&self, name: String, is_synthetic: bool, text: &str) -> Result<Input> {
        let path = self.work.join(format!("{name}.musicxml"));
        std::fs::write(&path, text)?;
        Ok(Input { name, path, is_synthetic, n_bytes: text.len() })
    }

    /// The versions of the libraries that are compared with, as `NAME VERSION`.
    pub(crate) fn versions(&self) -> Result<Vec<String>> {
        let lock = std::fs::read_to_string(self.home.join("Cargo.lock"))?;
        let mut versions = Vec::new();
        for name in ["roxmltree", "musicxml"] {
            let entry = format!("name = \"{name}\"\nversion = \"");
            let (_, behind) = lock.split_once(&entry).context("a library is not locked")?;
            let version = behind.split('"').next().unwrap_or_default();
            versions.push(format!("{name} {version}"));
        }
        let python = std::fs::read_to_string(self.home.join("requirements.txt"))?;
        versions.extend(python.lines().map(|line| line.replace("==", " ")));
        Ok(versions)
    }
}

fn run(command: &mut Command) -> Result<()> {
    let status = command.status()?;
    ensure!(status.success(), "{command:?} fails");
    Ok(())
}
