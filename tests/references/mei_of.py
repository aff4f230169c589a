"""The same music in MEI, one JSON object a line for each MusicXML file.

Usage: mei_of.py --cache FOLDER [--corpus] [--every N] [NAME=FOLDER_OR_FILE ...]

verovio (a published engraving library that reads MusicXML and writes MEI) converts every file; what
it writes is kept in the cache, named by the file's content.  A line says the short name of the file,
its path, and the path of the conversion, or null where verovio does not convert it.  With
``--corpus`` every N-th file of music21's installed corpus is taken.

Nothing of the conversion is repaired here: what it loses must show in the comparison.
"""

import argparse
import hashlib
import json
import multiprocessing
import subprocess
import sys
from pathlib import Path

from music21_facts import score_files

CONVERT = """
import sys, verovio
verovio.enableLog(verovio.LOG_OFF)
toolkit = verovio.toolkit()
if not toolkit.loadFile(sys.argv[1]):
    sys.exit(1)
with open(sys.argv[2], "w", encoding="utf-8") as out:
    out.write(toolkit.getMEI())
"""


def convert(job):
    """The JSON line of one file; converted in a process of its own, which may fall."""
    name, path, cache = job
    content = Path(path).read_bytes()
    kept = cache / (hashlib.sha256(content).hexdigest() + ".mei")
    failed = kept.with_suffix(".failed")
    if not kept.exists() and not failed.exists():
        made = kept.with_suffix(".part")
        run = subprocess.run(
            [sys.executable, "-c", CONVERT, str(path), str(made)], capture_output=True, check=False
        )
        if run.returncode == 0 and made.exists():
            made.rename(kept)
        else:
            failed.touch()
    return json.dumps({"name": name, "path": str(path), "mei": str(kept) if kept.exists() else None})


def cache_folder(root):
    """A folder of its own for this version of verovio."""
    import verovio

    version = verovio.toolkit().getVersion()
    folder = Path(root) / f"verovio-{version}"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def jobs_from(arguments):
    """The files asked for, each with the short name it has in the table of differences."""
    cache = cache_folder(arguments.cache)
    roots = [(root.split("=", 1), 1) for root in arguments.roots]
    if arguments.corpus:
        from music21 import common

        roots.insert(0, (("corpus", str(common.getCorpusFilePath())), arguments.every))
    for (label, folder), every in roots:
        for path in score_files(folder)[::every]:
            inside = path.relative_to(folder).as_posix() if path != Path(folder) else ""
            yield f"{label}/{inside}".rstrip("/"), path, cache


def main():
    """Reads the command line and prints the lines in the order of the files."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cache", required=True, help="folder to keep conversions in")
    parser.add_argument("--corpus", action="store_true", help="files of the corpus")
    parser.add_argument("--every", type=int, default=1, help="take every N-th file of the corpus")
    parser.add_argument("roots", nargs="*", help="NAME=FOLDER or NAME=FILE")
    jobs = list(jobs_from(parser.parse_args()))
    with multiprocessing.Pool(2) as pool:
        for line in pool.imap(convert, jobs, chunksize=1):
            sys.stdout.write(line + "\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
