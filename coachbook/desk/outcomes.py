"""What came of a button, or what would come of it: remembered for the page that shows it, and kept nowhere.

Each is known by the number of the touch that it came of, so that a button that was pressed twice leads to the
same page and does nothing again.
"""

import re
import threading
from typing import TypeVar

from coachbook.errors import CoachbookError

Outcome = TypeVar("Outcome")

_MOST = 100
"""The pages of older ones were left long ago."""
_NUMBER = re.compile("[0-9a-f-]{8,64}")


class Outcomes:
    """The outcomes of a desk, by their numbers."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._outcomes: dict[str, object] = {}

    def keep(self, number: str, outcome: object) -> None:
        """Remember an outcome. Raises CoachbookError for a number that is none."""
        _check(number)
        with self._lock:
            self._outcomes[number] = outcome
            self._outcomes = dict(list(self._outcomes.items())[-_MOST:])

    def find(self, number: str, kind: type[Outcome]) -> Outcome | None:
        """The outcome of this number and kind; None if there is none yet. Raises CoachbookError for a number
        that is none."""
        _check(number)
        with self._lock:
            found = self._outcomes.get(number)
        return found if isinstance(found, kind) else None

    def get(self, number: str, kind: type[Outcome]) -> Outcome:
        """The same. Raises CoachbookError if there is none."""
        found = self.find(number, kind)
        if found is None:
            raise CoachbookError("This was shown a while ago.", "Go on from the first page.")
        return found


def _check(number: str) -> None:
    if not _NUMBER.fullmatch(number):
        raise CoachbookError("The page sent a touch without its number.", "Load the page again.")
