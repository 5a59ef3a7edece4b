"""What a page is asked: by whom, about what, with which form or upload; and how it answers."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from tempfile import gettempdir
from threading import get_ident

from starlette.responses import RedirectResponse, Response

from coachbook.club.book import Book
from coachbook.club.touches import check_code
from coachbook.desk.jobs import Jobs
from coachbook.desk.live import Live
from coachbook.desk.remembered import LaidOut, Outcome, Outcomes
from coachbook.desk.sessions import Role, Session, Sessions
from coachbook.errors import CoachbookError
from coachbook.files.reading import usual_book
from coachbook.files.unfinished import unfinished_folder
from coachbook.model.dates import Towards, read_day
from coachbook.model.problem import read_date
from coachbook.model.settings import ClubSettings
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.club_settings import opened_for_pages
from coachbook.workflows.kept_once import Touch
from coachbook.workflows.members import open_club
from coachbook.workflows.standings import load_syllabus

_MOST_FILES = 200


class Made:
    """The files that were just made, by the number under which a browser may have them."""

    def __init__(self) -> None:
        self._files = Outcomes(_MOST_FILES)

    def add(self, path: Path) -> str:
        """The address of a file."""
        return f"/made/{self._files.add(path)}/{path.suffix.lstrip('.')}"

    def get(self, key: str) -> Path | None:
        """The file with this number; None if it was not just made."""
        return self._files.find(key, Path)


@dataclass(frozen=True, slots=True)
class Desk:
    """What all pages share: where the book and the syllabus are (None: the usual ones), the clock, who is in,
    and what goes on. `address` is what the browser's own address begins with, and `room` that for other
    devices, "" if none may come in."""

    book: Path | None
    syllabus_folder: Path | None
    now: Callable[[], datetime]
    today: Callable[[], date]
    address: str
    room: str = ""
    sessions: Sessions = field(default_factory=Sessions)
    jobs: Jobs = field(default_factory=Jobs)
    live: Live = field(default_factory=Live)
    made: Made = field(default_factory=Made)
    outcomes: Outcomes = field(default_factory=Outcomes)
    laid_out: LaidOut = field(default_factory=LaidOut)
    _read: dict[str, Syllabus] = field(default_factory=dict)

    @property
    def has_book(self) -> bool:
        """Whether there is a book at its place."""
        return (self.book or usual_book()).exists()

    @property
    def syllabus(self) -> Syllabus:
        """The syllabus, read once. Raises CoachbookError if it has a mistake."""
        if "syllabus" not in self._read:
            self._read["syllabus"] = load_syllabus(self.syllabus_folder)
        return self._read["syllabus"]


@dataclass(frozen=True, slots=True)
class Upload:
    """A file that came with a form."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Asked:
    """One request: `values` are what stands in its address, `form` what was typed, both as text.

    `is_part` says that the page's own script asks, which puts a part of the page in its place.
    """

    desk: Desk
    session: Session
    path: str
    values: Mapping[str, object]
    query: Mapping[str, str]
    form: Mapping[str, Sequence[str]] = field(default_factory=dict)
    uploads: Mapping[str, Upload] = field(default_factory=dict)
    is_part: bool = False
    _opened: dict[int, Book] = field(default_factory=dict, repr=False)

    @property
    def is_coach(self) -> bool:
        return self.session.role is Role.COACH

    @property
    def is_board(self) -> bool:
        return self.session.role is Role.BOARD

    @property
    def syllabus(self) -> Syllabus:
        return self.desk.syllabus

    @property
    def today(self) -> date:
        return self.desk.today()

    def book(self) -> Book:
        """The club's book, opened once for this request in each of its threads: how days are shown holds for
        the thread in which it is opened. Raises CoachbookError if there is none."""
        thread = get_ident()
        if thread not in self._opened:
            self._opened[thread] = opened_for_pages(self.desk.book)
        return self._opened[thread]

    def book_as_kept(self) -> Book:
        """The same, with the club's own ways as they stand in it. Raises the same."""
        return open_club(self.desk.book)

    def text(self, name: str) -> str:
        """What was typed in a field; "" if nothing was, or there is no such field."""
        return (self.all(name) or [""])[0]

    def all(self, name: str) -> Sequence[str]:
        """Everything that was chosen under one name."""
        return self.form.get(name, ())

    def number(self, name: str) -> int:
        """A whole number in the address or the form. Raises CoachbookError for anything else."""
        given = self.values.get(name)
        found = str(given) if given is not None else self.text(name)
        return -number_sent(found[1:]) if found.startswith("-") else number_sent(found)

    def day(self, name: str) -> date:
        """A day in the address or the form, in ISO 8601. Raises CoachbookError for anything else."""
        given = self.values.get(name)
        return read_date(str(given) if given is not None else self.text(name))

    def typed_day(self, name: str) -> date:
        """A day as people write it, or as a browser's own field for days sends it. Raises CoachbookError for
        what is none."""
        return read_day(self.text(name), self.today, Towards.AHEAD)

    def touch(self) -> Touch:
        """The number of the touch that was sent, and when it came."""
        return Touch(self.text("touch"), self.desk.now())

    def touch_number(self) -> str:
        """The number alone, for the address of what comes of it. Raises CoachbookError if it is none."""
        number = self.text("touch")
        check_code(number)
        return number

    def outcome(self, name: str, kind: type[Outcome]) -> Outcome:
        """What is remembered under the number that the address has by this name. Raises CoachbookError if it
        no longer is."""
        return self.desk.outcomes.get(str(self.values[name]), kind)

    def outcome_to_show(self, name: str, kind: type[Outcome]) -> Outcome:
        """The same for a page that shows it: from now on days are shown as the club writes them. Raises the
        same, and CoachbookError if there is no book."""
        self.book()
        return self.outcome(name, kind)


def number_sent(text: str) -> int:
    """A whole number that a page sent as text. Raises CoachbookError for anything else."""
    if not re.fullmatch("[0-9]{1,9}", text):
        raise CoachbookError("The page sent no number where one is needed.", "Load the page again.")
    return int(text)


Handler = Callable[[Asked], Response]
"""A page, or what a button does: it calls one workflow, and shows what comes of it."""


@dataclass(frozen=True, slots=True)
class Page:
    """Where a handler answers, and what it may be asked for. A page that is `for_helpers` may be seen on a
    helper's tablet, too, and one that is `for_boards` on those on which students play."""

    path: str
    handler: Handler
    method: str = "GET"
    for_helpers: bool = False
    for_boards: bool = False


def goto(path: str) -> Response:
    """Send the browser to another page of the desk, as after every form."""
    return RedirectResponse(path, 303)


def downloaded(content: bytes, name: str, kind: str, *, shown: bool = False) -> Response:
    """A file for the browser to save, or, with `shown`, to show. The name is of plain letters."""
    how = "inline" if shown else "attachment"
    return Response(content, media_type=kind, headers={"content-disposition": f'{how}; filename="{name}"'})


_NAME = "table.csv"
"""Not the one that the browser sent: that could be anything."""


@contextmanager
def as_file(content: bytes) -> Iterator[Path]:
    """An upload as a file, for what reads files, as long as the block lasts. Raises CoachbookError if it
    cannot be put on the disk."""
    with ExitStack() as until_read:
        try:
            path = until_read.enter_context(unfinished_folder(Path(gettempdir()))) / _NAME
            path.write_bytes(content)
        except OSError as error:
            reason = error.strerror or str(error)
            raise CoachbookError(f"The file could not be put aside ({reason}).", "Make room.") from error
        yield path


def ways_of_club(asked: Asked) -> ClubSettings:
    """The club's own ways; the usual ones before there is a club."""
    return asked.book().settings if asked.desk.has_book else ClubSettings()
