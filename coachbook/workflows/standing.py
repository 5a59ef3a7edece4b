"""Where students stand, from the facts in the book."""

from datetime import date

from coachbook.club.book import Reading
from coachbook.club.evenings import evenings
from coachbook.model.progress import UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.progress.overview import overview


def progress_of(
    page: Reading, syllabus: Syllabus, on: date, *, student: str | None = None, group: str | None = None
) -> tuple[UnitProgress, ...]:
    """The standing on a day of a student, of the students of a group, or of all: every student by
    name, each with every unit of the syllabus in order. Raises CoachbookError for an unknown one."""
    return overview(syllabus, evenings(page, student=student, group=group, until=on), on)
