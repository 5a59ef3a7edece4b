"""Planning a group's term, and keeping the plan in the book."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from coachbook.club.book import Book, Reading
from coachbook.club.students import list_groups, list_students
from coachbook.club.terms import current_term, save_term
from coachbook.errors import CoachbookError
from coachbook.model.club import Group
from coachbook.model.progress import Standing
from coachbook.model.syllabus import Syllabus
from coachbook.model.term import PlannedSession, TermPlan
from coachbook.paper.options import PaperOptions
from coachbook.paper.term import write_term
from coachbook.term.calendar import meeting_dates
from coachbook.term.planner import plan_term
from coachbook.workflows.standing import progress_of

_USUAL_PAPER = PaperOptions()


def plan_group_term(
    book: Book,
    syllabus: Syllabus,
    group: str | None,
    *,
    starts_on: date,
    ends_on: date,
    weekday: int,
    minutes: int,
    skip: Sequence[date] = (),
    wall: Path | None = None,
    options: PaperOptions = _USUAL_PAPER,
) -> tuple[str, TermPlan]:
    """Plan the term of a group (the only one, if none is named) and save it. Raises CoachbookError.

    Units in which at least half of the group is secure on the first day are taken as known.
    `wall` is where to write the plan as a PDF too; without the PDF the plan is not saved.
    """
    dates = meeting_dates(starts_on, ends_on, weekday, skip)
    with book.writing() as page:
        name = named_group(page, group).name
        done = _known_units(page, syllabus, name, starts_on)
        plan = plan_term(syllabus, dates, minutes, starts_on=starts_on, ends_on=ends_on, done=done)
        save_term(page, plan, name)
        if wall is not None:
            print_term(book, syllabus, name, plan, wall, options)
    return name, plan


def term_of(book: Book, group: str | None) -> tuple[str, TermPlan]:
    """A group (the only one, if none is named) and its newest plan. Raises CoachbookError."""
    with book.reading() as page:
        name = named_group(page, group).name
        return name, term_in_force(page, name)


def print_term(
    book: Book, syllabus: Syllabus, group: str, plan: TermPlan, path: Path, options: PaperOptions
) -> None:
    """Write the plan as a PDF for the wall. Raises CoachbookError."""
    write_term(plan, {unit.code: unit.title for unit in syllabus.units}, book.club_name, group, path, options)


def term_in_force(page: Reading, group: str) -> TermPlan:
    """The group's newest plan. Raises CoachbookError if it has none."""
    plan = current_term(page, group)
    if plan is None:
        raise CoachbookError(f"The group {group} has no term plan.", "Make one with 'coachbook term plan'.")
    return plan


def planned_session(page: Reading, group: str, on: date) -> PlannedSession | None:
    """What the group's newest plan has for an evening; None if there is no plan, or none for it."""
    plan = current_term(page, group) if group else None
    sessions = plan.sessions if plan else ()
    return next((session for session in sessions if session.on == on), None)


def named_group(page: Reading, name: str | None) -> Group:
    """The group of this name; the only group if none is named. Raises CoachbookError."""
    groups = list_groups(page)
    if name is not None:
        list_students(page, name)  # says which groups there are if this is none of them
        return next(group for group in groups if group.name.casefold() == name.strip().casefold())
    if len(groups) == 1:
        return groups[0]
    if not groups:
        raise CoachbookError("The club has no group yet.", "Make one with 'coachbook group add NAME'.")
    known = ", ".join(group.name for group in groups)
    raise CoachbookError("The club has several groups.", f"Say which with --group: {known}.")


def _known_units(page: Reading, syllabus: Syllabus, group: str, on: date) -> frozenset[str]:
    students = list_students(page, group)
    secure: dict[str, int] = {}
    for progress in progress_of(page, syllabus, on, group=group):
        if progress.standing is Standing.SECURE:
            secure[progress.unit] = secure.get(progress.unit, 0) + 1
    return frozenset(code for code, count in secure.items() if 2 * count >= len(students))
