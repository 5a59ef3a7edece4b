"""Tablets in the room: a code that lets one of them in, and which are in."""

from dataclasses import dataclass
from datetime import date
from typing import Self

from markupsafe import Markup
from starlette.responses import Response

from coachbook.desk.asked import Asked, Desk, Page, goto
from coachbook.desk.sessions import Role, Session
from coachbook.desk.shown import part, shown
from coachbook.errors import CoachbookError
from coachbook.paper.qr_svg import qr_svg
from coachbook.wording.counting import capitalised
from coachbook.wording.people import came_in, device_in_words
from coachbook.workflows.evening_view import nearest_evening

_ABOUT = "room"


def show(asked: Asked) -> Response:
    """The code, if there is one, and the tablets that are in."""
    return shown(asked, "room.html", about=_ABOUT, devices=_devices(asked.desk))


def let_in(asked: Asked) -> Response:
    """A new code. It lets one tablet in, to the evening that is nearest now."""
    if not asked.desk.room:
        raise CoachbookError("The desk was not opened for the room.", "Close it, and start it for the room.")
    on = nearest_evening(asked.book(), asked.today)
    if on is None:
        raise CoachbookError("There is no evening that a tablet could show.", "Plan a term first.")
    asked.desk.sessions.new_link(Role.HELPER, asked.desk.now(), on)
    return goto("/room")


def end(asked: Asked) -> Response:
    """Shuts a tablet out."""
    number = asked.number("number")
    if number not in {each.number for each in asked.desk.sessions.helpers(asked.desk.now())}:
        raise CoachbookError("This tablet is no longer in.", "Load the page again.")
    asked.desk.sessions.end(number)
    return goto("/room")


def tell_devices(desk: Desk, came: Session) -> None:
    """Show on the coach's page which tablets are in, after one came."""
    desk.live.tell(_ABOUT, "devices", _devices(desk), came.number, came_in(came.tablet))


def _devices(desk: Desk) -> Markup:
    now = desk.now()
    link = desk.sessions.link_of(Role.HELPER, now) if desk.room else None
    address = f"{desk.room}/enter/{link.key}" if link is not None else ""
    code = Markup(qr_svg(address, "A code for the tablet's camera")) if address else ""  # noqa: S704 - escaped
    on = link.on if link is not None else None
    tablets = [_Tablet.of(each) for each in desk.sessions.helpers(now)]
    return Markup(part("room_devices.html", "devices", code, address, on, tablets))  # noqa: S704 - escaped


@dataclass(frozen=True, slots=True)
class _Tablet:
    """A tablet that is in: which one, for which evening, since when and when last seen, by the clock here."""

    number: int
    name: str
    on: date | None
    since: str
    last_seen: str

    @classmethod
    def of(cls, session: Session) -> Self:
        """As the page shows it."""
        name = capitalised(device_in_words(session.tablet))
        since, seen = (f"{at.astimezone():%H:%M}" for at in (session.since, session.last_seen))
        return cls(session.number, name, session.on, since, seen)


PAGES = (
    Page("/room", show),
    Page("/room/link", let_in, "POST"),
    Page("/room/end/{number:int}", end, "POST"),
)
