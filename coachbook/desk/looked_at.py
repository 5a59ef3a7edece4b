"""What the coach has looked at and may keep: remembered under a number, so that just that is kept."""

import threading
from typing import TypeVar
from uuid import uuid4

from coachbook.errors import CoachbookError

Seen = TypeVar("Seen")

_MOST = 20
"""As many are remembered; the pages of older ones were left long ago."""


class LookedAt:
    """Values of any kind, kept in memory only."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._values: dict[str, object] = {}

    def add(self, value: object) -> str:
        """The number under which a value is remembered."""
        key = uuid4().hex
        with self._lock:
            self._values[key] = value
            self._values = dict(list(self._values.items())[-_MOST:])
        return key

    def get(self, key: object, kind: type[Seen]) -> Seen:
        """The value under a number. Raises CoachbookError if there is none of this kind."""
        with self._lock:
            value = self._values.get(str(key))
        if not isinstance(value, kind):
            raise CoachbookError("This was looked at a while ago.", "Look at it again, then keep it.")
        return value
