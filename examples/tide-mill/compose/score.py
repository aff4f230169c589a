"""A movement being written: its bars, and what every part plays in them.

Owns the rule that every voice fills its bars exactly.  Knows the notation, the
parts and the meters, but neither MusicXML nor the tunes.
"""

from copy import copy
from dataclasses import dataclass, field, replace
from fractions import Fraction

from instruments import PART_KEYS
from meter import meter
from notation import Note, Sign, read
from pitch import interval

_NOTATABLE = [Fraction(n, 16) for n in (64, 56, 48, 32, 28, 24, 16, 14, 12, 8, 7, 6, 4, 3, 2, 1)]


@dataclass
class Bar:
    """One bar.  `number` is the printed one; 0 is a pickup."""

    number: int
    meter: object
    length: Fraction
    shown: bool
    implicit: bool = False
    key: int = None
    above: list = field(default_factory=list)
    left: dict = field(default_factory=dict)
    right: dict = field(default_factory=dict)


class Movement:
    """Six of these make the suite."""

    def __init__(self, number, title, file, key, mode, home=None):
        self.number, self.title, self.file = number, title, file
        self.key, self.mode = key, mode
        self.home = home or {}
        self.bars = []
        self.voices = {}
        self.multirests = {}

    # --- the frame ---------------------------------------------------------

    def bar_rows(self, *rows):
        """Appends bars: ("4/4", 8) or ("7/8", 3, "2+2+3")."""
        for text, count, *groups in rows:
            kind = meter(text, *groups)
            last = self.bars[-1].meter if self.bars else None
            for nth in range(count):
                number = self.bars[-1].number + 1 if self.bars else 1
                shown = nth == 0 and (last is None or last.text != text)
                self.bars.append(Bar(number, kind, kind.length, shown))

    def pickup(self, text, length):
        """The first, short bar; `length` in quarter notes."""
        self.bars.append(Bar(0, meter(text), Fraction(length), True, True))

    def bar(self, number):
        """The bar with that printed number."""
        return self.bars[self._index(number)]

    def _index(self, number):
        return number - self.bars[0].number

    def mark(self, number, text):
        """A rehearsal mark."""
        self.bar(number).above.append((Fraction(0), "rehearsal", text))

    def tempo(self, number, words="", unit=None, per_minute=None, at=0, about=False, equals=None, sound=None):
        """Tempo words and metronome; `equals` is the new unit of an equation whose old one is `unit`."""
        self.bar(number).above.append((Fraction(at), "tempo", {
            "words": words, "unit": unit, "per_minute": per_minute, "about": about,
            "equals": equals, "sound": sound}))

    def gradual(self, number, text, until, at=0, until_at=0):
        """rit. or accel. with a dashed line to its end."""
        self.bar(number).above.append((Fraction(at), "gradual", text))
        self.bar(until).above.append((Fraction(until_at), "gradual_end", ""))

    def above(self, number, kind, text="", at=0):
        """Words, jump or other sign over the score."""
        self.bar(number).above.append((Fraction(at), kind, text))

    def repeat(self, first, last, endings=()):
        """A repeat; `endings` are (from, to, numbers)."""
        self.bar(first).left["repeat"] = "forward"
        if not endings:
            self.bar(last).right["repeat"] = "backward"
        for nth, (begin, end, numbers) in enumerate(endings):
            self.bar(begin).left["ending"] = (numbers, "start")
            final = nth == len(endings) - 1
            self.bar(end).right["ending"] = (numbers, "discontinue" if final else "stop")
            if not final:
                self.bar(end).right["repeat"] = "backward"

    def multirest(self, part, number, count):
        """Draws that many bars of rest as one in this part."""
        self.multirests[part, number] = count

    # --- the notes ---------------------------------------------------------

    def put(self, parts, number, text, voice=1, up=None, stretch=1, flow=False):
        """Writes a line into one part or several, from a bar on.

        `up` transposes by an interval, `stretch` multiplies all values, `flow`
        lets notes cross bar lines (they are split and tied; the bar lines of the
        text then mean nothing)."""
        for part in parts.split():
            if part not in PART_KEYS:
                raise KeyError(part)
            _Writer(self, part, voice, up, Fraction(stretch), flow).write(number, text)

    def hold(self, number, sign):
        """A fermata on the last note or rest of the bar in all parts."""
        for part in PART_KEYS:
            voices = self.voices.get(part, {})
            for voice in voices or {1: None}:
                items = voices.get(voice, {}).get(number)
                if items is None:
                    if voice != 1:
                        continue
                    items = [Note((), None, self.bar(number).length)]
                    self.voices.setdefault(part, {}).setdefault(voice, {})[number] = items
                notes = [item for item in items if isinstance(item, Note)]
                if not any(mark in ("f", "fa", "fs") for mark in notes[-1].signs):
                    notes[-1].signs.append(sign)


class _Writer:
    """Lays one line into the bars of one voice."""

    def __init__(self, movement, part, voice, up, stretch, flow):
        self.movement, self.part, self.voice = movement, part, voice
        self.move, self.stretch, self.flow = interval(up), stretch, flow
        self.target = movement.voices.setdefault(part, {}).setdefault(voice, {})

    def where(self):
        return f"{self.movement.title}, {self.part}, bar {self.number}, voice {self.voice}"

    def write(self, number, text):
        self.number, self.filled, self.items = number, Fraction(0), []
        try:
            items = read(text)
        except ValueError as error:
            raise ValueError(f"{self.where()}: {error}") from error
        for item in items:
            if item == "|":
                if self.filled and not self.flow:
                    raise ValueError(f"{self.where()}: bar line after {self.filled} of {self.length()} quarters")
            elif isinstance(item, Sign):
                self.items.append(copy(item))
            else:
                self.add(item)
        if self.filled or any(isinstance(i, Note) for i in self.items):
            raise ValueError(f"{self.where()}: ends after {self.filled} of {self.length()} quarters")
        if self.items:
            self.target[self.number - 1].extend(self.items)

    def length(self):
        return self.movement.bar(self.number).length

    def add(self, note):
        if note.value is None:
            if self.filled:
                raise ValueError(f"{self.where()}: bar rest in the middle of a bar")
            self.items.append(replace(note, length=self.length(), signs=list(note.signs)))
            self.advance(self.length())
            return
        length = note.length * self.stretch
        moved = replace(note, pitches=tuple(p.moved(*self.move) for p in note.pitches),
                        value=note.value * self.stretch, length=length, signs=list(note.signs))
        room = self.length() - self.filled
        if length <= room:
            self.items.append(moved)
            if not moved.grace:
                self.advance(length)
            return
        if not self.flow or note.ratio:
            raise ValueError(f"{self.where()}: too long by {length - room} quarters")
        self.split(moved, room)

    def split(self, note, room):
        """A note over the bar line becomes tied notes."""
        left, first = note.length, True
        while left:
            room = self.length() - self.filled
            for value in pieces(min(left, room)):
                left -= value
                start = [s for s in note.signs if s != ")"] if first else []
                end = [s for s in note.signs if s == ")"] if not left else []
                self.items.append(replace(note, value=value, length=value, signs=start + end,
                                          tie=(bool(left) or note.tie) and not note.rest))
                first = False
                self.advance(value)

    def advance(self, length):
        self.filled += length
        if self.filled == self.length():
            if self.number in self.target:
                raise ValueError(f"{self.where()}: written twice")
            self.target[self.number] = self.items
            self.items, self.filled = [], Fraction(0)
            self.number += 1


def pieces(length):
    """A length as the fewest single written values, longest first."""
    out = []
    while length:
        value = next(v for v in _NOTATABLE if v <= length)
        out.append(value)
        length -= value
    return out
