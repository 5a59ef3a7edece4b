"""Tables for and from a spreadsheet: CSV, checked line by line; no cell is taken for a formula.

A text that a spreadsheet would work out gets an apostrophe in front (common practice, no source).
"""

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from coachbook.errors import Advice, CoachbookError
from coachbook.files.reading import MEGABYTE, read_file
from coachbook.model.problem import Problem

# The wide signs are taken for the others by some; a dash alone, and a number, are harmless.
_FORMULA = re.compile(r"'*(?!-?\Z|[+-]\d+([.,]\d+)?\Z)[=+\-@\t\r\uff1d\uff0b\uff0d\uff20]")


def table_text(rows: Iterable[Sequence[object]], line_end: str = "\n") -> str:
    """Rows as CSV, with commas (RFC 4180)."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator=line_end)
    table.writerows([cell(str(value)) for value in row] for row in rows)
    return text.getvalue()


def cell(text: str) -> str:
    """A text as it is written into a cell."""
    return f"'{text}" if _FORMULA.match(text) else text


def text_of(written: str) -> str:
    """The text that was written into a cell."""
    return written.removeprefix("'") if _FORMULA.match(written) else written


LONGEST_FIELD = 200
LARGEST_TABLE = 5 * MEGABYTE
"""In bytes: a hundred thousand answers. Each takes a hundred times as much memory."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line of the file where it starts (from 1), and its values by column."""

    line: int
    values: dict[str, str]

    def __getitem__(self, column: str) -> str:
        return self.values[column]

    def problem(self, path: Path, message: str) -> Problem:
        """A mistake in this row of the file at `path`."""
        return Problem.in_line(path.name, self.line, message)

    def refused(self, path: Path, error: CoachbookError) -> Problem:
        """That this row of the file at `path` cannot be taken."""
        advice = error.hint if isinstance(error.hint, Advice) else None
        return replace(self.problem(path, str(error)), advice=advice)


def in_line_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The mistakes in a table as somebody reads it, from the first line to the last."""
    return tuple(sorted(problems, key=lambda problem: problem.line))


def read_table(
    path: Path, required: Sequence[str], optional: Sequence[str] = ()
) -> tuple[tuple[Row, ...], tuple[Problem, ...]]:
    """The rows of the CSV file at `path` that are in order, and every mistake in it.

    The first line names the columns, in any order and in upper or lower case; all `required`
    ones and no others than these and `optional` ones. A column that is left out reads as "".
    Fields are parted by commas or semicolons. Values come without spaces around them, in
    Unicode's composed form (NFC), so that a name is the same whichever machine wrote it, and without the
    apostrophe that keeps a spreadsheet from taking it for a formula.
    Empty lines are passed over. The text is UTF-8, with or without a byte order mark.
    Raises CoachbookError if the file cannot be opened.
    """
    try:
        data = read_file(path, LARGEST_TABLE)
    except OSError as error:
        raise CoachbookError(
            f"{path} cannot be read ({error.strerror}).", "Check the file's name."
        ) from error
    try:
        text = unicodedata.normalize("NFC", data.decode().removeprefix("\ufeff"))
    except UnicodeDecodeError as error:
        return (), (Problem.undecodable(path.name, error),)
    problems: list[Problem] = []
    lines = _lines(path, text, problems)
    header = next(lines, None)
    if header is None:
        if not problems:
            problems.append(Problem.in_line(path.name, 1, f"the file is empty; expected {_listed(required)}"))
        return (), tuple(problems)
    columns = [name.lower() for name in header[1]]
    wrong = _wrong_columns(columns, required, optional)
    problems += [Problem.in_line(path.name, header[0], message) for message in wrong]
    if problems:
        return (), tuple(problems)
    rows = tuple(_rows(path, lines, columns, (*required, *optional), problems))
    return rows, tuple(problems)


def _lines(path: Path, text: str, problems: list[Problem]) -> Iterator[tuple[int, list[str]]]:
    """Each line that is not empty, with its number; stops at a line that is no CSV."""
    first = "".join(text.lstrip().splitlines()[:1])
    reader = csv.reader(io.StringIO(text, newline=None), delimiter=";" if ";" in first else ",", strict=True)
    line = 1
    try:
        for fields in reader:
            values = [text_of(field.strip()) for field in fields]
            if any(values):
                yield line, values
            line = reader.line_num + 1
    except csv.Error as error:
        problems.append(Problem.in_line(path.name, line, f"cannot be read as CSV ({error})"))


def _wrong_columns(columns: list[str], required: Sequence[str], optional: Sequence[str]) -> Iterator[str]:
    known = (*required, *optional)
    for name in required:
        if name not in columns:
            yield f"there is no column '{name}'; expected {_listed(known)}"
    for name in dict.fromkeys(columns):
        if name not in known:
            problem = f"coachbook does not use a column '{_short(name)}'; expected {_listed(known)}"
            # Where columns are missing, this may be one of them by another name.
            yield (
                f"{problem}. Delete that column, then import again."
                if set(required) <= set(columns)
                else problem
            )
        elif columns.count(name) > 1:
            yield f"the column '{name}' is there {columns.count(name)} times"


def _rows(
    path: Path,
    lines: Iterator[tuple[int, list[str]]],
    columns: list[str],
    known: Sequence[str],
    problems: list[Problem],
) -> Iterator[Row]:
    for line, values in lines:
        wrong = list(_wrong_values(columns, values))
        problems += [Problem.in_line(path.name, line, message) for message in wrong]
        if not wrong:
            given = dict(zip(columns, values, strict=True))
            yield Row(line, {name: given.get(name, "") for name in known})


def _wrong_values(columns: list[str], values: list[str]) -> Iterator[str]:
    if len(values) != len(columns):
        yield f"there are {len(values)} fields; expected {len(columns)}: {', '.join(columns)}"
        return
    for name, value in zip(columns, values, strict=True):
        if len(value) > LONGEST_FIELD:
            yield f"{name} has {len(value)} characters; at most {LONGEST_FIELD} are allowed"
        elif any(unicodedata.category(sign) == "Cc" for sign in value):
            yield f"{name} has a line break or another control character in it"


def _listed(names: Sequence[str]) -> str:
    return f"the columns {', '.join(names)}"


def _short(text: str) -> str:
    """A stranger's text, fit to be shown: printable and not too long."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in text)
    return shown if len(shown) <= 40 else f"{shown[:37]}..."
