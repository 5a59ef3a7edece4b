"""Where a student stands in a unit, and who needs review: computed, never stored."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from coachbook.errors import CoachbookError


class Standing(StrEnum):
    """A student's standing in a unit."""

    NEW = "new"
    WORKING = "working"
    SECURE = "secure"
    FADING = "fading"


@dataclass(frozen=True, slots=True)
class Evening:
    """One student's answers in one unit on one evening: `right` of `tried`, slips with repeats.

    `tried` is at least 1 and counts every marked answer, blank ones too.
    """

    on: date
    right: int
    tried: int
    slips: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.right <= self.tried or self.tried == 0:
            raise CoachbookError(f"{self.right} of {self.tried} answers cannot be right ({self.on}).")


@dataclass(frozen=True, slots=True)
class UnitProgress:
    """A student's standing in a unit with its evidence.

    `recall` is the predicted share (0 to 1) of recall on the day asked about, `due_on`
    the day on which it would drop below the target; both None without evidence.
    """

    student: str
    unit: str
    standing: Standing
    evenings: tuple[Evening, ...]
    recall: float | None
    due_on: date | None


@dataclass(frozen=True, slots=True)
class ReviewAdvice:
    """One student who needs review in one unit, with the reason in words."""

    student: str
    unit: str
    unit_title: str
    urgency: float
    due_on: date
    reason: str
