"""Reads a score with a library and prints what that took, as `WALL_MS CPU_MS PEAK_KIB`.

    python readers.py LIBRARY FILE

The library is loaded before the clock starts; the peak of memory is that of the whole process, with
the interpreter and the library.
"""

import resource
import sys
import time
import warnings


def reader(library):
    """A function that reads a file, with all that it needs loaded."""
    if library == "music21":
        from music21 import converter

        # The cache of parsed files would answer from the second time on.
        return lambda path: converter.parse(path, format="musicxml", forceSource=True)
    if library == "partitura":
        import partitura

        return partitura.load_musicxml
    if library == "verovio":
        import verovio

        verovio.enableLog(verovio.LOG_OFF)
        toolkit = verovio.toolkit()
        # Without line breaks, loading is reading and no laying out of pages.
        toolkit.setOptions({"breaks": "none"})

        def load(path):
            if not toolkit.loadFile(path):
                raise SystemExit(f"verovio cannot read {path}")

        return load
    raise SystemExit(f"no such library: {library}")


def main():
    library, path = sys.argv[1:]
    warnings.simplefilter("ignore")
    read = reader(library)
    wall, cpu = time.perf_counter(), time.process_time()
    score = read(path)
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"{wall * 1000:.3f} {cpu * 1000:.3f} {peak}")
    del score


main()
