"""Planning the terms of groups, and keeping the plans in the book."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.students import list_students
from coachbook.club.terms import current_term, save_term
from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import Closure, TermPlan, TermReviews
from coachbook.paper.options import PaperOptions
from coachbook.paper.room import write_room
from coachbook.paper.term import write_term
from coachbook.term.calendar import meeting_dates, zone_named
from coachbook.term.replan import succeed
from coachbook.term.request import TermRequest, known_units
from coachbook.term.reviews import with_review_words
from coachbook.term.room import plan_room
from coachbook.workflows.groups import OR_ALL, first_open, named_group, named_groups, term_in_force
from coachbook.workflows.standing import progress_of
from coachbook.workflows.term_reviews import reviews_ahead

_USUAL_PAPER = PaperOptions()


@dataclass(frozen=True, slots=True)
class TermWish:
    """What a coach asks for: the days, the minutes of an evening, and the level to be reached by the end.

    `skip` are meetings that fall out, `closures` days without one. `at` is when an evening starts
    ("18:30"), `zone` by which clock ("Europe/Dublin"); each is "" if it was not told.
    """

    starts_on: date
    ends_on: date
    weekdays: tuple[int, ...]
    minutes: int
    skip: tuple[date, ...] = ()
    closures: tuple[Closure, ...] = ()
    goal: int | None = None
    at: str = ""
    zone: str = ""


@dataclass(frozen=True, slots=True)
class PlannedTerm:
    """A group's plan, and who of its `students` is to review what: computed, and never stored."""

    group: str
    plan: TermPlan
    reviews: TermReviews
    students: tuple[str, ...]


def plan_terms(
    book: Book,
    syllabus: Syllabus,
    groups: Sequence[str],
    wish: TermWish,
    *,
    wall: Path | None = None,
    options: PaperOptions = _USUAL_PAPER,
) -> tuple[PlannedTerm, ...]:
    """Plan the terms of groups (of the only one, if none is named) and save them. Raises CoachbookError.

    Several groups share a room and its coach. Units in which at least half of a group is secure on the
    first day, or was and is fading, are taken as known. `wall` is where to write the plan as a PDF
    too; without the PDF no plan is saved.
    """
    dates = meeting_dates(wish.starts_on, wish.ends_on, wish.weekdays, wish.skip, wish.closures)
    if wish.zone:
        zone_named(wish.zone)
        if not wish.at:
            raise CoachbookError("A time zone alone says nothing.", "Say when an evening starts, too.")
    with book.writing() as page:
        names = [group.name for group in named_groups(page, groups)]
        requests = {name: _request(page, syllabus, name, dates, wish, names) for name in names}
        planned = keep_plans(page, syllabus, plan_room(syllabus, requests), wish.starts_on)
        if wall is not None:
            plans = {each.group: each.plan for each in planned}
            print_terms(book.club_name, syllabus, plans, wall, options)
    return planned


def term_of(book: Book, syllabus: Syllabus, group: str | None, first: date) -> PlannedTerm:
    """A group (the only one, if none is named), its newest plan, and the reviews from `first` on.

    Raises CoachbookError.
    """
    with book.reading() as page:
        name = named_group(page, group, OR_ALL).name
        plan = term_in_force(page, name)
        reviews = reviews_ahead(page, syllabus, name, plan, first_open(page, name, plan, first))
        return PlannedTerm(name, plan, reviews, _names(page, name))


def keep_plans(
    page: Writing, syllabus: Syllabus, plans: Mapping[str, TermPlan], first: date
) -> tuple[PlannedTerm, ...]:
    """Save new plans of groups, their reviews from `first` on in words. Raises CoachbookError."""
    titles = syllabus.titles
    kept = []
    for group, made in plans.items():
        reviews = reviews_ahead(page, syllabus, group, made, first)
        plan = succeed(current_term(page, group), with_review_words(made, reviews, titles, first))
        save_term(page, plan, group)
        kept.append(PlannedTerm(group, plan, reviews, _names(page, group)))
    return tuple(kept)


def print_terms(
    club: str, syllabus: Syllabus, plans: Mapping[str, TermPlan], path: Path, options: PaperOptions
) -> None:
    """Write plans as a PDF for the wall: one group's, or several side by side. Raises CoachbookError."""
    titles = syllabus.titles
    if len(plans) == 1:
        ((group, plan),) = plans.items()
        write_term(plan, titles, club, group, path, options)
    else:
        write_room(plans, titles, club, path, options)


def _request(
    page: Reading,
    syllabus: Syllabus,
    group: str,
    dates: tuple[date, ...],
    wish: TermWish,
    room: Sequence[str],
) -> TermRequest:
    progress = progress_of(page, syllabus, wish.starts_on, group=group)
    return TermRequest(
        dates=dates,
        minutes=wish.minutes,
        starts_on=wish.starts_on,
        ends_on=wish.ends_on,
        known=known_units(progress),
        goal=wish.goal,
        has_answers=any(each.evenings for each in progress),
        room=tuple(room) if len(room) > 1 else (),
        at=wish.at,
        zone=wish.zone,
    )


def _names(page: Reading, group: str) -> tuple[str, ...]:
    return tuple(student.name for student in list_students(page, group))
