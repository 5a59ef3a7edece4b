"""A worksheet as it is stored: from it alone, sheet and key can be printed again."""

from dataclasses import dataclass
from datetime import date

from coachbook.errors import CoachbookError
from coachbook.model.exercise import Exercise


@dataclass(frozen=True, slots=True)
class Worksheet:
    """Items in printed order, with the headings of the page.

    `code` is upper-case letters, digits and hyphens (it is also printed as a QR code).
    No student's name is part of it: names are given when printing.
    """

    code: str
    club: str
    unit: str
    unit_title: str
    level: int
    level_title: str
    made_on: date
    seed: int
    items: tuple[Exercise, ...]

    def __post_init__(self) -> None:
        if not self.items:
            raise CoachbookError(f"Worksheet {self.code} has no exercises.")
