"""Attendance that is logged already: putting one student right, and what a second list changes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from coachbook.club.book import Book, Reading
from coachbook.club.log import log_attendance
from coachbook.club.results import answers, attendance
from coachbook.club.students import list_students, student_named
from coachbook.errors import CoachbookError
from coachbook.model.club import Attendance, LogEntry
from coachbook.workflows.care import before_logging


@dataclass(frozen=True, slots=True)
class PutRight:
    """The log entry, None if all was logged so already; and who was `there` on the evening, and who
    was `away`, as it holds now."""

    entry: LogEntry | None
    there: tuple[str, ...]
    away: tuple[str, ...]


def put_right(
    book: Book, group: str | None, present: Sequence[str], absent: Sequence[str], on: date, now: datetime
) -> PutRight:
    """Log of these students alone whether they were there; of all others what is logged stays.

    With a `group`, what holds now is told of its students and these. Raises CoachbookError for an
    unknown name, for one that is told twice, and for an evening of which no attendance is logged: its
    date must be wrong.
    """
    with book.reading() as page:
        told = _named(page, present, absent)
        marked = {mark.student: mark.present for mark in attendance(page, on=on)}
        wanted = {student.name for student in list_students(page, group)} | told.keys()
        if not marked:
            raise _not_logged(page, on)
    new = [Attendance(name, on, here) for name, here in told.items() if marked.get(name) is not here]
    entry = _log(book, new, now) if new else None
    marked |= told
    there = tuple(name for name in marked if marked[name] and name in wanted)
    return PutRight(entry, there, tuple(name for name in marked if not marked[name] and name in wanted))


def find_changed(book: Book, told: Mapping[str, bool], on: date) -> tuple[str, ...]:
    """The students of whom something else is logged for an evening than what is told now."""
    with book.reading() as page:
        marked = {mark.student: mark.present for mark in attendance(page, on=on)}
    return tuple(name for name, here in told.items() if marked.get(name, here) is not here)


def answers_that_evening(book: Book, names: Sequence[str], on: date) -> dict[str, int]:
    """How many answers of an evening are logged of each of these students, who cannot well have been
    absent then. Raises CoachbookError for an unknown name."""
    with book.reading() as page:
        students = [student_named(page, name).name for name in names]
        return {name: sum(each.on == on for each in answers(page, student=name)) for name in students}


def _named(page: Reading, present: Sequence[str], absent: Sequence[str]) -> dict[str, bool]:
    there = {student_named(page, name).name for name in present}
    away = {student_named(page, name).name for name in absent}
    for name in sorted(there & away):
        raise CoachbookError(f"{name} cannot be both present and absent.", "Keep one of the two.")
    return dict.fromkeys(sorted(there), True) | dict.fromkeys(sorted(away), False)


def _log(book: Book, new: Sequence[Attendance], now: datetime) -> LogEntry:
    before_logging(book, now)
    with book.writing() as page:
        return log_attendance(page, new, now)


def _not_logged(page: Reading, on: date) -> CoachbookError:
    earlier = [mark.on for mark in attendance(page) if mark.on < on]
    hint = f"The last evening that is logged is {earlier[-1]}: give it with --date." if earlier else ""
    return CoachbookError(
        f"No attendance is logged on {on}, so there is nothing to put right.",
        hint or "Name all who were there: coachbook log attendance NAME...",
    )
