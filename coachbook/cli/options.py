"""Options that several commands share, and how dates, weekdays and numbers are read."""

import errno
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.errors import CoachbookError
from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.model.problem import read_date
from coachbook.wording.counting import WEEKDAYS

if TYPE_CHECKING:
    from coachbook.workflows.own_positions import OwnPosition


def noun(told: str) -> typer.Typer:
    """The commands for one thing; without a command it shows its help."""
    return typer.Typer(help=told, no_args_is_help=True, rich_markup_mode=None)


def read_number(text: str) -> int:
    """A whole number. Raises CoachbookError for anything else."""
    try:
        return int(text)
    except ValueError as error:
        raise CoachbookError(
            f"'{text[:20]}' is not a whole number.", "Write it in digits, such as 60."
        ) from error


def read_weekday(text: str) -> int:
    """A weekday by its English name or first letters, as a number: 0 is Monday. Raises CoachbookError
    if it is none, or could be several."""
    begun = [day for day in WEEKDAYS if text and day.lower().startswith(text.strip().lower())]
    if len(begun) == 1:
        return WEEKDAYS.index(begun[0])
    what = f"could be {' or '.join(begun)}" if text.strip() and begun else "is not a weekday"
    raise CoachbookError(f"'{text}' {what}.", "Write a name such as Thursday, or thu.")


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


def paper_options(
    paper: PaperSize,
    notation: Notation,
    letters: str | None,
    boards: int = PaperOptions().boards_a_page,
    *,
    large: bool = False,
    two_sides: bool = False,
    two_up: bool = False,
    own: str = "",
) -> PaperOptions:
    """What was asked for on paper. Letters for the pieces mean that moves are written with letters;
    letters without saying which are the club's `own` ("" if it has none: English ones).

    Raises CoachbookError for letters or a number of boards that cannot be, and for what does not go
    together.
    """
    if letters is not None:
        notation = Notation.LETTERS
    chosen = letters if letters is not None else own or PaperOptions().letters
    return PaperOptions(paper, notation, chosen, boards, large, two_sides, two_up)


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
UnitOption = Annotated[str, typer.Option("--unit", metavar="UNIT", help="A unit's code, such as queen-box.")]
GroupOption = Annotated[str | None, typer.Option("--group", metavar="GROUP", help="The group's name.")]
StudentOption = Annotated[str | None, typer.Option("--student", metavar="NAME", help="One student's name.")]
DateOption = Annotated[
    date | None, typer.Option("--date", parser=read_date, metavar="DATE", help="The day, if not today.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print JSON, for other programs.")]
FolderOption = Annotated[Path, typer.Option("--to", metavar="FOLDER", help="Where to put the files.")]
PaperOption = Annotated[
    PaperSize, typer.Option("--paper", case_sensitive=False, metavar="A4|Letter", help="The size of paper.")
]
NotationOption = Annotated[
    Notation,
    typer.Option(
        "--notation", help="Moves with little pieces, or with letters: the club's own, else English."
    ),
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
