"""What a coach asks for when making worksheets."""

from dataclasses import dataclass
from datetime import date

from coachbook.errors import CoachbookError
from coachbook.model.exercise import Exercise
from coachbook.model.syllabus import Unit

_USUAL_REVIEW = 2


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """What is asked for. `seed` decides the choice of positions; the same seed on the same
    book gives the same sheets. `personal` gives each student a sheet of their own; `forms` gives
    the students two parallel sheets, A and B in turn. `review` is the most items of a student's
    own sheet that are for review; if it is None, two. `own` are exercises from the coach's own
    positions: they come first, and fresh ones fill up to `items`. Raises CoachbookError for what
    can't be had."""

    unit: Unit
    students: tuple[str, ...]
    items: int
    seed: int
    made_on: date
    personal: bool = False
    forms: bool = False
    review: int | None = None
    own: tuple[Exercise, ...] = ()

    def __post_init__(self) -> None:
        review = self.review or 0
        if not 1 <= self.items <= 24:
            raise CoachbookError(f"A sheet cannot have {self.items} exercises.", "Ask for 1 to 24.")
        if review < 0:
            raise CoachbookError(f"A sheet cannot have {review} items for review.", "Ask for 0 or more.")
        if self.own and (self.forms or review):
            raise CoachbookError("Own positions make one sheet.", "Leave --forms and --review out.")
        if len(self.own) > self.items:
            raise CoachbookError(
                f"{len(self.own)} own positions don't fit among {self.items} exercises.",
                "Ask for more --items.",
            )
        if self.forms and self.personal:
            raise CoachbookError(
                "Forms are for sharing, and sheets of their own are not.", "Give --forms or --each, not both."
            )
        if self.forms and len(self.students) < 2:
            raise CoachbookError("Two forms are for two students or more.", "Leave --forms out.")
        if review and self.is_shared:
            raise CoachbookError(
                "A sheet that students share reviews nobody's own units.", "Give --each, too."
            )

    @property
    def is_shared(self) -> bool:
        return len(self.students) > 1 and not self.personal

    @property
    def most_reviewed(self) -> int:
        """How many items of a sheet may be for review: one at least is new."""
        usual = 0 if self.is_shared or self.own else _USUAL_REVIEW
        return min(usual if self.review is None else self.review, self.items - 1)
