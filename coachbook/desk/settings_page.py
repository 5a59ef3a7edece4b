"""The club's name and its own ways with papers, letters and dates; and a link that lets another browser
in."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.sessions import Role
from coachbook.desk.shown import shown
from coachbook.errors import CoachbookError
from coachbook.model.print_options import Notation, PaperSize
from coachbook.model.settings import ClubSettings, DateStyle
from coachbook.wording.paper_words import DATES_LOOK
from coachbook.workflows.club_settings import (
    checked_club_name,
    checked_folder,
    checked_letters,
    keep_settings,
    what_letters_mean,
)

Choice = TypeVar("Choice", bound=StrEnum)

_NOTATIONS = {Notation.FIGURINE: "little pieces", Notation.LETTERS: "letters"}
_WAYS: Mapping[str, Callable[[ClubSettings], str]] = {
    "Paper": lambda ways: ways.paper.value,
    "Moves on papers": lambda ways: _NOTATIONS[ways.notation],
    "Letters for the pieces": lambda ways: ways.letters or "KQRBN, as in English",
    "Folder for papers": lambda ways: ways.folder or "beside the book",
    "Dates": lambda ways: DATES_LOOK[ways.dates],
}


@dataclass(frozen=True, slots=True)
class _Change:
    """What the club's name and its ways would be, and what of them would be new: which, as it was, and as it
    would be."""

    name: str
    ways: ClubSettings
    new: tuple[tuple[str, str, str], ...]


def show(asked: Asked) -> Response:
    """The form, with the ways as they are; of a book that cannot be opened, its care."""
    try:
        book, desk = asked.book_as_kept(), asked.desk
    except CoachbookError:
        return goto("/settings/care" if asked.desk.has_book else "/begin")
    link = desk.sessions.link_of(Role.COACH, desk.now())
    return shown(
        asked,
        "settings.html",
        club=book.club_name,
        ways=book.settings,
        papers=list(PaperSize),
        notations=_NOTATIONS,
        dates=DATES_LOOK,
        link=f"{desk.address}/enter/{link.key}" if link is not None else "",
    )


def choose(asked: Asked) -> Response:
    """Read the form, and go to the page that shows what would change."""
    book = asked.book_as_kept()
    now, name = book.settings, checked_club_name(asked.text("club"))
    letters, folder = asked.text("letters").strip(), asked.text("folder").strip()
    wanted = ClubSettings(
        paper=_chosen(asked, "paper", PaperSize),
        notation=_chosen(asked, "notation", Notation),
        letters=checked_letters(letters) if letters else "",
        folder=checked_folder(Path(folder)) if folder else "",
        dates=_chosen(asked, "dates", DateStyle),
    )
    new = [("Name", book.club_name, name)] if name != book.club_name else []
    new += [(way, told(now), told(wanted)) for way, told in _WAYS.items() if told(now) != told(wanted)]
    return goto(f"/settings/change/{asked.desk.outcomes.add(_Change(name, wanted, tuple(new)))}")


def change(asked: Asked) -> Response:
    """What is, and what would be; which letter would stand for which man."""
    found = _found(asked)
    before = asked.book_as_kept().letters
    letters = found.ways.letters if found.ways.letters != before else ""
    meaning = what_letters_mean(letters) if letters else None
    return shown(
        asked,
        "settings_change.html",
        name=found.name,
        new=found.new,
        meaning=meaning,
        still_figurines=bool(letters) and found.ways.notation is Notation.FIGURINE,
    )


def keep(asked: Asked) -> Response:
    """Keep what was shown."""
    found = _found(asked)
    keep_settings(asked.book_as_kept(), found.ways, found.name)
    return goto("/settings")


def let_browser_in(asked: Asked) -> Response:
    """A new link for another browser of this laptop."""
    asked.desk.sessions.new_link(Role.COACH, asked.desk.now())
    return goto("/settings#browser")


def _found(asked: Asked) -> _Change:
    return asked.outcome("key", _Change)


def _chosen(asked: Asked, name: str, kind: type[Choice]) -> Choice:
    """What was chosen of a list. Raises CoachbookError for what does not stand in it."""
    try:
        return kind(asked.text(name))
    except ValueError as error:
        raise CoachbookError("The page sent what is not in its list.", "Load the page again.") from error


PAGES = (
    Page("/settings", show),
    Page("/settings", choose, "POST"),
    Page("/settings/change/{key}", change),
    Page("/settings/change/{key}", keep, "POST"),
    Page("/settings/browser", let_browser_in, "POST"),
)
