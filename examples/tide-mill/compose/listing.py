"""A movement on paper: what sounds in every bar, beat by beat, to read it through.

Owns no rule; it only helps the eye.
"""

from fractions import Fraction

from instruments import PARTS
from notation import Note
from pitch import STEPS


def sounding(movement, number):
    """(onset, length, pitch, part) of every note of a bar."""
    found = []
    for part in PARTS:
        for bars in movement.voices.get(part.key, {}).values():
            at = Fraction(0)
            for item in bars.get(number, []):
                if isinstance(item, Note):
                    found += [(at, item.length, p, part.key) for p in item.pitches]
                    at += item.length
    return found


def _letter(pitch):
    return STEPS[pitch.step] + ("#" * pitch.alter if pitch.alter > 0 else "b" * -pitch.alter)


def listing(movement):
    """One line a bar: its meter, then for every beat the bass and the other notes."""
    lines = []
    for bar in movement.bars:
        notes = sounding(movement, bar.number)
        cells, at = [], Fraction(0)
        while at < bar.length:
            here = sorted({(p.midi, _letter(p)) for on, length, p, _ in notes if on <= at < on + length})
            names = list(dict.fromkeys(name for _, name in here))
            cells.append("-".join(names[:1]) + ":" + " ".join(sorted(names[1:])) if names else ".")
            at += 1
        parts = sorted({key for *_, key in notes}, key=[p.key for p in PARTS].index)
        lines.append(f"{bar.number:3} {bar.meter.text:8} {' | '.join(cells)}   [{' '.join(parts)}]")
    return "\n".join(lines)
