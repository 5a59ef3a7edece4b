"""What somebody wrote: reading a day, finding signs that are no text, and each mistake as a value."""

import unicodedata
from dataclasses import dataclass
from datetime import date

from coachbook.errors import Advice, CoachbookError

_YEARS = range(1900, 2200)
"""A year beyond is a slip of the keyboard."""


def read_date(text: str) -> date:
    """A date such as 2026-09-10 (ISO 8601). Raises CoachbookError, also for a year far from ours."""
    try:
        read = date.fromisoformat(text)
    except ValueError as error:
        raise CoachbookError(
            f"'{text}' is not a date.", "Write year, month and day, such as 2026-09-10."
        ) from error
    if read.year not in _YEARS:
        raise CoachbookError(
            f"'{text}' has a year that cannot be right.", f"Write a year from {_YEARS[0]} to {_YEARS[-1]}."
        )
    return read


JOINERS = "\u200c\u200d"
"""They are part of the spelling in some scripts, though they cannot be seen."""


def first_hidden(text: str) -> str:
    """The first sign that is neither printable, a space nor a joiner, such as U+001B or U+202E; or ""."""
    if text.isprintable():
        return ""
    return next((sign for sign in text if _is_hidden(sign)), "")


def without_hidden(text: str) -> str:
    """The text with a space for each hidden sign but line ends."""
    if text.isprintable():
        return text
    return "".join(" " if sign != "\n" and _is_hidden(sign) else sign for sign in text)


def _is_hidden(sign: str) -> bool:
    return not (sign.isprintable() or sign in JOINERS or unicodedata.category(sign) == "Zs")


@dataclass(frozen=True, slots=True)
class Problem:
    """`where` is a key, a line or a row of `file`; `message` says what is expected, `advice` what to do.
    `line` is the number of the line (from 1), 0 where it is not about one."""

    file: str
    where: str
    message: str
    advice: Advice | None = None
    line: int = 0

    def __str__(self) -> str:
        return f"{self.file}: {self.where}: {self.message}"

    @classmethod
    def in_line(cls, file: str, line: int, message: str) -> "Problem":
        """A mistake in a line of a file."""
        return cls(file, f"line {line}", message, line=line)

    @classmethod
    def undecodable(cls, file: str, error: UnicodeDecodeError) -> "Problem":
        """A text file that is not UTF-8: the line (from 1), and the byte (from 1) in the whole file.

        `error` must come from decoding the whole file.
        """
        line = error.object.count(b"\n", 0, error.start) + 1
        message = f"is not UTF-8 text (byte {error.start + 1} of the file); save the file as UTF-8"
        return cls.in_line(file, line, message)
