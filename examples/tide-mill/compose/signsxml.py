"""The signs that stand over the whole score, and the bar lines.

Owns tempo marks (with `sound tempo` in quarter notes a minute, as the MusicXML
standard defines it), rehearsal marks, jumps, repeats and endings.
"""

from notation import value_of

_UNITS = {"w": "whole", "h": "half", "q": "quarter", "e": "eighth", "s": "16th"}


def above_xml(xml, bar, divisions):
    """All signs over the bar, in order of time."""
    for at, kind, what in sorted(bar.above, key=lambda sign: sign[0]):
        with xml.tag("direction", placement="above", system="only-top"):
            sound = _KINDS[kind](xml, what)
            if at:
                xml.leaf("offset", int(at * divisions))
            if sound:
                xml.leaf("sound", None, **sound)


def _rehearsal(xml, text):
    with xml.tag("direction-type"):
        xml.leaf("rehearsal", text, enclosure="square")


def _words(xml, text, **attributes):
    with xml.tag("direction-type"):
        xml.leaf("words", text, **attributes)


def _unit(xml, unit):
    xml.leaf("beat-unit", _UNITS[unit[0]])
    for _ in unit[1:]:
        xml.leaf("beat-unit-dot", None)


def _tempo(xml, what):
    if what["words"]:
        _words(xml, what["words"], font_weight="bold")
    if what["unit"]:
        with xml.tag("direction-type"), xml.tag("metronome"):
            _unit(xml, what["unit"])
            if what["equals"]:
                _unit(xml, what["equals"])
            else:
                about = "ca. " if what["about"] else ""
                xml.leaf("per-minute", f"{about}{what['per_minute']}")
    quarters = what["sound"]
    if quarters is None and what["unit"] and not what["equals"]:
        quarters = what["per_minute"] * value_of(what["unit"])
    return {"tempo": f"{float(quarters):g}"} if quarters else None


def _gradual(xml, text):
    _words(xml, text, font_style="italic")
    with xml.tag("direction-type"):
        xml.leaf("dashes", None, type="start", number="1")


def _gradual_end(xml, _):
    with xml.tag("direction-type"):
        xml.leaf("dashes", None, type="stop", number="1")


def _fine(xml, text):
    _words(xml, text, font_style="italic")
    return {"fine": "yes"}


def _dacapo(xml, text):
    _words(xml, text, font_style="italic")
    return {"dacapo": "yes"}


_KINDS = {"rehearsal": _rehearsal, "tempo": _tempo, "gradual": _gradual, "gradual_end": _gradual_end,
          "words": lambda xml, text: _words(xml, text, font_style="italic"),
          "fine": _fine, "dacapo": _dacapo}


def barline_xml(xml, bar, side, last=False):
    """The bar line on one side when it is more than a plain line."""
    what = bar.left if side == "left" else bar.right
    if not what and not last:
        return
    style = what.get("style")
    if what.get("repeat"):
        style = "heavy-light" if side == "left" else "light-heavy"
    if last:
        style = style or "light-heavy"
    with xml.tag("barline", location=side):
        if style:
            xml.leaf("bar-style", style)
        if "fermata" in what:
            xml.leaf("fermata", what["fermata"], type="upright")
        if "ending" in what:
            numbers, kind = what["ending"]
            text = numbers + "." if kind == "start" else None
            xml.leaf("ending", text, number=numbers, type=kind)
        if "repeat" in what:
            xml.leaf("repeat", None, direction=what["repeat"])
