"""`coachbook evening close`: walks the coach through an evening that is over. Each step is kept at once."""

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.evening import EveningOption, GroupsOption, one_day
from coachbook.cli.options import BookOption, SyllabusOption, today
from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.model.dates import read_date

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.workflows.closing import NextWeek, ToClose


def close(
    day: Annotated[
        date | None,
        typer.Argument(metavar="[DATE]", parser=read_date, help="The evening, if not tonight."),
    ] = None,
    asked: EveningOption = None,
    group: GroupsOption = None,
    ticks: Annotated[
        bool, typer.Option("--ticks", help="Type only 1 (right), 0 (wrong) or - (not tried) for each item.")
    ] = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log an evening step by step: attendance, answers, play-outs, notes; and see what moves to the next."""
    from coachbook.cli.close_notes import type_notes, type_play_outs
    from coachbook.workflows.closing import groups_to_close, move_on, to_close
    from coachbook.workflows.members import open_club
    from coachbook.workflows.teaching import load_syllabus

    on = today(one_day(day, asked))
    opened, read = open_club(book), load_syllabus(syllabus)
    ahead: list[date] = []
    try:
        for name in groups_to_close(opened, on, group or []):
            _attendance(opened, to_close(opened, read, name, on))
            _answers(opened, to_close(opened, read, name, on), ticks=ticks)
            type_play_outs(opened, read, to_close(opened, read, name, on))
            type_notes(opened, read, to_close(opened, read, name, on))
            left = to_close(opened, read, name, on)
            moves = move_on(opened, read, name, on, _not_done(left))
            _show(left, moves)
            ahead += [moves.on] if moves.on else []
    except InterruptedEntryError as error:
        raise InterruptedEntryError(
            error.message, "What was kept so far stays. To go on, close the evening again."
        ) from error
    if ahead:
        typer.echo(f"Next: coachbook evening prepare {min(ahead)}")


def _attendance(book: "Book", left: "ToClose") -> None:
    from coachbook.cli.entry import type_absences
    from coachbook.workflows.attendance import answers_that_evening
    from coachbook.workflows.evening import keep_attendance

    if left.present is not None:
        _put_right(book, left, left.present)
        return
    answered = answers_that_evening(book, left.students, left.on)
    told = type_absences(left.group, left.students, left.on, answered)
    if told:
        typer.echo(f"Kept: {keep_attendance(book, told, left.on, datetime.now(UTC)).what}.")
    typer.echo()


def _put_right(book: "Book", left: "ToClose", present: frozenset[str]) -> None:
    """Lets the coach put logged attendance right: of whom is named, the other thing holds."""
    from coachbook.cli.entry import ask, listed, show_numbered, still_absent
    from coachbook.workflows.attendance import answers_that_evening, put_right
    from coachbook.workflows.closing_lines import to_put_right

    there, away = present, tuple(name for name in left.students if name not in present)
    typer.echo(f"{left.group} on {left.on}: attendance is logged. Absent: {listed(away)}.")
    show_numbered(left.students)
    typer.echo("Type who is wrong in this list: absent becomes there, there becomes absent.")
    while line := ask("Wrong (numbers or names; nothing: it is right): ").strip():
        try:
            wrong = to_put_right(left.students, line)
        except CoachbookError as error:
            typer.echo(f"  {error}")
            continue
        came, missing = ([name for name in wrong if (name in there) is here] for here in (False, True))
        missing = list(still_absent(answers_that_evening(book, missing, left.on)))
        now = put_right(book, left.group, came, missing, left.on, datetime.now(UTC))
        there = frozenset(now.there)
        typer.echo(f"There: {listed(now.there)}. Absent: {listed(now.away)}.")
    typer.echo()


def _answers(book: "Book", left: "ToClose", *, ticks: bool) -> None:
    from coachbook.cli.entry import listed
    from coachbook.cli.entry_answers import type_answers
    from coachbook.workflows.evening import keep_answers

    if not left.sheets:
        away = [name for name in left.students if left.present is not None and name not in left.present]
        of = f" of those who were there is logged. Absent: {listed(away)}." if away else " is logged."
        typer.echo(f"Every sheet{of}\n")
        return
    half = {(each.student, each.sheet): each.items for each in left.half}
    typed = type_answers(left.sheets, left.on, book.letters, ticks=ticks, missing=half)
    if typed.results:
        typer.echo(f"Kept: {keep_answers(book, typed.results, datetime.now(UTC)).what}.")
    if typed.is_stopped:
        raise InterruptedEntryError("Stopped.")
    typer.echo()


def _not_done(left: "ToClose") -> tuple[str, ...]:
    """The units that are to be planned again."""
    from coachbook.cli.entry import ask
    from coachbook.workflows.closing import quoted
    from coachbook.workflows.entry import picked

    if not left.units:
        return ()
    typer.echo("What was not finished, and is to be planned again?")
    for number, (_, title) in enumerate(left.units, start=1):
        typer.echo(f"  {number:>2}  {title}")
    codes = {title: code for code, title in left.units}
    noted = ", ".join(map(quoted, left.not_done))
    question = f"so far: {noted}" if noted else "numbers; nothing: all was done"
    while True:
        line = ask(f"Not finished ({question}): ")
        try:
            chosen = picked(tuple(codes), line, "unit")
        except CoachbookError as error:
            typer.echo(f"  {error}")
        else:
            return tuple(codes[title] for title in chosen if title not in left.not_done)


def _show(left: "ToClose", moves: "NextWeek") -> None:
    from coachbook.workflows.closing_lines import told_moves

    typer.echo()
    when = f"next on {moves.on}" if moves.on else "the last evening of the plan"
    typer.echo(f"{left.group}: closed; {when}.")
    for line in told_moves(left.on, moves):
        typer.echo(f"  {line}")
