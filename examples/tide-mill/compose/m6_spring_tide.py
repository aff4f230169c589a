"""VI. Spring tide: everything returns, D minor to D major.

Entries over a pedal (1), the tide whole (9), the wheel in D (17), the eel as a
fugato (25), the tide in double values for the brass (33), and the end.
"""

from harmony import bass, broken, voices
from lines import bars_of, dress, together
from score import Movement
from scoring import brass_and_bass, inner_strings
from tunes import FLOOD, TIDE, TIDE_CHORDS, WHEEL, WHEEL_CHORDS

FLOOD_CHORDS = ("D:h G:h | F:h Bb:h | G:w | C:h D:h | A:h Bm:h | Em:h F:h | Dm:h Bb:h | A7sus4:h A7:h")
END = "a5q-( b5- c6- d6~ | d6h g5q f#5) | e5q-( f#5- g5- a5~ | a5h.) rq"
END_CHORDS = "D:h F:h | G:h D:h | C:h G:q A:q | D:h. r:q"
EEL_ROW = "Dm:h Gm:q A:q | Dm:h A:q Dm:q"


def compose():
    """The movement."""
    m = Movement(6, "Spring tide", "6-spring-tide", -1, "minor", home={"bn3": "bn"})
    m.bar_rows(("4/4", 16), ("3/4", 8), ("4/4", 22))
    m.tempo(1, "Allegro moderato, crescente", "q", 96)
    m.tempo(17, "Tempo di ruota", "h", equals="h.", sound=144)
    m.tempo(25, "Tempo I", "q", 96)
    m.tempo(33, "Maestoso, largamente", "q", 80)
    m.gradual(31, "rit.", 32, until_at=4)
    m.tempo(41, "Largo", "q", 60)
    m.bar(33).key = 2
    for number, text in ((9, "A"), (17, "B"), (25, "C"), (33, "D"), (41, "E")):
        m.mark(number, text)
    m.bar(46).right["fermata"] = "angled"
    _rising(m)
    _tide(m)
    _wheel(m)
    _eel(m)
    _flood(m)
    _end(m)
    return m


def _rising(m):
    m.put("db", 1, '"arco" @pp d2w~ | d2~ | d2~ | d2~ | @< d2~ | d2~ | d2~ | d2')
    m.put("timp", 1, '"in D, A" @pp d3w{tr}~ | d3{tr} | R | R | @p d3w{tr}~ | d3{tr}~ | @< d3{tr}~ | d3{tr}')
    m.put("vc", 1, '"senza sord., arco" @p a3q( b3 c4 d4~ | d4h g3q f3) | ' + " | ".join(["d3e( a3 f3 a3 d3 a3 f3 a3)"] * 6))
    m.put("va", 2, 'R | "senza sord." @p a3q( b3 c4 d4~ | d4h g3q f3) | @mp ' +
          " | ".join(["a3s d4 f4 d4 " * 4] * 2) + " | @< " + " | ".join(["a3s d4 f4 d4 " * 4] * 2))
    m.put("vn2", 5, '"senza sord." @mp a4q( b4 c5 d5~ | d5h g4q f4) | @< ' + " | ".join(["d4s f4 a4 f4 " * 4] * 2))
    m.put("vn1", 7, '"senza sord., ord." @mf @< a5q( b5 c6 d6~ | d6h e6q f6)')
    m.put("bn12", 1, '"1." @p a3q( b3 c4 d4~ | d4h g3q f3) | "a 2" @p d3w~ | d3 | @< d3~ | d3~ | d3~ | d3')
    m.put("hn34", 3, '"zu 2" @p a3q( b3 c4 d4~ | d4h g3q f3) | @mp d4w~ | d4 | @< d4~ | d4 @!')
    m.put("ob1", 5, '@mp a4q( b4 c5 d5~ | d5h g4q f4) | @< a4w{tr}~ | a4{tr}')
    m.put("fl12", 7, '"a 2" @mf @< a5q( b5 c6 d6~ | d6h e6q f6)')
    m.put("cl1", 7, "@mf @< f4w{tr}~ | f4{tr}")
    m.put("tp12", 7, '@mp @< d4+a4w~ | d4+a4 @!')
    m.put("tb12", 7, "@mp @< f3+a3w~ | f3+a3 @!")
    m.put("harp", 7, '"glissando" ped:000/0000 @f rh d4q{gl(} d6q{gl)} | rh f4q{gl(} f6q{gl)}')


def _tide(m):
    row = TIDE_CHORDS
    swell = {1: "@f", 5: "@<", 6: "@ff", 7: "@>", 8: "@f"}
    m.put("vn1", 9, dress(TIDE, swell), up="P8")
    m.put("fl12", 9, '"a 2" ' + dress(TIDE, swell), up="P8")
    m.put("ob1 ob2", 9, dress(TIDE, swell))
    m.put("hn12", 9, '"a 2" ' + dress(TIDE, swell), up="-P8")
    low, mid = voices(row, ["a3", "d4"], low=55)
    m.put("vn2", 9, dress(broken(row, "0 1 2 1", "s", "a3"), {1: "@mf", 5: "@<", 6: "@f"}))
    m.put("va", 9, dress(low, {1: "@mf", 5: "@<", 6: "@f"}, each="{t2}"))
    m.put("cl1", 9, dress(mid, {1: "@mf", 5: "@<", 6: "@f"}))
    m.put("cl2", 9, dress(low, {1: "@mf", 5: "@<", 6: "@f"}))
    for part, words in (("vc", ""), ("db", ""), ("bn12", '"a 2" '), ("bn3", "")):
        m.put(part, 9, words + dress(bass(row, 2, low=34), {1: "@f", 5: "@<", 6: "@ff", 7: "@>", 8: "@f"}))
    m.put("hn34", 13, dress(bars_of(together(*voices(row, ["a3", "d4"])), 5), {1: "@mf @<", 2: "@f"}))
    m.put("timp", 9, "@f d3q rh. | R | R | a2q a2 rh | R | R | @p @< a2w{tr} | @f d3q rh.")
    m.put("perc", 14, "@f Cq rh. | R | @p Sw{t3}")
    m.put("bn3", 17, '"muta in Contrafagotto" R')


def _wheel(m):
    row = bars_of(WHEEL_CHORDS, 1, 8)
    tune = bars_of(WHEEL, 1, 8)
    m.put("ob1 cl1", 17, "@mf " + tune, up="-P4")
    m.put("xyl", 17, "@mp " + broken(row, "2' 1' 0' 1' 0' 1'", "e", "b4"), up="P5")
    m.put("fl3", 17, "@mf " + tune, up="P5")
    # the strings need the first bar to pluck, and violas and basses the last one to bow again
    m.put("vn2", 18, '"pizz." @p ' + bars_of(voices(row, ["b3", "d4"], figure="q' q' q'", low=55)[0], 2), up="P5")
    m.put("va", 18, '"pizz." @p ' + bars_of(voices(row, ["g3"], figure="rq q' q'", low=48)[0], 2, 7), up="P5")
    m.put("vc", 18, '"pizz." @p ' + bars_of(bass(row, 2, "q rq rq"), 2), up="P5")
    m.put("db", 18, '"pizz." @p ' + bars_of(bass(row, 2, "q rq rq", low=35), 2, 7), up="-P4")
    m.put("bn12", 17, "@p " + together(*voices(row, ["b2", "d3"], low=40)), up="P5")
    m.put("hn12", 21, '"1., schmetternd" @mf ' + bars_of(tune, 5), up="-P11")
    m.put("perc", 17, "@p Tq rh | R | Tq rh | R | Tq rh | R | Tq T T | Tq rh")


def _eel(m):
    subject = "a4e' c5s( b4) a4e' e4' f4s( g4 a4 f4) g#4e' e4' | a4s( b4 c5 d5) e5e' d5s( c5) b4e' g#4' a4q"
    counter = "c4e' e4' c4q d4e' f4' b3q | e4s( d4 c4 b3) c4e' a3' e4e' b3' c4q"
    m.put("va", 25, '"arco" @mf ' + subject, up="-P5")
    m.put("cl1", 25, '@mf ' + subject, up="-P5")
    m.put("vn2", 27, '"arco" @mf ' + subject)
    m.put("ob1", 27, '@mf ' + subject)
    m.put("va cl1", 27, counter)
    m.put("vn1", 29, "@f " + subject, up="P4")
    m.put("fl12", 29, '"a 2" @f ' + subject, up="P4")
    m.put("vn2 ob1", 29, "@f " + counter, up="P4")
    m.put("va cl1", 29, "@f " + voices(EEL_ROW, ["a3"], low=50)[0])
    m.put("vc", 31, '"arco" @f ' + subject, up="-P8")
    m.put("bn12", 31, '"a 2" @f ' + subject, up="-P8")
    m.put("vn1 fl12", 31, counter, up="P8")
    row = "Am:h Dm:q E:q | Am:h E:q Am:q"
    one, two = voices(row, ["c4", "e4"], low=55)
    m.put("vn2 ob1", 31, two)
    m.put("va cl1", 31, one)
    m.put("db", 25, '"arco" @p ' + bass(EEL_ROW, 2) + " | " + bass(row, 2) +
          " | @f " + bass(EEL_ROW, 2) + " | " + bass(row, 2))
    m.put("hn12", 31, '"a 2" @f @< e4h d4q e4 | e4h e4q e4')
    m.put("timp", 31, "@p @< a2w{tr}~ | a2{tr}")
    m.put("tb12", 32, "@mf @< c3+e3h b2+e3q c3+e3")


def _flood(m):
    tune = "@ff " + FLOOD
    m.put("tp12", 33, '"a 2, pavillons en l\'air" ' + tune, stretch=2, flow=True)
    m.put("tp3", 33, '"pavillon en l\'air" ' + tune, stretch=2, flow=True)
    m.put("ob1 ob2 cl1", 33, tune, stretch=2, flow=True)
    m.put("cl2", 33, tune, up="-P8", stretch=2, flow=True)
    water = broken(FLOOD_CHORDS, "0 1 2 3 4 3 2 1", "s", "d5")
    m.put("fl12", 33, '"a 2" @ff ' + dress(broken(FLOOD_CHORDS, "2 1 0 1", "e", "d5"), {7: "@<"}))
    m.put("fl3", 25, '"muta in Ottavino" R')
    m.put("fl3", 33, "ins:picc " + tune, up="P8", stretch=2, flow=True)
    m.put("vn1", 33, "@ff " + dress(water, {7: "@<"}))
    inner_strings(m, 33, FLOOD_CHORDS, {1: "@ff", 7: "@<"})
    brass_and_bass(m, 33, FLOOD_CHORDS, {1: "@ff", 7: "@<"},
                   {"hn12": '"Schalltrichter auf"', "hn34": '"Schalltrichter auf"', "bn3": "ins:cbn", "bn12": '"a 2"'})
    pedals = ("000/0+00 @ff", "00-/0000", "000/0000", "000/0+00", "0+0/0+00", "000/0000", "00-/0000", "0+-/0000")
    m.put("harp", 33, dress(broken(FLOOD_CHORDS, "0 1 2 3 4 5 6 7", "e", "d4"),
                            {bar: "ped:" + pedal for bar, pedal in enumerate(pedals, 1)}))
    m.put("harp", 33, bass(FLOOD_CHORDS, 2), voice=5)
    m.put("timp", 33, "@ff d3h{tr} rh | R | R | rh d3h | a2h{tr} rh | R | d3h{tr} rh | @< a2w{tr}")
    m.put("perc", 33, "@ff B+Ch rh | R | B+Cw | R | B+Ch rh | R | B+Ch rh | @< Sw{t3}")
    m.put("xyl", 37, "@f e6e c#6 a5 c#6 f#6 d6 b5 d6 | g6e e6 b5 e6 a6 f6 c6 f6 | "
                     "a6e f6 d6 f6 bb6 f6 d6 f6 | @< a6e e6 d6 e6 a6 e6 c#6 e6 @!")


def _end(m):
    tune = "@fff " + END
    m.put("vn1 fl12", 41, tune)
    m.put("fl3", 41, tune, up=None)
    m.put("ob1 ob2 cl1", 41, tune, up="-P8")
    m.put("tp12 tp3", 41, tune, up="-P8")
    m.put("cl2", 41, tune, up="-P15")
    row = END_CHORDS
    inner_strings(m, 41, row, {1: "@fff"})
    brass_and_bass(m, 41, row, {1: "@fff"})
    m.put("timp", 41, "@fff d3h{tr} rh | rh d3h{tr} | rh. a2q | d3h.{tr} rq")
    m.put("perc", 41, "@fff B+C+Mw | R | R | B+Ch. rq")
    m.put("harp", 41, "ped:000/0+00 @fff d4+f#4+a4+d5h{arp} ped:000/0000 c4+f4+a4h{arp} | "
                        "g4+b4+d5h{arp} ped:000/0+00 d4+f#4+a4h{arp} | R | R")
    m.put("harp", 41, "d2+d3h f2+f3 | g2+g3 d2+d3 | R | R", voice=5)
    m.hold(45, "fs")
    chord = {"fl12": "d6+a6", "fl3": "f#6", "ob1": "d6", "ob2": "a5", "cl1": "f#5", "cl2": "d5", "bn12": "d3+a3",
             "bn3": "d2", "hn12": "f#4+a4", "hn34": "d4+a3", "tp12": "d5+f#5", "tp3": "a4", "tb12": "d3+a3", "tb3": "d2",
             "tuba": "d2", "vn1": "d5+a5", "vn2": "a4+f#5", "va": "d4+a4", "vc": "d2+a2", "db": "d2"}
    chord["hn34"] = "a3+d4"
    chord["tb3"] = "d3"
    for part, pitches in chord.items():
        m.put(part, 46, f"@sfz {pitches}w")
    m.put("timp", 46, "@sfz d3w{tr}")
    m.put("perc", 46, "@sfz B+Cw")
    m.put("xyl", 46, "@sfz d6q> rh.")
    m.put("harp", 46, "@sfz d5+f#5+a5w{arp}")
    m.put("harp", 46, "d2+a2w", voice=5)
