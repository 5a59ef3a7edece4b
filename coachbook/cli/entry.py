"""Questions of an evening. What is typed is put aside line by line until it is kept."""

import errno
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, date, datetime

import typer

from coachbook.cli.hints import in_words
from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed
from coachbook.errors import Advice, CoachbookError, InterruptedEntryError
from coachbook.workflows.care import before_typing
from coachbook.workflows.evening_log import answers_that_evening
from coachbook.workflows.evening_to_log import picked
from coachbook.workflows.typed_sheets import (
    counted_lines,
    evening_aside,
    forget,
    others_aside,
    put_aside,
    told_waiting,
)

YES, NO = "y", "n"


def ask(question: str) -> str:
    """One line that the coach types. Raises InterruptedEntryError."""
    with entering():
        return input(question)


def takes(question: str) -> bool:
    """Whether the coach says yes, as Enter alone does. Raises InterruptedEntryError."""
    while True:
        said = ask(f"{question} [Y/n] ").strip().lower()
        if said in ("", "y", "yes", "n", "no"):
            return not said.startswith("n")


def asks_to_keep(*other: str) -> str:
    """Whether what was typed is to be kept: YES (Enter too), NO, or one of the `other` answers."""
    while True:
        said = input("Keep these? [Y/n] ").strip().lower()
        if said in ("", "y", "yes"):
            return YES
        if said in ("n", "no"):
            return NO
        if said in other:
            return said
        typer.echo(f"  Type {', '.join(('y', *other))} or n.")


def still_absent(answered: Mapping[str, int]) -> tuple[str, ...]:
    """Of students with the number of their answers that evening, those who are to count as absent:
    the coach is asked about each with answers. Raises InterruptedEntryError."""
    return tuple(name for name, count in answered.items() if not count or _is_absent(name, count))


def _is_absent(name: str, count: int) -> bool:
    answers = "1 answer" if count == 1 else f"{count} answers"
    while True:
        said = ask(f"{name} has {answers} of this evening. Absent all the same? [y/N] ").strip().lower()
        if said in ("", "n", "no", "y", "yes"):
            return said.startswith("y")


def type_absences(
    group: str,
    students: Sequence[str],
    on: date,
    answered: Mapping[str, int],
    aside: Callable[[str], bool],
    typed: str | None = None,
) -> dict[str, bool]:
    """Who was there, as the coach types it until it is right; `answered` is how many answers of that
    evening each student has. Each line goes `aside` (it says whether that went well); `typed` is one that
    was put aside before. Raises InterruptedEntryError."""
    typer.echo(f"{group} on {on}: who is absent? Numbers or names, with commas between.")
    show_numbered(students)
    told, is_aside = "" if typed is None else "who was absent", True
    with entering(lambda: told, lambda: is_aside):
        while True:
            named = _absent_of(tuple(students), typed)
            typed, told, is_aside = None, "who was absent", aside(", ".join(named))
            absent = still_absent({name: answered.get(name, 0) for name in named})
            there = len(students) - len(absent)
            typer.echo(f"There: {there} of {len(students)}. Absent: {listed(absent)}.")
            if asks_to_keep() == YES:
                return {name: name not in absent for name in students}


def show_numbered(names: Sequence[str]) -> None:
    """A list to pick from by number."""
    width = len(str(len(names)))
    for number, name in enumerate(names, start=1):
        typer.echo(f"  {number:>{width}}  {name}")


def listed(names: Sequence[str]) -> str:
    return ", ".join(names) or "nobody"


def _absent_of(students: tuple[str, ...], typed: str | None) -> tuple[str, ...]:
    while True:
        try:
            return picked(students, input("Absent (nothing: all are there): ") if typed is None else typed)
        except CoachbookError as error:
            typer.echo(f"  {error.told(in_words)}")
            typed = None


@contextmanager
def entering(typed: Callable[[], str] = str, is_aside: Callable[[], bool] = lambda: True) -> Iterator[None]:
    """Ctrl-C, Ctrl-D, the end of the input or a closed terminal stops the whole entry; `typed` says what was
    typed and not kept, "" for nothing, and `is_aside` whether that is put aside.

    Raises InterruptedEntryError.
    """
    with suppress(ImportError):
        import readline  # noqa: F401  (gives `input` the arrow keys, where there is a readline)
    try:
        yield
    except (KeyboardInterrupt, EOFError) as error:
        typer.echo()
        raise _interrupted("Stopped.", typed(), is_aside()) from error
    except UnicodeDecodeError as error:
        raise _interrupted("What was typed is not UTF-8 text.", typed(), is_aside()) from error
    except OSError as error:
        if error.errno != errno.EIO:
            raise
        raise _interrupted("The terminal is closed.", typed(), is_aside()) from error
    except InterruptedEntryError as error:  # at a question in between
        raise _interrupted(error.message, typed(), is_aside()) from error


def _interrupted(why: str, typed: str, is_aside: bool) -> InterruptedEntryError:
    if not typed:
        return InterruptedEntryError(why, "Nothing was kept.")
    if not is_aside:
        return InterruptedEntryError(f"{why} Not kept: {typed}.")
    return InterruptedEntryError(
        f"{why} Not kept, but put aside: {typed}.", "The same command goes on from there."
    )


AGAIN = "The same command goes on from there."


def taken_up(book: Book, lines: Sequence[DraftLine]) -> tuple[DraftLine, ...]:
    """Those lines, if the coach wants to go on with them; else they are deleted, and it is (). What else is
    put aside is told. Raises CoachbookError, InterruptedEntryError."""
    if others := others_aside(book, lines):
        typer.echo(told_waiting(others, in_words))
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
        typer.echo(f"  This line is not put aside, so keep it soon: {error.told(in_words)}")
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
        hint = in_words(error.hint) if isinstance(error.hint, Advice) else error.hint
        raise CoachbookError(error.message, f"{hint} {what} is put aside. {AGAIN}".strip()) from error


def type_who_was_absent(
    book: Book, group: str, students: Sequence[str], on: date, lines: Sequence[DraftLine] | None = None
) -> tuple[dict[str, bool], DraftLine]:
    """Who of a group was there, as typed, and the line that is put aside until that is kept.

    `lines` are those put aside that the coach goes on with; None if that is to be asked for. Raises
    CoachbookError, InterruptedEntryError.
    """
    if lines is None:
        found = evening_aside(book, on, [group])
        lines = taken_up(book, [line for line in found if line.what is Typed.ABSENT])
        before_typing(book, datetime.now(UTC))
    typed = next((line.text for line in lines if line.what is Typed.ABSENT and line.about == group), None)
    line = DraftLine(Typed.ABSENT, on, group)

    def aside(text: str) -> bool:
        return put_aside_or_tell(book, DraftLine(Typed.ABSENT, on, group, text=text))

    told = type_absences(group, students, on, answers_that_evening(book, students, on), aside, typed)
    return told, line
