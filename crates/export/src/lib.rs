//! A [`StudyPlan`] on paper: PDF and PNG; and scores as MusicXML, in [`musicxml`].
//!
//! What a plan contains is decided before it comes here. Text, tables and pages are set by a
//! typesetting library; the bar grid and the beating figures are our own vectors, with positions in
//! points. User text reaches the typesetter as data, never as markup. Equal input gives equal bytes:
//! the date is an option, and no order comes from a hash map. Nothing here touches files.

mod document;
mod figures;
mod fonts;
pub mod musicxml;
mod options;
mod world;

pub use options::{ExportError, ExportOptions, Paper};

use barloom_analysis::compare::Sheet;
use barloom_analysis::plan::StudyPlan;
use typst::World;
use typst::diag::SourceDiagnostic;
use typst::foundations::{Datetime, Smart};
use typst::utils::Scalar;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, Timestamp};
use typst_render::RenderOptions;

/// A plan set in pages, ready for every format.
///
/// ```
/// use barloom_export::{ExportOptions, Typeset};
/// let plan = barloom_analysis::plan::StudyPlan::default();
/// let pages = Typeset::of(&plan, &ExportOptions::default())?;
/// assert!(pages.n_pages() >= 1);
/// # Ok::<(), barloom_export::ExportError>(())
/// ```
pub struct Typeset {
    document: PagedDocument,
    options: ExportOptions,
}

impl Typeset {
    /// Sets a plan.
    ///
    /// # Errors
    /// [`ExportError::Typesetting`] if the typesetter refuses, which no plan should bring about.
    pub fn of(plan: &StudyPlan, options: &ExportOptions) -> Result<Self, ExportError> {
        Self::set(&document::world(plan, options)?, options)
    }

    /// Sets two passages side by side.
    ///
    /// # Errors
    /// [`ExportError::Typesetting`] if the typesetter refuses, which no sheet should bring about.
    pub fn of_sheet(sheet: &Sheet, options: &ExportOptions) -> Result<Self, ExportError> {
        Self::set(&document::sheet::world(sheet, options)?, options)
    }

    fn set(world: &world::PlanWorld, options: &ExportOptions) -> Result<Self, ExportError> {
        let compiled = typst::compile::<PagedDocument>(world);
        // What was remembered for earlier documents would grow without end in a long session.
        typst::comemo::evict(3);
        // The template asks about pages only in its foot, so that it settles at once.
        debug_assert!(
            !compiled.warnings.iter().any(|warning| warning.message.contains("converge")),
            "the pages did not settle"
        );
        let document =
            compiled.output.map_err(|errors| ExportError::Typesetting(words(world, &errors)))?;
        Ok(Self { document, options: options.clone() })
    }

    /// How many pages, at least 1.
    pub fn n_pages(&self) -> usize {
        self.document.pages().len()
    }

    /// The pages as one tagged PDF with an outline.
    ///
    /// # Errors
    /// [`ExportError::Writing`] if the PDF cannot be written.
    pub fn pdf(&self) -> Result<Vec<u8>, ExportError> {
        let date = self
            .options
            .date
            .and_then(|(year, month, day)| Datetime::from_ymd_hms(year, month, day, 0, 0, 0));
        let options = PdfOptions {
            creator: Smart::Custom(Some(String::from("Barloom"))),
            timestamp: date.map(Timestamp::new_utc),
            ..PdfOptions::default()
        };
        typst_pdf::pdf(&self.document, &options).map_err(|errors| {
            let messages: Vec<String> =
                errors.iter().map(|error| error.message.to_string()).collect();
            ExportError::Writing(messages.join("; "))
        })
    }

    /// One page (0-based) as PNG, `None` past the end. `pixels_per_pt` is brought into 0.2 to 10.
    ///
    /// # Errors
    /// [`ExportError::Writing`] if the picture cannot be encoded.
    pub fn png_page(
        &self,
        page: usize,
        pixels_per_pt: f32,
    ) -> Option<Result<Vec<u8>, ExportError>> {
        let page = self.document.pages().get(page)?;
        let scale = if pixels_per_pt.is_finite() { pixels_per_pt.clamp(0.2, 10.0) } else { 2.0 };
        let options =
            RenderOptions { pixel_per_pt: Scalar::new(scale.into()), ..RenderOptions::default() };
        let picture = typst_render::render(page, &options);
        Some(picture.encode_png().map_err(|error| ExportError::Writing(error.to_string())))
    }

    /// All pages as PNG. `pixels_per_pt` is brought into 0.2 to 10.
    ///
    /// # Errors
    /// [`ExportError::Writing`] if a picture cannot be encoded.
    pub fn png(&self, pixels_per_pt: f32) -> Result<Vec<Vec<u8>>, ExportError> {
        (0..self.n_pages()).filter_map(|page| self.png_page(page, pixels_per_pt)).collect()
    }
}

/// A plan as PDF. To get several formats, set it once with [`Typeset::of`].
///
/// # Errors
/// See [`ExportError`].
pub fn pdf(plan: &StudyPlan, options: &ExportOptions) -> Result<Vec<u8>, ExportError> {
    Typeset::of(plan, options)?.pdf()
}

/// A plan as PNG, one picture a page. `pixels_per_pt` is brought into 0.2 to 10.
///
/// # Errors
/// See [`ExportError`].
pub fn png(
    plan: &StudyPlan,
    options: &ExportOptions,
    pixels_per_pt: f32,
) -> Result<Vec<Vec<u8>>, ExportError> {
    Typeset::of(plan, options)?.png(pixels_per_pt)
}

/// Errors of the typesetter in one line, each with the line of the template it came from.
fn words(world: &world::PlanWorld, errors: &[SourceDiagnostic]) -> String {
    let source = world.source(world.main()).ok();
    let line = |error: &SourceDiagnostic| {
        let source = source.as_ref()?;
        let range = typst::WorldExt::range(world, error.span)?;
        source.lines().byte_to_line(range.start)
    };
    let one = |error: &SourceDiagnostic| match line(error) {
        Some(line) => format!("{} (template line {})", error.message, line + 1),
        None => error.message.to_string(),
    };
    errors.iter().map(one).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests;
