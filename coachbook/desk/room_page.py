"""Tablets in the room: the codes that let them in, a helper's one by one and all that are boards; and which
are in."""

from dataclasses import dataclass
from datetime import date
from functools import partial

from markupsafe import Markup
from starlette.responses import Response

from coachbook.desk.asked import Asked, Desk, Page, goto
from coachbook.desk.jobs import Progress
from coachbook.desk.sessions import Role, Session
from coachbook.desk.shown import part, shown
from coachbook.errors import CoachbookError
from coachbook.paper.board_svg import qr_svg
from coachbook.wording.counting import capitalised
from coachbook.wording.people import board_in_words, came_in, device_in_words
from coachbook.workflows.evening_view import nearest_evening
from coachbook.workflows.playing_at_boards import get_boards_ready

_ABOUT = "room"
_PAGES = {Role.HELPER: "/", Role.BOARD: "/seat"}
"""What each kind of tablet is shown first."""


@dataclass(frozen=True, slots=True)
class _Tablet:
    """A tablet that is in: which one, for which evening, since when and when last seen, by the clock here."""

    number: int
    name: str
    on: date | None
    since: str
    last_seen: str


@dataclass(frozen=True, slots=True)
class _Door:
    """How tablets of a role come in, "" for a code or address where there is none now, and which are in."""

    role: Role
    code: Markup
    address: str
    on: date | None
    tablets: tuple[_Tablet, ...]


def show(asked: Asked) -> Response:
    """The codes, if there are any, and the tablets that are in."""
    return shown(asked, "room.html", about=_ABOUT, devices=_devices(asked.desk))


def let_in(asked: Asked) -> Response:
    """A new code, for the evening that is nearest now: one that lets one helper's tablet in, or all
    boards."""
    if not asked.desk.room:
        raise CoachbookError("The desk was not opened for the room.", "Close it, and start it for the room.")
    role = _role(asked)
    on = nearest_evening(asked.book(), asked.today)
    if on is None:
        raise CoachbookError("There is no evening that a tablet could show.", "Plan a term first.")
    asked.desk.sessions.new_link(role, asked.desk.now(), on, _PAGES[role])
    if role is Role.BOARD:
        asked.desk.jobs.begin("Getting the boards ready", "/room", partial(_get_ready, asked, on))
    return goto("/room")


def _get_ready(asked: Asked, on: date, _: Progress) -> str:
    get_boards_ready(asked.book_as_kept(), asked.syllabus, on, asked.desk.now())
    return "/room"


def take_away(asked: Asked) -> Response:
    """No more tablets come in by a code that was shown."""
    asked.desk.sessions.withdraw(_role(asked))
    return goto("/room")


def end(asked: Asked) -> Response:
    """Shuts a tablet out."""
    number, now = asked.number("number"), asked.desk.now()
    if number not in {each.number for role in _PAGES for each in asked.desk.sessions.devices(role, now)}:
        raise CoachbookError("This tablet is no longer in.", "Load the page again.")
    asked.desk.sessions.end(number)
    return goto("/room")


def end_boards(asked: Asked) -> Response:
    """Shuts all boards out, and lets no more of them in."""
    asked.desk.sessions.withdraw(Role.BOARD)
    for each in asked.desk.sessions.devices(Role.BOARD, asked.desk.now()):
        asked.desk.sessions.end(each.number)
    return goto("/room")


def tell_devices(desk: Desk, came: Session) -> None:
    """Show on the coach's page which tablets are in, after one came."""
    desk.live.tell(_ABOUT, "devices", _devices(desk), came.number, came_in(_name(came)))


def _devices(desk: Desk) -> Markup:
    doors = [_door(desk, role) for role in _PAGES]
    return Markup(part("room_devices.html", "devices", doors))  # noqa: S704 - escaped


def _door(desk: Desk, role: Role) -> _Door:
    now = desk.now()
    link = desk.sessions.link_of(role, now) if desk.room else None
    address = f"{desk.room}/enter/{link.key}" if link is not None else ""
    code = Markup(qr_svg(address, "A code for the tablet's camera")) if address else Markup()  # noqa: S704 - escaped
    on = link.on if link is not None else None
    return _Door(role, code, address, on, tuple(map(_tablet, desk.sessions.devices(role, now))))


def _tablet(session: Session) -> _Tablet:
    since, seen = (f"{at.astimezone():%H:%M}" for at in (session.since, session.last_seen))
    return _Tablet(session.number, capitalised(_name(session)), session.on, since, seen)


def _name(session: Session) -> str:
    is_board = session.role is Role.BOARD
    return board_in_words(session.nth) if is_board else device_in_words(session.tablet)


def _role(asked: Asked) -> Role:
    return Role.BOARD if asked.text("role") == Role.BOARD else Role.HELPER


PAGES = (
    Page("/room", show),
    Page("/room/link", let_in, "POST"),
    Page("/room/no-link", take_away, "POST"),
    Page("/room/end/{number:int}", end, "POST"),
    Page("/room/end-boards", end_boards, "POST"),
)
