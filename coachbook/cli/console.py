"""What a terminal shows: lines broken at spaces, tables, boards, progress, JSON, the mistakes in a file.

The stream itself breaks lines, on a terminal only, and takes out signs that a terminal would obey, in a
pipe, too, which may end at one: no command has to think of it. Where the output is no terminal it is plain
text. Colours follow NO_COLOR.
"""

import io
import json
import os
import re
import sys
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, is_dataclass
from datetime import date
from typing import TYPE_CHECKING, TextIO, cast

import typer

from coachbook.cli.hints import problem_in_words
from coachbook.model.position import Position
from coachbook.model.problem import Problem, first_hidden, without_hidden

if TYPE_CHECKING:
    from rich.console import Console


GAP = 3
"""Between two columns of a table on a terminal."""


def column_widths(
    rows: Sequence[Sequence[str]], width: int, measure: Callable[[str], int] = len
) -> list[int] | None:
    """The width of each column, so that all together are at most `width` wide and break at spaces only;
    None if that cannot be. `measure` tells how wide a text is."""
    columns = list(zip(*rows, strict=True))
    widths = [max(map(measure, column)) for column in columns]
    least = [max(measure(word) for text in column for word in (text.split() or [""])) for column in columns]
    room = width - GAP * (len(columns) - 1)
    while sum(widths) > room:
        number = max(range(len(widths)), key=lambda each: (widths[each] - least[each], widths[each]))
        if widths[number] == least[number]:
            return None
        widths[number] -= 1
    return widths


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


def show_table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table to stdout: under a ruled head on a terminal, else in columns two spaces apart.

    On a narrow terminal columns break at spaces; if a code or a name would still be cut, each row is
    told below the one before.
    """
    if not sys.stdout.isatty():
        widths = [max(len(text) for text in column) for column in zip(headers, *rows, strict=True)]
        for row in (headers, *rows):
            padded = (text.ljust(width) for text, width in zip(row, widths, strict=True))
            typer.echo("  ".join(padded).rstrip())
        return
    from rich.cells import cell_len
    from rich.console import Console

    console = Console(file=as_it_is(sys.stdout))
    shown = [[without_hidden(text) for text in row] for row in rows]
    found = column_widths([headers, *shown], console.width, cell_len)
    if found is None:
        _show_stacked(headers, shown)
    else:
        _show_ruled(console, headers, shown, found)


def _show_ruled(
    console: "Console", headers: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[int]
) -> None:
    from rich.box import SIMPLE_HEAD
    from rich.table import Table
    from rich.text import Text

    table = Table(box=SIMPLE_HEAD, show_edge=False, pad_edge=False)
    for header, width in zip(headers, widths, strict=True):
        table.add_column(header, width=width)
    for row in rows:
        table.add_row(*map(Text, row))
    console.print(table)


def _show_stacked(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Each value on a line of its own after its heading, and an empty line between two rows."""
    wide = max(map(len, headers))
    for number, row in enumerate(rows):
        if number:
            typer.echo()
        for header, text in zip(headers, row, strict=True):
            if text:
                typer.echo(f"{header:<{wide}}  {text}" if wide else text)


def board_lines(position: Position) -> Iterator[str]:
    """A diagram in English letters, as of a FEN: White upper case, Black lower case, dots for empty squares.

    Those of other languages would not do: in some a knight is a P.
    """
    pieces = position.pieces
    for rank in range(7, -1, -1):
        yield f"  {rank + 1}  " + " ".join(pieces.get(8 * rank + file, ".") for file in range(8))
    yield "     a b c d e f g h"


@contextmanager
def progress_bar() -> Iterator[Callable[[int, int, str], None]]:
    """A function to call with how much is done, of how much, and what is next.

    It draws a bar on stderr while the work lasts, if that is a terminal.
    """
    if not sys.stderr.isatty():
        yield lambda _done, _of, _name: None
        return
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import Progress

    with Progress(console=Console(file=as_it_is(sys.stderr)), transient=True) as bar:
        task = bar.add_task("", total=None)

        def show(done: int, of: int, name: str) -> None:
            bar.update(task, completed=done, total=of, description=escape(without_hidden(name)))

        yield show


_LONGEST = 900


def print_json(value: object) -> None:
    """Print lists, dicts and the model's dataclasses as JSON: keys are field names, dates ISO 8601."""
    text = json.dumps(value, indent=2, ensure_ascii=False, default=_plain)
    shown = (_escaped(line) if first_hidden(line) else line for line in text.split("\n"))
    typer.echo("\n".join(shown), file=as_it_is(sys.stdout))


def problems_as_json(problems: Iterable[Problem]) -> list[dict[str, str]]:
    """The mistakes as other programs read them: the file, the place in it, and what is wrong there."""
    return [{"file": each.file, "where": each.where, "message": each.message} for each in problems]


def stop_if_any(problems: Iterable[Problem]) -> None:
    """If there are mistakes: each on its own line of stderr, and exit code 2."""
    told = [one_line(problem_in_words(problem)) for problem in problems]
    for line in told:
        typer.echo(f"coachbook: {line}", err=True)
    if told:
        raise typer.Exit(2)


def one_line(text: str) -> str:
    """The text without line breaks, nor anything else that a terminal would obey.

    Of a text that would fill the screen the middle is left out: what was typed is told at its
    beginning, and what to do at its end.
    """
    told = without_hidden(" ".join(text.splitlines()))
    if len(told) <= _LONGEST:
        return told
    return f"{told[: _LONGEST // 2]} ... {told[-_LONGEST // 2 :]}"


def _escaped(line: str) -> str:
    """A line of JSON, in which hidden signs stand within texts only, with escapes for them."""
    return "".join(json.dumps(sign)[1:-1] if first_hidden(sign) else sign for sign in line)


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return asdict(value)
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no form in JSON")


def can_ask() -> bool:
    """Whether somebody sits at a terminal."""
    return sys.stdin.isatty()
