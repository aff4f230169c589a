"""Chords to lines: the accompaniments of the suite.

Owns chord names (`Dm7`, `F#dim`, `G/D`) and two ways of scoring a row of
chords: voices that move as little as they can, and broken figures.  A row is
`"Dm:w | G7:h C:h"`: chord (`r` for a rest), colon, value, bar lines.  All results are lines of
the compact notation.
"""

from itertools import product

from notation import value_of
from pitch import SEMITONES, STEPS, Pitch, pitch

_QUALITIES = {
    "": "1 3 5", "m": "1 b3 5", "dim": "1 b3 b5", "aug": "1 3 #5", "5": "1 5",
    "7": "1 3 5 b7", "m7": "1 b3 5 b7", "maj7": "1 3 5 7", "dim7": "1 b3 b5 bb7",
    "m7b5": "1 b3 b5 b7", "sus4": "1 4 5", "sus2": "1 2 5", "7sus4": "1 4 5 b7",
    "6": "1 3 5 6", "m6": "1 b3 5 6", "9": "1 3 5 b7 2", "m9": "1 b3 5 b7 2",
    "add9": "1 3 5 2", "#11": "1 3 5 #4", "maj7#11": "1 3 #4 7",
}


def _root(text):
    step = STEPS.index(text[0])
    alter = text[1:].count("#") - text[1:].count("b") if len(text) > 1 else 0
    return Pitch(step, alter, 4)


def chord(name):
    """(bass, tones) as spelled pitches in octave 4; the bass is first in the tones or the slash note."""
    name, _, bass = name.partition("/")
    cut = 2 if name[1:2] in ("#", "b") and not name[1:].startswith("b5") else 1
    root = _root(name[:cut])
    tones = []
    for degree in _QUALITIES[name[cut:]].split():
        alter = degree.count("#") - degree.count("b")
        number = int(degree.lstrip("#b")) - 1
        tones.append(root.moved(number, SEMITONES[number] + alter))
    return (_root(bass) if bass else root), tones


def row(text):
    """Reads a row into (chord name, value text) and "|"."""
    out, value = [], None
    for token in text.split():
        if token == "|":
            out.append("|")
            continue
        name, _, new = token.partition(":")
        value = new or value
        out.append((name, value))
    return out


def _candidates(tones, low, high):
    found = []
    for tone in tones:
        for octave in range(0, 9):
            p = Pitch(tone.step, tone.alter, octave)
            if low <= p.midi <= high:
                found.append(p)
    return sorted(found, key=lambda p: p.midi)


def _cost(before, after, tones):
    cost = sum(abs(a.midi - b.midi) for a, b in zip(after, before))
    present = {(p.step, p.alter) for p in after}
    for nth, tone in enumerate(tones):
        if (tone.step, tone.alter) not in present:
            cost += (4, 12, 2, 8, 6)[nth]
    for i, low in enumerate(after):
        for j in range(i + 1, len(after)):
            gap, was = after[j].midi - low.midi, before[j].midi - before[i].midi
            if gap <= 0:
                cost += 40
            if gap % 12 in (0, 7) and gap % 12 == was % 12 and low != before[i]:
                cost += 7
    return cost


def voices(text, start, reach=9, spread=14, figure=None, low=0):
    """Lines for as many voices as `start` has pitches (lowest first), led smoothly.

    `figure` scores each chord in repeated values: "e'" repeats staccato eighths.
    No voice goes below the MIDI number `low`."""
    now = [pitch(p) for p in start]
    bounds = [(max(low, p.midi - spread), p.midi + spread) for p in now]
    lines, last = [[] for _ in now], None
    for entry in row(text):
        if entry == "|":
            for line in lines:
                line.append("|")
            continue
        name, value = entry
        if name == "r":
            for line in lines:
                line.append("r" + value)
            continue
        _, tones = chord(name)
        if name != last:
            options = [[c for c in _candidates(tones, lo, hi) if abs(c.midi - p.midi) <= reach]
                       for p, (lo, hi) in zip(now, bounds)]
            now = min(product(*options), key=lambda pick: (_cost(now, pick, tones), [p.midi for p in pick]))
            last = name
        for line, p in zip(lines, now):
            line.append(_fill(p.name, value, figure))
    return [" ".join(line) for line in lines]


def bass(text, octave, figure=None, low=None):
    """The bass notes of a row in one octave (`low`: the lowest MIDI number allowed)."""
    out = []
    for entry in row(text):
        if entry == "|":
            out.append("|")
            continue
        name, value = entry
        if name == "r":
            out.append("r" + value)
            continue
        p = chord(name)[0]
        p = Pitch(p.step, p.alter, octave)
        if low is not None and p.midi < low:
            p = Pitch(p.step, p.alter, octave + 1)
        out.append(_fill(p.name, value, figure))
    return " ".join(out)


def _fill(name, value, figure):
    if not figure:
        return name + value
    count, out = value_of(value), []
    steps = figure.split()
    nth = 0
    while count > 0:
        step = steps[nth % len(steps)]
        body = step[1:] if step.startswith("r") else step
        out.append(("r" if step.startswith("r") else name) + body)
        count -= value_of(_value_part(body))
        nth += 1
    if count < 0:
        raise ValueError(f"figure {figure} does not fit {value}")
    return " ".join(out)


def _value_part(text):
    end = 1
    while text[end:end + 1] == ".":
        end += 1
    return text[:end]


def broken(text, figure, unit, low):
    """A figure of chord-tone numbers over each chord: "0 1 2 3 2 1"; `r` rests, `_` no note sign.

    Tone numbers count upward from the first chord tone at or above `low`."""
    floor = pitch(low).midi
    steps, out = figure.split(), []
    for entry in row(text):
        if entry == "|":
            out.append("|")
            continue
        name, value = entry
        _, tones = chord(name)
        ladder = _candidates(tones, floor, floor + 48)
        count, nth = value_of(value), 0
        while count > 0:
            step = steps[nth % len(steps)]
            number = step[:1]
            marks = step[1:]
            out.append(("r" + unit) if step == "r" else ladder[int(number)].name + unit + marks)
            count -= value_of(_value_part(unit))
            nth += 1
        if count < 0:
            raise ValueError(f"figure {figure} does not fit {value}")
    return " ".join(out)
