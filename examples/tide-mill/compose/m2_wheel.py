"""II. Wheel: in one, G mixolydian, with a trio in E minor.

The wheel goes round in the strings throughout; the tune sits on it.
"""

from harmony import bass, broken, voices
from lines import bars_of, dress, together
from score import Movement
from tunes import WHEEL, WHEEL_CHORDS, WHEEL_UP

TRIO = ("b3h.( | e4h f#4q) | g4h( f#4q | d4h.) | e4h( d4q | c4h g3q) | a3q( b3 c4 | b3h.) | "
        "b3h.( | e4h f#4q) | g4h( a4q | b4h.) | c5h( b4q | a4h f#4q) | e4h.~ | e4h rq")
TRIO_CHORDS = ("Em:h. | Em:h. | G:h. | Bm:h. | C:h. | C:h. | Am:h. | B7:h. | "
               "Em:h. | Em:h. | G:h. | Em:h. | Am:h. | B7:h. | Em:h. | Em:h.")


def compose():
    """The movement."""
    m = Movement(2, "Wheel", "2-wheel", 0, "mixolydian")
    m.pickup("3/4", 1)
    m.bar_rows(("3/4", 66))
    m.bar(1).shown = False
    m.tempo(0, "Presto, in one", "h.", 66)
    for number, text in ((17, "A"), (33, "B"), (41, "C"), (49, "D")):
        m.mark(number, text)
    m.gradual(57, "accel. poco a poco", 63)
    m.tempo(63, "Più presto", "h.", 76)
    m.bar(32).right["style"] = "light-light"
    m.bar(48).right["style"] = "light-light"
    m.bar(33).key, m.bar(49).key = 1, 0
    _first(m)
    _second(m)
    _trio(m)
    _last(m)
    return m


def _strings(m, number, level, more=None, last=None):
    """The turning wheel under sixteen bars of the tune."""
    more = more or {}
    wheel = broken(WHEEL_CHORDS, "0( 1 2 1 2 1)", "e", "g3")
    m.put("vn2", number, dress(bars_of(wheel, 1, 15) + f" | {last or bars_of(wheel, 16)}", {1: level, **more}))
    m.put("va", number, dress(broken(WHEEL_CHORDS, "2' r 1' r 0' r", "e", "c3"), {1: '"ord." ' + level, **more}))
    m.put("db", number, dress(bass(WHEEL_CHORDS, 2, "q rq rq"), {1: '"pizz." ' + level, **more}))


def _first(m):
    m.put("ob1", 0, '@p "Solo, leggiero" ' + WHEEL_UP)
    m.put("ob1", 1, dress(WHEEL, {9: "@mp", 13: "@>", 15: "@p"}))
    _strings(m, 1, "@pp")
    m.put("vc", 1, dress(bass(WHEEL_CHORDS, 3, "q' rq rq"), {1: '"pizz." @pp'}))
    low, high = voices(WHEEL_CHORDS, ["d4", "g4"])
    m.put("cl1", 9, "@p " + bars_of(high, 9))
    m.put("cl2", 9, "@p " + bars_of(low, 9))
    m.put("fl3", 9, "@pp e5h.( | c5 | f5 | g5) | b5( | d6 | b5 | g5) ".replace("e5h.( | c5", "g5h.( | g5"))
    m.put("fl3", 17, '"prende Ottavino" R*24')
    m.put("xyl", 8, "@p rh d6e' d6' | g6q' rh | R*3 | rh c6e' e6' | f6q' rh | R | g5e' b5' d6' b5' g5q'")
    m.put("timp", 13, '"in G, D" @pp g2q rh | d3q rh | g2q rh | g2q d3 d3')
    m.put("fl12", 16, '@mf "a 2" rh d6q')
    m.put("vn1", 16, '"tutti, ord." @mf rh d6q')


def _second(m):
    m.put("fl12", 17, dress(WHEEL, {9: "@f"}), up="P8")
    m.put("vn1", 17, dress(bars_of(WHEEL, 1, 14) + " | g4h. | R", {9: "@f"}), up="P8")
    m.put("ob1 ob2", 17, "@mf " + dress(WHEEL, {9: "@f"}))
    # the violins rest in the last bar to turn their bows
    _strings(m, 17, "@mf", {9: "@f"}, last="R")
    m.put("vc", 17, dress(bass(WHEEL_CHORDS, 2, "q. e q"), {1: '"arco, ord." @mf', 9: "@f"}))
    one, two, three, four = voices(WHEEL_CHORDS, ["d3", "g3", "b3", "d4"])
    m.put("hn12", 17, dress(together(three, four), {1: "@mp", 9: "@mf"}))
    m.put("hn34", 17, dress(together(one, two), {1: "@mp", 9: "@mf"}))
    m.put("bn12", 17, dress(together(*voices(WHEEL_CHORDS, ["g2", "d3"], low=36)), {1: "@mp", 9: "@mf"}))
    m.put("cl1 cl2", 17, dress(broken(WHEEL_CHORDS, "2( 1 0 1 0 1)", "e", "g3"), {1: "@mp", 9: "@mf"}))
    stab = voices(WHEEL_CHORDS, ["g4", "b4"], figure="rq q' q'")
    m.put("tp12", 25, dress(bars_of(together(*stab), 9), {1: '"mit Dämpfer" @p', 5: "@<", 8: "@mf"}))
    m.put("tuba", 25, "@mf g2h. | c3 | f2 | c3 | g2 | d3 | g2 | g2q rh")
    m.put("timp", 25, "@mf g2q rh | R | R | R | g2q rh | d3q rh | g2q g2 d3 | g2q rh")
    m.put("perc", 25, "@p Tq rh | R | R | R | Tq rh | R | Te T T T Tq | Tq rh")
    m.put("xyl", 29, "@mf d6e' b5' g5' b5' d6q' | c6e' a5' f5' a5' c6q' | b5e' g5' d6' b5' g6q' | g6q' rh")


def _trio(m):
    m.put("bn12", 33, '"I solo" @p ' + TRIO)
    m.put("hn12", 41, '"1. dolce" @p ' + bars_of(TRIO, 9))
    m.put("fl3", 41, "ins:picc @pp " + bars_of(TRIO, 9, 14) + ' | e4h rq | "muta in Fl." R', up="P15")
    low, mid, high = voices(TRIO_CHORDS, ["e4", "g4", "b4"], figure="e' e' e' e' e' e'")
    m.put("vn1", 33, dress(bars_of(high, 1, 15) + " | R", {1: '"col legno battuto" @pp'}))
    m.put("vn2", 33, dress(bars_of(mid, 1, 15) + " | R", {1: '"mit dem Holz" @pp'}))
    one, two = voices(TRIO_CHORDS, ["e3", "g3"], low=48)
    m.put("va", 33, dress(two, {1: '"sul ponticello" @pp', 9: "@<", 13: "@>", 15: "@pp"}, each="{t3}"))
    m.put("vc", 33, dress(one, {1: '"am Steg" @pp', 9: "@<", 13: "@>", 15: "@pp"}, each="{t3}"))
    m.put("db", 33, dress(bass(TRIO_CHORDS, 2, "q rq rq"), {1: '"pizz." @pp'}))
    a, b, c = voices(TRIO_CHORDS, ["b2", "e3", "g3"])
    m.put("tb12", 33, dress(bars_of(together(b, c), 1, 8), {1: '"avec sourdine" @pp'}))
    m.put("tb3", 33, dress(bars_of(a, 1, 8), {1: '"avec sourdine" @pp'}))
    pedals = {1: "@p ped:000/0+00", 8: "ped:+00/0+00", 9: "ped:000/0+00", 14: "ped:+00/0+00", 15: "ped:000/0+00"}
    m.put("harp", 33, dress(broken(TRIO_CHORDS, "0 2 1 3 2 1", "e", "e4"), pedals))
    m.put("harp", 33, bass(TRIO_CHORDS, 2), voice=5)
    m.put("ob1", 48, '@f rh d5q')
    m.put("fl12", 48, '@f "a 2" rh d6q')


def _last(m):
    end = ' | "pizz." @pp '
    tune = dress(WHEEL, {9: "@<", 13: "@ff"})
    m.put("fl12", 49, tune + " | R | R", up="P8")
    m.put("ob1", 49, tune + " | R | R")
    m.put("vn1", 49, '"arco, ord." @f ' + tune, up="P8")
    m.put("vn1", 65, "R" + end + "g3+d4+b4q rh")
    m.put("ob2 cl1 cl2", 49, "@f " + tune)
    m.put("vn2", 49, '"arco, ord." @f ' + dress(broken(WHEEL_CHORDS, "0( 1 2 1 2 1)", "e", "g3"), {9: "@<", 13: "@ff"}))
    m.put("vn2", 65, "R" + end + "g3+d4q rh")
    m.put("va", 49, '"ord." @f ' + dress(broken(WHEEL_CHORDS, "2' 1' 0' 1' 0' 1'", "e", "c3"), {9: "@<", 13: "@ff"}))
    m.put("va", 65, "R" + end + "d3+b3q rh")
    m.put("vc", 49, '"ord." @f ' + dress(bass(WHEEL_CHORDS, 2, "q. e q"), {9: "@<", 13: "@ff"}))
    m.put("vc", 65, "R" + end + "g2+d3q rh")
    m.put("db", 49, '"arco" @f ' + dress(bass(WHEEL_CHORDS, 2, "q. e q"), {9: "@<", 13: "@ff"}))
    m.put("db", 65, "R" + end + "g2q rh")
    one, two, three, four = voices(WHEEL_CHORDS, ["d3", "g3", "b3", "d4"])
    m.put("hn12", 49, dress(together(three, four), {1: '@mf', 9: "@<", 13: "@f"}))
    m.put("hn34", 49, dress(together(one, two), {1: '@mf', 9: "@<", 13: "@f"}))
    m.put("tp12", 49, dress(together(*voices(WHEEL_CHORDS, ["g4", "b4"], figure="q' e' e' q'")),
                            {1: '"ohne Dämpfer" @mf', 9: "@<", 13: "@f"}))
    m.put("tp3", 57, dress(bars_of(voices(WHEEL_CHORDS, ["d4"], figure="q' e' e' q'")[0], 9),
                           {1: "@mf @<", 5: "@f"}))
    m.put("tb12", 49, dress(together(two, three), {1: '"ôtez la sourdine" @mf', 9: "@<", 13: "@f"}))
    m.put("tb3", 49, dress(one, {1: '"ôtez la sourdine" @mf', 9: "@<", 13: "@f"}))
    low = dress(bass(WHEEL_CHORDS, 2), {1: "@f", 9: "@<", 13: "@ff"})
    m.put("bn12", 49, '"a 2" ' + low)
    m.put("bn3 tuba", 49, low)
    m.put("fl3", 50, "ins:fl @f " + bars_of(tune, 2), up="P8")
    m.put("xyl", 57, dress(broken(bars_of(WHEEL_CHORDS, 9), "2' 1' 0' 1' 2' 3'", "e", "g5"), {1: "@mf @<", 5: "@f"}))
    m.put("timp", 57, "@f g2q rh | R | R | R | g2q g2 g2 | d3q d3 d3 | g2q d3 g2 | @< g2h.{tr} | @! R | @pp g2q rh")
    m.put("perc", 57, "@f B+Cq rh | R | R | R | B+Cq rh | R | B+Cq rh | @< Sh.{t3} | @! R | R")
    for key in m.voices:
        line = m.voices[key].get(1, {}).get(64)
        if line:
            line[-1].signs.append("//")
    m.hold(65, "fs")
