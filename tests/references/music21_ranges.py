"""The lowest notes of music21's instruments as they sound, one JSON object: class name to MIDI number.

Usage: music21_ranges.py

music21 states the lowest note as it is written for the player; what sounds is that note moved by the
transposition of the same class.
"""

import inspect
import json


def main():
    """Prints the lowest note of every instrument class that states one."""
    from music21 import instrument

    lowest = {}
    for name, kind in inspect.getmembers(instrument, inspect.isclass):
        if not issubclass(kind, instrument.Instrument):
            continue
        made = kind()
        written = getattr(made, "lowestNote", None)
        if written is not None:
            moved = made.transposition.semitones if made.transposition else 0
            lowest[name] = int(written.midi + moved)
    print(json.dumps(lowest))


if __name__ == "__main__":
    main()
