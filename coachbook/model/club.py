"""Who is in the club, and what happened: the facts that the book keeps.

The least that does the job: a name to call the student by, and groups. No birth
dates, addresses, photos or contact details.
"""

from dataclasses import dataclass
from datetime import date, datetime

from coachbook.errors import CoachbookError


@dataclass(frozen=True, slots=True)
class Student:
    """A student. `id` is the book's own number; names are unique in a book."""

    id: int
    name: str
    groups: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Group:
    """A teaching group and how many students it has."""

    name: str
    size: int


@dataclass(frozen=True, slots=True)
class Attendance:
    """Whether a student was there on an evening (local date)."""

    student: str
    on: date
    present: bool


@dataclass(frozen=True, slots=True)
class ItemResult:
    """One marked answer.

    `item` counts from 1 as printed, `written` is what the student wrote, as typed;
    `slip` is a short code from `SLIPS` or "" when right.
    """

    student: str
    sheet: str
    unit: str
    item: int
    on: date
    written: str
    right: bool
    slip: str = ""

    def __post_init__(self) -> None:
        if self.right and self.slip:
            raise CoachbookError(f"A right answer has no slip ({self.sheet}, item {self.item}).")


@dataclass(frozen=True, slots=True)
class SavedSheet:
    """A worksheet in a list: when it was made, how many items it has, and who was given it."""

    code: str
    unit: str
    made_on: date
    items: int
    students: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One thing the coach logged (and may take back): what, in words, and when (aware UTC)."""

    id: int
    what: str
    logged_at: datetime
