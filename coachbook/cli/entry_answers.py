"""Typing the answers of an evening in, line by line. Nothing is kept before the coach has said yes, and
nothing that was typed is lost."""

from collections.abc import Sequence
from dataclasses import dataclass

import typer

from coachbook.cli.asking import can_ask
from coachbook.cli.drafts import put_aside_or_tell
from coachbook.cli.entry import YES, asks_to_keep, entering
from coachbook.cli.entry_lines import BACK, Reader, told_tally
from coachbook.club.book import Book
from coachbook.club.draft import DraftLine
from coachbook.errors import CoachbookError
from coachbook.model.club import ItemResult
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.drafts import forget
from coachbook.workflows.entry import find_picked
from coachbook.workflows.typed_sheets import TypedSheet

_DROP = ("drop", "none")


@dataclass(frozen=True, slots=True)
class Typed:
    """The sheets with the marked answers that the coach wants to keep; `is_stopped` if there was perhaps
    more to type."""

    sheets: tuple[TypedSheet, ...]
    is_stopped: bool = False

    @property
    def results(self) -> tuple[ItemResult, ...]:
        return tuple(result for sheet in self.sheets for result in sheet.results)

    @property
    def drafts(self) -> tuple[DraftLine, ...]:
        """As they were put aside."""
        return tuple(sheet.draft for sheet in self.sheets)


@dataclass(slots=True)
class _Entry:
    """The sheets that are typed in; `at` is the one that is next, one more than the last when all were gone
    through. `is_aside` says whether every line could be put aside."""

    book: Book
    steps: list[TypedSheet]
    reader: Reader
    at: int = 0
    is_aside: bool = True

    @property
    def results(self) -> tuple[ItemResult, ...]:
        return Typed(tuple(self.steps)).results

    def type_line(self, number: int) -> bool:
        """Lets the coach type a student's line; False if the student before is wanted."""
        now = self.reader.ask(self.steps[number])
        if now is None:
            return False
        if now.results != self.steps[number].results:
            self._put_aside(now)
        self.steps[number] = now
        return True

    def _put_aside(self, step: TypedSheet) -> None:
        if step.results:
            self.is_aside &= put_aside_or_tell(self.book, step.draft)
        else:
            forget(self.book, [step.draft])


def type_answers(book: Book, steps: Sequence[TypedSheet], *, ticks: bool) -> Typed:
    """The sheets with the answers that the coach types, marks in place of answers with `ticks`.

    What is not seen yet is asked for first. Each line is put aside as soon as it is typed. If nothing is
    to be kept, that is told, and nothing stays aside. On the first Ctrl-C, or Ctrl-D at a terminal, the
    coach is asked whether to keep what is typed so far. Raises InterruptedEntryError.
    """
    entry = _Entry(book, list(steps), Reader(book.letters, ticks))
    entry.at = next((number for number, step in enumerate(steps) if not step.is_seen), len(steps))
    for label, step in zip(_labels(entry.steps), entry.steps, strict=True):
        for told in told_tally(step):
            typer.echo(f"  {label}: {told}")
    with entering(lambda: _counted(entry.results), lambda: entry.is_aside):
        try:
            _go_through(entry)
            return Typed(_wanted(entry))
        except (KeyboardInterrupt, EOFError) as stopped:
            if not entry.results or (isinstance(stopped, EOFError) and not can_ask()):
                raise
            _tell_stopped(entry)
            return Typed(_wanted(entry), is_stopped=True)


def _go_through(entry: _Entry) -> None:
    shown = None
    while entry.at < len(entry.steps):
        step = entry.steps[entry.at]
        if step.sheet.code != shown:
            _show_head(step.sheet, is_first=shown is None)
            shown = step.sheet.code
        if entry.type_line(entry.at):
            entry.at += 1
        elif entry.at:
            entry.at -= 1
        else:
            typer.echo("  There is no student before.")
    typer.echo()


def _tell_stopped(entry: _Entry) -> None:
    where = f" at {entry.steps[entry.at].student}" if entry.at < len(entry.steps) else ""
    are = "is" if len(entry.results) == 1 else "are"
    typer.echo(f"\nStopped{where}. {_counted(entry.results)} {are} typed.")


def _show_head(sheet: Worksheet, *, is_first: bool) -> None:
    if not is_first:
        typer.echo()
    typer.echo(f"Sheet {sheet.code}, {sheet.unit_title}: {len(sheet.items)} items. '?' shows help.")


def _wanted(entry: _Entry) -> tuple[TypedSheet, ...]:
    """What is kept in the end; () if nothing is, which is told."""
    while entry.results:
        said = asks_to_keep(BACK)
        if said == YES:
            return tuple(step for step in entry.steps if step.results)
        if said == BACK:
            entry.type_line(min(entry.at, len(entry.steps) - 1))
        elif not _mend(entry):
            typer.echo(f"Not kept: {_counted(entry.results)}.")
            forget(entry.book, [step.draft for step in entry.steps])
            return ()
    typer.echo("No answers typed.")
    return ()


def _mend(entry: _Entry) -> bool:
    """Lets one student's line be typed again; False if everything is to be thrown away."""
    labels = _labels(entry.steps)
    width = len(str(len(labels)))
    for number, (label, step) in enumerate(zip(labels, entry.steps, strict=True), start=1):
        typer.echo(f"  {number:>{width}}  {label}: {next(told_tally(step), 'nothing typed')}")
    while True:
        line = input(
            "Which one again? Number or name (Enter: keep all as it is; drop: keep nothing): "
        ).strip()
        if line.casefold() in _DROP:
            return False
        if not line:
            return True
        try:
            chosen = find_picked(labels, line, "student")
        except CoachbookError as error:
            typer.echo(f"  {error}")
        else:
            entry.type_line(labels.index(chosen))
            return True


def _labels(steps: Sequence[TypedSheet]) -> tuple[str, ...]:
    """The students' names, with the sheet for who has several."""
    names = [step.student for step in steps]
    return tuple(
        step.student if names.count(step.student) == 1 else f"{step.student}, {step.sheet.code}"
        for step in steps
    )


def _counted(results: Sequence[ItemResult]) -> str:
    """How many answers of whom, "" of none."""
    if not results:
        return ""
    names = list(dict.fromkeys(result.student for result in results))
    answers = "1 answer" if len(results) == 1 else f"{len(results)} answers"
    return f"{answers} of {names[0] if len(names) == 1 else f'{len(names)} students'}"
