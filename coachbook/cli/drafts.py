"""What was typed and not kept: offered again before anything else is typed."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import typer

from coachbook.cli.entry import takes
from coachbook.club.book import Book
from coachbook.club.draft import DraftLine
from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.workflows.drafts import counted_lines, forget, others_aside, put_aside, told_waiting

AGAIN = "The same command goes on from there."


def taken_up(book: Book, lines: Sequence[DraftLine]) -> tuple[DraftLine, ...]:
    """Those lines, if the coach wants to go on with them; else they are deleted, and it is (). What else is
    put aside is told. Raises CoachbookError, InterruptedEntryError."""
    if others := others_aside(book, lines):
        typer.echo(told_waiting(others))
    if not lines:
        return ()
    were, them = ("was", "it") if len(lines) == 1 else ("were", "them")
    if takes(f"{counted_lines(lines)} {were} typed and not kept. Go on with {them}?"):
        return tuple(lines)
    forget(book, lines)
    return ()


def put_aside_or_tell(book: Book, line: DraftLine) -> bool:
    """Whether a line could be put aside; if not, the coach is told why, and may type on."""
    try:
        put_aside(book, line)
    except CoachbookError as error:
        typer.echo(f"  This line is not put aside, so keep it soon: {error}")
        return False
    return True


@contextmanager
def safe(what: str = "What you typed") -> Iterator[None]:
    """Within, something that is put aside is kept in the book; if that fails, it says so.

    Raises CoachbookError.
    """
    try:
        yield
    except InterruptedEntryError:
        raise
    except CoachbookError as error:
        raise CoachbookError(error.message, f"{error.hint} {what} is put aside. {AGAIN}".strip()) from error
