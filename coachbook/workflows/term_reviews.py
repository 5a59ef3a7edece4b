"""Who is to review what in a group's term, as of what is known on a day."""

from datetime import date, timedelta
from functools import lru_cache

from coachbook.club.book import Reading
from coachbook.errors import CoachbookError
from coachbook.model.progress import Evening, UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import TermPlan, TermReviews
from coachbook.progress.review import due_on, remember
from coachbook.term.reviews import plan_reviews
from coachbook.workflows.groups import planned_sessions
from coachbook.workflows.standing import progress_of


def reviews_on(page: Reading, syllabus: Syllabus, group: str, on: date) -> TermReviews:
    """Who in a group is to review what on an evening, the most urgent first, and who finds no room.

    Counts what happened before the evening, so that it says the same when the evening is over. Empty
    if the group's plans have nothing for that evening. Raises CoachbookError for an unknown group.
    """
    sessions = [session for session in planned_sessions(page, group) if session.on >= on]
    if not sessions or sessions[0].on != on:
        return TermReviews()
    until = sessions[1].on if len(sessions) > 1 else None
    return plan_reviews(sessions[:1], standing_before(page, syllabus, group, on), due_after, until)


def reviews_ahead(page: Reading, syllabus: Syllabus, group: str, plan: TermPlan, first: date) -> TermReviews:
    """The same for all evenings of a plan from `first` on, as far as can be told before it."""
    sessions = [session for session in plan.sessions if session.on >= first]
    return plan_reviews(sessions, standing_before(page, syllabus, group, first), due_after)


def standing_before(page: Reading, syllabus: Syllabus, group: str, on: date) -> tuple[UnitProgress, ...]:
    """Where the students of a group stand when an evening begins. Raises CoachbookError."""
    return progress_of(page, syllabus, on - timedelta(days=1), group=group)


@lru_cache(maxsize=10_000)
def due_after(evenings: tuple[Evening, ...], dates: tuple[date, ...]) -> date:
    """When recall falls below the target after these evenings and practice that goes well on later
    dates. There must be one of either. Raises CoachbookError if two are on one date."""
    memory = remember((*evenings, *(Evening(on, right=1, tried=1) for on in dates)))
    if memory is None:
        raise CoachbookError("Nothing was practised, so nothing can be forgotten.")
    return due_on(memory)
