"""The compressed file: one document in a zip that is the same at every run.

Two zlib versions may pack the same text differently, so a file counts as fresh
when what is in it is the same: names, order, dates and contents.
"""

import io
import zipfile

_CONTAINER = """<?xml version="1.0" encoding="UTF-8"?>
<container>
 <rootfiles>
  <rootfile full-path="{name}" media-type="application/vnd.recordare.musicxml+xml"/>
 </rootfiles>
</container>
"""


def _add(archive, name, text, method):
    entry = zipfile.ZipInfo(name, (2020, 1, 1, 0, 0, 0))
    entry.compress_type = method
    entry.create_system = 3
    entry.external_attr = 0o644 << 16
    archive.writestr(entry, text.encode("utf-8"), compresslevel=9)


def package(name, document):
    """The bytes of the .mxl file; `name` is the document's name inside it."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        _add(archive, "mimetype", "application/vnd.recordare.musicxml", zipfile.ZIP_STORED)
        _add(archive, "META-INF/container.xml", _CONTAINER.format(name=name), zipfile.ZIP_DEFLATED)
        _add(archive, name, document, zipfile.ZIP_DEFLATED)
    return buffer.getvalue()


def same(one, other):
    """Whether two packages hold the same entries."""
    return _entries(one) == _entries(other)


def _entries(data):
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return [(entry.filename, entry.date_time, archive.read(entry)) for entry in archive.infolist()]
    except zipfile.BadZipFile:
        return None
