"""Indented XML text: open and close tags, escape characters.

Knows nothing of music.
"""

from contextlib import contextmanager
from xml.sax.saxutils import escape, quoteattr


class Xml:
    """A document written line by line."""

    def __init__(self):
        self.lines, self.depth = [], 0

    def raw(self, line):
        """One line as it is."""
        self.lines.append(" " * self.depth + line)

    @contextmanager
    def tag(self, name, **attributes):
        """An element with children."""
        self.raw(f"<{name}{_attributes(attributes)}>")
        self.depth += 1
        yield
        self.depth -= 1
        self.raw(f"</{name}>")

    def leaf(self, name, text, **attributes):
        """An element with text, or an empty one."""
        if text is None:
            self.raw(f"<{name}{_attributes(attributes)}/>")
        else:
            self.raw(f"<{name}{_attributes(attributes)}>{escape(str(text))}</{name}>")

    def text(self):
        """The document."""
        return "\n".join(self.lines) + "\n"


def _attributes(attributes):
    return "".join(f" {name.replace('_', '-')}={quoteattr(str(value))}" for name, value in attributes.items())
