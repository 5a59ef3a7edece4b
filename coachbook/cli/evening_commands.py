"""`coachbook evening`: everything before and after a club evening, in one go."""

from collections.abc import Sequence
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import SureOption, settled_day
from coachbook.cli.console import progress_bar
from coachbook.cli.hints import in_words
from coachbook.cli.options import (
    BookOption,
    FolderOption,
    LargeOption,
    LettersOption,
    NotationOption,
    PaperOption,
    SyllabusOption,
    TwoSidesOption,
    coming_day,
    noun,
    paper_options,
    past_day,
    today,
)
from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.wording.counting import shown_day

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.club.draft import DraftLine
    from coachbook.workflows.closing import ToClose
    from coachbook.workflows.closing_conversation import Closing

_GO_ON = "What was kept so far stays. To go on, close the evening again."

app = noun("A club evening: prepare it, and close it.")

DayArgument = Annotated[
    date | None,
    typer.Argument(
        metavar="[DATE]",
        parser=coming_day,
        help="The evening, if not the next one: 2027-01-12, 12 Jan; tue is the next Tuesday.",
    ),
]
ComingEveningOption = Annotated[
    date | None, typer.Option("--date", metavar="DATE", parser=coming_day, help="The same as DATE alone.")
]
PastEveningOption = Annotated[
    date | None, typer.Option("--date", metavar="DATE", parser=past_day, help="The same as DATE alone.")
]
GroupsOption = Annotated[
    list[str] | None, typer.Option("--group", metavar="GROUP", help="Only this group; may be given again.")
]


def one_day(day: date | None, on: date | None) -> date | None:
    """The evening that is named, as an argument or an option. Raises CoachbookError for two of them."""
    if day is not None and on is not None and day != on:
        raise CoachbookError(f"Which evening: {day} or {on}?", "Give one date.")
    return day or on


@app.command("prepare")
def prepare(
    day: DayArgument = None,
    on: ComingEveningOption = None,
    group: GroupsOption = None,
    to: FolderOption = None,
    paper: PaperOption = None,
    notation: NotationOption = None,
    letters: LettersOption = None,
    large: LargeOption = False,
    two_sides: TwoSidesOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Make the two files of an evening. One is for the printer, one for you."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.preparing import prepare_evening
    from coachbook.workflows.standings import load_syllabus

    day = one_day(day, on)
    opened, read = open_club(book), load_syllabus(syllabus)
    options = paper_options(opened.settings, paper, notation, letters, large=large, two_sides=two_sides)
    with progress_bar() as progress:
        made = prepare_evening(
            opened, read, day, group or [], to, today(None), options, progress, in_words=in_words
        )
    typer.echo(f"{shown_day(made.on)}: {', '.join(made.groups)}")
    typer.echo(f"For the printer: {made.printer_pdf} ({made.pages} pages)")
    typer.echo(f"For you:         {made.coach_pdf}")
    for note in made.notes:
        typer.echo(note)
    if made.is_first:
        typer.echo(f"Afterwards: coachbook evening close {made.on}")
        return
    if made.same_files:
        typer.echo("Nothing has changed since these papers were made.")
    elif made.changes:
        typer.echo("Changed since these papers were made:")
        for change in made.changes:
            typer.echo(f"  {change}")
    else:
        typer.echo("The same sheets and cards for all who are in the group now, printed again.")


@app.command("close")
def close(
    day: Annotated[
        date | None,
        typer.Argument(
            metavar="[DATE]",
            parser=past_day,
            help="The evening, if not tonight: 2027-01-12, yesterday; tue is the last Tuesday.",
        ),
    ] = None,
    asked: PastEveningOption = None,
    group: GroupsOption = None,
    ticks: Annotated[
        bool, typer.Option("--ticks", help="Type only 1 (right), 0 (wrong) or - (left blank) for each item.")
    ] = False,
    sure: SureOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log an evening step by step. You are asked for attendance, answers, play-outs and notes, and see what
    moves to the next."""
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
    from coachbook.workflows.typed_answers import answers_aside, evening_aside

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
