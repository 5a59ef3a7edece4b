"""Sheets that the coach has laid beside an evening's own, to mark them on its page: kept in memory only. What
is marked is in the book."""

import threading
from datetime import date


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
