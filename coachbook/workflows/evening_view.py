"""An evening as a screen shows it: which one, which groups it has, what is planned, each student's row, and a
saved sheet that is to be marked on its page."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from coachbook.club.book import Book, Reading
from coachbook.club.evenings_met import closed_at
from coachbook.club.groups import groups_with_plan
from coachbook.club.sheets import prepared_for, saved_sheet
from coachbook.club.students import group_numbered, list_groups, list_students
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import Group, Student
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind
from coachbook.wording.people import doubt_in_words
from coachbook.workflows.evening_grid import GridRow, groups_meeting, row_of, rows_of, students_of_evening
from coachbook.workflows.evening_log import check_made
from coachbook.workflows.evening_to_log import Days, evening_still_open
from coachbook.workflows.members import next_evening, planned_sessions, session_on
from coachbook.workflows.printed_sheets import sound_sheet


@dataclass(frozen=True, slots=True)
class EveningView:
    """A group's evening. `session` is what was planned, None for one of no plan; `units` are those of it,
    by code and title; `groups` all that have this evening; `closed_at` is None where it was not closed.
    `before` and `after` are the evenings beside it."""

    group: Group
    on: date
    session: PlannedSession | None
    units: tuple[tuple[str, str], ...]
    rows: tuple[GridRow, ...]
    groups: tuple[Group, ...]
    is_prepared: bool
    closed_at: datetime | None
    before: date | None
    after: date | None


def nearest_evening(book: Book, today: date) -> date | None:
    """Today's evening, else the last one that is still open, else the next one; None if there is none."""
    with book.reading() as tx:
        ahead = next_evening(tx, groups_with_plan(tx), today)
    if ahead == today:
        return today
    return evening_still_open(book, today, ()) or ahead


def groups_on(book: Book, on: date) -> tuple[Group, ...]:
    """The groups that have an evening on a day, by name; all groups if none has."""
    with book.reading() as tx:
        return _groups_on(tx, on)


def is_of_evening(
    book: Book,
    group: int,
    on: date,
    student: int | None = None,
    sheet: str | None = None,
    beside: Sequence[str] = (),
) -> bool:
    """Whether a group (by id) has an evening on a day; whether a student (by id), if one is named, is in
    the group, or its guest then; and whether a sheet, if one is named, was given to that student for it, or
    is one of those `beside` that the student was given."""
    with book.reading() as tx:
        own = next((each.name for each in _groups_on(tx, on) if each.id == group), None)
        if own is None or student is None:
            return own is not None and sheet is None
        found = next((each for each in students_of_evening(tx, own, on) if each.id == student), None)
        if found is None or sheet is None:
            return found is not None
        return bool(row_of(tx, own, on, found, beside).cells_of(sheet))


def evening_view(
    book: Book, syllabus: Syllabus, group: int, on: date, beside: Sequence[str] = ()
) -> EveningView:
    """A group's evening (by the group's id), with the sheets `beside` its own. Raises CoachbookError for an
    unknown group."""
    with book.reading() as tx:
        own = group_numbered(tx, group)
        sessions = planned_sessions(tx, own.name)
        session, days = session_on(sessions, on), [each.on for each in sessions]
        units = session.units(*SlotKind) if session is not None else ()
        titles = syllabus.titles
        return EveningView(
            group=own,
            on=on,
            session=session,
            units=tuple((code, titles.get(code, code)) for code in units),
            rows=rows_of(tx, own.name, on, beside),
            groups=_groups_on(tx, on),
            is_prepared=bool(prepared_for(tx, own.name, on)),
            closed_at=closed_at(tx, own.name, on),
            before=max((day for day in days if day < on), default=None),
            after=min((day for day in days if day > on), default=None),
        )


def could_be_guests(book: Book, group: int, on: date) -> tuple[Student, ...]:
    """The students of groups that have no evening on a day, and that have no row in this group's (by its id),
    by name. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        own = group_numbered(tx, group)
        seen = {each.id for each in students_of_evening(tx, own.name, on)}
        meeting = groups_meeting(tx, on) | {own.name}
        others = (each for each in list_students(tx) if each.id not in seen)
        return tuple(each for each in others if meeting.isdisjoint(each.groups))


def _groups_on(tx: Reading, on: date) -> tuple[Group, ...]:
    meeting = groups_meeting(tx, on)
    groups = tuple(list_groups(tx))
    return tuple(group for group in groups if group.name in meeting) or groups


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
