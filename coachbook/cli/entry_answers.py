"""Typing the answers of an evening in, line by line. Nothing is kept before the coach has said yes."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import typer

from coachbook.cli.entry import YES, asks_to_keep, entering
from coachbook.errors import CoachbookError
from coachbook.model.club import ItemResult
from coachbook.model.slips import Slip
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.entry import find_picked
from coachbook.workflows.evening import GivenSheet, mark_sheet, tally
from coachbook.workflows.number_list import counted_off, listed_off
from coachbook.workflows.typed_lines import (
    check_typed,
    left_out,
    suggested_letters,
    typed_answers,
    typed_ticks,
)

_BACK, _SKIP = "<", "skip"
_DROP = ("drop", "none")
_EITHER = """\
  An empty line: the next student; what was typed of this one stays.
  <  the student before, again.  skip  forget what was typed of this student.
  To change answers later: coachbook log answers and the sheet's code. What is typed last counts."""
_HELP = f"""\
  Type what the student wrote, item by item, with a semicolon between:  Qe5; 9; -
  If there is one word for each item, spaces or commas will do:  Qe5 9 -
  Several moves for one item:  Qe5 Qb8; 9
  Words to tick by their first letters (m, s, n: mate, stalemate, neither) or their number:  1
  -  "there is no such move", where moves are asked for; elsewhere left blank.
  ?  left blank; as is nothing between two semicolons.
  Some items only, by their numbers:  3: Qe5; 5: 9
{_EITHER}"""
_TICKS_HELP = f"""\
  Type one sign for each item: 1 right, 0 wrong, - not tried. All right: =
{_EITHER}"""


@dataclass(frozen=True, slots=True)
class Typed:
    """The marked answers that the coach wants to keep; `is_stopped` if there was perhaps more to type."""

    results: tuple[ItemResult, ...]
    is_stopped: bool = False


@dataclass(slots=True)
class _Step:
    """One student's sheet to type in, and what was typed; `missing` are its items if others are logged."""

    student: str
    sheet: Worksheet
    missing: tuple[int, ...] = ()
    results: tuple[ItemResult, ...] = ()
    is_seen: bool = False


@dataclass(slots=True)
class _Entry:
    """What holds for all lines; `letters` are the club's own. Other letters are suggested once.

    `at` is the step that is typed in, one more than the last when all were gone through.
    """

    on: date
    letters: str
    ticks: bool
    steps: list[_Step] = field(default_factory=list)
    is_hinted: bool = False
    at: int = 0

    @property
    def results(self) -> tuple[ItemResult, ...]:
        return tuple(result for step in self.steps for result in step.results)


def type_answers(
    sheets: Sequence[GivenSheet],
    on: date,
    letters: str,
    *,
    ticks: bool,
    missing: Mapping[tuple[str, str], tuple[int, ...]] | None = None,
) -> Typed:
    """The answers that the coach types; `letters` are the club's own.

    With `ticks` the coach types marks in place of answers; `missing` are the items to type of a student's
    sheet (by name and code), where others are logged. If nothing is kept, that is told. On the first
    Ctrl-C the coach is asked whether to keep what is typed so far. Raises InterruptedEntryError.
    """
    entry, half = _Entry(on, letters, ticks), missing or {}
    entry.steps = [
        _Step(student, sheet, half.get((student, sheet.code), ()))
        for sheet, students in sheets
        for student in students
    ]
    with entering(lambda: _counted(entry.results)):
        try:
            _go_through(entry)
            return Typed(_wanted(entry))
        except KeyboardInterrupt:
            if not entry.results:
                raise
            _tell_stopped(entry)
            return Typed(_wanted(entry), is_stopped=True)


def _go_through(entry: _Entry) -> None:
    shown = None
    while entry.at < len(entry.steps):
        step = entry.steps[entry.at]
        if step.sheet is not shown:
            _show_head(step.sheet, is_first=shown is None)
            shown = step.sheet
        if _type_line(entry, step):
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


def _type_line(entry: _Entry, step: _Step) -> bool:
    """Lets the coach type a student's line; False if the student before is wanted."""
    again = ", again (nothing: as it was)" if step.is_seen else ""
    only = f" ({counted_off('item', step.missing)})" if step.missing else ""
    while True:
        line = input(f"{step.student}{only}{again}: ").strip()
        if line == _BACK:
            return False
        if line == "?":
            typer.echo(_TICKS_HELP if entry.ticks else _HELP)
            continue
        if line and line.casefold() != _SKIP:
            results = _marked(entry, step, line)
            if results is None:
                continue
            step.results = results
        elif line:
            step.results = ()
        step.is_seen = True
        return True


def _marked(entry: _Entry, step: _Step, line: str) -> tuple[ItemResult, ...] | None:
    """The answers of a line, marked and shown; None if it is to be typed again."""
    try:
        written = _written(entry, step, line)
        results = mark_sheet(step.sheet, step.student, written, entry.on, entry.letters)
    except CoachbookError as error:
        typer.echo(f"  {error}")
        return None
    _suggest_letters(entry, step.sheet, results)
    settled: list[ItemResult] = []
    for result in results:
        read_again = _settled(entry, step, result)
        if read_again is None:
            return None
        settled.append(read_again)
    _show_marks(settled, ticks=entry.ticks)
    return tuple(settled)


def _written(entry: _Entry, step: _Step, line: str) -> dict[int, str]:
    """What a line says, item by item; of the last ones it may say nothing. Raises CoachbookError."""
    if entry.ticks:
        return typed_ticks(step.sheet, line, step.missing)
    while True:
        answers = typed_answers(step.sheet, line, step.missing)
        blank = () if step.missing else left_out(step.sheet, line, answers)
        if not blank:
            return answers
        these = "This is 1 answer" if len(answers) == 1 else f"These are {len(answers)} answers"
        typer.echo(f"  {these}, the sheet has {len(step.sheet.items)} items.")
        were = "was" if len(blank) == 1 else "were"
        line = input(f"  The line again (nothing: {listed_off(blank)} {were} left blank): ").strip()
        if not line:
            return answers | dict.fromkeys(blank, "")


def _settled(entry: _Entry, step: _Step, result: ItemResult) -> ItemResult | None:
    """An answer that can be read, or that the student wrote so; None if the whole line is wrong."""
    while result.slip == Slip.UNREADABLE:
        typer.echo(f"  Item {result.item}: '{result.written}' cannot be read.")
        line = input(f"  Again (nothing: the student wrote that; {_BACK}: the whole line): ").strip()
        if not line:
            return result
        if line == _BACK:
            return None
        try:
            check_typed(line)
        except CoachbookError as error:
            typer.echo(f"  {error}")
            continue
        written = {result.item: line}
        (result,) = mark_sheet(step.sheet, step.student, written, entry.on, entry.letters)
    return result


def _suggest_letters(entry: _Entry, sheet: Worksheet, results: Sequence[ItemResult]) -> None:
    found = None if entry.is_hinted or entry.letters else suggested_letters(sheet, results)
    if found is not None:
        entry.is_hinted = True
        asked = f"  Does your club write {found.letter} for the {found.man}?"
        typer.echo(f"{asked} coachbook club letters {found.letters}")


def _show_marks(results: Sequence[ItemResult], *, ticks: bool) -> None:
    width = max(len(result.written) for result in results)
    for result in () if ticks else results:
        verdict = "✓ right" if result.right else f"✗ {result.slip or 'wrong'}"
        typer.echo(f"  {result.item:>2}  {result.written:<{width}}  {verdict}")
    for line in _told(results):
        typer.echo(f"  {line}")


def _told(results: Sequence[ItemResult]) -> Iterator[str]:
    for told in tally(tuple(results)):
        yield f"{told.right} of {told.tried} right{f': {told.slips}' if told.slips else ''}"


def _wanted(entry: _Entry) -> tuple[ItemResult, ...]:
    """What is kept in the end; () if nothing is, which is told."""
    while entry.results:
        said = asks_to_keep(_BACK)
        if said == YES:
            return entry.results
        if said == _BACK:
            _type_line(entry, entry.steps[min(entry.at, len(entry.steps) - 1)])
        elif not _mend(entry):
            typer.echo(f"Not kept: {_counted(entry.results)}.")
            return ()
    typer.echo("No answers typed.")
    return ()


def _mend(entry: _Entry) -> bool:
    """Lets one student's line be typed again; False if everything is to be thrown away."""
    labels = _labels(entry.steps)
    width = len(str(len(labels)))
    for number, (label, step) in enumerate(zip(labels, entry.steps, strict=True), start=1):
        typer.echo(f"  {number:>{width}}  {label}: {next(_told(step.results), 'nothing typed')}")
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
            _type_line(entry, entry.steps[labels.index(chosen)])
            return True


def _labels(steps: Sequence[_Step]) -> tuple[str, ...]:
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
