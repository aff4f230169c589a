//! What the typesetter may see: one template, the plan as data, the drawings, our fonts. No disk, no
//! network, no clock.

use crate::fonts;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

static LIBRARY: LazyLock<LazyHash<Library>> =
    LazyLock::new(|| LazyHash::new(<Library as LibraryExt>::default()));

/// The world of one plan.
pub(crate) struct PlanWorld {
    main: Source,
    files: BTreeMap<String, Bytes>,
}

impl PlanWorld {
    /// A world with a template and the files it reads, by absolute path ("/plan.json"). `None` if the
    /// template's own path is refused.
    pub(crate) fn new(template: &str, files: BTreeMap<String, Bytes>) -> Option<Self> {
        let path = VirtualPath::new("/main.typ").ok()?;
        let id = RootedPath::new(VirtualRoot::Project, path).intern();
        Some(Self { main: Source::new(id, template.to_owned()), files })
    }
}

impl World for PlanWorld {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        fonts::STORE.book()
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::NotSource) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = id.get().vpath().get_with_slash();
        let file = self.files.get(path).cloned();
        file.ok_or_else(|| FileError::NotFound(path.into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        fonts::STORE.font(index)
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
