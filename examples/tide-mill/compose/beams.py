"""Beams inside the groups of the meter.

Owns which notes of a bar are beamed together; returns for each item index the
beam values of its levels, outermost first.
"""

from fractions import Fraction

from notation import Note


def _levels(note):
    value, levels = note.value, 0
    while value is not None and value < 1:
        value, levels = value * 2, levels + 1
    return levels


def beams(items, bar):
    """Item index -> list of "begin", "continue", "end", "forward hook", "backward hook"."""
    edges, edge = [], Fraction(0)
    for length in bar.meter.groups:
        edge += length
        edges.append(edge)
    offset = bar.meter.length - bar.length
    runs, run, group, at = [], [], None, offset
    for nth, item in enumerate(items):
        if not isinstance(item, Note) or item.grace:
            continue
        here = next((i for i, end in enumerate(edges) if at < end), len(edges))
        levels = 0 if item.rest or item.value is None else _levels(item)
        if levels == 0 or here != group:
            runs.append(run)
            run = []
        if levels:
            run.append((nth, levels))
        group = here
        at += item.length if item.length is not None else 0
    runs.append(run)
    found = {}
    for run in runs:
        if len(run) > 1:
            found.update(_beam_run(run))
    return found


def _beam_run(run):
    found = {}
    for place, (nth, levels) in enumerate(run):
        before = run[place - 1][1] if place else 0
        after = run[place + 1][1] if place + 1 < len(run) else 0
        values = []
        for level in range(1, levels + 1):
            if before >= level and after >= level:
                values.append("continue")
            elif after >= level:
                values.append("begin")
            elif before >= level:
                values.append("end")
            else:
                values.append("backward hook" if before else "forward hook")
        found[nth] = values
    return found
