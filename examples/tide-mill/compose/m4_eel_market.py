"""IV. Eel market: a fugato in A minor, repeated, with slides and a dance in five.

The exposition (1-18) has two endings; the subject comes back in everything at 31.
"""

from harmony import bass, voices
from lines import bars_of, dress, together
from score import Movement
from scoring import brass_and_bass, inner_strings
from tunes import EEL

COUNTER = "c4e' e4' c4q | d4e' f4' b3q | e4s( d4 c4 b3) c4e' a3' | e4e' b3' c4q"
ROW = "Am:h | Dm:q E:q | Am:h | E:q Am:q"
ANSWER_ROW = "Em:h | Am:q B:q | Em:h | B:q Em:q"
SLIDES = "F:h | F:h | Bdim:h | E7:h"
FIVE = "Dm:q. Am:q | Gm:q. Dm:q | C:q. F:q | E7:q. E7:q"
FIVE_TUNE = "d6e' f6' e6' c6' a5' | bb5e' d6' bb5' a5' f5' | g5e' c6' e6' f6' c6' | b5e' g#5' e5' e6q>"
LAST_ROW = "Am:h | Dm:q E:q | Am:h | E:q Am:q | Dm:h | Gm:q A:q | Dm:h | A:q Dm:q | E7sus4:q E7:q | Am:q"


def compose():
    """The movement."""
    m = Movement(4, "Eel market", "4-eel-market", 0, "minor", home={"fl3": "picc"})
    m.bar_rows(("2/4", 22), ("3+2/8", 4), ("2/4", 14))
    m.tempo(1, "Allegretto scherzando", "q", 112)
    for number, text in ((5, "A"), (19, "B"), (23, "C"), (31, "D")):
        m.mark(number, text)
    m.tempo(31, "Poco più mosso", "q", 120)
    m.repeat(1, 18, [(15, 16, "1"), (17, 18, "2")])
    _exposition(m)
    _slides(m)
    _five(m)
    _pedal(m)
    _all(m)
    return m


def _exposition(m):
    m.put("va", 1, '"arco, ord." @p ' + EEL, up="-P8")
    m.put("cl1", 1, "@p " + EEL, up="-P8")
    m.put("vn2", 5, '"ord." @p ' + EEL, up="-P4")
    m.put("ob1", 5, "@p " + EEL, up="-P4")
    m.put("va cl1", 5, COUNTER, up="-P4")
    m.put("vn1", 9, "@mf " + EEL, up="P8")
    m.put("fl12", 9, '"a 2" @mf ' + EEL, up="P8")
    m.put("vn2 ob1", 9, "@mf " + COUNTER, up="P8")
    m.put("va", 9, dress(voices(ROW, ["e4"], figure="e' e'", low=48)[0], {1: "@mf"}))
    for part, words in (("vc", '"arco" @f '), ("bn12", '"a 2" @f ')):
        m.put(part, 13, words + EEL, up="-P11")
        m.put(part, 17, "@f " + bars_of(EEL, 3, 3) + " | b4e' g#4' a4e' r", up="-P11")
    m.put("vn1", 13, "@f " + COUNTER, up="P5")
    m.put("fl12", 13, '@f ' + COUNTER, up="P12")
    chords = voices(ANSWER_ROW, ["g3", "b3", "e4"], figure="e' e'", low=48)
    m.put("va", 13, dress(together(*chords[:2]), {1: "@f"}))
    m.put("vn2", 13, dress(voices(ANSWER_ROW, ["e4"], figure="e' e'", low=55)[0], {1: "@f"}))
    m.put("db", 5, dress(bass(ANSWER_ROW, 2, "e' re") + " | " + bars_of(bass(ROW, 2, "e' re"), 1, 3) + " | R | " + bass(ANSWER_ROW, 2, "e' re"),
                         {1: '"pizz." @p', 5: "@mf", 9: '"arco" @f'}))
    m.put("vc", 9, '"pizz." @mf ' + bars_of(bass(ROW, 2, "e' re"), 1, 3) + " | R")
    m.put("ob1", 13, "@f e5q. re | e5e' r d#5q | e5q. re | d#5e' r e5q")
    m.put("cl1", 13, "@f b4q. re | c5e' r b4q | b4q. re | b4e' r b4q")
    m.put("hn12", 13, '"1. chiuso" @fp b3h{+}~ | b3q{+} b3{+}> | @fp b3h{+}~ | b3q{+} b3{+}>')
    m.put("timp", 13, '"in E, A" @f e3q re e3e | a2e a2 rq | e3q re e3e | rq e3e a2')
    # the second ending turns to F
    m.put("vn1 fl12", 17, "@f g5s( f#5 e5 d#5) e5e' c5' | d#5e' e5' f5q>")
    m.put("vn2 ob1", 17, "@f e5q e5e' e5' | b4e' b4' a4e> r")
    m.put("va cl1", 17, "@f b3q b3e' b3' | a3e' g3' c4e> r")
    m.put("db", 17, "@f e2q e2e' e2' | b2e' e2' f2q>")
    m.put("timp", 17, '"muta A in F" @f e3q e3e e3 | rh')


def _slides(m):
    m.put("tb12", 19, '"a 2, glissando" @f f3q{sl(} b2{sl)} | f3{sl(} b2{sl)} | "1." f4q{sl(} b3{sl)} | e4q> g#3>')
    m.put("tb3", 19, '@f f2q> re f2e | f2q> re f2e | b2q{sl(} f2{sl)} | e2q> e2>')
    m.put("xyl", 19, "@mf c6s d6 c6 b5 a5e' f5' | c6s d6 c6 b5 a5e' f5' | b5s c6 b5 a5 g#5e' f5' | e5s g#5 b5 d6 e6e' e6'")
    one, two, three = voices(SLIDES, ["a3", "c4", "f4"], figure="re e'", low=55)
    m.put("vn2", 19, dress(together(two, three), {1: '"pizz." @mf'}))
    m.put("va", 19, dress(one, {1: '"pizz." @mf'}))
    m.put("vc", 19, "R | " + dress(bars_of(bass(SLIDES, 2, "e' re"), 2), {1: '"pizz." @mf'}))
    m.put("db", 19, dress(bass(SLIDES, 2, "e' re"), {1: "@mf"}))
    m.put("timp", 19, '@mf f2e r f2 r | f2e r f2 r | "muta F in A" R | R')
    m.put("cl1", 21, "@f g:e5s f5q> g:a4s b4q> | g:d5s e5q> g:g4s g#4q>")
    m.put("cl2", 20, "@mf rq re 3:2[ e4s f4 g4 ] | a4e' b4' f4q> | g#4q> e4>")
    m.put("vn1", 21, '"sul ponticello" @fp b4q{t3} f5{t3} | e5{t3} rq')


def _five(m):
    m.put("fl3", 23, '"Ottavino" @f ' + FIVE_TUNE, up="P8")
    m.put("xyl", 23, "@mf " + FIVE_TUNE)
    m.put("fl12", 23, '"1." @f ' + FIVE_TUNE)
    pulse = voices(FIVE, ["a3", "d4", "f4"], low=55)
    m.put("vn1", 23, dress(voices(FIVE, ["a4"], low=55)[0], {1: '"pizz., ord." @f'}, each="{sp}"))
    m.put("vn2", 23, dress(bars_of(together(pulse[1], pulse[2]), 1, 3) + " | d4+g#4q. rq", {1: "@mf"}))
    m.put("va", 23, dress(bars_of(pulse[0], 1, 3) + " | b3q. rq", {1: "@mf"}))
    m.put("vc", 23, dress(bars_of(bass(FIVE, 2), 1, 3) + " | e2q. rq", {1: "@mf"}))
    m.put("db", 23, dress(bass(FIVE, 2), {1: "@mf"}))
    m.put("hn34", 23, dress(together(*voices(FIVE, ["f3", "a3"])), {1: '"bouché" @mp'}, each="{+}"))
    m.put("perc", 23, "@p Tq. Tq | Tq. Tq | Tq. Tq | Tq. Te T")
    m.put("tp3", 25, '"Solo, con sord." @mf g4e\' c5\' e5\' f5\' c5\' | b4e\' g#4\' e4\' e5q>')


def _pedal(m):
    m.put("db", 27, '@p e2h~ | e2~ | @< e2~ | e2')
    m.put("timp", 27, "@p e3h{tr}~ | e3{tr}~ | @< e3{tr}~ | e3{tr}")
    m.put("fl12", 27, '"a 2" @p ' + bars_of(EEL, 1, 1) + " | R | @mf a4e' c5s( b4) a4e' e4' | "
          "@< e4s( f#4 g#4 a4 b4 c5 d5 d#5)", up="P8")
    m.put("ob1", 28, "@p b4e' d5s( c5) b4e' g#4' | R | @mf @< e4s( f#4 g#4 a4 b4 c5 d5 d#5)")
    m.put("cl1", 27, "@p R | R | @mp c5e' e5s( d5) c5e' a4' | @< e4s( f#4 g#4 a4 b4 c5 d5 d#5)")
    m.put("bn12", 28, '"2." @p g#3e\' b3s( a3) g#3e\' e3\' | "1." @mp a3q( c4) | "a 2" @< b3q( g#3)')
    m.put("vn2", 27, '"arco, sul ponticello" @p ' + dress("c4+e4h | b3+d4 | c4+e4 | b3+d4", {3: "@<"}, each="{t3}"))
    m.put("va", 27, '"arco, am Steg" @p ' + dress("a3h | g#3 | a3 | g#3", {3: "@<"}, each="{t3}"))
    m.put("vc", 27, '"arco" @p e3h~ | e3~ | @< e3~ | e3')
    m.put("vn1", 30, '"arco, ord." @mf @< e4s( f#4 g#4 a4 b4 c5 d5 d#5)')


def _all(m):
    for part, up, words in (("vn1", "P8", ""), ("fl12", "P8", '"a 2" '),
                            ("ob1", None, ""), ("ob2", None, ""), ("cl1", None, "")):
        m.put(part, 31, words + "@ff " + EEL, up=up)
        second = {None: "P4", "P8": "P11"}[up]
        m.put(part, 35, EEL, up=second)
        m.put(part, 39, "a5q-( g#5) | a5q^ r" if up else "a4q-( g#4) | a4q^ r")
    m.put("cl2", 31, "@ff " + voices(LAST_ROW, ["e4"], low=50)[0] + " rq")
    _last_chords(m)
    m.put("tp12", 35, "@f d4+a4e' d4+a4s d4+a4 d4+a4q> | d4+g4e' d4+g4 e4+a4q> | "
                      "d4+a4e' d4+a4s d4+a4 d4+a4q> | e4+a4q> d4+a4> | "
                      "@ff e4+a4q-( e4+g#4) | e4+a4q^ r")
    m.put("tp3", 35, '"senza sord." @f a4e\' a4s a4 a4q> | bb4e\' bb4 c#5q> | '
                     'd5e\' d5s d5 d5q> | c#5q> d5> | @ff d5q-( b4) | c5q^ r')
    m.put("timp", 31, "@f a2e a2 rq | R | a2e a2 rq | e3q a2 | R*4 | @< e3h{tr} | @ff a2q rq")
    m.put("perc", 35, "@f B+Cq r | R | B+Cq r | R | Sh{t3} | @ff B+Cq r")
    m.put("xyl", 35, "@ff d6e' f6s e6 d6e' a5' | bb5s c6 d6 bb5 c#6e' a5' | "
                     "d6s e6 f6 g6 a6e' g6s f6 | e6e' c#6' d6q | R | a6q> r")


def _last_chords(m):
    row = LAST_ROW + " Am:q"
    signs = {1: "@f", 5: "@ff"}
    words = {"hn12": '"aperto"', "hn34": '"ouvert"', "bn12": '"a 2"'}
    brass_and_bass(m, 31, row, signs, words, figure="q>")
    inner_strings(m, 31, row, signs, each="{t2}", words={"vn2": '"ord."', "va": '"ord., div."'})
