"""The compact note notation in which the movements are written.

All pitches are sounding pitches.  A line is a row of tokens; `|` is a bar line
and is checked.

    c#4q.       pitch, octave, value (w h q e s t, dots); the value stays in
                force until another one is written
    c4+e4+g4h   chord               rq  rest           R  R*4  whole bars of rest
    Tq B+Cq     unpitched strokes (capital letters of the percussion table)
    g:d5s       grace note          3:2[ c4e d4 e4 ]   tuplet
    after a value:  ~ tie  ( ) slur  ' staccato  ! wedge  > accent  ^ strong accent
                    - tenuto  {...} other signs: tr t1 t2 t3 (tremolo strokes)
                    f fa fs (fermata, angled, square) , v (breath, tick) //
                    + (stopped) o (harmonic) gl( gl) sl( sl) up down arp
    @pp @sfz    level or accent below the note     @< @> hairpin   @<n @>n niente
                @! end of the hairpin; a level ends it too
    "con sord." words above         clef:C4   ins:picc   ped:0+0/0+00
"""

import re
from dataclasses import dataclass, field
from fractions import Fraction

from pitch import pitch

VALUES = {"w": Fraction(4), "h": Fraction(2), "q": Fraction(1), "e": Fraction(1, 2),
          "s": Fraction(1, 4), "t": Fraction(1, 8)}
_TOKEN = re.compile(r'"[^"]*"|\S+')
_NOTE = re.compile(r"(g:)?(r|[A-QS-Z](?:\+[A-QS-Z])*|[a-g](?:##|#|bb|b)?\d(?:\+[a-g](?:##|#|bb|b)?\d)*)"
                   r"([whqest]\.{0,2})?((?:[~()'!>^-]|\{[^}]*\})*)$")


@dataclass
class Note:
    """A note, chord or rest; `length` in quarter notes as it sounds.

    `value` is the written value before a tuplet; None stands for a rest of a
    whole bar, whatever its length."""

    pitches: tuple
    value: Fraction
    length: Fraction
    signs: list = field(default_factory=list)
    strokes: str = ""
    tie: bool = False
    grace: bool = False
    ratio: tuple = None
    tuplet: str = ""

    @property
    def rest(self):
        return not self.pitches and not self.strokes


@dataclass
class Sign:
    """Something that stands at a moment: level, hairpin, words, clef, change."""

    kind: str
    text: str


class NotationError(ValueError):
    """A token that cannot be read, with the token in the message."""


def _marks(text):
    signs, tie = [], False
    for mark in re.findall(r"[~()'!>^-]|\{[^}]*\}", text or ""):
        if mark == "~":
            tie = True
        else:
            signs.append(mark.strip("{}"))
    return signs, tie


def value_of(text):
    """`q.` -> 3/2."""
    base = VALUES[text[0]]
    dots = len(text) - 1
    return base * (2 - Fraction(1, 2 ** dots))


class Reader:
    """Turns one line into items: Note, Sign, or "|"."""

    def __init__(self):
        self.value = None
        self.ratio = None
        self.open_tuplet = False

    def read(self, text):
        items = []
        for token in _TOKEN.findall(text):
            if token == "|":
                items.append("|")
            elif token == "R" or token.startswith("R*"):
                count = int(token[2:] or 1) if "*" in token else 1
                for nth in range(count):
                    items.extend(["|"] if nth else [])
                    items.append(Note((), None, None))
            else:
                items.extend(self._token(token, items))
        return items

    def _token(self, token, items):
        if token.startswith('"'):
            return [Sign("words", token.strip('"'))]
        if token.startswith("@"):
            kind = "hairpin" if token[1] in "<>!" else "level"
            return [Sign(kind, token[1:])]
        for kind in ("clef", "ins", "ped"):
            if token.startswith(kind + ":"):
                return [Sign(kind, token[len(kind) + 1:])]
        if re.match(r"\d+:\d+\[$", token):
            self.ratio = tuple(int(n) for n in token[:-1].split(":"))
            self.open_tuplet = True
            return []
        if token == "]":
            items[-1].tuplet += "stop"
            self.ratio = None
            return []
        return [self._note(token)]

    def _note(self, token):
        match = _NOTE.match(token)
        if not match:
            raise NotationError(f"cannot read {token!r}")
        grace, what, value, marks = match.groups()
        if value and not grace:
            self.value = value_of(value)
        written = value_of(value or "e") if grace else self.value
        if written is None:
            raise NotationError(f"no value yet at {token!r}")
        signs, tie = _marks(marks)
        length = Fraction(0) if grace else written
        if self.ratio and not grace:
            length = written * self.ratio[1] / self.ratio[0]
        pitches = tuple(pitch(p) for p in what.split("+")) if what != "r" and what[0].islower() else ()
        strokes = what.replace("+", "") if what[0].isupper() else ""
        note = Note(pitches, written, length, signs, strokes, tie, bool(grace), None if grace else self.ratio)
        if self.open_tuplet and not grace:
            note.tuplet, self.open_tuplet = "start", False
        return note


def read(text):
    """Reads one line of notation."""
    return Reader().read(text)
