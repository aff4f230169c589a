"""Spelled pitches and intervals.

Owns the arithmetic of note names: a pitch is a step, an alteration and an
octave, and an interval moves all three, so that spelling survives
transposition.  Knows nothing of instruments or of MusicXML.
"""

import re
from dataclasses import dataclass

STEPS = "CDEFGAB"
SEMITONES = (0, 2, 4, 5, 7, 9, 11)
_PITCH = re.compile(r"([a-g])(##|#|bb|b)?(\d)$")
_ALTERS = {None: 0, "": 0, "#": 1, "##": 2, "b": -1, "bb": -2}
_SIZES = {"P1": (0, 0), "m2": (1, 1), "M2": (1, 2), "m3": (2, 3), "M3": (2, 4),
          "P4": (3, 5), "A4": (3, 6), "d5": (4, 6), "P5": (4, 7), "m6": (5, 8),
          "M6": (5, 9), "m7": (6, 10), "M7": (6, 11), "P8": (7, 12),
          "m9": (8, 13), "M9": (8, 14), "m10": (9, 15), "M10": (9, 16),
          "P11": (10, 17), "P12": (11, 19), "P15": (14, 24)}


@dataclass(frozen=True)
class Pitch:
    """One spelled pitch; `octave` 4 begins at middle C."""

    step: int
    alter: int
    octave: int

    @property
    def midi(self):
        """MIDI number, middle C = 60."""
        return 12 * (self.octave + 1) + SEMITONES[self.step] + self.alter

    @property
    def name(self):
        """The name in the notation of this program, e.g. `f#4`."""
        sign = "#" * self.alter if self.alter > 0 else "b" * -self.alter
        return f"{STEPS[self.step].lower()}{sign}{self.octave}"

    def moved(self, diatonic, chromatic):
        """This pitch moved by that many steps and semitones."""
        place = self.octave * 7 + self.step + diatonic
        octave, step = divmod(place, 7)
        alter = self.midi + chromatic - (12 * (octave + 1) + SEMITONES[step])
        return Pitch(step, alter, octave)

    def plain(self):
        """The same sound with at most one sharp or flat and no E sharp and the like."""
        for diatonic in (0, -1, 1):
            other = self.moved(diatonic, 0)
            if abs(other.alter) <= 1:
                return other
        return self


def pitch(text):
    """Reads `c4`, `f#3`, `bb5`."""
    match = _PITCH.match(text)
    if not match:
        raise ValueError(f"not a pitch: {text}")
    letter, sign, octave = match.groups()
    return Pitch(STEPS.index(letter.upper()), _ALTERS[sign], int(octave))


def interval(text):
    """Reads `P5`, `-M2`, `P8` as (steps, semitones)."""
    if not text:
        return 0, 0
    sign = -1 if text.startswith("-") else 1
    diatonic, chromatic = _SIZES[text.lstrip("-")]
    return sign * diatonic, sign * chromatic
