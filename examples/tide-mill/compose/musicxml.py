"""A movement as a MusicXML 4.0 document.

Owns the order of the document: work, part list, bars.  The notes of one voice
are `voicexml`'s business, the signs over the score `signsxml`'s.
"""

from instruments import INSTRUMENTS, PARTS, UNPITCHED
from signature import change, clef_xml, key_xml, signed, transpose_xml
from signsxml import above_xml, barline_xml
from voicexml import VoiceState, voice_xml
from xmltext import Xml

#: Ticks of a quarter note: whole for thirty-seconds, triplets and quintuplets.
DIVISIONS = 240


def ticks(length):
    """A length in quarter notes as a whole number of ticks."""
    count = length * DIVISIONS
    if count.denominator != 1:
        raise ValueError(f"{length} quarters are not a whole number of ticks")
    return int(count)


def document(movement, suite):
    """The whole document as text."""
    xml = Xml()
    xml.raw('<?xml version="1.0" encoding="UTF-8" standalone="no"?>')
    xml.raw('<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
            '"http://www.musicxml.org/dtds/partwise.dtd">')
    with xml.tag("score-partwise", version="4.0"):
        _header(xml, movement, suite)
        _part_list(xml)
        for number, part in enumerate(PARTS, 1):
            with xml.tag("part", id=f"P{number}"):
                _part(xml, movement, part, number)
    return xml.text()


def _header(xml, movement, suite):
    with xml.tag("work"):
        xml.leaf("work-title", suite["title"])
    xml.leaf("movement-number", suite["roman"])
    xml.leaf("movement-title", movement.title)
    with xml.tag("identification"):
        xml.leaf("creator", suite["composer"], type="composer")
        xml.leaf("rights", suite["rights"])
        with xml.tag("encoding"):
            xml.leaf("software", "The Tide Mill, compose/main.py")
            xml.leaf("supports", None, element="accidental", type="yes")
            xml.leaf("supports", None, element="beam", type="yes")
            xml.leaf("supports", None, element="stem", type="no")


def _part_list(xml):
    with xml.tag("part-list"):
        group, opened = None, 0
        for number, part in enumerate(PARTS, 1):
            if part.group != group:
                if opened:
                    xml.leaf("part-group", None, type="stop", number="1")
                opened += 1
                group = part.group
                with xml.tag("part-group", type="start", number="1"):
                    xml.leaf("group-name", group)
                    xml.leaf("group-symbol", "bracket")
                    xml.leaf("group-barline", "yes")
            _score_part(xml, part, number)
        xml.leaf("part-group", None, type="stop", number="1")


def _sounds(part):
    if part.instruments:
        for key in part.instruments:
            kind = INSTRUMENTS[key]
            yield key, kind.name, kind.abbreviation, kind.sound, kind.program, None
    else:
        for key, (name, sound, _, unpitched) in UNPITCHED.items():
            yield key, name, None, sound, 1, unpitched


def _score_part(xml, part, number):
    with xml.tag("score-part", id=f"P{number}"):
        xml.leaf("part-name", part.name)
        xml.leaf("part-abbreviation", part.abbreviation)
        sounds = list(_sounds(part))
        for nth, (_, name, abbreviation, sound, _, _) in enumerate(sounds, 1):
            with xml.tag("score-instrument", id=f"P{number}-I{nth}"):
                xml.leaf("instrument-name", name)
                if abbreviation:
                    xml.leaf("instrument-abbreviation", abbreviation)
                xml.leaf("instrument-sound", sound)
                if part.players == 1:
                    xml.leaf("solo", None)
                else:
                    xml.leaf("ensemble", str(part.players) if part.players else None)
        channel = 10 if not part.instruments else (number - 1) % 15 + 1
        channel += channel >= 10 and bool(part.instruments)
        for nth, (_, _, _, _, program, unpitched) in enumerate(sounds, 1):
            with xml.tag("midi-instrument", id=f"P{number}-I{nth}"):
                xml.leaf("midi-channel", channel)
                xml.leaf("midi-program", program)
                if unpitched:
                    xml.leaf("midi-unpitched", unpitched + 1)


def _part(xml, movement, part, number):
    states = {}
    key = movement.home.get(part.key) or (part.instruments[0] if part.instruments else None)
    current = {"instrument": key, "number": number, "part": part, "concert": movement.key}
    for index, bar in enumerate(movement.bars):
        attributes = {"number": str(bar.number)}
        if bar.implicit:
            attributes["implicit"] = "yes"
        with xml.tag("measure", **attributes):
            barline_xml(xml, bar, "left")
            if bar.key is not None:
                current["concert"] = bar.key
            count = movement.multirests.get((part.key, bar.number))
            _attributes(xml, movement, current, bar, index == 0, count)
            if number == 1:
                above_xml(xml, bar, DIVISIONS)
            _voices(xml, movement, current, states, bar)
            barline_xml(xml, bar, "right", movement.bars[-1] is bar)


def _voices(xml, movement, current, states, bar):
    part = current["part"]
    voices = movement.voices.get(part.key, {})
    written = [v for v in sorted(voices) if bar.number in voices[v]]
    staves = {}
    for voice in written:
        staves.setdefault(2 if part.staves == 2 and voice >= 5 else 1, []).append(voice)
    first = True
    for staff in range(1, part.staves + 1):
        for voice in staves.get(staff, [5 if staff == 2 else 1]):
            if not first:
                with xml.tag("backup"):
                    xml.leaf("duration", ticks(bar.length))
            first = False
            items = voices.get(voice, {}).get(bar.number)
            state = states.setdefault(voice, VoiceState(voice, staff if part.staves > 1 else None))
            shared = len(staves.get(staff, ())) > 1
            voice_xml(xml, state, current, bar, items, shared, ticks, lambda key: change(xml, movement, current, key))


def _attributes(xml, movement, current, bar, first, multirest):
    part = current["part"]
    kind = INSTRUMENTS.get(current["instrument"])
    keyed = first or (bar.key is not None and signed(kind))
    if not (keyed or bar.shown or multirest):
        return
    with xml.tag("attributes"):
        if first:
            xml.leaf("divisions", DIVISIONS)
        if keyed:
            key_xml(xml, movement, current, kind)
        if bar.shown:
            symbol = {"symbol": "cut"} if bar.meter.text == "2/2" else {}
            with xml.tag("time", **symbol):
                for beats, unit in bar.meter.pairs:
                    xml.leaf("beats", beats)
                    xml.leaf("beat-type", unit)
        if first:
            if part.staves > 1:
                xml.leaf("staves", part.staves)
            for nth, clef in enumerate(part.clefs or (kind.clef if kind else "percussion",), 1):
                clef_xml(xml, clef, nth if part.staves > 1 else None)
            transpose_xml(xml, kind)
        if multirest:
            with xml.tag("measure-style"):
                xml.leaf("multiple-rest", multirest)
