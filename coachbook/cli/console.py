"""What a terminal shows beyond plain lines: tables, and the progress of long work.

Where the output is no terminal (a file, a pipe) it is plain text. Colours follow NO_COLOR.
"""

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

import typer

from coachbook.cli.wrapping import as_it_is
from coachbook.model.signs import without_hidden


def show_table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Print a table to stdout: under a ruled head on a terminal, else in columns two spaces apart."""
    if not sys.stdout.isatty():
        widths = [max(len(text) for text in column) for column in zip(headers, *rows, strict=True)]
        for row in (headers, *rows):
            padded = (text.ljust(width) for text, width in zip(row, widths, strict=True))
            typer.echo("  ".join(padded).rstrip())
        return
    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(*headers, box=SIMPLE_HEAD, show_edge=False, pad_edge=False)
    for row in rows:
        table.add_row(*(Text(without_hidden(text)) for text in row))
    Console(file=as_it_is(sys.stdout)).print(table)


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
