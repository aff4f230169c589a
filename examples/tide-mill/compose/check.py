"""What must hold of every movement before it is written.

Owns: full bars, ranges (sounding pitch), no more notes at once than players,
ties that arrive, slurs and hairpins that end before the player rests.  Returns messages, each with
movement, part and bar.
"""

from instruments import INSTRUMENTS, PARTS
from notation import Note

#: Instruments that sound one note at a time.
_STRINGS = ("vn", "va", "vc", "db", "harp", "timp", "xyl")


def problems(movement):
    """All faults as lines of text."""
    found = []
    for part in PARTS:
        voices = movement.voices.get(part.key, {})
        for voice in voices:
            found += _voice(movement, part, voice, voices[voice])
        found += _players(movement, part, voices)
    return found


def _voice(movement, part, voice, bars):
    found, ties, slurs, hairpin = [], set(), 0, False
    key = movement.home.get(part.key) or (part.instruments[0] if part.instruments else None)
    for bar in movement.bars:
        where = f"{movement.title}, {part.key}, bar {bar.number}, voice {voice}"
        items = bars.get(bar.number, [])
        notes = [item for item in items if isinstance(item, Note)]
        if notes and sum((n.length for n in notes), start=0) != bar.length:
            found.append(f"{where}: {sum(n.length for n in notes)} quarters in a bar of {bar.length}")
        if not notes and (ties or slurs):
            found.append(f"{where}: a tie or slur runs into an empty bar")
            ties, slurs = set(), 0
        if hairpin and all(n.rest for n in notes) and not any(
                not isinstance(i, Note) and i.kind in ("level", "hairpin") for i in items):
            found.append(f"{where}: a hairpin runs through a bar of rest")
            hairpin = False
        for item in items:
            if not isinstance(item, Note):
                if item.kind == "ins":
                    key = item.text
                    if key not in part.instruments:
                        found.append(f"{where}: {key} is not an instrument of this part")
                if item.kind == "level" or item.kind == "hairpin":
                    hairpin = item.kind == "hairpin" and item.text[0] in "<>"
                continue
            found += _pitches(where, item, INSTRUMENTS.get(key))
            if not item.grace:
                now = {p.midi for p in item.pitches}
                if ties - now:
                    found.append(f"{where}: a tie does not arrive ({sorted(ties - now)})")
                ties = now if item.tie else set()
            slurs += ("(" in item.signs) - (")" in item.signs)
            if slurs not in (0, 1):
                found.append(f"{where}: slurs out of step")
                slurs = 0
    where = f"{movement.title}, {part.key}, voice {voice}, at the end"
    if ties or slurs or hairpin:
        found.append(f"{where}: open {'tie ' if ties else ''}{'slur ' if slurs else ''}{'hairpin' if hairpin else ''}")
    return found


def _pitches(where, note, kind):
    found = []
    for pitch in note.pitches:
        if kind and not kind.low <= pitch.midi <= kind.high:
            found.append(f"{where}: {pitch.name} is out of the range of {kind.name}")
        if abs(pitch.alter) > 1:
            found.append(f"{where}: {pitch.name} has a double sign")
    return found


def _players(movement, part, voices):
    """Two players on a stave can sound two notes, one player of a wind one."""
    found = []
    if not part.instruments or part.instruments[0] in _STRINGS:
        return found
    for bar in movement.bars:
        most = sum(max((len(n.pitches) for n in voices[v].get(bar.number, []) if isinstance(n, Note)), default=0)
                   for v in voices)
        if most > part.players:
            found.append(f"{movement.title}, {part.key}, bar {bar.number}: {most} notes for {part.players} players")
    return found
