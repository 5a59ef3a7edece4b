"""Who needs review, and why."""

from datetime import date

from coachbook.club.book import Book
from coachbook.club.evenings import evenings
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.progress.advice import review_advice


def who_needs_review(
    book: Book, syllabus: Syllabus, group: str | None, on: date, due_by: date | None = None
) -> tuple[ReviewAdvice, ...]:
    """The students of a group (or of the club) who need review on a day, or will by a later one, most
    urgent first. Raises CoachbookError for an unknown group."""
    with book.reading() as page:
        return review_advice(syllabus, evenings(page, group=group, until=on), on, due_by=due_by or on)
