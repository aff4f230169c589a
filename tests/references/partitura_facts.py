"""Facts of score files as partitura reads them, one JSON object a line.

Usage: partitura_facts.py FILE...

It owns the second opinion of the reference comparison: where we and music21 read differently, what a
third reader says.  The facts have the names and the shape of those of music21_facts.py; what
partitura does not read is left out.
"""

import json
import sys
import warnings
from bisect import bisect_right
from fractions import Fraction


def fraction(value):
    """A length in quarters as text in lowest terms."""
    return str(Fraction(value).limit_denominator(65535))


class Clock:
    """Bars and quarters of a part, exact enough for positions in lowest terms."""

    def __init__(self, part):
        self.quarters = part.quarter_map
        self.bars = [(bar.start.t, bar.end.t) for bar in part.measures]
        self.starts = [start for start, _ in self.bars]

    def span(self, start, end):
        """The quarters between two points."""
        return Fraction(float(self.quarters(end) - self.quarters(start))).limit_denominator(65535)

    def lengths(self):
        """The length of every bar."""
        return [self.span(start, end) for start, end in self.bars]

    def place(self, point):
        """Bar index and offset of a point."""
        bar = max(bisect_right(self.starts, point) - 1, 0)
        return bar, self.span(self.starts[bar], point)


def part_facts(part):
    """The facts of one part."""
    from partitura import score

    clock = Clock(part)
    notes = list(part.iter_all(score.GenericNote, include_subclasses=True))
    heads = [note for note in notes if not isinstance(note, score.Rest)]
    full = [head for head in heads if not isinstance(head, score.GraceNote)]
    pitches = [head.midi_pitch for head in heads if isinstance(head, score.Note)]
    levels = part.iter_all(score.ConstantLoudnessDirection, include_subclasses=True)
    levels = sorted({(*clock.place(level.start.t), level.text) for level in levels})
    return clock, {
        "id": part.id,
        "notes": sum(head.tie_prev is None for head in full),
        "graces": len(heads) - len(full),
        "lowest": min(pitches, default=None),
        "highest": max(pitches, default=None),
        "sounding_quarters": fraction(sum(clock.span(head.start.t, head.end.t) for head in full)),
        "levels": [[bar, fraction(at), text] for bar, at, text in levels],
    }


def tempo_marks(parts):
    """The places and numbers, in quarters a minute, of all tempo numbers."""
    from partitura import score, utils

    marks = set()
    for part in parts:
        clock = Clock(part)
        for mark in part.iter_all(score.Tempo):
            tempo = utils.music.to_quarter_tempo(mark.unit or "q", mark.bpm)
            marks.add((*clock.place(mark.start.t), round(float(tempo), 3)))
    return [[bar, fraction(at), tempo] for bar, at, tempo in sorted(marks)]


def played_bars(parts):
    """How many bars the first part plays with its repeats."""
    from partitura import score

    try:
        return len(list(score.unfold_part_maximal(parts[0]).measures))
    except Exception:  # it fails in many ways on what it does not understand
        return None


def facts_of(path):
    """The facts of one file."""
    import partitura

    parts = list(partitura.load_score(path).parts)
    read = [part_facts(part) for part in parts]
    bars = [clock.lengths() for clock, _ in read]
    count = max(map(len, bars), default=0)
    lengths = [max(own[bar] for own in bars if bar < len(own)) for bar in range(count)]
    return {
        "bars": count,
        "lengths": [fraction(length) for length in lengths],
        "tempi": tempo_marks(parts),
        "played": played_bars(parts),
        "parts": [facts for _, facts in read],
    }


def main():
    """Prints the facts of the files on the command line, in their order."""
    warnings.simplefilter("ignore")
    for path in sys.argv[1:]:
        try:
            facts = facts_of(path)
        except Exception as error:  # a file that partitura refuses is a fact too
            facts = {"refused": f"{type(error).__name__}: {error}"}
        print(json.dumps({"path": path, **facts}), flush=True)


if __name__ == "__main__":
    main()
