"""Signatures: key, clef and transposition of the instrument in hand.

Owns which instruments are written without a key signature and how a change of
instrument is written.
"""

from instruments import INSTRUMENTS

#: Horns, trumpets and timpani are written without a key signature.
_BARE = ("hn", "tp", "timp")


def signed(kind):
    """Whether an instrument is written with a key signature."""
    return kind is not None and kind.key not in _BARE


def key_of(current, kind):
    """The written signature: transposed; none for horns, trumpets and timpani."""
    if not signed(kind):
        return 0
    diatonic, chromatic, _ = kind.transpose
    if not (diatonic or chromatic):
        return current["concert"]
    return (current["concert"] - 7 * chromatic + 5) % 12 - 5


def key_xml(xml, movement, current, kind):
    """The key signature of a part at this moment."""
    with xml.tag("key"):
        fifths = key_of(current, kind)
        xml.leaf("fifths", fifths)
        if signed(kind):
            xml.leaf("mode", movement.mode)


def clef_xml(xml, clef, number=None):
    """One clef: `G2`, `C4`, `percussion`."""
    with xml.tag("clef", **({"number": str(number)} if number else {})):
        if clef == "percussion":
            xml.leaf("sign", clef)
        else:
            xml.leaf("sign", clef[0])
            xml.leaf("line", clef[1])


def transpose_xml(xml, kind, always=False):
    """How far an instrument sounds from what is written; `always` writes a zero too."""
    if kind is None or (kind.transpose == (0, 0, 0) and not always):
        return
    diatonic, chromatic, octaves = kind.transpose
    with xml.tag("transpose"):
        xml.leaf("diatonic", diatonic)
        xml.leaf("chromatic", chromatic)
        if octaves:
            xml.leaf("octave-change", octaves)


def change(xml, movement, current, key):
    """The player takes another instrument: signature, clef, transposition, name."""
    current["instrument"] = key
    kind = INSTRUMENTS[key]
    with xml.tag("attributes"):
        key_xml(xml, movement, current, kind)
        clef_xml(xml, kind.clef)
        transpose_xml(xml, kind, always=True)
    with xml.tag("direction", placement="above"):
        with xml.tag("direction-type"):
            xml.leaf("words", kind.name)
