"""Typing an evening in, line by line. Nothing is kept before the coach has said yes."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import date

import typer

from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.model.club import ItemResult
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.entry import picked
from coachbook.workflows.evening import mark_sheet, tally
from coachbook.workflows.typed_lines import typed_answers, typed_ticks

_HELP = """\
  Type what the student wrote, item by item, with a semicolon between:  Qe5; 9; -
  If there is one word for each item, spaces will do:  Qe5 9 -
  Several moves for one item:  Qe5 Qb8; 9     No such move, if they wrote that:  -
  Some items only, by their numbers:  3: Qe5; 5: 9
  Nothing between two semicolons: left blank. An empty line: the next student.
  To mend a line, log the sheet again by its code: the last word holds."""
_TICKS_HELP = """\
  Type one sign for each item: 1 right, 0 wrong, - not tried. All right: =
  An empty line: the next student."""


def type_answers(
    sheets: Sequence[tuple[Worksheet, tuple[str, ...]]], on: date, letters: str, *, ticks: bool
) -> tuple[ItemResult, ...]:
    """The marked answers that the coach types and wants to keep; `letters` are the club's own.

    With `ticks` the coach types marks in place of answers. Raises InterruptedEntryError.
    """
    typed: list[ItemResult] = []
    with _entering():
        for sheet, students in sheets:
            typer.echo(f"Sheet {sheet.code}, {sheet.unit_title}: {len(sheet.items)} items. '?' shows help.")
            for student in students:
                typed += _answers_of(student, sheet, on, letters, ticks=ticks)
            typer.echo()
        return tuple(typed) if typed and _wants_to_keep() else ()


def ask(question: str) -> str:
    """One line that the coach types. Raises InterruptedEntryError."""
    with _entering():
        return input(question)


def type_absences(group: str, students: Sequence[str], on: date) -> dict[str, bool]:
    """Who was there, as the coach types it and wants to keep it; else {}. Raises InterruptedEntryError."""
    width = len(str(len(students)))
    typer.echo(f"{group} on {on}: who is absent? Numbers or names, with commas between.")
    for number, name in enumerate(students, start=1):
        typer.echo(f"  {number:>{width}}  {name}")
    with _entering():
        absent = _absent_of(tuple(students))
        typer.echo(f"There: {len(students) - len(absent)} of {len(students)}. Absent: {_listed(absent)}.")
        return {name: name not in absent for name in students} if _wants_to_keep() else {}


def _answers_of(
    student: str, sheet: Worksheet, on: date, letters: str, *, ticks: bool
) -> tuple[ItemResult, ...]:
    while True:
        line = input(f"{student}: ").strip()
        if not line:
            return ()
        if line == "?":
            typer.echo(_TICKS_HELP if ticks else _HELP)
            continue
        try:
            written = typed_ticks(sheet, line) if ticks else typed_answers(sheet, line)
            results = mark_sheet(sheet, student, written, on, letters)
        except CoachbookError as error:
            typer.echo(f"  {error}")
            continue
        _show_marks(results, ticks=ticks)
        return results


def _show_marks(results: tuple[ItemResult, ...], *, ticks: bool) -> None:
    width = max(len(result.written) for result in results)
    for result in () if ticks else results:
        verdict = "✓ right" if result.right else f"✗ {result.slip or 'wrong'}"
        typer.echo(f"  {result.item:>2}  {result.written:<{width}}  {verdict}")
    for told in tally(results):
        typer.echo(f"  {told.right} of {told.tried} right{f': {told.slips}' if told.slips else ''}")


def _absent_of(students: tuple[str, ...]) -> tuple[str, ...]:
    while True:
        try:
            return picked(students, input("Absent (nothing: all are there): "))
        except CoachbookError as error:
            typer.echo(f"  {error}")


def _wants_to_keep() -> bool:
    while True:
        said = input("Keep these? [Y/n] ").strip().lower()
        if said in ("", "y", "yes"):
            return True
        if said in ("n", "no"):
            return False


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names) or "nobody"


@contextmanager
def _entering() -> Iterator[None]:
    """Ctrl-C or the end of the input stops the whole entry."""
    with suppress(ImportError):
        import readline  # noqa: F401  (gives `input` the arrow keys, where there is a readline)
    try:
        yield
    except (KeyboardInterrupt, EOFError) as error:
        typer.echo()
        raise InterruptedEntryError("Stopped.", "Nothing was kept.") from error
    except UnicodeDecodeError as error:
        raise InterruptedEntryError("What was typed is not UTF-8 text.", "Nothing was kept.") from error
