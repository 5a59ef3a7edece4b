"""What is told: without signs that a terminal would obey, and broken at spaces, as in a book.

It is the stream that does it, so that no command thinks of it. Lines are wrapped on a terminal only; a name
or an answer out of somebody's file is cleaned in a pipe, too, which may end at a terminal.
"""

import io
import os
import re
import sys
import unicodedata
from typing import TextIO, cast

from coachbook.model.signs import without_hidden

_NARROWEST = 20
"""Columns; in fewer nobody reads lines, wherever they break."""

_INDENT = re.compile(r" *(?:\S+(?: \S+){0,2} {2,})?")
"""What stands before a line's text: spaces, and at most three words that are set apart from it."""


class Told(io.TextIOBase):
    """The stream `beneath`, to which only text goes; if it is a terminal, long lines are wrapped."""

    def __init__(self, beneath: TextIO) -> None:
        self.beneath = beneath

    @property
    def encoding(self) -> str:  # type: ignore[override] # nobody sets it
        return self.beneath.encoding

    @property
    def errors(self) -> str | None:  # type: ignore[override] # nobody sets it
        return self.beneath.errors

    def fileno(self) -> int:
        return self.beneath.fileno()

    def isatty(self) -> bool:
        return self.beneath.isatty()

    def writable(self) -> bool:
        return True

    def write(self, text: str, /) -> int:
        seen = without_hidden(text)
        if self.isatty():
            width = self._width()
            seen = "\n".join(wrap_line(line, width) for line in seen.split("\n"))
        self.beneath.write(seen)
        return len(text)

    def flush(self) -> None:
        self.beneath.flush()

    def _width(self) -> int:
        """Asked anew each time: windows are pulled wider and narrower."""
        try:
            return os.get_terminal_size(self.fileno()).columns
        except OSError:
            return 0


def tell_text_only() -> None:
    """From now on what is told on stdout and stderr is cleaned, and wrapped where they are terminals."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if not isinstance(stream, Told):
            setattr(sys, name, Told(stream))


def as_it_is(stream: TextIO) -> TextIO:
    """The stream itself, for what another program may read, and for tables and progress bars."""
    return stream.beneath if isinstance(stream, Told) else stream


def wrap_line(line: str, width: int) -> str:
    """The line broken at spaces into lines of at most `width` columns, indented as its text is.

    A word that is longer, such as a file's name, stays whole. In a width of no use all is left alone.
    """
    if width < _NARROWEST or _columns(line) <= width:
        return line
    start = cast(re.Match[str], _INDENT.match(line)).end()
    indent = start if start <= width // 2 else len(line) - len(line.lstrip(" "))
    told, now = [], line[:indent]
    for space, word in re.findall(r"( *)([^ ]+)", line[indent:]):
        if now.strip() and _columns(now + space + word) > width:
            told.append(now)
            now, space = " " * indent, ""
        now += space + word
    return "\n".join([*told, now])


def _columns(text: str) -> int:
    """How many columns a text takes: two for each wide letter, none for a mark above another one."""
    return sum(
        0 if unicodedata.combining(sign) else 1 + (unicodedata.east_asian_width(sign) in "WF")
        for sign in text
    )
