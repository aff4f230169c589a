"""Writes the six movements of The Tide Mill, or checks them.

    python3 main.py           writes the .mxl files beside this folder
    python3 main.py --check   checks ranges, full bars, and that the files are
                              what this program writes; exit code 1 if not
    python3 main.py --print 3 prints what sounds in a movement, beat by beat
"""

import sys
from pathlib import Path

# nothing may appear in the folder but what the program is asked to write
sys.dont_write_bytecode = True

import listing
import m1_low_water
import m2_wheel
import m3_lock_gates
import m4_eel_market
import m5_weir_song
import m6_spring_tide
from check import problems
from musicxml import document
from package import package, same

SUITE = {"title": "The Tide Mill, a suite for orchestra", "composer": "Ansa Verholt",
         "rights": "CC0 1.0 Universal: no rights reserved"}
ROMAN = ("I", "II", "III", "IV", "V", "VI")
WRITERS = (m1_low_water, m2_wheel, m3_lock_gates, m4_eel_market, m5_weir_song, m6_spring_tide)
FOLDER = Path(__file__).resolve().parent.parent


def files(movements):
    """(path, bytes) of every movement."""
    for movement in movements:
        suite = dict(SUITE, roman=ROMAN[movement.number - 1])
        yield FOLDER / f"{movement.file}.mxl", package(f"{movement.file}.musicxml", document(movement, suite))


def main(words):
    """Runs the program; returns its exit code."""
    movements = [writer.compose() for writer in WRITERS]
    if words[:1] == ["--print"]:
        print(listing.listing(movements[int(words[1]) - 1]))
        return 0
    faults = [fault for movement in movements for fault in problems(movement)]
    if faults:
        print("\n".join(faults), file=sys.stderr)
        return 1
    if words == ["--check"]:
        stale = [path.name for path, data in files(movements)
                 if not (path.is_file() and same(path.read_bytes(), data))]
        for name in stale:
            print(f"{name}: not what this program writes", file=sys.stderr)
        return 1 if stale else 0
    if words:
        print(__doc__, file=sys.stderr)
        return 2
    for path, data in files(movements):
        path.write_bytes(data)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
