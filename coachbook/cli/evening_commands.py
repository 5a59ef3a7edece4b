"""`coachbook evening`: everything before and after a club evening, in one go."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import SureOption, settled_day
from coachbook.cli.console import can_ask, progress_bar
from coachbook.cli.hints import as_typed, in_words, tell_next
from coachbook.cli.options import (
    BoardsOption,
    BookOption,
    FolderOption,
    GroupsOption,
    LargeOption,
    LettersOption,
    NotationOption,
    PaperOption,
    SyllabusOption,
    TicksOption,
    TwoSidesOption,
    TwoUpOption,
    coming_day,
    noun,
    paper_options,
    past_day,
    today,
)
from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.model.conversation import Alone, Say, ask
from coachbook.model.print_options import PaperOptions
from coachbook.wording.counting import counted, day_in_words, listed, shown_day

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.club.draft import DraftLine
    from coachbook.workflows.closing import ToClose
    from coachbook.workflows.closing_conversation import Closing
    from coachbook.workflows.preparing import PreparedEvening

_BOARDS = PaperOptions().boards_a_page
_CLOSE = ("evening", "close")
_GO_ON = "What was kept so far stays. To go on, close the evening again."

app = noun("A club evening: prepare it, and close it.", "prepare close")

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


def one_day(day: date | None, on: date | None) -> date | None:
    """The evening that is named, as an argument or an option. Raises CoachbookError for two of them."""
    if day is not None and on is not None and day != on:
        raise CoachbookError(f"Which evening: {shown_day(day)} or {shown_day(on)}?", "Give one date.")
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
    boards: BoardsOption = _BOARDS,
    large: LargeOption = False,
    two_sides: TwoSidesOption = False,
    two_up: TwoUpOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Make the two files of an evening. One is for the printer, one for you."""
    from coachbook.workflows.evening_to_log import evening_still_open
    from coachbook.workflows.members import open_club
    from coachbook.workflows.preparing import prepare_evening
    from coachbook.workflows.standings import load_syllabus

    day = one_day(day, on)
    opened, read = open_club(book), load_syllabus(syllabus)
    options = paper_options(
        opened.settings, paper, notation, letters, boards, large=large, two_sides=two_sides, two_up=two_up
    )
    with progress_bar() as progress:
        made = prepare_evening(
            opened, read, day, group or [], to, today(None), options, progress, in_words=in_words
        )
    typer.echo(f"{shown_day(made.on)}: {', '.join(made.groups)}")
    typer.echo(f"For the printer: {made.printer_pdf} ({made.paper.pages} pages)")
    typer.echo(f"For you:         {made.coach_pdf}")
    typer.echo(_paper_line(made))
    for note in made.notes:
        typer.echo(note)
    before = min(made.on - timedelta(1), today(None))
    if left := evening_still_open(opened, before, made.groups):
        typer.echo(f"Not closed yet: {day_in_words(left)}. To close it: coachbook evening close {left}")
    if made.same_files:
        typer.echo("Nothing has changed since these papers were made.")
    elif made.changes:
        typer.echo("Changed since these papers were made:")
        for change in made.changes:
            typer.echo(f"  {change}")
    elif not made.is_first:
        typer.echo("The same sheets and cards for all who are in the group now, printed again.")
    if made.is_first or made.changes:
        tell_next("evening", "close", str(made.on), book=book)


def _paper_line(made: "PreparedEvening") -> str:
    """The leaves to print, and what would save some."""
    told = [f"Paper to print:  {counted(made.paper.leaves, 'leaf', 'leaves')}"]
    for way in made.cheaper:
        given = (
            way.two_sides and "--two-sides",
            way.two_up and "--two-up",
            way.boards and f"--boards {way.boards}",
        )
        told.append(f"{way.leaves} with {listed(filter(None, given))}")
    return f"{told[0]}; {', '.join(told[1:])}" if made.cheaper else told[0]


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
    ticks: TicksOption = False,
    sure: SureOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log an evening step by step. Without a date it is tonight's, or the last one that is not closed.

    You are asked for attendance, answers, play-outs and notes, and see what moves to the next.
    """
    from coachbook.workflows.closing import groups_to_close, to_close
    from coachbook.workflows.closing_conversation import Closing
    from coachbook.workflows.joint_lessons import NOTHING_SAID, said_before, said_of_others
    from coachbook.workflows.members import open_club
    from coachbook.workflows.standings import load_syllabus

    opened, read, named = open_club(book), load_syllabus(syllabus), one_day(day, asked)
    on = _day_to_close(opened, named, group or [], sure=sure, where=book)
    names = groups_to_close(opened, on, group or [])
    waiting = [to_close(opened, read, name, on) for name in names]
    lines = _begin(opened, waiting)
    said = {left.group: said_before(opened, left.group, on) for left in waiting if left.present is None}
    ahead = []
    for name in names:
        known = said.get(name, NOTHING_SAID)
        closing = Closing(group=name, on=on, syllabus=read, lines=lines, ticks=ticks, said_before=known)
        closed = _closed(opened, closing)
        for other, of_them in said_of_others(opened, name, on, closed.unfinished).items():
            said[other] = said.get(other, NOTHING_SAID) | of_them
        ahead += [closed.ahead] if closed.ahead else []
    if ahead:
        tell_next("evening", "prepare", str(min(ahead)), book=book)


def _day_to_close(
    book: "Book", named: date | None, groups: Sequence[str], *, sure: bool, where: Path | None
) -> date:
    """The day that is named, or today, if an evening may be on it; else the last evening that is not closed.
    Raises CoachbookError where nobody can be asked, InterruptedEntryError, which says how an evening of the
    book `where` is closed by its date, if the day is not to be."""
    from coachbook.cli.talking import agreed
    from coachbook.workflows.closing import doubt_of_closing
    from coachbook.workflows.evening_to_log import evenings_still_open

    def by_its_date(on: date) -> str:
        chosen = [word for name in groups for word in ("--group", name)]
        return f"To close an evening, give its date: {as_typed(*_CLOSE, f'{on}', *chosen, book=where)}"

    doubt = doubt_of_closing(book, today(named), today(None), groups)
    still_open = evenings_still_open(book, today(None), groups) if doubt else ()
    if doubt is None or named is not None or not still_open:
        near = doubt and (doubt.nearest or doubt.last)
        meant = near or (still_open[0] if still_open else today(None))
        return settled_day(named, doubt, sure=sure, otherwise=by_its_date(meant))
    left, *others = still_open
    if sure or not can_ask():
        typer.echo(f"The evening of {day_in_words(left)}, the last one that is not closed:")
        return left
    if agreed(ask(Say.CLOSE_EVENING, Alone.YES, on=left)):
        return left
    # Another one that is open is the likelier one to be meant.
    raise InterruptedEntryError("Nothing was closed.", by_its_date(others[0] if others else left))


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
