"""Lines of notation as text: cut, put together, dress with signs.

Knows the look of the notation, not its music.
"""

import re

_PITCHED = re.compile(r"([a-g](?:#|b)?\d(?:\+[a-g](?:#|b)?\d)*)([whqest].*)?$")
_VALUE = re.compile(r"(?:[a-g](?:##|#|bb|b)?\d|r|[A-QS-Z])([whqest]\.*)")


def together(*lines):
    """Several lines of equal rhythm as one line of chords."""
    out = []
    for tokens in zip(*(line.split() for line in lines)):
        if tokens[0] == "|" or tokens[0].startswith("r"):
            out.append(tokens[0])
            continue
        split = [_PITCHED.match(token) for token in tokens]
        names = list(dict.fromkeys(match.group(1) for match in split))
        out.append("+".join(names) + (split[0].group(2) or ""))
    return " ".join(out)


def dress(line, before=None, each=""):
    """Signs for a line: `before` maps a bar of it (from 1) to tokens that precede the bar,
    `each` is added to every note."""
    bars = line.split("|")
    for number, tokens in (before or {}).items():
        bars[number - 1] = f" {tokens} {bars[number - 1]}"
    if each:
        bars = [" ".join(t + each if _PITCHED.match(t) else t for t in bar.split()) for bar in bars]
    return " | ".join(bar.strip() for bar in bars)


def bars_of(line, first, last=None):
    """Bars of a line, counted from 1, with the value that was in force written out."""
    bars = [bar.strip() for bar in line.split("|")]
    before = _VALUE.findall(" ".join(bars[:first - 1]))
    tokens = bars[first - 1].split()
    for nth, token in enumerate(tokens):
        match = re.match(r"((?:[a-g](?:##|#|bb|b)?\d)(?:\+[a-g](?:##|#|bb|b)?\d)*|r)(.*)$", token)
        if match:
            if before and match.group(2)[:1] not in tuple("whqest"):
                tokens[nth] = match.group(1) + before[-1] + match.group(2)
            break
    return " | ".join([" ".join(tokens)] + bars[first:last])
