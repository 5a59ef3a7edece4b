"""A question before something goes that cannot easily be had again."""

import sys

import typer

from coachbook.errors import InterruptedEntryError


def can_ask() -> bool:
    """Whether somebody sits at a terminal."""
    return sys.stdin.isatty()


def agrees(question: str, otherwise: str) -> bool:
    """Whether the coach types yes; Enter alone is no, and then `otherwise` is told.

    Raises InterruptedEntryError, with `otherwise`, on Ctrl-C, at the end of the input, and for bytes
    that are no text.
    """
    try:
        while True:
            said = input(f"{question} [y/N] ").strip().lower()
            if said in ("y", "yes"):
                return True
            if said in ("", "n", "no"):
                typer.echo(otherwise)
                return False
    except (KeyboardInterrupt, EOFError) as error:
        typer.echo()
        raise InterruptedEntryError("Stopped.", otherwise) from error
    except UnicodeDecodeError as error:
        raise InterruptedEntryError("What was typed is not UTF-8 text.", otherwise) from error
