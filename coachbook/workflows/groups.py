"""The groups that a coach names, and the plans that they have."""

from collections.abc import Sequence
from datetime import date, timedelta

from coachbook.club.book import Book, Reading
from coachbook.club.evenings import evenings
from coachbook.club.names import name_key
from coachbook.club.results import attendance
from coachbook.club.students import list_groups, list_students
from coachbook.club.terms import terms_of
from coachbook.errors import CoachbookError
from coachbook.model.club import Group
from coachbook.model.term import PlannedSession, Term

OR_ALL = "with --group, or take --all"


def named_group(page: Reading, name: str | None, how: str = "with --group") -> Group:
    """The group of this name; the only group if none is named. Raises CoachbookError, which says `how`
    the command is told of a group."""
    groups = list_groups(page)
    if name is not None:
        list_students(page, name)  # says which groups there are if this is none of them
        return next(group for group in groups if name_key(group.name) == name_key(name))
    if len(groups) == 1:
        return groups[0]
    if not groups:
        raise CoachbookError("The club has no group yet.", "Make one with 'coachbook group add NAME'.")
    known = ", ".join(group.name for group in groups)
    raise CoachbookError("The club has several groups.", f"Say which {how}: {known}.")


def named_groups(page: Reading, names: Sequence[str]) -> tuple[Group, ...]:
    """The groups of these names, each once; the only group if none is named. Raises CoachbookError.

    For commands that have --all, too.
    """
    if not names:
        return (named_group(page, None, OR_ALL),)
    return tuple({group.name: group for group in (named_group(page, name) for name in names)}.values())


def chosen_groups(book: Book, names: Sequence[str], *, every: bool) -> tuple[str, ...]:
    """All groups of a club, or those that are named. Raises CoachbookError if both are asked for."""
    if not every:
        return tuple(names)
    if names:
        raise CoachbookError("Choose all groups or name some, not both.")
    with book.reading() as page:
        return tuple(group.name for group in list_groups(page))


def term_at(page: Reading, group: str, on: date) -> Term:
    """The group's term that has a day; between terms the next one, after all of them the last. Raises
    CoachbookError if it has none."""
    terms = terms_of(page, group)
    if not terms:
        raise CoachbookError(f"The group {group} has no term plan.", "Make one with 'coachbook term plan'.")
    of_day = (term for term in terms if term.plan.is_for(on))
    not_over = (term for term in terms if on <= term.plan.ends_on)
    return next(of_day, next(not_over, terms[-1]))


def planned_sessions(page: Reading, group: str) -> tuple[PlannedSession, ...]:
    """The evenings of all the group's terms, in order. Raises CoachbookError."""
    sessions = (session for term in terms_of(page, group) for session in term.plan.sessions)
    return tuple(sorted(sessions, key=lambda session: session.on))


def planned_session(page: Reading, group: str, on: date) -> PlannedSession | None:
    """What the group's plans have for an evening; None if there is no plan, or none for it."""
    sessions = planned_sessions(page, group) if group else ()
    return next((session for session in sessions if session.on == on), None)


def days_held(page: Reading, group: str) -> frozenset[date]:
    """The days on which somebody of the group was there, or did something, by the log. Raises
    CoachbookError."""
    days = {mark.on for mark in attendance(page, group=group) if mark.present}
    for by_unit in evenings(page, group=group).values():
        days |= {evening.on for seen in by_unit.values() for evening in seen}
    return frozenset(days)


def first_open(page: Reading, group: str, first: date) -> date:
    """`first`, or the day after the last planned evening that the log says was held: on the night of an
    evening, what was taught on it is past. Raises CoachbookError."""
    days = days_held(page, group)
    held = [session.on for session in planned_sessions(page, group) if session.on in days]
    return max([first, *(on + timedelta(days=1) for on in held)])
