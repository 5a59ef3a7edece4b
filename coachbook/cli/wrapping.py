"""Lines that are longer than the terminal is wide go on below, broken at spaces, as in a book.

It is the stream that wraps, so that no command thinks of it; what goes to a file or a pipe is not touched.
"""

import io
import os
import re
import sys
import unicodedata
from typing import TextIO, cast

_NARROWEST = 20
"""Columns; in fewer nobody reads lines, wherever they break."""

_INDENT = re.compile(r" *(?:\S+(?: \S+){0,2} {2,})?")
"""What stands before a line's text: spaces, and at most three words that are set apart from it."""


class Wrapped(io.TextIOBase):
    """The stream `beneath`, a terminal, for which long lines are wrapped."""

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
        width = self._width()
        self.beneath.write("\n".join(wrap_line(line, width) for line in text.split("\n")))
        return len(text)

    def flush(self) -> None:
        self.beneath.flush()

    def _width(self) -> int:
        """Asked anew each time: windows are pulled wider and narrower."""
        try:
            return os.get_terminal_size(self.fileno()).columns
        except OSError:
            return 0


def wrap_on_terminals() -> None:
    """From now on what is told on stdout and stderr is wrapped, where they are terminals."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is not None and not isinstance(stream, Wrapped) and stream.isatty():
            setattr(sys, name, Wrapped(stream))


def as_it_is(stream: TextIO) -> TextIO:
    """The stream without wrapping, for what another program may read."""
    return stream.beneath if isinstance(stream, Wrapped) else stream


def wrap_line(line: str, width: int) -> str:
    """The line broken at spaces into lines of at most `width` columns, indented as its text is.

    A word that is longer, such as a file's name, stays whole. A line with control signs (of a table or
    a progress bar, which know the width themselves) is left alone, and so is all in a width of no use.
    """
    if width < _NARROWEST or _columns(line) <= width or "\x1b" in line or "\r" in line:
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
