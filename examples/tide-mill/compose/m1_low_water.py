"""I. Low water: slack tide, D dorian.

The tide is heard in pieces, then whole in the oboe (A), in the violins a fourth
higher (B), breaks once (C) and runs out.
"""

from harmony import bass, broken, voices
from lines import bars_of, dress, together
from score import Movement
from tunes import TIDE, TIDE_CHORDS, TIDE_END, TIDE_HEAD

CLIMAX = "Bb:h F:h | C:h Gm:h | Dm:h Am:h | Bb:h A7sus4:q A7:q"
EBB = "Dm:w | G/D:w | C/D:h F/D:h | Am/D:w | Dm:w | Dm:w"


def compose():
    """The movement."""
    m = Movement(1, "Low water", "1-low-water", 0, "dorian")
    m.bar_rows(("4/4", 36))
    m.tempo(1, "Lento, slack water", "q", 54, about=True)
    for number, text in ((9, "A"), (17, "B"), (25, "C"), (31, "D")):
        m.mark(number, text)
    m.gradual(29, "rit.", 30, until_at=2)
    m.tempo(31, "a tempo", "q", 54)
    m.bar(36).right["fermata"] = "normal"
    _slack(m)
    _oboe(m)
    _violins(m)
    _break(m)
    _ebb(m)
    return m


def _slack(m):
    m.put("db", 1, '"con sord." @pp d2w~ | d2~ | d2~ | d2~ | d2~ | d2~ | d2~ | d2h. rq')
    m.put("vc", 1, '"con sord." @pp a2w~ | a2 | d3h( c3 | b2w) | a2h( c3 | d3w) | f3h( e3 | d3w)')
    m.put("va", 3, '"con sord." @pp f3h( e3 | g3w) | e3h( f3 | e3w) | a3h( g3 | f3w)')
    m.put("vn1", 1, '"con sord. div." @<n a5+e6w{o}~ | a5+e6{o}~ | @pp a5+e6{o}~ | a5+e6{o}~ | a5+e6{o}~ | '
                    'a5+e6{o} | @>n a5+e6{o}~ | a5+e6{o} @!')
    m.put("bn12", 3, '"I solo" @p a3q( b3 c4 d4~ | d4h g3q f3){,} | e3q( f3 g3 a3~ | a3h.) rq')
    m.put("cl1", 7, '"Solo" @p ' + TIDE_HEAD)
    m.put("timp", 5, '"in D, A" @ppp d3w{tr}~ | d3{tr}~ | d3{tr}~ | d3{tr}')
    ripple = "3:2[ d4e a4 d5 ] 3:2[ a4e f5 d5 ] 3:2[ a4e e5 c5 ] 3:2[ a4e d5 a4 ]"
    m.put("harp", 5, f"ped:000/0000 @pp {ripple} | R | {ripple} | R")
    m.put("harp", 5, "d2+a2w | R | d2+a2w | R", voice=5)
    m.put("perc", 8, '@ppp Mw')


def _oboe(m):
    m.put("ob1", 9, '"Solo, espressivo" @p ' + dress(TIDE, {5: "@<", 6: "@mp", 7: "@>", 8: "@p"}))
    low, mid, high, top = voices(TIDE_CHORDS, ["f3", "a3", "d4", "f4"])
    # the eighth bar is left to winds and harp: the strings take their mutes off
    m.put("vn2", 9, dress(bars_of(together(high, top), 1, 7), {1: '"con sord. div., sul tasto" @pp'}, each="{t3}"))
    m.put("va", 9, dress(bars_of(mid, 1, 7), {1: "@pp"}))
    m.put("vc", 9, dress(bars_of(low, 1, 7), {1: "@pp"}))
    m.put("db", 9, dress(bars_of(bass(TIDE_CHORDS, 2, "q rq", low=28), 1, 7), {1: '"pizz." @pp'}))
    m.put("fl12", 13, '"1." @pp e5h( f5 | g5h. e5q | g5h d5 | f5w)')
    m.put("harp", 9, "ped:000/0000 @pp " + broken(TIDE_CHORDS, "0 1 2 3", "e", "a3"))
    m.put("harp", 9, bass(TIDE_CHORDS, 2), voice=5)
    m.put("hn12", 15, '"1." @pp e4q( d4 b3h | a3w)')
    m.put("cl2", 5, '"muta in Cl. basso" R*4')


def _violins(m):
    row = TIDE_CHORDS
    m.put("vn1", 17, '"senza sord., unis." @mp ' + dress(TIDE, {3: "@<", 5: "@mf", 7: "@<"}), up="P4")
    low, mid, high = voices(row, ["a3", "d4", "f4"])
    m.put("vn2", 17, dress(high, {1: '"senza sord., ord., unis." @p', 5: "@mp", 7: "@<"}, each="{t2}"), up="P4")
    m.put("va", 17, dress(mid, {1: '"senza sord." @p', 5: "@mp", 7: "@<"}, each="{t2}"), up="P4")
    m.put("vc", 17, dress(low, {1: '"senza sord." @p', 5: "@mp", 7: "@<"}), up="-P5")
    m.put("db", 17, dress(bass(row, 2), {1: '"arco, senza sord." @p', 7: "@<"}), up="P4")
    m.put("cl2", 17, "ins:bcl @p " + dress(bass(row, 2), {7: "@<"}), up="P4")
    m.put("hn34", 18, '"3. solo" @mp ' + TIDE_HEAD, up="-P5")
    m.put("hn34", 21, '"zu 2" @mf ' + dress(TIDE_END, {3: "@<"}), up="-P5")
    m.put("cl1", 17, "@p " + dress(broken(row, "0 1 2 1", "e", "a3"), {7: "@<"}), up="P4")
    m.put("bn12", 21, '"a 2" @mp ' + "d3w( | a3h g3q f3 | e3h g3 | @< d3w)")
    m.put("fl12", 21, '"a 2" @mf ' + "d5w( | f5h g5q f5 | a5h @< g5 | g5w)")
    chords = "Dm:h Bbmaj7:h | F:h C:q Dm:q | Am:h C:h | Gm:w"
    one, two, three = voices(chords, ["d3", "f3", "bb3"])
    m.put("tb12", 21, dress(together(two, three), {1: "@pp", 3: "@<"}))
    m.put("tb3", 21, dress(one, {1: "@pp", 3: "@<"}))
    m.put("timp", 23, '@pp @< a2w{tr}~ | a2{tr}')


def _break(m):
    tune = '@f d5q-( e5- f5 g5~ | g5h c5q bb4) | a4q-( bb4- c5 d5~ | d5h. c#5q)'
    m.put("tp12", 25, '"a 2" ' + tune)
    m.put("vn1", 25, tune, up="P8")
    m.put("fl12", 25, '"a 2" ' + tune, up="P8")
    m.put("ob1 ob2 cl1", 25, tune)
    one, two, three, four = voices(CLIMAX, ["d3", "f3", "bb3", "d4"])
    m.put("hn12", 25, '"a 2" @f ' + four)
    m.put("hn34", 25, '"a 2" @f ' + three)
    m.put("tb12", 25, "@mf " + together(two, three))
    m.put("tb3", 25, "@mf " + one)
    m.put("va", 25, dress(together(three, four), {1: '"non div." @f'}, each="{t3}"))
    m.put("vn2", 25, dress(voices(CLIMAX, ["bb4"])[0], {1: "@f"}, each="{t3}"))
    low = bass(CLIMAX, 2, low=29)
    m.put("bn12", 25, '"a 2" @f ' + low)
    m.put("vc", 25, "@f " + low)
    m.put("cl2", 25, "@f " + bass(CLIMAX, 2, low=37))
    m.put("bn3 tuba", 25, "@f " + low)
    m.put("db", 25, "@f " + low)
    m.put("timp", 25, "@f a2w{tr} | rh a2h{tr} | d3h{tr} a2{tr} | rh @> a2h{tr}")
    m.put("perc", 25, "@mf Sw{t3} | R | Sw{t3} | R")
    m.put("fl3", 26, "@mf 5:4[ c5s( d5 e5 f5 g5 ] c6q) rh | R | rh. 5:4[ e5s( f5 g5 a5 b5 ] | @p d6h) rh")
    m.put("vn1", 29, '@p d5h( a4 | a4h) rh')
    m.put("cl1", 29, "@p f4h( e4 | e4h) rh")
    m.put("va", 29, "@p d4h( c4 | c#4h) rh")
    m.put("vc", 29, "@p d3h( f3 | e3h) rh")
    m.put("db", 29, "@pp d2h( a2 | a2h) rh")
    m.put("timp", 29, "@pp d3q rh. | R")
    m.hold(30, "fa")


def _ebb(m):
    m.put("fl12", 31, '"I solo, senza vibrato" @p a4q( b4 c5 d5~ | d5h g4q f4) | e4q( f4 g4 a4~ | @>n a4w~ | a4w) @! | R')
    m.put("hn12", 32, '"1. gestopft" @pp f3h.{+} rq | R | e3w{+}~ | e3{+} | R')
    m.put("cl2", 31, "@pp d2w~ | d2~ | d2~ | d2~ | @>n d2~ | d2 @!")
    low, high = voices(EBB, ["f3", "a3"])
    m.put("va", 31, dress(high, {1: '"sul tasto" @pp', 5: "@>n"}) + " @!")
    m.put("vc", 31, dress(low, {1: '"sur la touche" @pp', 5: "@>n"}) + " @!")
    m.put("vn1", 33, '"Solo (1. Pult)" @pp e6w{o}~ | e6{o}~ | @>n e6{o}~ | e6{o} @!')
    m.put("db", 31, '@pp d2w~ | d2~ | d2~ | d2~ | @>n d2~ | d2 @!')
    m.put("harp", 31, "@pp rh a5h{o} | R | rh e5h{o} | R | d5h{o} rh | R")
    m.put("harp", 31, "d2w | R | d2w | R | d2w | R", voice=5)
    m.put("timp", 35, "@ppp d3w{tr}~ | d3")
