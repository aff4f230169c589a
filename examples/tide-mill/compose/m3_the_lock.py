"""III, bars 41-60: the lock.

Trombones state the lock over an E drone (43); the contrabassoon, after 47 bars
of rest, has it alone at 48, with one stroke of the xylophone; the strings take
it up over a pedal D, and the gates break open at 55 in the octatonic scale on D.
"""

from lines import dress
from tunes import LOCK, LOCK_ALONE


def lock(m):
    """Writes bars 41-60."""
    _drone(m)
    _alone(m)
    _polyphony(m)
    _gates_open(m)
    _water(m)


def _drone(m):
    octaves = "e4q. g#4q( a4e | b4q. a4q g#4e) | "
    m.put("tp12", 41, '"a 2, con sord." @pp e4h.~ | e4 | R | R | R | R | R')
    m.put("vn2", 41, '@pp ' + octaves + '"sul tasto" ' +
          dress("e4+b4h. | e4+b4 | e4+b4h. e4+b4q. | e4+b4h. e4+b4q. | e4+b4h.", {5: "@p"}, each="{t3}"))
    m.put("vc", 41, '@pp ' + octaves + "e4h.", up="-P8")
    m.put("hn34", 43, '"3." @pp e4h.~ | e4 | @< e4h.~ e4q.~ | e4h.~ e4q. | @p e4h.')
    m.put("tb12", 43, '"1." @p ' + LOCK + " | @< a3q.( b3 c#4e d4q~ | @mp d4q. b3 g#3) @!")
    m.put("bn12", 45, '"2." rq. @pp b3q.( c#4 | @< d4q. c#4 b3) | @p g#3q.( e3)')
    m.put("tuba", 46, "@pp d2h.~ d2q.~ | d2h.~ | d2h.~ | d2h~ d2q.~ | d2h~ d2q.~ | d2h~ d2q.")


def _alone(m):
    m.put("bn3", 48, '"Contrafagotto solo" @ppp ' + LOCK_ALONE, up="-P15", stretch=3, flow=True)
    m.put("xyl", 48, '"weiche Schlägel" @pp a5q. rq.')


def _polyphony(m):
    m.put("vn1", 49, '@p d5e( e5 f#5 g5~ g5q.) | c#5q( b4 b4q.) | @< d5e( e5 f#5 a5~ a5q.){v} | '
                     '@mf g5h( f#5 e5) | d5h( c#5 b4)')
    m.put("vn2", 49, '"ord." @p rq g4e( a4 b4q c#5e~ | c#5q d5 f#4q.) | @< g4e( a4 b4 c#5 d5q.){v} | '
                     '@mf b4h( a4 g4) | f#4h( g4 g4)')
    m.put("va", 49, '"tutti, div. a 3" @p b3+d4+g4h b3+d4+g4q. | a3+c#4+e4h a3+d4+f#4q. | '
                    '@< b3+d4+g4h b3+d4+f#4q.{v} | @mf "unis." g4h( d4 e4) | d4h( e4 d4)')
    m.put("cl1", 50, '@p rq d5q( f#5q.) | @< g5e( f#5 e5 d5 c#5q.){v} | @mf e5h( d5 c#5) | b4h( g4 g4)')
    m.put("cl2", 50, '@p rq b4q( d5q.) | @< b4e( a4 g4 b4 a4q.){v} | @mf g4h( f#4 e4) | d4h( e4 d4)')
    m.put("fl12", 52, '"a 2" @mf g5h( a5 b5) | d6h( c#6 b5)')
    m.put("fl3", 52, '@mf e5h( f#5 g5) | b5h( a5 g5)')
    m.put("bn12", 52, '@mf d3+g3h( d3+f#3 d3+e3) | d3+f#3h( d3+e3 d3+g3)')
    m.put("tp12", 52, '@mp d4+g4h d4+f#4 e4+g4 | d4+f#4 e4+g4 d4+g4 | @< d4+f#4h rh @! rh')


def _gates_open(m):
    """Octatonic on D: D E-flat F F-sharp G-sharp A B C."""
    # 54: winds part by step, without the strings; the trumpets have two half notes to open
    m.put("fl12", 54, '@< c6q( b5 a5 g#5 f#5 f5)')
    m.put("fl3", 54, '@< a5q( g#5 f#5 f5 eb5 d5)')
    m.put("ob1", 54, '@mf @< f#5q( f5 eb5 d5 c5 b4)')
    m.put("ob2", 54, '@mf @< eb5q( d5 c5 b4 a4 g#4)')
    m.put("bn12", 54, '"a 2" @< d3q( eb3 f3 f#3 g#3 a3)')
    chords = {"fl12": "d6+f#6h d#6+f6 | d#6+f#6 d#6+f#6 | d6+f#6q. r",
              "ob1": "a5h a5 | g#5 a5 | a5q. r", "ob2": "f#5h f5 | d#5 f#5 | f#5q. r",
              "cl1": "d5h eb5 | d#5 d#5 | d5q. r", "cl2": "a4h a4 | g#4 b4 | a4q. r",
              "fl3": "a5h c6 | c6 b5 | a5q. r",
              "bn12": "d3+a3h f3+a3 | g#3+d#4 b3+d#4 | d3+a3q. r",
              "bn3": "d2h f2 | g#1 b1 | d2q. r",
              "tb12": "f#3+c4h f3+c4 | f#3+c4 f#3+a3 | f#3+c4q. r",
              "tb3": "d3h f2 | g#2 b2 | d3q. r", "tuba": "d2h f2 | g#2 b2 | d2q. r",
              "va": "d4+c5h{t3} eb4+c5{t3} | d#4+c5{t3} d#4+b4{t3} | d4+a4q. r",
              "vn2": "a4+f#5h{t3} a4+f5{t3} | g#4+f#5{t3} a4+f#5{t3} | a4+f#5q. r",
              "vc": "d2+d3h f2+f3 | g#2+g#3 b2+b3 | d2+d3q. r", "db": "d2h f2 | g#2 b2 | d2q. r"}
    words = {"va": '"div." ', "vn2": '"div." ', "vc": '"unis., ord." '}
    for part, line in chords.items():
        m.put(part, 55, words.get(part, "") + "@ff " + line)
    tune = "a4q-( b4- c5- d5~- | d5h g#4q f#4)"
    m.put("hn12", 55, '"a 2, Schalltrichter auf" @ff ' + tune + " | f#4q. r")
    m.put("hn34", 55, '"a 2, Schalltrichter auf" @ff ' + tune + " | d4q. r")
    m.put("tp12", 55, '"a 2, senza sord." @ff ' + tune + " | d5q. r")
    m.put("tp3", 55, '@ff ' + tune + " | a4q. r")
    m.put("vn1", 55, "@ff " + tune + " | d5q. r", up="P8")
    m.put("timp", 55, '@ff d3h{tr} rh | d3q a2 d3 a2')
    m.put("xyl", 56, '"harte Schlägel" @f d6e d#6 f6 f#6 g#6 a6 b6 c7 | d7q.> rq.')
    m.put("perc", 55, "@ff B+Ch rh | B+Ch B+Ch | B+Cq. rq.")


def _water(m):
    m.put("vn1", 58, "@p f#5h.( | @> d5h.) @! | R")
    m.put("vn2", 58, "@p c5h.( | @> b4h.) @! | R")
    m.put("vc", 58, "@p d3h.~ | @> d3h. @! | R")
    m.put("va", 58, "@p a4h. | R | R")
    m.put("cl1", 58, "@p a4q.( g#4q.)")
    m.put("cl2", 58, "@p f#4q.( f4q.)")
    run = "d4s eb4 f4 gb4 ab4 b4 c5 d5 c5 b4 ab4 gb4"
    m.put("harp", 58, f"ped:000/-0-- @p {run} | @> {run} | @pp d4s eb4 f4 gb4 ab4 b4 c5q.")
    m.put("harp", 58, "d2+ab2h. | d2+ab2 | d2h.", voice=5)
