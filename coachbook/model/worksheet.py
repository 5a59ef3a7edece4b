"""A worksheet as it is stored: from it alone, sheet and key can be printed again."""

from dataclasses import dataclass
from datetime import date

from coachbook.errors import CoachbookError
from coachbook.model.exercise import Exercise


@dataclass(frozen=True, slots=True)
class Worksheet:
    """Items in printed order, with the headings of the page.

    `code` is upper-case letters, digits and hyphens (it is also printed as a QR code).
    No student's name is part of it: names are given when printing. An item whose unit is not
    the sheet's is there for review. `form` tells parallel sheets apart: "A", "B", or "" for a
    sheet that has none beside it; the code of a form ends with it (QB-4K7M2-A). `titles` are the
    codes and titles of the units on it, where the syllabus had them when it was made.
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
    form: str = ""
    titles: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        if not self.items:
            raise CoachbookError(f"Worksheet {self.code} has no exercises.")
        if self.form and not self.code.endswith(f"-{self.form}"):
            raise CoachbookError(f"The code {self.code} is not of form {self.form}.")

    @property
    def shared_code(self) -> str:
        """The code without the form: the same for parallel sheets."""
        return self.code.removesuffix(f"-{self.form}") if self.form else self.code

    def title_of(self, unit: str) -> str:
        """The title of a unit on the sheet, by its code; the words of the code if it was made without."""
        return dict(self.titles).get(unit, self.unit_title if unit == self.unit else unit.replace("-", " "))
