"""Attacks of score files as music21 reads them, one JSON object a line.

Usage: music21_attacks.py [--cache FOLDER] [--corpus PATH ...] [--file NAME=FILE ...]

It owns the outside half of the comparison of ensembles: at which moment which parts begin a sound
together, at which sounding pitches.  The corpus is the one that is installed with music21; its files
are named by their paths in it.  A moment is the index of its bar and the offset in the bar in
quarters.  A head on which a tie ends begins nothing, and neither does a grace note.  Nothing that
music21 does is repaired here.
"""

import argparse
import hashlib
import json
import multiprocessing
import sys
import warnings
from pathlib import Path

from music21_facts import fraction, heads, heard, number, part_id, placed


def attacks_of(path):
    """The moments of one file: part id to the pitches that it begins there."""
    from music21 import converter

    score = converter.parse(path, format="musicxml", forceSource=True)
    score.toSoundingPitch(inPlace=True)
    moments = {}
    for part in score.parts:
        name = part_id(part)
        for bar, at, general in placed(part, "GeneralNote"):
            if general.isRest or general.duration.isGrace or not heard(general):
                continue
            for head in heads(general):
                pitch = getattr(head, "pitch", None)
                ended = head.tie is not None and head.tie.type in ("stop", "continue")
                if pitch is not None and not ended:
                    moments.setdefault((bar, at), {}).setdefault(name, []).append(pitch.ps)
    return [
        [bar, fraction(at), {name: sorted(map(number, keys)) for name, keys in parts.items()}]
        for (bar, at), parts in sorted(moments.items())
    ]


def one(job):
    """The JSON line of one file, from the cache when the same bytes were read before."""
    name, path, cache = job
    content = Path(path).read_bytes()
    kept = cache / (hashlib.sha256(content).hexdigest() + ".json") if cache else None
    if kept and kept.exists():
        moments = json.loads(kept.read_text(encoding="utf-8"))
    else:
        warnings.simplefilter("ignore")
        moments = attacks_of(path)
        if kept:
            kept.write_text(json.dumps(moments), encoding="utf-8")
    return json.dumps({"name": name, "path": str(path), "moments": moments})


def cache_folder(root):
    """A folder of its own for this version of music21 and of the scripts."""
    from music21 import VERSION_STR

    scripts = [Path(__file__), Path(__file__).with_name("music21_facts.py")]
    digest = hashlib.sha256(b"".join(script.read_bytes() for script in scripts)).hexdigest()[:12]
    folder = Path(root) / f"attacks-{VERSION_STR}-{digest}"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def main():
    """Reads the command line and prints the lines in the order of the files."""
    from music21 import common

    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cache", help="folder to keep results in")
    parser.add_argument("--corpus", nargs="*", default=[], help="files of the corpus")
    parser.add_argument("--file", nargs="*", default=[], help="NAME=FILE")
    arguments = parser.parse_args()
    cache = cache_folder(arguments.cache) if arguments.cache else None
    corpus = Path(common.getCorpusFilePath())
    jobs = [(f"corpus/{name}", corpus / name, cache) for name in arguments.corpus]
    for named in arguments.file:
        name, path = named.split("=", 1)
        jobs.append((name, Path(path), cache))
    with multiprocessing.Pool(2) as pool:
        for line in pool.imap(one, jobs, chunksize=1):
            sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
