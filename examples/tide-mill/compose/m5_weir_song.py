"""V. Weir song: cor anglais and harp, F major, D.C. al Fine.

The song (0-8), a darker verse for horn and violas (9-16), four bars of nine, and
the way back.
"""

from fractions import Fraction

from harmony import bass, broken, voices
from lines import bars_of, dress, together
from score import Movement
from tunes import WEIR, WEIR_CHORDS, WEIR_UP

DARK = ("d4h( e4q | f4h a4q) | g4q( f4 e4 | d4h.) | bb4h( a4q | g4h f4q) | e4q( f4 g4 | a4h.)")
DARK_CHORDS = "Dm:h. | Dm:h. | Gm:q Dm:q A7:q | Dm:h. | Bb:h. | C:h. | A7:h. | Dm/A:h A7:q"
NINE = ("d5q( eb5e f5q d5e c5q.) | bb4q( c5e d5q bb4e a4q.) | g4q( bb4e eb5q d5e d5q.) | f5q( e5e f5q d5e e5q.)")
NINE_CHORDS = "Bb:h. F:q. | Gm:h. Dm:q. | Eb:h. Bb:q. | C7sus4:h. C7:q."
BACK = "f5q.( g5e a5q | c6h a5q) | bb5q.( a5e g5q | g5h)"
BACK_CHORDS = "F:h. | Dm:h. | Gm7:h. | C7:h"


def compose():
    """The movement."""
    m = Movement(5, "Weir song", "5-weir-song", -1, "major", home={"ob2": "ca"})
    m.pickup("3/4", 1)
    m.bar_rows(("3/4", 16), ("9/8", 4), ("3/4", 4))
    m.bar(1).shown = False
    m.bar(24).length = Fraction(2)
    m.tempo(0, "Andantino semplice", "q", 63)
    m.tempo(9, "Poco più lento", "q", 56)
    m.tempo(17, "L'istesso tempo", "q", equals="q.", sound=84)
    m.tempo(21, "Tempo I", "q", 63)
    m.gradual(23, "poco rit.", 24, until_at=2)
    for number, text in ((9, "A"), (17, "B"), (21, "C")):
        m.mark(number, text)
    m.above(8, "fine", "Fine", at=2)
    m.bar(8).right["fermata"] = "square"
    m.bar(8).right["style"] = "light-light"
    m.above(24, "dacapo", "D.C. al Fine", at=1)
    _song(m)
    _dark(m)
    _nine(m)
    _back(m)
    return m


def _song(m):
    m.put("ob2", 0, '"Corno inglese solo" @p ' + WEIR_UP)
    m.put("ob2", 1, dress(WEIR, {3: "@<", 4: "@mp", 5: "@<", 6: "@mf", 7: "@>", 8: "@p"}) + " rq")
    m.put("harp", 1, "ped:00-/0000 @pp " + broken(WEIR_CHORDS, "0 1 2 3 2 1", "e", "a4") + " rq")
    m.put("harp", 1, bass(WEIR_CHORDS, 2) + " rq", voice=5)
    low, mid, _ = voices(WEIR_CHORDS, ["f3", "a3", "c4"], low=48)
    m.put("vn2", 1, '"con sord." @pp ' + voices(WEIR_CHORDS, ["c4"], low=55)[0] + " rq")
    m.put("va", 1, '"con sord." @pp ' + mid + " rq")
    m.put("vc", 1, '"con sord." @pp ' + low + " rq")
    m.put("db", 1, '"pizz." @pp ' + bass(WEIR_CHORDS, 2, "q rq rq") + " rq")
    m.put("vn1", 5, '"con sord., 1. Pult" @pp a5h.{o}~ | a5{o} | g5h{o} rq | R')


def _dark(m):
    m.put("hn12", 9, '"1. Solo" @mp ' + dress(DARK, {5: "@<", 6: "@mf", 7: "@>", 8: "@p"}))
    m.put("va", 9, '@p ' + dress(DARK, {5: "@<", 6: "@mf", 7: "@>", 8: "@p"}))
    low, mid, _ = voices(DARK_CHORDS, ["d3", "a3", "d4"], low=48)
    m.put("vn2", 9, dress(voices(DARK_CHORDS, ["d4", "f4"], low=55)[1], {1: "@pp"}, each="{t3}"))
    m.put("vc", 9, dress(bars_of(low, 1, 7) + " | d3h rq", {1: "@pp"}, each="{t3}"))
    m.put("db", 9, dress(bars_of(bass(DARK_CHORDS, 2), 1, 7) + " | a2h rq", {1: '"arco" @pp'}))
    m.put("cl2", 9, "@pp " + mid)
    m.put("bn12", 9, '"2." @pp ' + bass(DARK_CHORDS, 2))
    m.put("fl12", 13, '"I." @p d5h.( | e5 | c#5 | d5h c#5q)')
    m.put("timp", 15, '"in A, D" @ppp a2h.{tr}~ | a2h{tr} rq')


def _nine(m):
    m.put("fl12", 17, '"1." @mp ' + NINE)
    m.put("fl12", 17, '"2." ' + "bb4q( c5e d5q bb4e a4q.) | g4q( a4e bb4q g4e f4q.) | "
          "eb4q( g4e bb4q bb4e bb4q.) | c5q( c5e c5q bb4e bb4q.)", voice=2)
    m.put("cl1", 17, "@p " + broken(NINE_CHORDS, "0( 1 2)", "e", "f3"))
    m.put("harp", 17, dress(broken(NINE_CHORDS, "2 1 0", "e", "f4"), {
        1: "ped:00-/0000 @p", 3: "ped:00-/-000", 4: "ped:00-/0000"}))
    m.put("harp", 17, bass(NINE_CHORDS, 2), voice=5)
    m.put("vc", 17, '"pizz." @p ' + bars_of(bass(NINE_CHORDS, 2), 1, 3) + " | c2h. rq.")
    m.put("db", 17, '"pizz." @p ' + bass(NINE_CHORDS, 2))
    m.put("hn34", 17, "@pp " + together(*voices(NINE_CHORDS, ["f3", "d4"])))
    m.put("perc", 17, "@ppp rh. Tq. | R | rh. Tq. | R")


def _back(m):
    m.put("vn1", 21, '"Tutti, con sord., flautando" @pp ' + dress(BACK, {3: "@>"}) + "{f} @!")
    low, mid, high = voices(BACK_CHORDS, ["f3", "a3", "c4"], low=48)
    m.put("vn2", 21, '@pp ' + high + "{f}")
    m.put("va", 21, '@pp ' + mid + "{f}")
    m.put("vc", 21, '"arco" @pp ' + low + "{f}")
    m.put("db", 21, '@pp f2q rq rq | d2q rq rq | g2q rq rq | c3q rq{f}')
    m.put("ob2", 23, '"Solo" @pp rq rq c4q~ | c4h{f}')
    m.hold(24, "f")
