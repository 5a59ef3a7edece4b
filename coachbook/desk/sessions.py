"""Who may use the desk: links that let one browser in, once; and the browsers that are in."""

import secrets
import threading
from collections.abc import Collection
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from enum import StrEnum, auto

COOKIE = "coachbook_desk"
_LINK_LASTS = timedelta(hours=1)
_SESSION_LASTS = timedelta(hours=16)
"""As long as a day of chess; a link or a browser of yesterday's gets nowhere."""


class Role(StrEnum):
    """The coach at the laptop that the desk runs on, a helper with a tablet in the same room, or a tablet
    that is a board on which students play."""

    COACH = auto()
    HELPER = auto()
    BOARD = auto()


@dataclass(frozen=True, slots=True)
class Session:
    """A browser that is in. `number` is its own, `nth` counts those of its role: tablet 1, tablet 2. A helper
    and a board see the evening of the day `on`, and no other. `page` is the one that is shown first."""

    number: int
    nth: int
    role: Role
    on: date | None
    since: datetime
    key: str = field(repr=False)
    last_seen: datetime
    page: str = "/"

    @property
    def tablet(self) -> int:
        """Which helper's tablet it is; 0 for any other browser."""
        return self.nth if self.role is Role.HELPER else 0

    def is_open(self, now: datetime) -> bool:
        return now <= self.since + _SESSION_LASTS


@dataclass(frozen=True, slots=True)
class Link:
    """What lets one browser in, once, or a board's any number of them, `until` a moment, and leads to a
    `page`."""

    key: str = field(repr=False)
    role: Role
    on: date | None
    until: datetime
    page: str = "/"


class Sessions:
    """All links and browsers; kept in memory only, so that nothing outlives the desk."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._links: dict[str, Link] = {}
        self._open: dict[str, Session] = {}
        self._made = dict.fromkeys(Role, 0)

    def new_link(self, role: Role, now: datetime, on: date | None = None, page: str = "/") -> str:
        """A key that lets one browser in, once, within the hour, and leads it to a page; a helper's for the
        evening of one day. One for boards lets in all that come that day. An earlier link for the same role
        lets nobody in any more."""
        lasts = _SESSION_LASTS if role is Role.BOARD else _LINK_LASTS
        link = Link(secrets.token_urlsafe(24), role, on, now + lasts, page)
        self.withdraw(role)
        with self._lock:
            self._links[link.key] = link
        return link.key

    def withdraw(self, role: Role) -> None:
        """Lets nobody in any more by the link for a role."""
        with self._lock:
            self._links = {key: each for key, each in self._links.items() if each.role is not role}

    def link_of(self, role: Role, now: datetime) -> Link | None:
        """The link for a role that can still be used; None if there is none."""
        with self._lock:
            found = (each for each in self._links.values() if each.role is role and each.until >= now)
            return next(found, None)

    def enter(self, key: str, now: datetime, roles: Collection[Role] = tuple(Role)) -> Session | None:
        """The session that a link opens; None if it is unknown, used, too old, or for none of the `roles`
        that may come in there. A link that lets one in is used up in any case."""
        with self._lock:
            link = self._links.get(key)
            if link is not None and link.role is not Role.BOARD:
                del self._links[key]
            if link is None or link.until < now or link.role not in roles:
                return None
            self._made[link.role] += 1
            number, nth = sum(self._made.values()), self._made[link.role]
            made = Session(number, nth, link.role, link.on, now, secrets.token_urlsafe(24), now, link.page)
            self._open[made.key] = made
            return made

    def of(self, key: str, now: datetime) -> Session | None:
        """The session of a browser's cookie; None if there is none."""
        with self._lock:
            found = self._open.get(key)
            if found is None or not found.is_open(now):
                return None
            seen = self._open[key] = replace(found, last_seen=now)
            return seen

    def devices(self, role: Role, now: datetime) -> tuple[Session, ...]:
        """The browsers of a role that are in, in the order in which they came."""
        with self._lock:
            return tuple(each for each in self._open.values() if each.role is role and each.is_open(now))

    def end(self, number: int) -> None:
        """Shuts a browser out."""
        with self._lock:
            self._open = {key: each for key, each in self._open.items() if each.number != number}
