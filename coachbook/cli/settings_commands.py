"""`coachbook club set`: the club's name and its own ways with letters, papers and dates."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import YesOption, agrees
from coachbook.cli.console import can_ask, print_json, show_table
from coachbook.cli.options import BookOption, JsonOption
from coachbook.errors import CoachbookError
from coachbook.model.conversation import Say
from coachbook.model.print_options import Notation, PaperSize
from coachbook.model.settings import ClubSettings, DateStyle
from coachbook.wording.paper_words import DATES_LOOK

if TYPE_CHECKING:
    from coachbook.club.book import Book

_NONE = "none"
_WHAT_FOR = {
    "name": "The club's name, at the head of every paper; sheets that were made keep theirs.",
    "paper": "The size of paper: A4 or Letter.",
    "notation": "How papers show moves: figurine (little pieces) or letters.",
    "letters": "King, queen, rook, bishop, knight as the club writes them: answers are read so, too.",
    "folder": "Where papers go if --to is not given.",
    "dates": "How dates are shown: iso, day-first, month-first, or usual (iso, on paper day-first).",
}


def set_(
    name: Annotated[str | None, typer.Option("--name", metavar="NAME", help=_WHAT_FOR["name"])] = None,
    paper: Annotated[
        PaperSize | None,
        typer.Option("--paper", case_sensitive=False, metavar="A4|Letter", help=_WHAT_FOR["paper"]),
    ] = None,
    notation: Annotated[
        Notation | None, typer.Option("--notation", case_sensitive=False, help=_WHAT_FOR["notation"])
    ] = None,
    letters: Annotated[
        str | None,
        typer.Option(
            "--letters",
            metavar="KQRBN|none",
            help="King, queen, rook, bishop, knight in your language, such as KDTLS.",
        ),
    ] = None,
    folder: Annotated[
        str | None,
        typer.Option(
            "--folder",
            metavar="FOLDER|none",
            help="Where papers go if --to is not given; none: the folder that you are in.",
        ),
    ] = None,
    dates: Annotated[
        DateStyle | None, typer.Option("--dates", case_sensitive=False, help=_WHAT_FOR["dates"])
    ] = None,
    yes: YesOption = False,
    book: BookOption = None,
    as_json: JsonOption = False,
) -> None:
    """Show or change the club's name and its own ways. They hold for every command, unless an option of it
    says otherwise."""
    from coachbook.workflows.club_settings import checked_club_name, checked_folder, checked_letters
    from coachbook.workflows.members import open_club

    opened = open_club(book)
    now = opened.settings
    club_name = opened.club_name if name is None else checked_club_name(name)
    if letters is not None:
        now = replace(now, letters="" if letters.lower() == _NONE else checked_letters(letters))
    if folder is not None:
        now = replace(now, folder="" if folder.lower() == _NONE else checked_folder(Path(folder)))
    now = replace(now, paper=paper or now.paper, notation=notation or now.notation, dates=dates or now.dates)
    asked = zip(_WHAT_FOR, (name, paper, notation, letters, folder, dates), strict=True)
    told = [what for what, value in asked if value is not None]
    shown = _values(club_name, now)
    if not told:
        _show(shown, as_json=as_json)
    elif _changed(opened, club_name, now, told, sure=yes, quiet=as_json) and as_json:
        _show(shown, as_json=True)


def letters(
    pieces: Annotated[str, typer.Argument(metavar="KQRBN|none", help="As in club set --letters.")],
    yes: YesOption = False,
    book: BookOption = None,
) -> None:
    """Say with which letters the club writes moves. Its new name is: club set --letters."""
    set_(letters=pieces, yes=yes, book=book)
    typer.echo(f"'club letters' is now: coachbook club set --letters {pieces}", err=True)


def _changed(
    book: "Book", name: str, now: ClubSettings, told: Iterable[str], *, sure: bool, quiet: bool
) -> bool:
    """Whether the settings were kept, after a question about letters that are new."""
    from coachbook.workflows.club_settings import keep_settings

    before = book.settings
    has_new_letters = now.letters not in ("", before.letters)
    if has_new_letters and not _wanted(before.letters, now.letters, sure=sure, quiet=quiet):
        return False
    keep_settings(book, now, name)
    if not quiet:
        was, shown = _values(book.club_name, before), _values(name, now)
        for each in told:
            what = f"{each.capitalize()}: {_in_words(each, shown[each])}"
            change = f"was {_in_words(each, was[each])}" if was[each] != shown[each] else "as before"
            typer.echo(f"{what} ({change}).")
        if "letters" in told and now.letters and now.notation is Notation.FIGURINE:
            other = f"coachbook club set --notation {Notation.LETTERS}"
            typer.echo(f"Papers still have little pieces. For letters: {other}")
    return True


def _wanted(before: str, letters: str, *, sure: bool, quiet: bool) -> bool:
    """Shows which letter stands for which man, beside what it was, and asks if somebody is there; what is
    likely in the wrong order is not taken unasked. Raises CoachbookError where nobody can be asked."""
    from coachbook.exercises.notation import ENGLISH, MEN, in_words
    from coachbook.workflows.club_settings import what_letters_mean

    meaning = what_letters_mean(letters)
    likely = None if sure else meaning.likely
    order = f"The order is {', '.join(MEN)}"
    if likely and not can_ask():
        raise CoachbookError(
            f"{letters} would mean {in_words(letters)}. Did you mean {likely}?",
            f"{order}. Give --yes if yours is right.",
        )
    typer.echo(f"Letters: {in_words(letters)}.", err=quiet)
    typer.echo(f"Before:  {in_words(before or ENGLISH)}.", err=quiet)
    for line in meaning.careful:
        typer.echo(line, err=quiet)
    if sure or not can_ask():
        return True
    if likely:
        typer.echo(f"{order}: did you mean {likely}?")
    return agrees(Say.LETTERS_RIGHT, "Nothing was changed.", enter_is_yes=likely is None)


def _show(values: Mapping[str, str], *, as_json: bool) -> None:
    if as_json:
        print_json([{"setting": name, "value": values[name], "for": _WHAT_FOR[name]} for name in values])
        return
    rows = [(name, _in_words(name, values[name]), _WHAT_FOR[name]) for name in values]
    show_table(("Setting", "Now", "What it is for"), rows)
    typer.echo()
    typer.echo(f"To change one: coachbook club set --dates {DateStyle.DAY_FIRST}")


def _values(club_name: str, settings: ClubSettings) -> dict[str, str]:
    """As other programs read them, in the order in which they are shown."""
    return {what: club_name if what == "name" else getattr(settings, what) for what in _WHAT_FOR}


def _in_words(name: str, value: str | StrEnum) -> str:
    if name == "dates":
        return f"{value}, such as {DATES_LOOK[DateStyle(value)]}"
    if name == "letters":
        return value or "English (KQRBN)"
    return value or "the one that you are in"
