"""What a terminal shows beyond plain lines: tables, and the progress of long work.

Where the output is no terminal (a file, a pipe) it is plain text. Colours follow NO_COLOR.
"""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

import typer

from coachbook.cli.widths import column_widths
from coachbook.cli.wrapping import as_it_is
from coachbook.model.signs import without_hidden

if TYPE_CHECKING:
    from rich.console import Console


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
