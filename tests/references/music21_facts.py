"""Facts of score files as music21 reads them, one JSON object a line.

Usage: music21_facts.py [--cache FOLDER] [--corpus] [NAME=FOLDER_OR_FILE ...]

It owns the outside half of the reference comparison: for every MusicXML file of music21's installed
corpus (``--corpus``) and of the folders given, what music21's own importer says about bars, meters,
notes and pitches.  It knows nothing of our reader; the comparison is made by the test that calls it.

The facts are counted by the rules that our facts command states: a head begins a sound unless a tie
ends on it; every head of a chord counts; grace heads are counted apart; pitches are sounding MIDI
numbers, grace notes included, heads without pitch left out; the sounding length is the sum of all
lengths, continuations included; an entrance is the first note of a bar that sounds after one that
does not; levels are counted once at one place; tempo marks are printed numbers; the played order is
what the repeat expander makes of the first part.  Nothing music21 does is repaired here: where it
follows another rule, the difference must show.
"""

import argparse
import hashlib
import json
import multiprocessing
import sys
import warnings
from fractions import Fraction
from pathlib import Path

ENDINGS = {".xml", ".mxl", ".musicxml"}
LEVELS = {"n", "pppppp", "ppppp", "pppp", "ppp", "pp", "p", "mp"}
LEVELS |= {level.replace("p", "f") for level in LEVELS - {"n"}}
# An accent after which another level holds counts as that level.
LEVELS_AFTER = {"fp": "p", "sfp": "p", "sfpp": "pp", "sfzp": "p"}


def fraction(value):
    """A length of music21 (whole, float or fraction) as text in lowest terms."""
    return str(Fraction(value).limit_denominator(65535))


def number(pitch):
    """A MIDI number as whole number where it is one, else with its quarter tone."""
    return int(pitch) if pitch == int(pitch) else pitch


def part_id(part):
    """The id the file gives the part (staves of one part share it), taken from its instrument."""
    from music21 import instrument

    for found in part.recurse().getElementsByClass(instrument.Instrument):
        if found.partId:
            return found.partId
    return str(part.id)


def heads(general):
    """Every single head of a note or chord."""
    return list(general.notes) if general.isChord or hasattr(general, "notes") else [general]


def add_notes(part, facts):
    """Adds the notes of one staff or part, already at sounding pitch, to the part's facts."""
    length = Fraction(0)
    for general in part.recurse().notes:
        if not heard(general):
            continue
        grace = general.duration.isGrace
        for head in heads(general):
            pitch = getattr(head, "pitch", None)
            if pitch is not None:
                facts["pitches"].append(pitch.ps)
            if grace:
                facts["graces"] += 1
                continue
            length += Fraction(general.duration.quarterLength).limit_denominator(65535)
            if head.tie is None or head.tie.type not in ("stop", "continue"):
                facts["notes"] += 1
    facts["sounding"] += length


def heard(general):
    """Whether a note or chord sounds in its part: chord symbols do not."""
    from music21 import harmony

    return not isinstance(general, harmony.Harmony)


def placed(part, kind):
    """Every object of a class in a part as (bar index, offset in the bar, object)."""
    from music21 import stream

    for index, bar in enumerate(part.getElementsByClass(stream.Measure)):
        for found in bar.recurse().getElementsByClass(kind):
            yield index, Fraction(found.getOffsetInHierarchy(bar)).limit_denominator(65535), found


def entrances(first_notes):
    """Of the first onset in every bar that sounds, those after a bar that does not."""
    return [
        [bar, fraction(first_notes[bar])] for bar in sorted(first_notes) if bar - 1 not in first_notes
    ]


def add_sounding_bars(part, facts):
    """Adds the first onset of every bar in which a staff or part sounds."""
    for bar, at, general in placed(part, "GeneralNote"):
        if not general.isRest and heard(general):
            facts["first"][bar] = min(at, facts["first"].get(bar, at))


def add_levels(part, facts):
    """Adds the places of levels: accents of the sf family are none."""
    for bar, at, dynamic in placed(part, "Dynamic"):
        level = LEVELS_AFTER.get(dynamic.value, dynamic.value)
        if level in LEVELS:
            facts["levels"].add((bar, at, level))


def tempo_marks(parts):
    """The places and numbers, in quarters a minute, of all printed metronome marks."""
    marks = set()
    for part in parts:
        for bar, at, mark in placed(part, "MetronomeMark"):
            if mark.number is not None and not mark.numberImplicit:
                marks.add((bar, at, round(mark.getQuarterBPM(), 3)))
    return [[bar, fraction(at), number(tempo)] for bar, at, tempo in sorted(marks)]


def played_bars(score):
    """How many bars are played when repeats and jumps are followed; None where music21 sees none or
    cannot follow them."""
    from music21 import repeat, stream

    parts = list(score.parts)
    if not parts:
        return None
    try:
        expander = repeat.Expander(parts[0])
        if not expander.isExpandable():
            return None
        return len(expander.process().getElementsByClass(stream.Measure))
    except Exception:  # the expander refuses what it does not understand in many ways
        return None


def end_of(bar):
    """Where the last note or rest of a bar ends; directions placed beyond it do not lengthen a bar."""
    ends = [Fraction(0)]
    for general in bar.recurse().notesAndRests:
        end = Fraction(general.getOffsetInHierarchy(bar)) + Fraction(general.duration.quarterLength)
        ends.append(end.limit_denominator(65535))
    return max(ends)


def bars_of(parts):
    """The length and the meter of every bar: the longest part counts, the first part's meter."""
    from music21 import meter, stream

    lengths, meters = [], []
    for part in parts:
        current = None
        for index, bar in enumerate(part.getElementsByClass(stream.Measure)):
            if index == len(lengths):
                lengths.append(Fraction(0))
                meters.append(None)
            lengths[index] = max(lengths[index], end_of(bar))
            signatures = bar.getElementsByClass((meter.TimeSignature, meter.SenzaMisuraTimeSignature))
            for signature in signatures:
                if signature.offset == 0:
                    current = getattr(signature, "ratioString", "senza misura")
            if meters[index] is None:
                meters[index] = current
    return [fraction(length) for length in lengths], meters


def facts_of(path):
    """The facts of one file."""
    from music21 import converter

    score = converter.parse(path, format="musicxml", forceSource=True)
    lengths, meters = bars_of(score.parts)
    tempi = tempo_marks(score.parts)
    played = played_bars(score)
    score.toSoundingPitch(inPlace=True)
    parts = {}
    for part in score.parts:
        empty = {"notes": 0, "graces": 0, "pitches": [], "sounding": Fraction(0)}
        facts = parts.setdefault(part_id(part), empty | {"first": {}, "levels": set()})
        add_notes(part, facts)
        add_sounding_bars(part, facts)
        add_levels(part, facts)
    return {
        "bars": len(lengths),
        "lengths": lengths,
        "meters": meters,
        "tempi": tempi,
        "played": played,
        "parts": [
            {
                "id": name,
                "notes": facts["notes"],
                "graces": facts["graces"],
                "lowest": number(min(facts["pitches"])) if facts["pitches"] else None,
                "highest": number(max(facts["pitches"])) if facts["pitches"] else None,
                "sounding_quarters": fraction(facts["sounding"]),
                "entrances": entrances(facts["first"]),
                "levels": [[bar, fraction(at), level] for bar, at, level in sorted(facts["levels"])],
            }
            for name, facts in parts.items()
        ],
    }


def one(job):
    """The JSON line of one file, from the cache when the same bytes were read before."""
    name, path, cache = job
    content = Path(path).read_bytes()
    kept = cache / (hashlib.sha256(content).hexdigest() + ".json") if cache else None
    if kept and kept.exists():
        facts = json.loads(kept.read_text(encoding="utf-8"))
    else:
        warnings.simplefilter("ignore")
        try:
            facts = facts_of(path)
        except Exception as error:  # a file music21 refuses is a fact too
            facts = {"refused": f"{type(error).__name__}: {error}"}
        if kept:
            kept.write_text(json.dumps(facts), encoding="utf-8")
    return json.dumps({"name": name, "path": str(path), **facts})


def score_files(root):
    """All score files under a folder in a stable order, or the file itself."""
    root = Path(root)
    if root.is_file():
        return [root]
    return sorted(path for path in root.rglob("*") if path.suffix.lower() in ENDINGS)


def cache_folder(root):
    """A folder of its own for this version of music21 and of this script."""
    from music21 import VERSION_STR

    script = hashlib.sha256(Path(__file__).read_bytes()).hexdigest()[:12]
    folder = Path(root) / f"music21-{VERSION_STR}-{script}"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def jobs_from(arguments):
    """The files asked for, each with the short name it has in the table of differences."""
    roots = list(arguments.roots)
    if arguments.corpus:
        from music21 import common

        roots.insert(0, f"corpus={common.getCorpusFilePath()}")
    cache = cache_folder(arguments.cache) if arguments.cache else None
    for root in roots:
        label, folder = root.split("=", 1)
        for path in score_files(folder):
            inside = path.relative_to(folder).as_posix() if path != Path(folder) else ""
            yield f"{label}/{inside}".rstrip("/"), path, cache


def main():
    """Reads the command line and prints the lines in the order of the files."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cache", help="folder to keep results in")
    parser.add_argument("--corpus", action="store_true", help="all MusicXML files of the corpus")
    parser.add_argument("roots", nargs="*", help="NAME=FOLDER or NAME=FILE")
    jobs = list(jobs_from(parser.parse_args()))
    with multiprocessing.Pool(2) as pool:
        for line in pool.imap(one, jobs, chunksize=1):
            sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
