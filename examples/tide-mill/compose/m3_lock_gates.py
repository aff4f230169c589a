"""III. Lock gates: the long middle movement, E minor to E mixolydian.

Owns bars 1-40 and 61-84 (gates, wheels, the weir foreshadowed); the lock itself,
bars 41-60, is in `m3_the_lock`.
"""

from harmony import bass, broken, voices
from lines import bars_of, dress, together
from m3_the_lock import lock
from score import Movement
from tunes import LOCK

GRAVE = ("b4q( c5 d5 e5~ | e5h a4q g4) | f#4q( g4 a4 b4~ | b4h.) rq | "
         "b4q( c5 d5 a5~ | a5h g5q f#5) | e5q.( d5e e5h~ | e5q d#5 e5h)")
GRAVE_CHORDS = ("Em:h Em/D:h | C:h Am:h | F#m7b5:h B7:h | Em:w | "
                "G:h D:h | Am:h Em:h | C:h Am7/E:h | B7:h Em:h")

#: The level of the gates, bar by bar.
SWELL = {1: "@f", 3: "@>", 4: "@p", 5: "@<", 6: "@mf", 7: "@>", 8: "@p"}

COGS = ("b4q.( a4q g4q. | g4q. b4q e5q.) | g4q.( e4q c5q. | a4q. d5q f#4q.) | "
        "g4q.( b4q e5q. | e5q. c5q a4q.) | f#4q.( a4q d#5q. | e5q.~ e5q~ e5q.)")
COGS_CHORDS = "Em:w | Em:w | C:w | D:w | Em:w | Am:w | B7:w | Em:w"

SLUICE = ("b4q( c5 d5q. | e5q a4 g4q.) | f#4q( g4 a4q. | b4h~ b4q.) | "
          "e5q( d5 c5q. | b4q a4 g4q.) | a4q( b4 d#5q. | e5h~ e5q.)")
SLUICE_CHORDS = ("Em:h G:q. | Am:h Em:q. | D:h F#m7b5:q. | G:h Em:q. | "
                 "C:h Am:q. | Em:h Em:q. | B7:h B7:q. | Em:h Em:q.")

BASIN = ("d4q.( g4q a4e b4q. a4q g4e | e4q. c5q b4e a4h.) | d4q.( f#4q g4e a4q. c5q b4e | g4h.~ g4q.) rq. | "
         "b4q.( d5q c5e b4q. a4q g4e | c5q. e5q d5e c5h.) | b4q.( g4q e4e a4q. f#4q d4e | g4h. f#4h.)")
BASIN_CHORDS = ("G:h. Em:h. | C:h. Am:h. | D:h. D7:h. | G:h. G:h. | "
                "G:h. Em:h. | C:h. Am:h. | Em:h. D:h. | G:h. B7:h.")

STILL = ("b4q.( a4q | g4q. b4q) | c5q.( b4q | b4q.~ b4q) | g4q.( c5q | d5q. b4q) | a4q.( f#4q | g#4q.~ g#4q)")


def compose():
    """The movement."""
    m = Movement(3, "Lock gates", "3-lock-gates", 1, "minor", home={"bn3": "cbn"})
    m.bar_rows(("4/4", 8), ("3+2+3/8", 8), ("2/4+3/8", 8), ("12/8", 8), ("3+2/8", 8),
               ("6/8", 4), ("9/8", 2), ("6/8", 2), ("7/8", 3, "2+2+3"), ("3/2", 3), ("2/2", 2), ("6/8", 4),
               ("3+2+3/8", 8), ("12/8", 8), ("6/8", 8))
    m.tempo(1, "Grave", "q", 46)
    m.tempo(9, "Con moto, ma pesante", "q", 66)
    m.tempo(25, "L'istesso movimento", "q", equals="q.", sound=99)
    m.tempo(33, "Fermo", "e", 72)
    m.tempo(41, "Largamente", "q.", 52)
    m.tempo(49, "poco più mosso", "q", 84)
    m.tempo(61, "Tempo II", "q", 66)
    m.tempo(69, "L'istesso movimento", "q", equals="q.", sound=99)
    m.gradual(75, "allarg.", 76, until_at=5)
    m.tempo(77, "Largamente, come prima", "q.", 52)
    for number, text in ((9, "A"), (25, "B"), (41, "C"), (49, "D"), (55, "E"), (61, "F"), (69, "G"), (77, "H")):
        m.mark(number, text)
    m.bar(41).key, m.bar(49).key, m.bar(61).key, m.bar(69).key, m.bar(77).key = 3, 2, 1, 0, 4
    for first, count in ((1, 8), (9, 8), (17, 8), (25, 8), (33, 8), (41, 4), (45, 2)):
        m.multirest("bn3", first, count)
    _gates(m)
    _cogs(m)
    _sluice(m)
    _basin(m)
    _still(m)
    lock(m)
    _cogs_again(m)
    _basin_again(m)
    _close(m)
    return m


def _gates(m):
    m.put("vn1", 1, '"arco, sul G" @f ' + dress(GRAVE, {3: "@>", 4: "@p", 5: "@<", 6: "@mf", 7: "@>", 8: "@p"}))
    one, two, three = voices(GRAVE_CHORDS, ["b2", "g3", "b3"], low=47)
    m.put("vn2", 1, dress(voices(GRAVE_CHORDS, ["g4"], low=55)[0], SWELL | {1: '"arco" @f'}))
    m.put("va", 1, dress(three, SWELL | {1: '"arco, ord." @f'}))
    m.put("vc", 1, dress(bars_of(two, 1, 7) + " | f#3h g3q rq", SWELL | {1: '"arco, ord." @f'}))
    m.put("db", 1, dress(bars_of(bass(GRAVE_CHORDS, 2), 1, 7) + " | b2h e2q rq", SWELL | {1: '"arco" @f'}))
    m.put("timp", 1, '"in E, A" @fp e3w{tr}~ | e3q rh. | R | e3q rh. | R | a2q rq e3q rq | R | "muta E in D" R')
    m.put("tb12", 4, "@pp e3+g3w | R | R | @pp e3+g3h( e3+a3 | d#3+a3h e3+g3)")
    m.put("tb3", 4, "@pp e2w | R | R | @pp c3h( c3 | b2 e2)")


def _cogs(m):
    m.put("cl1", 9, '"Solo" @mp ' + dress(COGS, {5: "@<", 7: "@mf", 8: "@>"}) + " @!")
    m.put("va", 9, dress(broken(COGS_CHORDS, "0> 1 2 1> 2 0> 1 2", "e", "e3"), {1: "@p"}))
    m.put("vc", 9, dress(bars_of(bass(COGS_CHORDS, 2, "q.> q> q.>"), 1, 7) + " | e2q.> rq rq.", {1: '"pizz." @p'}))
    m.put("db", 9, dress(bass(COGS_CHORDS, 2, "q. rq rq."), {1: '"pizz." @p'}))
    chords = voices(COGS_CHORDS, ["g3", "b3"], figure="q.- q- q.-")
    m.put("hn12", 13, dress(bars_of(together(*chords), 5), {1: "@p"}))
    m.put("ob1", 15, "@mp rq. rq f#5q.( | g5q. f#5q e5q.)")


def _sluice(m):
    m.put("vn1", 17, "@mf " + dress(SLUICE, {5: "@<", 7: "@f"}))
    m.put("ob1", 17, "@mf " + dress(SLUICE, {5: "@<", 7: "@f"}))
    figure = voices(SLUICE_CHORDS, ["b3", "e4"], figure="e'", low=48)
    m.put("vn2", 17, dress(figure[1], {1: '"spiccato" @mp', 5: "@<", 7: "@f"}))
    m.put("va", 17, dress(figure[0], {1: '"spiccato" @mp', 5: "@<", 7: "@f"}))
    m.put("vc", 17, dress(bass(SLUICE_CHORDS, 2), {1: '"arco" @mf', 5: "@<", 7: "@f"}))
    m.put("db", 17, dress(bars_of(bass(SLUICE_CHORDS, 2), 1, 7) + " | e2h rq.", {1: '"arco" @mf', 5: "@<", 7: "@f"}))
    m.put("bn12", 17, '"a 2" ' + dress(broken(SLUICE_CHORDS, "0' 1' 2' 1'", "e", "e2"), {1: "@mp", 5: "@<", 7: "@f"}))
    m.put("hn12", 21, '"a 2" @mf ' + bars_of(SLUICE, 5), up="-P8")
    m.put("cl1 cl2", 21, "@mf " + bars_of(SLUICE, 5), up="-P8")


def _basin(m):
    m.put("hn12", 25, '"I solo, dolce" @mp ' + dress(BASIN, {5: "@<", 6: "@mf", 7: "@>"}) + " @!", up="-P8")
    m.put("vc", 25, 'clef:C4 @p ' + dress(BASIN, {5: "@<", 6: "@mf", 7: "@>"}) + " @!", up="-P8")
    m.put("harp", 25, dress(broken(BASIN_CHORDS, "0 1 2 3 2 1", "e", "g4"),
                             {1: "ped:000/0+00 @p", 8: "ped:+00/0+00"}))
    m.put("harp", 25, bass(BASIN_CHORDS, 2), voice=5)
    low, high = voices(BASIN_CHORDS, ["b3", "d4"], low=55)
    m.put("vn2", 25, dress(high, {1: "@pp"}))
    m.put("va", 25, dress(low, {1: "@pp"}))
    m.put("db", 25, dress(bass(BASIN_CHORDS, 2), {1: '"pizz." @p'}))
    m.put("hn34", 29, dress(bars_of(together(*voices(BASIN_CHORDS, ["d3", "g3"])), 5), {1: "@pp"}))
    m.put("cl1", 28, "@p rh. rq. b4q.( | d5h. e5h. | e5h. e5h. | g5h. f#5h. | d5h. d#5h.)")


def _still(m):
    m.put("va", 33, '"Solo (1° leggio)" @p ' + STILL)
    m.put("harp", 33, "ped:000/0+00 @pp rq. b4q{o} | R | rq. a4q{o} | R | rq. g4q{o} | R | rq. f#4q{o} | R")
    m.put("harp", 33, "e2q. rq | R | a2q. rq | R | c3q. rq | R | d3q. rq | R", voice=5)
    m.put("vc", 33, 'clef:F4 "div." @pp e3+b3q.~ e3+b3q~ | e3+b3q.~ e3+b3q | e3+a3q.~ e3+a3q | e3+b3q.~ e3+b3q | '
          'e3+g3q.~ e3+g3q | d3+g3q.~ d3+g3q | d3+a3q.~ d3+a3q | e3+b3q.~ e3+b3q')
    m.put("perc", 40, '@ppp Mq. rq')
    m.put("cl2", 36, '@pp rq. e4q( | g4q. e4q) | g4q.( d4q | f#4q. a4q | b4q.~ b4q)')
    m.hold(40, "f")


def _cogs_again(m):
    m.put("bn12", 61, '"a 2" @mf ' + dress(COGS, {5: "@<", 7: "@f"}), up="-P8")
    m.put("vc", 61, "@mf " + dress(COGS, {5: "@<", 7: "@f"}), up="-P8")
    m.put("cl1", 61, dress(broken(COGS_CHORDS, "0> 1 2 1> 2 0> 1 2", "e", "e4"), {1: "@p", 5: "@<", 7: "@f"}))
    m.put("cl2", 61, dress(broken(COGS_CHORDS, "2> 1 0 1> 0 2> 1 0", "e", "e3"), {1: "@p", 5: "@<", 7: "@f"}))
    low = bass(COGS_CHORDS, 2, "q. q q.")
    m.put("db", 61, dress(bars_of(low, 1, 7) + " | e2q. rq rq.", {1: '"pizz." @mf', 5: "@<", 7: "@f"}))
    pair = voices(COGS_CHORDS, ["g4", "b4"], figure="q.- q- q.-")
    m.put("vn2", 61, dress(bars_of(together(*pair), 1, 7) + " | g4+b4q.- rq rq.", {1: '"pizz." @p', 5: "@<", 7: "@f"}))
    inner = voices(COGS_CHORDS, ["e4"], figure="q.- q- q.-")[0]
    m.put("va", 61, dress(bars_of(inner, 1, 7) + " | e4q.- rq rq.", {1: '"tutti, pizz." @p', 5: "@<", 7: "@f"}))
    m.put("fl12", 65, '"a 2" @mf ' + bars_of(COGS, 5), up="P8")
    m.put("hn34", 65, dress(bars_of(together(*voices(COGS_CHORDS, ["e3", "b3"])), 5), {1: "@p @<", 3: "@mf"}))
    m.put("timp", 58, '"D in E, A in H" R')
    m.put("timp", 67, "@p @< b2w{tr} | @f e3q. e3q e3q.")


def _basin_again(m):
    row = BASIN_CHORDS
    tune = dress(BASIN, {5: "@<", 6: "@ff", 7: "@>", 8: "@mf"})
    m.put("vn1", 69, '"largamente" @f ' + tune, up="P11")
    m.put("vn2", 69, '"arco" @f ' + tune, up="P4")
    m.put("ob1 cl1", 69, "@f " + tune, up="P4")
    m.put("ob2", 58, '"nimmt Englischhorn" R*4')
    m.put("ob2", 69, "ins:ca @mf " + tune, up="-P5")
    m.put("va", 69, '"arco, non div." @f ' + broken(row, "0 1 2 1 2 1", "e", "g3"), up="P4")
    m.put("vc", 69, "@f " + bass(row, 2), up="P4")
    m.put("db", 69, '"arco" @f ' + bass(row, 2, low=28), up="P4")
    one, two, three, four = voices(row, ["b2", "d3", "g3", "b3"])
    m.put("hn12", 69, dress(together(three, four), {1: "@mf"}), up="P4")
    m.put("hn34", 69, dress(together(one, two), {1: "@mf"}), up="P4")
    surge = {1: "@mf @<", 2: "@f", 3: "@>", 4: "@mf"}
    m.put("tb12", 73, dress(bars_of(together(two, three), 5), surge), up="P4")
    m.put("tb3", 73, dress(bars_of(one, 5), surge), up="P4")
    m.put("bn12", 69, '"a 2" @f ' + bass(row, 2), up="P4")
    m.put("bn3", 73, "@mf " + bars_of(bass(row, 1), 5), up="P4")
    m.put("tuba", 73, "@mf " + bars_of(bass(row, 2), 5), up="P4")
    m.put("harp", 69, dress(broken(row, "0 1 2 3 4 5", "e", "g3"),
                             {1: "ped:000/0000 @f", 8: "ped:000/00+0"}), up="P4")
    m.put("harp", 69, bass(row, 2), voice=5, up="P4")
    m.put("fl12", 73, '"a 2" @f ' + bars_of(BASIN, 5), up="P11")


def _close(m):
    m.put("vn2", 77, '"sul tasto" @pp ' + dress("e4+b4h. | e4+b4 | e4+b4 | e4+b4 | e4+b4 | e4+b4", each="{t3}") +
          " | @>n e4+b4h.~ | e4+b4h. @!")
    m.put("va", 77, '"sul tasto" @pp b3h.~ | b3~ | b3~ | b3~ | b3~ | b3 | @>n b3~ | b3 @!')
    m.put("hn34", 79, '"zu 2" @mp ' + LOCK +
          " | @> a3e( b3 c#4 d4q. | c#4h.) @! | R | R", up="P5")
    m.put("vc", 77, '"sul tasto" @pp e3h.~ | e3~ | e3~ | e3~ | e3~ | e3 | @>n e3~ | e3 @!')
    m.put("db", 77, 'R | R | "pizz." @pp e2q. rq. | R | e2q. rq. | R | e2q. rq. | R')
    m.put("bn3", 81, '"Solo" @ppp b1q.( e2 | d2 b1 | e1h.~ | e1h.)')
    m.put("harp", 83, "@pp rq. b4q.{o} | R")
    m.put("harp", 83, "e2h. | R", voice=5)
    m.hold(84, "f")
