"""Typing the answers of an evening in, line by line, each student's marked and shown at once."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import typer

from coachbook.cli.asking import can_ask
from coachbook.cli.entry import YES, asks_to_keep, entering, put_aside_or_tell
from coachbook.cli.hints import in_words
from coachbook.club.book import Book
from coachbook.club.draft import DraftLine
from coachbook.errors import CoachbookError
from coachbook.model.facts import ItemResult
from coachbook.model.slips import Slip
from coachbook.model.worksheet import Worksheet
from coachbook.wording.slips import slip_in_words
from coachbook.workflows.evening_log import mark_sheet, tally
from coachbook.workflows.evening_to_log import find_picked
from coachbook.workflows.typed_answers import (
    check_typed,
    could_be,
    counted_off,
    left_out,
    listed_off,
    suggested_letters,
    typed_answers,
    typed_ticks,
)
from coachbook.workflows.typed_sheets import TypedSheet, forget, told_changes

BACK = "<"
_SKIP = "skip"
_EITHER = f"""\
  Some items only, by their numbers:  {{some}}
  A line with such numbers changes these items only: all others that you typed stay.
  A line without them says what stands on the whole sheet.
  An empty line: the next student; what was typed of this one stays.
  {BACK}  the student before, again.  {_SKIP}  forget what was typed of this student.
  To change answers later: coachbook log answers and the sheet's code. Of each item the last word counts."""
_HELP = f"""\
  Type what the student wrote, item by item, with a semicolon between:  Qe5; 9; -
  If there is one word for each item, spaces or commas will do:  Qe5 9 -
  Several moves for one item:  Qe5 Qb8; 9
  Words to tick by their first letters (m, s, n: mate, stalemate, neither) or their number:  1
  -  left blank, as with --ticks; so are ? and nothing between two semicolons.
  none  the student's answer is that there is no such move.
{_EITHER.format(some="3: Qe5; 5: 9")}"""
_TICKS_HELP = f"""\
  Type one sign for each item: 1 right, 0 wrong, - left blank. All right: =
{_EITHER.format(some="3: 1; 5: 0")}"""


@dataclass(slots=True)
class Reader:
    """Reads typed lines; `letters` are the club's own. Other letters are suggested once."""

    letters: str
    ticks: bool
    is_hinted: bool = False

    def ask(self, step: TypedSheet) -> TypedSheet | None:
        """The sheet after the line that the coach types of it; None if the student before is wanted."""
        again = ", again (nothing: as it was)" if step.is_seen else ""
        only = f" ({counted_off('item', step.missing)})" if step.missing else ""
        while True:
            line = input(f"{step.student}{only}{again}: ").strip()
            if line == BACK:
                return None
            if line == "?":
                typer.echo(_TICKS_HELP if self.ticks else _HELP)
            elif not line:
                return step.with_line(())
            elif line.casefold() == _SKIP:
                return step.emptied()
            elif (results := self._marked(step, line)) is not None:
                now = step.with_line(results)
                self._show(step, now, results)
                return now

    def _marked(self, step: TypedSheet, line: str) -> tuple[ItemResult, ...] | None:
        """The answers of a line, marked; None if it is to be typed again."""
        try:
            written = self._written(step, line)
            results = mark_sheet(step.sheet, step.student, written, step.on, self.letters)
        except CoachbookError as error:
            typer.echo(f"  {error.told(in_words)}")
            return None
        self._suggest_letters(step.sheet, results)
        settled: list[ItemResult] = []
        for result in results:
            read_again = self._settled(step, result)
            if read_again is None:
                return None
            settled.append(read_again)
        return tuple(settled)

    def _written(self, step: TypedSheet, line: str) -> dict[int, str]:
        """What a line says, item by item; of the last ones it may say nothing. Raises CoachbookError."""
        if self.ticks:
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

    def _settled(self, step: TypedSheet, result: ItemResult) -> ItemResult | None:
        """An answer that can be read, or that the student wrote so; None if the whole line is wrong."""
        while result.slip == Slip.UNREADABLE:
            meant = could_be(step.sheet.items[result.item - 1], result.written)
            why = f": {' or '.join(meant)}?" if meant else " cannot be read."
            typer.echo(f"  Item {result.item}: '{result.written}'{why}")
            line = input(f"  Again (nothing: the student wrote that; {BACK}: the whole line): ").strip()
            if not line:
                return result
            if line == BACK:
                return None
            try:
                check_typed(line)
            except CoachbookError as error:
                typer.echo(f"  {error.told(in_words)}")
                continue
            (result,) = mark_sheet(step.sheet, step.student, {result.item: line}, step.on, self.letters)
        return result

    def _suggest_letters(self, sheet: Worksheet, results: Sequence[ItemResult]) -> None:
        found = None if self.is_hinted or self.letters else suggested_letters(sheet, results)
        if found is not None:
            self.is_hinted = True
            asked = f"  Does your club write {found.letter} for the {found.man}?"
            typer.echo(f"{asked} coachbook club letters {found.letters}")

    def _show(self, before: TypedSheet, now: TypedSheet, results: Sequence[ItemResult]) -> None:
        """The marks of a line, what it has changed, and how the student did in all."""
        width = max(len(result.written) for result in results)
        for result in () if self.ticks else results:
            verdict = "✓ right" if result.right else f"✗ {slip_in_words(result.slip) or 'wrong'}"
            typer.echo(f"  {result.item:>2}  {result.written:<{width}}  {verdict}")
        for change in told_changes({**before.logged, **before.typed}, now.typed):
            typer.echo(f"  {change}")
        for told in told_tally(now):
            typer.echo(f"  {told}")


def told_tally(step: TypedSheet) -> Iterator[str]:
    """How a student did by what was typed; nothing if that is nothing."""
    for told in tally(step.results):
        yield f"{told.right} of {told.tried} right{f': {told.slips}' if told.slips else ''}"


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
            typer.echo(f"  {error.told(in_words)}")
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
