"""What the desk remembers while it runs: what came of a button, what was looked at before it is kept, and
which sheets the coach has laid beside an evening's own.

What came of a button is known by the number of the touch that it came of, by the path of its page, or by a
number of its own, so that a button that was pressed twice leads to the same page and does nothing again.
"""

import threading
from collections.abc import Callable
from datetime import date
from typing import TypeVar
from uuid import uuid4

from coachbook.errors import CoachbookError

Outcome = TypeVar("Outcome")

_MOST = 100
"""The pages of older ones were left long ago."""


class Outcomes:
    """The newest outcomes of a desk, of any kind."""

    def __init__(self, most: int = _MOST) -> None:
        self._lock, self._most = threading.Lock(), most
        self._outcomes: dict[str, object] = {}

    def add(self, outcome: object) -> str:
        """Remember an outcome: the number of its own."""
        return self.keep(uuid4().hex, outcome)

    def keep(self, key: str, outcome: object) -> str:
        """Remember an outcome under a key, which is returned."""
        with self._lock:
            self._outcomes.pop(key, None)
            self._outcomes[key] = outcome
            self._outcomes = dict(list(self._outcomes.items())[-self._most :])
        return key

    def once(self, key: str, kind: type[Outcome], make: Callable[[], Outcome]) -> None:
        """Remember what `make` makes under a key, unless an outcome of this kind is there already."""
        if self.find(key, kind) is None:
            self.keep(key, make())

    def find(self, key: str, kind: type[Outcome]) -> Outcome | None:
        """The outcome of this key and kind; None if there is none."""
        with self._lock:
            found = self._outcomes.get(key)
        return found if isinstance(found, kind) else None

    def forget_all(self) -> None:
        """Remember none any more, as when a name may no longer be told."""
        with self._lock:
            self._outcomes = {}

    def get(self, key: str, kind: type[Outcome]) -> Outcome:
        """The same. Raises CoachbookError if there is none."""
        found = self.find(key, kind)
        if found is None:
            raise CoachbookError("This was shown a while ago.", "Look at it again.")
        return found


class LaidOut:
    """The codes of such sheets, by group and day, in the order in which they were laid there."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._sheets: dict[tuple[int, date], tuple[str, ...]] = {}

    def lay(self, group: int, on: date, sheet: str) -> None:
        """Lay a sheet beside those of a group's evening, as long as the desk runs."""
        with self._lock:
            there = self._sheets.get((group, on), ())
            self._sheets[group, on] = tuple(dict.fromkeys((*there, sheet)))

    def of(self, group: int, on: date) -> tuple[str, ...]:
        """The sheets that were laid beside those of a group's evening."""
        with self._lock:
            return self._sheets.get((group, on), ())
