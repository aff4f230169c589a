"""The lowest notes of music21's instruments as JSON: name, written MIDI number, semitones to what sounds.

Usage: music21_ranges.py

music21 does not say whether a lowest note is written or sounds; the test that calls this decides.
"""

import inspect
import json

from music21 import instrument

rows = []
for _, kind in inspect.getmembers(instrument, inspect.isclass):
    if not issubclass(kind, instrument.Instrument):
        continue
    one = kind()
    if getattr(one, "lowestNote", None) is None:
        continue
    sounds = one.transposition.semitones if one.transposition else 0
    rows.append({"name": kind.__name__, "lowest": int(one.lowestNote.ps), "sounds": int(sounds)})
print(json.dumps(rows))
