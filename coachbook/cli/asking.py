"""A question before something goes that cannot easily be had again."""

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.errors import CoachbookError, InterruptedEntryError

if TYPE_CHECKING:
    from coachbook.model.club import LogEntry

YesOption = Annotated[bool, typer.Option("--yes", help="Do not ask.")]
PreviewOption = Annotated[bool, typer.Option("--preview", help="Show what would change, and keep nothing.")]


def can_ask() -> bool:
    """Whether somebody sits at a terminal."""
    return sys.stdin.isatty()


def check_can_ask(what: str) -> None:
    """Raises CoachbookError, which says `what` would have to be asked, where nobody sits at a terminal."""
    if not can_ask():
        raise CoachbookError(what, "Look at it with --preview; give --yes if it is meant so.")


def tell_how_to_take_back(entry: "LogEntry | None") -> None:
    """One line, for everything that changes what is in the book; none if nothing was kept."""
    if entry is not None:
        typer.echo(f"To take it back: coachbook log undo {entry.id}")


def agrees(question: str, otherwise: str, *, enter_is_yes: bool = False) -> bool:
    """Whether the coach types yes; Enter alone is no, unless `enter_is_yes`. After no, `otherwise` is told.

    Raises InterruptedEntryError, with `otherwise`, on Ctrl-C, at the end of the input, and for bytes
    that are no text.
    """
    choice, alone = ("Y/n", "yes") if enter_is_yes else ("y/N", "no")
    try:
        while True:
            said = input(f"{question} [{choice}] ").strip().lower() or alone
            if said in ("y", "yes"):
                return True
            if said in ("n", "no"):
                typer.echo(otherwise)
                return False
    except (KeyboardInterrupt, EOFError) as error:
        typer.echo()
        raise InterruptedEntryError("Stopped.", otherwise) from error
    except UnicodeDecodeError as error:
        raise InterruptedEntryError("What was typed is not UTF-8 text.", otherwise) from error
