"""Who needs review, and why."""

from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book, Reading
from coachbook.club.evenings import evenings
from coachbook.club.students import list_groups
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.progress.advice import review_advice
from coachbook.workflows.groups import named_group, planned_sessions


@dataclass(frozen=True, slots=True)
class Reviews:
    """What is due by a day, most urgent first; `is_planned` if that is the day of the next evening."""

    due_by: date
    is_planned: bool
    advice: tuple[ReviewAdvice, ...]


def reviews_due(book: Book, syllabus: Syllabus, group: str | None, on: date) -> Reviews:
    """The students of a group (or of the club) who need review on a day, or will by the next evening that
    a term plan has: what is not given out until then comes too late. Of a club it is the first of any
    of its groups. Raises CoachbookError for an unknown group."""
    with book.reading() as page:
        names = (
            [each.name for each in list_groups(page)] if group is None else [named_group(page, group).name]
        )
        next_on = _next_evening(page, names, on)
    due_by = next_on or on
    advice = who_needs_review(book, syllabus, group, on, due_by)
    return Reviews(due_by, next_on is not None, advice)


def who_needs_review(
    book: Book, syllabus: Syllabus, group: str | None, on: date, due_by: date | None = None
) -> tuple[ReviewAdvice, ...]:
    """The students of a group (or of the club) who need review on a day, or will by a later one, most
    urgent first. Raises CoachbookError for an unknown group."""
    with book.reading() as page:
        return review_advice(syllabus, evenings(page, group=group, until=on), on, due_by=due_by or on)


def _next_evening(page: Reading, groups: list[str], on: date) -> date | None:
    """The first evening after a day that is in the plans of one of the groups."""
    days = (session.on for group in groups for session in planned_sessions(page, group))
    return min((day for day in days if day > on), default=None)
