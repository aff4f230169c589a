"""Validates score files against a MusicXML schema.

Usage: validate.py SCHEMA FILE...

It prints one line for every error, ``file:line: message``, and exits with 1 if there was one.  The
schemas that the given one imports are taken from the folder it lies in, never from elsewhere.
Compressed scores are validated by the entry that their container names first.
"""

import io
import sys
import zipfile
from pathlib import Path

from lxml import etree


class BesideTheSchema(etree.Resolver):
    """Finds an imported schema by its file name in one folder."""

    def __init__(self, folder):
        super().__init__()
        self.folder = folder

    def resolve(self, system_url, public_id, context):
        """The local file with the name that the address ends in."""
        return self.resolve_filename(str(self.folder / system_url.rsplit("/", 1)[-1]), context)


def schema_from(path):
    """The compiled schema."""
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(BesideTheSchema(Path(path).resolve().parent))
    return etree.XMLSchema(etree.parse(str(path), parser))


def content(path):
    """The bytes of the score, unpacked if it is an archive."""
    if not zipfile.is_zipfile(path):
        return Path(path).read_bytes()
    with zipfile.ZipFile(path) as archive:
        container = etree.fromstring(archive.read("META-INF/container.xml"))
        first = next(node for node in container.iter("{*}rootfile"))
        return archive.read(first.get("full-path"))


def main(arguments):
    """Validates every file and returns the exit code."""
    if len(arguments) < 2:
        sys.stderr.write("usage: validate.py SCHEMA FILE...\n")
        return 2
    schema = schema_from(arguments[0])
    parser = etree.XMLParser(no_network=True, load_dtd=False, resolve_entities=False)
    found = 0
    for path in arguments[1:]:
        try:
            errors = []
            if not schema.validate(etree.parse(io.BytesIO(content(path)), parser)):
                errors = list(schema.error_log)
        except etree.XMLSyntaxError as error:
            errors = list(error.error_log)
        for error in errors:
            sys.stdout.write(f"{path}:{error.line}: {error.message}\n")
        found += len(errors)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
