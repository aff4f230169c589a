"""The tunes of the suite, each with the chords it was written over.

Owns what comes back: the tide (four steps up, a leap down, a step down), the
wheel, the lock, the eel and the weir.  Movements transpose, stretch and
re-score them.
"""

#: The tide in four and in D dorian, eight bars.
TIDE = ("a4q( b4 c5 d5~ | d5h g4q f4) | e4q( f4 g4 a4~ | a4h.) rq | "
        "a4q( b4 c5 e5~ | e5h d5q c5) | b4q.( a4e g4q b4 | a4w)")
TIDE_CHORDS = "Dm:w | G7:w | C:h F:h | Am:w | Am:h Fmaj7:h | C:h G:q Am:q | Em:h G:h | Dm:w"

#: Its first four bars in D mixolydian with a raised third, as the brass have it at the end.
FLOOD = "a4q-( b4- c5- d5-~ d5h g4q- f#4-) e4q-( f#4- g4- a4-~ @< a4h.~ a4q)"

#: Its first two bars alone.
TIDE_HEAD = "a4q( b4 c5 d5~ | d5h g4q f4)"

#: Its second half.
TIDE_END = "a4q( b4 c5 e5~ | e5h d5q c5) | b4q.( a4e g4q b4 | a4w)"

#: The wheel, in three and in G mixolydian; a quarter before the first bar.
WHEEL_UP = "d5q"
WHEEL = ("g5h d5q | e5 f5 e5 | d5h b4q | c5h a4q | b4q c5 d5 | e5h c5q | a4h.~ | a4h d5q | "
         "g5h d5q | e5 f5 g5 | a5h f5q | e5h c5q | d5q b4 g4 | a4 c5 a4 | g4h.~ | g4h.")
WHEEL_CHORDS = ("G:h. | C:h. | G:h. | F:h. | G:h. | C:h. | Dm:h. | Dm7:h. | "
                "G:h. | C:h. | F:h. | C:h. | G:h. | Dm7:h. | G:h. | G:h.")

#: The lock: the tide's line in six-eight, in E mixolydian.
LOCK = "a3e( b3 c#4 d4q.) | g#3q( f#3e f#3q.)"

#: The lock when it is heard alone, in G lydian.
LOCK_ALONE = "a3e( b3 c#4 d4q. g3q f#3e){v}"

#: The eel: a subject for a fugato, in A minor.
EEL = ("a4e' c5s( b4) a4e' e4e' | f4s( g4 a4 f4) g#4e' e4e' | "
       "a4s( b4 c5 d5) e5e' d5s( c5) | b4e' g#4' a4q")

#: The weir song, in three and in F major; a quarter before the first bar.
WEIR_UP = "c4q"
WEIR = ("f4q.( g4e a4q | c5h a4q) | bb4q.( a4e g4q | a4h){,} c4q | "
        "f4q.( g4e a4q | d5h c5q) | bb4q( a4 g4 | f4h)")
WEIR_CHORDS = "F:h. | Am:h. | Gm:h C7:q | F:h. | F:h. | Bb:h F:q | Gm7:h C7:q | F:h"
