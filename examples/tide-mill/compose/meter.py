"""Meters: how long a bar is and how its beats group.

Owns the reading of `6/8`, `2+2+3/8` and `2/4+3/8`; lengths are in quarter notes.
"""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Meter:
    """`pairs` are (beats as printed, beat type); `groups` are lengths for beams."""

    text: str
    pairs: tuple
    length: Fraction
    groups: tuple


def _groups(beats, unit):
    if "+" in beats:
        return [Fraction(4 * int(part), unit) for part in beats.split("+")]
    count = int(beats)
    if unit == 8 and count % 3 == 0:
        return [Fraction(3, 2)] * (count // 3)
    if unit == 8:
        raise ValueError(f"{beats}/8 needs its groups spelled out")
    return [Fraction(4, unit)] * count


def meter(text, groups=None):
    """Reads a meter; `groups` (e.g. "2+2+3") groups the beams of a plain 7/8."""
    pairs, lengths = [], []
    for part in text.replace("/8+", "/8 ").replace("/4+", "/4 ").split():
        beats, unit = part.split("/")
        pairs.append((beats, int(unit)))
        lengths += _groups(groups or beats, int(unit))
    return Meter(text, tuple(pairs), sum(lengths), tuple(lengths))
