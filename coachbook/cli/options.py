"""Options that several commands share, and how dates, weekdays and numbers are read."""

import errno
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperGroup

from coachbook.cli.completing import (
    groups_known,
    methods_known,
    sheets_known,
    students_known,
    units_known,
)
from coachbook.errors import CoachbookError
from coachbook.model.dates import Towards, read_day
from coachbook.model.print_options import Notation, PaperSize
from coachbook.model.settings import paper_options as paper_options  # every command takes it from here

if TYPE_CHECKING:
    from coachbook.workflows.own_positions import OwnPosition


def in_order(words: str) -> type[TyperGroup]:
    """Commands that are listed in the order of these words, the everyday one first; others come last."""
    order = words.split()

    class InOrder(TyperGroup):
        def list_commands(self, ctx: typer.Context) -> list[str]:  # type: ignore[override] # Typer's own Context
            names = super().list_commands(ctx)
            return sorted(names, key=lambda name: order.index(name) if name in order else len(order))

    return InOrder


def noun(told: str, commands: str) -> typer.Typer:
    """The `commands` for one thing, in that order; without a command it shows its help."""
    return typer.Typer(cls=in_order(commands), help=told, no_args_is_help=True, rich_markup_mode=None)


def read_number(text: str) -> int:
    """A whole number. Raises CoachbookError for anything else."""
    try:
        return int(text)
    except ValueError as error:
        raise CoachbookError(
            f"'{text[:20]}' is not a whole number.", "Write it in digits, such as 60."
        ) from error


def read_page(text: str) -> Path:
    """Where to write a page. Raises CoachbookError for the name of a table or a calendar."""
    path = Path(text)
    if path.suffix.lower() in (".ics", ".csv"):
        raise CoachbookError(
            f"{path} does not end in .pdf, and this command writes a page.",
            "Give a name such as plan.pdf. For calendars and tables: coachbook term export,"
            " coachbook log export.",
        )
    return path


def past_day(text: str) -> date:
    """A day as people write it, for what has happened: a weekday is the last one, today included. Raises
    CoachbookError if it is none, or could be two."""
    return read_day(text, today(None), Towards.PAST)


def coming_day(text: str) -> date:
    """A day as people write it, for what is planned: a weekday is the next one, today included. Raises
    CoachbookError if it is none, or could be two."""
    return read_day(text, today(None), Towards.AHEAD)


def positions_of(source: str) -> "tuple[OwnPosition, ...]":
    """The positions of a file, of the text itself, or, for "-", of standard input, which may have no end.

    Raises CoachbookError if it cannot be read, is too long, or has none.
    """
    from coachbook.files.reading import LARGEST, MEGABYTE
    from coachbook.workflows.own_positions import positions_in, read_source, readable

    if source != "-":
        return read_source(source)
    with readable(source):
        text = sys.stdin.read(LARGEST + 1)
        if len(text) > LARGEST:
            raise OSError(errno.EFBIG, f"it has more than {LARGEST // MEGABYTE} MB")
    return positions_in(text, source)


def today(asked: date | None) -> date:
    """The day asked for, else today where the coach is."""
    return asked or date.today()


BookOption = Annotated[
    Path | None,
    typer.Option(
        "--book", envvar="COACHBOOK_BOOK", metavar="FILE", help="The club's book, if not the usual one."
    ),
]
SyllabusOption = Annotated[
    Path | None,
    typer.Option(
        "--syllabus", envvar="COACHBOOK_SYLLABUS", metavar="FOLDER", help="Your own syllabus, a folder."
    ),
]
UnitArgument = Annotated[
    str,
    typer.Argument(metavar="UNIT", help="A unit's code, such as queen-box.", autocompletion=units_known),
]
MethodArgument = Annotated[
    str, typer.Argument(metavar="METHOD", help="Such as queen-box.", autocompletion=methods_known)
]
NameArgument = Annotated[
    str, typer.Argument(metavar="NAME", help="The student's name.", autocompletion=students_known)
]
GroupArgument = Annotated[
    str, typer.Argument(metavar="GROUP", help="The group's name.", autocompletion=groups_known)
]
CodeArgument = Annotated[
    str,
    typer.Argument(metavar="CODE", help="The code at the foot of the sheet.", autocompletion=sheets_known),
]
GroupOption = Annotated[
    str | None,
    typer.Option("--group", metavar="GROUP", help="The group's name.", autocompletion=groups_known),
]
GroupsOption = Annotated[
    list[str] | None,
    typer.Option(
        "--group",
        metavar="GROUP",
        help="The group's name; may be given again.",
        autocompletion=groups_known,
    ),
]
AllGroupsOption = Annotated[bool, typer.Option("--all", help="All groups of the club.")]
StudentOption = Annotated[
    str | None,
    typer.Option("--student", metavar="NAME", help="The student's name.", autocompletion=students_known),
]
FirstDayOption = Annotated[
    date, typer.Option("--from", parser=past_day, metavar="DATE", help="The first day.")
]
LastDayOption = Annotated[
    date, typer.Option("--until", parser=past_day, metavar="DATE", help="The last day.")
]
DateOption = Annotated[
    date | None,
    typer.Option(
        "--date",
        parser=past_day,
        metavar="DATE",
        help="The day, if not today: 2027-01-12, 12 Jan, yesterday; tue is the last Tuesday.",
    ),
]
ComingDateOption = Annotated[
    date | None,
    typer.Option(
        "--date",
        parser=coming_day,
        metavar="DATE",
        help="The day, if not today: 2027-01-12, 12 Jan, tomorrow; tue is the next Tuesday.",
    ),
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON, for other programs.")]
FolderOption = Annotated[
    Path | None,
    typer.Option("--to", metavar="FOLDER", help="Where to put the files, if not in the club's own folder."),
]
PageOption = Annotated[
    Path | None,
    typer.Option(
        "--to", parser=read_page, metavar="FILE", help="The page to write (PDF), if not one named after it."
    ),
]
OnPaperOption = Annotated[
    Path | None,
    typer.Option("--to", parser=read_page, metavar="FILE", help="Write it on paper, too (PDF)."),
]
TableOption = Annotated[
    Path | None,
    typer.Option("--table", metavar="FILE", help="A table to read, such as one from a spreadsheet."),
]
SeedOption = Annotated[
    int | None,
    typer.Option("--seed", parser=read_number, metavar="N", help="Choose the same positions again."),
]
TicksOption = Annotated[
    bool, typer.Option("--ticks", help="Type only 1 (right), 0 (wrong) or - (left blank) for each item.")
]
PaperOption = Annotated[
    PaperSize | None,
    typer.Option(
        "--paper", case_sensitive=False, metavar="A4|Letter", help="The size of paper, if not the club's own."
    ),
]
NotationOption = Annotated[
    Notation | None,
    typer.Option("--notation", help="Moves with little pieces or with letters, if not the club's own way."),
]
LettersOption = Annotated[
    str | None,
    typer.Option(
        "--letters",
        metavar="KQRBN",
        help="Letters for king, queen, rook, bishop and knight, such as KDTLS, if not the club's own.",
    ),
]
BoardsOption = Annotated[
    int,
    typer.Option("--boards", parser=read_number, metavar="1|2|4|6|9", help="The most boards on a page."),
]
LargeOption = Annotated[bool, typer.Option("--large", help="In large print.")]
TwoSidesOption = Annotated[
    bool, typer.Option("--two-sides", help="For printing on both sides: each copy begins on a new leaf.")
]
TwoUpOption = Annotated[
    bool, typer.Option("--two-up", help="To save paper: two pages side by side on one, smaller.")
]
