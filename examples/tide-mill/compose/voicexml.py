"""One voice of one bar as MusicXML: notes, rests, and the signs at them.

Owns written pitch, accidentals, beams, ties, slurs and hairpins, and the words
that change how an instrument is played.  Keeps what is open (ties, slurs,
hairpins) from bar to bar in `VoiceState`.
"""

from dataclasses import dataclass, field
from fractions import Fraction

from beams import beams
from instruments import INSTRUMENTS, UNPITCHED
from notation import Note
from pitch import STEPS
from signature import clef_xml, key_of
from words import sound_of

_TYPES = {Fraction(8): "breve", Fraction(4): "whole", Fraction(2): "half", Fraction(1): "quarter",
          Fraction(1, 2): "eighth", Fraction(1, 4): "16th", Fraction(1, 8): "32nd", Fraction(1, 16): "64th"}
_ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
_ARTICULATIONS = {">": "accent", "^": "strong-accent", "'": "staccato", "-": "tenuto", "!": "staccatissimo"}
_FERMATAS = {"f": "normal", "fa": "angled", "fs": "square"}
_TECHNICAL = {"up": "up-bow", "down": "down-bow", "+": "stopped", "open": "open-string", "sp": "snap-pizzicato"}
_SHARPS, _FLATS = "FCGDAEB", "BEADGCF"


@dataclass
class VoiceState:
    """What is open in a voice at the end of a bar."""

    voice: int
    staff: int
    ties: set = field(default_factory=set)
    slurs: int = 0
    hairpin: str = None


def type_of(value):
    """Note type and number of dots."""
    for dots in (0, 1, 2):
        base = value / (2 - Fraction(1, 2 ** dots))
        if base in _TYPES:
            return _TYPES[base], dots
    raise ValueError(f"{value} quarters are no single note value")


def key_alter(fifths, step):
    """What the signature does to a step."""
    letter = STEPS[step]
    if fifths > 0:
        return int(letter in _SHARPS[:fifths])
    return -int(letter in _FLATS[:-fifths])


def written(pitch, kind):
    """The written pitch of a sounding one."""
    diatonic, chromatic, octaves = kind.transpose
    place = pitch.moved(-diatonic - 7 * octaves, -chromatic - 12 * octaves)
    return place.plain() if abs(place.alter) > 1 else place


def voice_xml(xml, state, current, bar, items, shared, ticks, change):
    """Writes the voice; `change` is called with the key of a new instrument."""
    writer = _Writer(xml, state, current, bar, shared, ticks)
    writer.fifths = key_of(current, INSTRUMENTS.get(current["instrument"]))
    items = items if items is not None else [Note((), None, bar.length)]
    marks = beams(items, bar)
    for nth, item in enumerate(items):
        if isinstance(item, Note):
            writer.note(item, marks.get(nth, ()))
        elif item.kind == "ins":
            change(item.text)
            writer.fifths = key_of(current, INSTRUMENTS[item.text])
        elif item.kind == "clef":
            with xml.tag("attributes"):
                clef_xml(xml, item.text, state.staff)
        else:
            writer.sign(item)


class _Writer:
    def __init__(self, xml, state, current, bar, shared, ticks):
        self.xml, self.state, self.current, self.bar = xml, state, current, bar
        self.shared, self.ticks = shared, ticks
        self.altered, self.fifths = {}, 0

    # --- signs -------------------------------------------------------------

    def sign(self, item):
        xml, state = self.xml, self.state
        if item.kind == "level":
            self.close_hairpin()
            self._direction("below", lambda: self._in("dynamics", lambda: xml.leaf(item.text, None)))
        elif item.kind == "hairpin":
            self.close_hairpin()
            if item.text[0] in "<>":
                kind = "crescendo" if item.text[0] == "<" else "diminuendo"
                niente = item.text.endswith("n")
                more = {"niente": "yes"} if niente and kind == "crescendo" else {}
                self._direction("below", lambda: xml.leaf("wedge", None, type=kind, number=self._number(), **more))
                state.hairpin = "yes" if niente and kind == "diminuendo" else "no"
        elif item.kind == "words":
            self._direction("above", lambda: xml.leaf("words", item.text, font_style="italic"), sound_of(item.text))
        elif item.kind == "ped":
            self._direction("below", lambda: self._pedals(item.text))

    def _number(self):
        return "2" if self.state.voice in (2, 6) else "1"

    def close_hairpin(self):
        if self.state.hairpin:
            more = {"niente": "yes"} if self.state.hairpin == "yes" else {}
            self._direction("below", lambda: self.xml.leaf("wedge", None, type="stop", number=self._number(), **more))
            self.state.hairpin = None

    def _in(self, name, write):
        with self.xml.tag(name):
            write()

    def _direction(self, placement, write, sound=None):
        xml, state = self.xml, self.state
        with xml.tag("direction", placement=placement):
            with xml.tag("direction-type"):
                write()
            xml.leaf("voice", state.voice)
            if state.staff:
                xml.leaf("staff", state.staff)
            if sound:
                attributes, mute = sound
                if mute:
                    with xml.tag("sound", **attributes), xml.tag("play"):
                        xml.leaf("mute", mute)
                else:
                    xml.leaf("sound", None, **attributes)

    def _pedals(self, text):
        with self.xml.tag("harp-pedals"):
            for step, place in zip("DCBEFGA", text.replace("/", "")):
                with self.xml.tag("pedal-tuning"):
                    self.xml.leaf("pedal-step", step)
                    self.xml.leaf("pedal-alter", {"-": -1, "0": 0, "+": 1}[place])

    # --- notes -------------------------------------------------------------

    def note(self, note, beam):
        if note.strokes:
            for nth, letter in enumerate(note.strokes):
                self._head(note, None, letter, nth, beam, set())
            return
        if not note.pitches:
            self._head(note, None, None, 0, beam, set())
            return
        stops, self.state.ties = self.state.ties if not note.grace else set(), (
            self.state.ties if note.grace else set())
        for nth, pitch in enumerate(sorted(note.pitches, key=lambda p: p.midi)):
            self._head(note, pitch, None, nth, beam, stops)
            if note.tie:
                self.state.ties.add(pitch.midi)

    def _head(self, note, pitch, letter, nth, beam, stops):
        xml = self.xml
        with xml.tag("note"):
            if note.grace:
                xml.leaf("grace", None, slash="yes")
            if nth:
                xml.leaf("chord", None)
            accidental = self._what(note, pitch, letter)
            if not note.grace:
                xml.leaf("duration", self.ticks(note.length))
            stop = pitch is not None and pitch.midi in stops
            start = pitch is not None and note.tie
            for kind, yes in (("stop", stop), ("start", start)):
                if yes:
                    xml.leaf("tie", None, type=kind)
            self._instrument(pitch, letter)
            xml.leaf("voice", self.state.voice)
            value = self._value(note)
            if value is not None:
                name, dots = type_of(value)
                xml.leaf("type", name)
                for _ in range(dots):
                    xml.leaf("dot", None)
            if accidental:
                xml.leaf("accidental", accidental)
            if note.ratio:
                with xml.tag("time-modification"):
                    xml.leaf("actual-notes", note.ratio[0])
                    xml.leaf("normal-notes", note.ratio[1])
            if self.shared and not note.rest:
                xml.leaf("stem", "down" if self.state.voice in (2, 6) else "up")
            if self.state.staff:
                xml.leaf("staff", self.state.staff)
            if not nth:
                for number, kind in enumerate(beam, 1):
                    xml.leaf("beam", kind, number=number)
            self._notations(note, nth, stop, start)

    def _what(self, note, pitch, letter):
        xml = self.xml
        if letter:
            step, octave = UNPITCHED[letter][2]
            with xml.tag("unpitched"):
                xml.leaf("display-step", step)
                xml.leaf("display-octave", octave)
            return None
        if pitch is None:
            xml.leaf("rest", None, **({"measure": "yes"} if self._value(note) is None else {}))
            return None
        place = written(pitch, INSTRUMENTS[self.current["instrument"]])
        with xml.tag("pitch"):
            xml.leaf("step", STEPS[place.step])
            if place.alter:
                xml.leaf("alter", place.alter)
            xml.leaf("octave", place.octave)
        key = (place.step, place.octave)
        known = self.altered.get(key, key_alter(self.fifths, place.step))
        self.altered[key] = place.alter
        return _ACCIDENTALS[place.alter] if known != place.alter else None

    def _value(self, note):
        """None only for the rest of a bar that has its full length: a pickup has plain rests."""
        short = self.bar.length != self.bar.meter.length
        return self.bar.length if note.value is None and short else note.value

    def _instrument(self, pitch, letter):
        part = self.current["part"]
        if letter:
            place = list(UNPITCHED).index(letter) + 1
        elif pitch is not None and len(part.instruments) > 1:
            place = part.instruments.index(self.current["instrument"]) + 1
        else:
            return
        self.xml.leaf("instrument", None, id=f"P{self.current['number']}-I{place}")

    def _notations(self, note, nth, stop, start):
        signs = [] if nth else list(note.signs)
        if not (signs or stop or start or (note.tuplet and not nth)):
            return
        xml = self.xml
        with xml.tag("notations"):
            for kind, yes in (("stop", stop), ("start", start)):
                if yes:
                    xml.leaf("tied", None, type=kind)
            for sign, kind in ((")", "stop"), ("(", "start")):
                if sign in signs:
                    self.state.slurs += 1 if kind == "start" else -1
                    xml.leaf("slur", None, type=kind, number=self._number())
            if note.tuplet and not nth:
                for kind in ("start", "stop"):
                    if kind in note.tuplet:
                        xml.leaf("tuplet", None, type=kind, bracket="yes")
            for sign, kind in (("gl)", "stop"), ("gl(", "start")):
                if sign in signs:
                    xml.leaf("glissando", None, type=kind, line_type="wavy", number="1")
            for sign, kind in (("sl)", "stop"), ("sl(", "start")):
                if sign in signs:
                    xml.leaf("slide", None, type=kind, line_type="solid", number="1")
            self._groups(signs)

    def _groups(self, signs):
        xml = self.xml
        ornaments = [s for s in signs if s == "tr" or s in ("t1", "t2", "t3")]
        if ornaments:
            with xml.tag("ornaments"):
                for sign in ornaments:
                    if sign == "tr":
                        xml.leaf("trill-mark", None)
                    else:
                        xml.leaf("tremolo", sign[1], type="single")
        technical = [s for s in signs if s in _TECHNICAL or s == "o"]
        if technical:
            with xml.tag("technical"):
                for sign in technical:
                    if sign == "o":
                        with xml.tag("harmonic"):
                            xml.leaf("natural", None)
                    else:
                        xml.leaf(_TECHNICAL[sign], None)
        articulations = [s for s in signs if s in _ARTICULATIONS or s in (",", "v", "//")]
        if articulations:
            with xml.tag("articulations"):
                for sign in articulations:
                    if sign in _ARTICULATIONS:
                        xml.leaf(_ARTICULATIONS[sign], None)
                    elif sign == "//":
                        xml.leaf("caesura", "normal")
                    else:
                        xml.leaf("breath-mark", "comma" if sign == "," else "tick")
        for sign in signs:
            if sign in _FERMATAS:
                xml.leaf("fermata", _FERMATAS[sign], type="upright")
        if "arp" in signs:
            xml.leaf("arpeggiate", None)
