"""`coachbook evening close`: walks the coach through an evening that is over. Each step is kept at once, and
each line that is typed is put aside until then.
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import SureOption, settled_day
from coachbook.cli.evening_commands import EveningOption, GroupsOption, one_day
from coachbook.cli.options import BookOption, SyllabusOption, today
from coachbook.errors import InterruptedEntryError
from coachbook.model.reading import read_date

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.club.draft import DraftLine
    from coachbook.workflows.closing import ToClose
    from coachbook.workflows.closing_conversation import Closing

_GO_ON = "What was kept so far stays. To go on, close the evening again."


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
    from coachbook.workflows.closing_conversation import Closing
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus

    opened, read, named = open_club(book), load_syllabus(syllabus), one_day(day, asked)
    on = settled_day(named, doubt_of_closing(opened, today(named), today(None), group or []), sure=sure)
    names = groups_to_close(opened, on, group or [])
    lines = _begin(opened, [to_close(opened, read, name, on) for name in names])
    ahead = []
    for name in names:
        closed = _closed(opened, Closing(group=name, on=on, syllabus=read, lines=lines, ticks=ticks))
        ahead += [closed.ahead] if closed.ahead else []
    if ahead:
        typer.echo(f"Next: coachbook evening prepare {min(ahead)}")


def _begin(book: "Book", left: "Sequence[ToClose]") -> "tuple[DraftLine, ...]":
    """What was put aside of these groups' evening, and the coach goes on with."""
    from coachbook.cli.talking import taken_up
    from coachbook.workflows.care import before_typing
    from coachbook.workflows.typed_sheets import answers_aside, evening_aside

    given = {(name, sheet.code) for each in left for sheet, (name,) in each.sheets}
    lines = [*evening_aside(book, left[0].on, [each.group for each in left]), *answers_aside(book, given)]
    taken = taken_up(book, lines)
    before_typing(book, datetime.now(UTC))
    return taken


def _closed(book: "Book", evening: "Closing") -> "Closing":
    """The evening when it is closed. Raises InterruptedEntryError if the coach stopped."""
    from coachbook.cli.talking import doing, talk

    try:
        closed = talk(evening, doing(book, evening.syllabus))
    except InterruptedEntryError as error:
        raise InterruptedEntryError(error.message, _GO_ON) from error
    if closed.is_stopped:
        raise InterruptedEntryError("Stopped.", _GO_ON)
    return closed
