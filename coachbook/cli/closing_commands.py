"""`coachbook evening close`: walks the coach through an evening that is over. Each step is kept at once, and
each line that is typed is put aside until then.
"""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import SureOption, settled_day
from coachbook.cli.evening_commands import EveningOption, GroupsOption, one_day
from coachbook.cli.hints import in_words
from coachbook.cli.options import BookOption, SyllabusOption, today
from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.model.reading import read_date

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.club.draft import DraftLine
    from coachbook.model.syllabus import Syllabus
    from coachbook.workflows.closing import NextWeek, ToClose


def close(
    day: Annotated[
        date | None,
        typer.Argument(metavar="[DATE]", parser=read_date, help="The evening, if not tonight."),
    ] = None,
    asked: EveningOption = None,
    group: GroupsOption = None,
    ticks: Annotated[
        bool, typer.Option("--ticks", help="Type only 1 (right), 0 (wrong) or - (left blank) for each item.")
    ] = False,
    sure: SureOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log an evening step by step: attendance, answers, play-outs, notes; and see what moves to the next."""
    from coachbook.workflows.closing import doubt_of_closing, groups_to_close, to_close
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus

    opened, read, named = open_club(book), load_syllabus(syllabus), one_day(day, asked)
    on = settled_day(named, doubt_of_closing(opened, today(named), today(None), group or []), sure=sure)
    names = groups_to_close(opened, on, group or [])
    lines = _begin(opened, [to_close(opened, read, name, on) for name in names])
    try:
        ahead = [_close(opened, read, name, on, lines, ticks=ticks) for name in names]
    except InterruptedEntryError as error:
        raise InterruptedEntryError(
            error.message, "What was kept so far stays. To go on, close the evening again."
        ) from error
    if any(ahead):
        typer.echo(f"Next: coachbook evening prepare {min(filter(None, ahead))}")


def _begin(book: "Book", left: "Sequence[ToClose]") -> "tuple[DraftLine, ...]":
    """What was put aside of these groups' evening, and the coach goes on with."""
    from coachbook.cli.entry import taken_up
    from coachbook.workflows.care import before_typing
    from coachbook.workflows.typed_sheets import answers_aside, evening_aside

    given = {(name, sheet.code) for each in left for sheet, (name,) in each.sheets}
    lines = [*evening_aside(book, left[0].on, [each.group for each in left]), *answers_aside(book, given)]
    taken = taken_up(book, lines)
    before_typing(book, datetime.now(UTC))
    return taken


def _close(
    book: "Book", syllabus: "Syllabus", group: str, on: date, lines: "Sequence[DraftLine]", *, ticks: bool
) -> date | None:
    """Closes one group's evening, and returns its next one."""
    from coachbook.cli.closing_notes import type_notes, type_play_outs
    from coachbook.workflows.closing import move_on, to_close

    _attendance(book, to_close(book, syllabus, group, on), lines)
    _answers(book, to_close(book, syllabus, group, on), lines, ticks=ticks)
    type_play_outs(book, syllabus, to_close(book, syllabus, group, on), lines)
    type_notes(book, syllabus, to_close(book, syllabus, group, on), lines)
    left = to_close(book, syllabus, group, on)
    moves = move_on(book, syllabus, group, on, _not_done(left))
    _show(left, moves, syllabus.titles)
    return moves.on


def _attendance(book: "Book", left: "ToClose", lines: "Sequence[DraftLine]") -> None:
    from coachbook.cli.entry import safe, type_who_was_absent
    from coachbook.wording.log import entry_in_words
    from coachbook.workflows.evening_log import keep_attendance
    from coachbook.workflows.typed_sheets import forget

    if left.present is not None:
        _put_right(book, left, left.present)
        return
    told, line = type_who_was_absent(book, left.group, left.students, left.on, lines)
    if told:
        with safe():
            entry = keep_attendance(book, told, left.on, datetime.now(UTC))
            typer.echo(f"Kept: {entry_in_words(entry.what)}.")
    forget(book, [line])
    typer.echo()


def _put_right(book: "Book", left: "ToClose", present: frozenset[str]) -> None:
    """Lets the coach put logged attendance right: of whom is named, the other thing holds."""
    from coachbook.cli.entry import ask, listed, show_numbered, still_absent
    from coachbook.wording.log import entry_in_words
    from coachbook.workflows.closing_lines import to_put_right
    from coachbook.workflows.evening_log import answers_that_evening, put_right

    there, away = present, tuple(name for name in left.students if name not in present)
    typer.echo(f"{left.group} on {left.on}: attendance is logged. Absent: {listed(away)}.")
    show_numbered(left.students)
    typer.echo("Type who is wrong in this list: absent becomes there, there becomes absent.")
    while line := ask("Wrong (numbers or names; nothing: it is right): ").strip():
        try:
            wrong = to_put_right(left.students, line)
        except CoachbookError as error:
            typer.echo(f"  {error.told(in_words)}")
            continue
        came, missing = ([name for name in wrong if (name in there) is here] for here in (False, True))
        missing = list(still_absent(answers_that_evening(book, missing, left.on)))
        now = put_right(book, left.group, came, missing, left.on, datetime.now(UTC))
        there = frozenset(now.there)
        typer.echo(f"There: {listed(now.there)}. Absent: {listed(now.away)}.")
        if now.entry is not None:
            typer.echo(f"Kept: {entry_in_words(now.entry.what)}.")
    typer.echo()


def _answers(book: "Book", left: "ToClose", lines: "Sequence[DraftLine]", *, ticks: bool) -> None:
    from coachbook.cli.answers_entry import type_answers
    from coachbook.cli.entry import listed, safe
    from coachbook.wording.log import entry_in_words
    from coachbook.workflows.evening_log import keep_answers
    from coachbook.workflows.typed_sheets import forget, sheets_to_type, with_drafts

    if not left.sheets:
        away = [name for name in left.students if left.present is not None and name not in left.present]
        of = f" of those who were there is logged. Absent: {listed(away)}." if away else " is logged."
        typer.echo(f"Every sheet{of}\n")
        return
    half = {(each.student, each.sheet): each.items for each in left.half}
    steps = sheets_to_type(book, left.sheets, left.on, left.on, half)
    typed = type_answers(book, with_drafts(steps, lines, book.letters, dated=True), ticks=ticks)
    if typed.results:
        with safe():
            entry = keep_answers(book, typed.results, datetime.now(UTC))
            typer.echo(f"Kept: {entry_in_words(entry.what)}.")
        forget(book, typed.drafts)
    if typed.is_stopped:
        raise InterruptedEntryError("Stopped.")
    typer.echo()


def _not_done(left: "ToClose") -> tuple[str, ...]:
    """The units that are to be planned again."""
    from coachbook.cli.entry import ask
    from coachbook.wording.plans import unmistakable
    from coachbook.workflows.evening_to_log import picked

    if not left.units:
        return ()
    typer.echo("What was not finished, and is to be planned again?")
    for number, (_, title) in enumerate(left.units, start=1):
        typer.echo(f"  {number:>2}  {title}")
    codes = {title: code for code, title in left.units}
    noted = ", ".join(map(unmistakable, left.not_done))
    question = f"so far: {noted}" if noted else "numbers; nothing: all was done"
    while True:
        line = ask(f"Not finished ({question}): ")
        try:
            chosen = picked(tuple(codes), line, "unit")
        except CoachbookError as error:
            typer.echo(f"  {error.told(in_words)}")
        else:
            return tuple(codes[title] for title in chosen if title not in left.not_done)


def _show(left: "ToClose", moves: "NextWeek", titles: Mapping[str, str]) -> None:
    from coachbook.workflows.closing_lines import told_moves

    typer.echo()
    when = f"next on {moves.on}" if moves.on else "the last evening of the plan"
    typer.echo(f"{left.group}: closed; {when}.")
    for line in told_moves(left.on, moves, titles, in_words):
        typer.echo(f"  {line}")
