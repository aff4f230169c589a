//! The compressed form of a score: an archive with the document and a container file that names it,
//! as the MusicXML 4.0 tutorial "Compressed .MXL files" describes it.

use super::WriteError;
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const CONTAINER: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
    <container>\n <rootfiles>\n  <rootfile full-path=\"score.musicxml\" \
    media-type=\"application/vnd.recordare.musicxml+xml\"/>\n </rootfiles>\n</container>\n";

/// The archive of a document. Equal documents give equal bytes.
pub(super) fn compressed(document: &str) -> Result<Vec<u8>, WriteError> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let failed = |error: &dyn std::fmt::Display| WriteError::Archive(error.to_string());
    // The type of the file stands first and as it is, so that it can be seen from outside.
    let plain = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .last_modified_time(zip::DateTime::default());
    let packed = plain.compression_method(CompressionMethod::Deflated);
    let entries = [
        ("mimetype", plain, "application/vnd.recordare.musicxml"),
        ("META-INF/container.xml", packed, CONTAINER),
        ("score.musicxml", packed, document),
    ];
    for (name, options, text) in entries {
        archive.start_file(name, options).map_err(|error| failed(&error))?;
        archive.write_all(text.as_bytes()).map_err(|error| failed(&error))?;
    }
    archive.finish().map(Cursor::into_inner).map_err(|error| failed(&error))
}
