"""Scoring a row of chords for the whole heavy band.

Owns which part takes which voice in a tutti; movements add the tune.
"""

from harmony import bass, voices
from lines import dress, together


def brass_and_bass(m, number, row, signs, words=None, figure=None):
    """Horns, trombones, tuba, bassoons and the low strings on a row of chords.

    `signs` maps bars of the row to levels and hairpins, `words` parts to words."""
    words = words or {}

    def put(part, line):
        m.put(part, number, (words.get(part, "") + " " + dress(line, signs)).strip())

    one, two, three, four = voices(row, ["d3", "f3", "a3", "d4"], figure=figure, low=45)
    put("hn12", together(three, four))
    put("hn34", together(one, two))
    low_three = voices(row, ["a2", "d3", "f#3"], figure=figure, low=40)
    put("tb12", together(*low_three[1:]))
    put("tb3", low_three[0])
    low = bass(row, 2, figure, low=29)
    for part in ("tuba", "bn3", "vc", "db"):
        put(part, low)
    put("bn12", low)


def inner_strings(m, number, row, signs, each="{t3}", words=None):
    """Second violins and violas in chords of two, tremolo unless said otherwise."""
    words = words or {}
    one, two, three, four = voices(row, ["a3", "d4", "f4", "a4"], low=55)
    for part, line in (("va", together(one, two)), ("vn2", together(three, four))):
        m.put(part, number, (words.get(part, "") + " " + dress(line, signs, each)).strip())
