"""Who may use the desk: links that let one browser in, once; and the browsers that are in."""

import secrets
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from enum import StrEnum, auto

COOKIE = "coachbook_desk"
_LINK_LASTS = timedelta(hours=1)
_SESSION_LASTS = timedelta(hours=16)
"""As long as a day of chess; a link or a browser of yesterday's gets nowhere."""


class Role(StrEnum):
    """The coach at the laptop that the desk runs on, or a helper with a tablet in the same room."""

    COACH = auto()
    HELPER = auto()


@dataclass(frozen=True, slots=True)
class Session:
    """A browser that is in: its `number` for the coach, and until when."""

    number: int
    role: Role
    until: datetime
    key: str = field(repr=False)
    last_seen: datetime | None = None


@dataclass(frozen=True, slots=True)
class _Link:
    role: Role
    until: datetime


class Sessions:
    """All links and browsers; kept in memory only, so that nothing outlives the desk."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._links: dict[str, _Link] = {}
        self._open: dict[str, Session] = {}
        self._made = 0

    def new_link(self, role: Role, now: datetime) -> str:
        """A key that lets one browser in, once, within the hour."""
        key = secrets.token_urlsafe(24)
        with self._lock:
            self._links[key] = _Link(role, now + _LINK_LASTS)
        return key

    def enter(self, key: str, now: datetime) -> Session | None:
        """The session that a link opens; None if it is unknown, used or too old."""
        with self._lock:
            link = self._links.pop(key, None)
            if link is None or link.until < now:
                return None
            self._made += 1
            made = Session(self._made, link.role, now + _SESSION_LASTS, secrets.token_urlsafe(24))
            self._open[made.key] = made
            return made

    def of(self, key: str, now: datetime) -> Session | None:
        """The session of a browser's cookie; None if there is none."""
        with self._lock:
            found = self._open.get(key)
            if found is None or found.until < now:
                return None
            self._open[key] = replace(found, last_seen=now)
            return found

    def helpers(self, now: datetime) -> tuple[Session, ...]:
        """The tablets that are in, in the order in which they came."""
        with self._lock:
            return tuple(self._helpers(now))

    def end(self, number: int) -> None:
        """Shuts a browser out."""
        with self._lock:
            self._open = {key: each for key, each in self._open.items() if each.number != number}

    def _helpers(self, now: datetime) -> Iterator[Session]:
        for each in self._open.values():
            if each.role is Role.HELPER and each.until >= now:
                yield each
