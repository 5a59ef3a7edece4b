"""A question before something goes that cannot easily be had again."""

import sys

import typer

from coachbook.errors import InterruptedEntryError


def can_ask() -> bool:
    """Whether somebody sits at a terminal."""
    return sys.stdin.isatty()


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
