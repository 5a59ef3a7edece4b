"""A saved sheet that is to be marked on the page of an evening: of which groups, and on which day."""

from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book
from coachbook.club.sheets import saved_sheet
from coachbook.club.students import group_numbered, list_groups, list_students
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import Group
from coachbook.wording.people import doubt_in_words
from coachbook.workflows.evening_log import check_made
from coachbook.workflows.evening_to_log import Days
from coachbook.workflows.printed_sheets import sound_sheet


@dataclass(frozen=True, slots=True)
class GroupToMark:
    """A group with those of its students who were given the sheet, and the evening `on` which they will have
    had it."""

    group: Group
    students: tuple[str, ...]
    on: date


def groups_to_mark(book: Book, code: str, today: date) -> tuple[GroupToMark, ...]:
    """The groups, by name, of those who were given a sheet. Raises CoachbookError for an unknown or a damaged
    one."""
    found = []
    with book.reading() as tx:
        sheet, given = sound_sheet(tx, code), frozenset(saved_sheet(tx, code).students)
        days = Days(tx, today)
        for group in list_groups(tx):
            students = tuple(each.name for each in list_students(tx, group.name) if each.name in given)
            if students:
                found.append(GroupToMark(group, students, days.evening_of(students[0], sheet)))
    return tuple(found)


def check_to_mark(book: Book, code: str, group: int, on: date, today: date, *, sure: bool) -> str:
    """The code, as it is kept, of a sheet that may be marked on an evening of a group (by its id).

    Raises CoachbookError for an unknown group or sheet, a day that is to come or before the sheet was made,
    and, unless it is `sure`, one on which the group neither planned nor held an evening.
    """
    with book.reading() as tx:
        own, sheet = group_numbered(tx, group), sound_sheet(tx, code)
        check_made(sheet, on)
        doubt = Days(tx, today).doubt(on, [own.name])
    if doubt is not None and (on > today or not sure):
        advice = None if on > today else Advice(Step.LOG_ALL_THE_SAME)
        raise CoachbookError(doubt_in_words(doubt), advice or "Log it when it was held.")
    return sheet.code
