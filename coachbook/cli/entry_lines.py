"""One student's answers, typed in a line: marked and shown at once, and asked for again where they can't be
read."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import typer

from coachbook.errors import CoachbookError
from coachbook.model.club import ItemResult
from coachbook.model.slips import Slip
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening import mark_sheet, tally
from coachbook.workflows.number_list import counted_off, listed_off
from coachbook.workflows.typed_lines import (
    check_typed,
    could_be,
    left_out,
    suggested_letters,
    typed_answers,
    typed_ticks,
)
from coachbook.workflows.typed_sheets import TypedSheet, told_changes

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
            typer.echo(f"  {error}")
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
                typer.echo(f"  {error}")
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
            verdict = "✓ right" if result.right else f"✗ {result.slip or 'wrong'}"
            typer.echo(f"  {result.item:>2}  {result.written:<{width}}  {verdict}")
        for change in told_changes({**before.logged, **before.typed}, now.typed):
            typer.echo(f"  {change}")
        for told in told_tally(now):
            typer.echo(f"  {told}")


def told_tally(step: TypedSheet) -> Iterator[str]:
    """How a student did by what was typed; nothing if that is nothing."""
    for told in tally(step.results):
        yield f"{told.right} of {told.tried} right{f': {told.slips}' if told.slips else ''}"
