"""The instruments of the suite and the staves of its score.

Owns names, sounds, transpositions, clefs and ranges (sounding MIDI numbers,
the usual professional limits of the orchestration manuals).  A stave may be
shared by two players or change its instrument; which instrument plays when is
the movements' business.
"""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Instrument:
    """`transpose` is (steps, semitones, octaves) from written to sounding pitch,
    octaves added to the two others, as the MusicXML standard counts them."""

    key: str
    name: str
    abbreviation: str
    sound: str
    low: int
    high: int
    clef: str = "G2"
    transpose: tuple = (0, 0, 0)
    program: int = 1


def _table(*rows):
    return {row.key: row for row in rows}


INSTRUMENTS = _table(
    Instrument("fl", "Flute", "Fl.", "wind.flutes.flute", 60, 98, program=74),
    Instrument("picc", "Piccolo", "Picc.", "wind.flutes.flute.piccolo", 74, 108, transpose=(0, 0, 1), program=73),
    Instrument("ob", "Oboe", "Ob.", "wind.reed.oboe", 58, 93, program=69),
    Instrument("ca", "Cor anglais", "C.A.", "wind.reed.english-horn", 52, 84, transpose=(-4, -7, 0), program=70),
    Instrument("cl", "Clarinet in B♭", "Cl.", "wind.reed.clarinet.bflat", 50, 94, transpose=(-1, -2, 0), program=72),
    Instrument("bcl", "Bass clarinet in B♭", "B. Cl.", "wind.reed.clarinet.bass", 37, 77,
               transpose=(-1, -2, -1), program=72),
    Instrument("bn", "Bassoon", "Bn.", "wind.reed.bassoon", 34, 76, "F4", program=71),
    Instrument("cbn", "Contrabassoon", "Cbn.", "wind.reed.contrabassoon", 22, 58, "F4", (0, 0, -1), 71),
    Instrument("hn", "Horn in F", "Hn.", "brass.french-horn", 35, 77, transpose=(-4, -7, 0), program=61),
    Instrument("tp", "Trumpet in B♭", "Tpt.", "brass.trumpet.bflat", 52, 82, transpose=(-1, -2, 0), program=57),
    Instrument("tb", "Trombone", "Tbn.", "brass.trombone.tenor", 40, 72, "F4", program=58),
    Instrument("btb", "Bass trombone", "B. Tbn.", "brass.trombone.bass", 34, 70, "F4", program=58),
    Instrument("tuba", "Tuba", "Tba.", "brass.tuba", 26, 65, "F4", program=59),
    Instrument("timp", "Timpani", "Timp.", "drum.timpani", 38, 57, "F4", program=48),
    Instrument("xyl", "Xylophone", "Xyl.", "pitched-percussion.xylophone", 65, 108, transpose=(0, 0, 1), program=14),
    Instrument("harp", "Harp", "Hp.", "strings.harp", 23, 104, program=47),
    Instrument("vn", "Violin", "Vn.", "strings.violin", 55, 100, program=41),
    Instrument("va", "Viola", "Va.", "strings.viola", 48, 88, "C3", program=42),
    Instrument("vc", "Violoncello", "Vc.", "strings.cello", 36, 81, "F4", program=43),
    Instrument("db", "Double bass", "Db.", "strings.contrabass", 28, 60, "F4", (0, 0, -1), 44),
)

#: Percussion 2 plays without pitch: letter -> (name, sound, staff place, General MIDI key).
UNPITCHED = {
    "T": ("Triangle", "metal.triangle", ("A", 5), 81),
    "C": ("Cymbals", "metal.cymbal.clash", ("E", 5), 49),
    "S": ("Suspended cymbal", "metal.cymbal.suspended", ("G", 5), 57),
    "B": ("Bass drum", "drum.bass-drum", ("F", 4), 35),
    "M": ("Tam-tam", "metal.tamtam", ("B", 4), 52),
}


@dataclass(frozen=True)
class Part:
    """One part of the score.  `players` is the number of players on it (0 = a
    string section); `instruments` are the keys it may play, the usual one first."""

    key: str
    name: str
    abbreviation: str
    instruments: tuple
    players: int
    group: str
    staves: int = 1
    clefs: tuple = field(default=())


PARTS = (
    Part("fl12", "Flutes 1.2", "Fl. 1.2", ("fl",), 2, "Woodwinds"),
    Part("fl3", "Flute 3 (Piccolo)", "Fl. 3", ("fl", "picc"), 1, "Woodwinds"),
    Part("ob1", "Oboe 1", "Ob. 1", ("ob",), 1, "Woodwinds"),
    Part("ob2", "Oboe 2 (Cor anglais)", "Ob. 2", ("ob", "ca"), 1, "Woodwinds"),
    Part("cl1", "Clarinet 1 in B♭", "Cl. 1", ("cl",), 1, "Woodwinds"),
    Part("cl2", "Clarinet 2 in B♭ (Bass clarinet)", "Cl. 2", ("cl", "bcl"), 1, "Woodwinds"),
    Part("bn12", "Bassoons 1.2", "Bn. 1.2", ("bn",), 2, "Woodwinds"),
    Part("bn3", "Bassoon 3 (Contrabassoon)", "Bn. 3", ("bn", "cbn"), 1, "Woodwinds"),
    Part("hn12", "Horns 1.2 in F", "Hn. 1.2", ("hn",), 2, "Brass"),
    Part("hn34", "Horns 3.4 in F", "Hn. 3.4", ("hn",), 2, "Brass"),
    Part("tp12", "Trumpets 1.2 in B♭", "Tpt. 1.2", ("tp",), 2, "Brass"),
    Part("tp3", "Trumpet 3 in B♭", "Tpt. 3", ("tp",), 1, "Brass"),
    Part("tb12", "Trombones 1.2", "Tbn. 1.2", ("tb",), 2, "Brass"),
    Part("tb3", "Trombone 3 (bass)", "Tbn. 3", ("btb",), 1, "Brass"),
    Part("tuba", "Tuba", "Tba.", ("tuba",), 1, "Brass"),
    Part("timp", "Timpani", "Timp.", ("timp",), 1, "Percussion"),
    Part("xyl", "Percussion 1: Xylophone", "Xyl.", ("xyl",), 1, "Percussion"),
    Part("perc", "Percussion 2", "Perc.", (), 1, "Percussion"),
    Part("harp", "Harp", "Hp.", ("harp",), 1, "Harp", 2, ("G2", "F4")),
    Part("vn1", "Violins I", "Vn. I", ("vn",), 0, "Strings"),
    Part("vn2", "Violins II", "Vn. II", ("vn",), 0, "Strings"),
    Part("va", "Violas", "Va.", ("va",), 0, "Strings"),
    Part("vc", "Violoncellos", "Vc.", ("vc",), 0, "Strings"),
    Part("db", "Double basses", "Db.", ("db",), 0, "Strings"),
)
PART_KEYS = {part.key: part for part in PARTS}
