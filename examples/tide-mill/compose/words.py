"""What words in a part mean for playback.

Owns the few words, in four languages, that pluck, bow, mute and open; everything
else is printed only.
"""

_MUTE = ("con sord", "mit dämpfer", "avec sourdine", "mettez la sourdine")
_OPEN = ("senza sord", "ohne dämpfer", "ôtez la sourdine", "ôtez les sourdines", "aperto", "offen")
_STOPPED = ("chiuso", "gestopft", "bouché")


def sound_of(text):
    """(attributes of `sound`, mute value) or None."""
    low = text.lower()
    if low.startswith("pizz"):
        return {"pizzicato": "yes"}, None
    if "arco" in low.split() or low == "mit dem bogen":
        return {"pizzicato": "no"}, None
    if low.startswith(_MUTE):
        return {}, "on"
    if low.startswith(_OPEN):
        return {}, "off"
    if low.startswith(_STOPPED):
        return {}, "stop-hand"
    return None
