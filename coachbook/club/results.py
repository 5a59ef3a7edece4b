"""What holds according to the log: answers and attendance, each as last logged."""

from datetime import date

from sqlalchemy import ColumnElement, Select, distinct, func
from sqlalchemy import select as select_columns
from sqlalchemy.orm import Mapped, aliased
from sqlmodel import col, exists, select

from coachbook.club.book import Reading
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    MembershipRow,
    SheetItemRow,
    SheetRow,
    StudentRow,
)
from coachbook.club.sheets import sheet_row
from coachbook.club.students import in_order, roll_of_groups, roll_of_students
from coachbook.model.club import Attendance, ItemResult


def answers(
    book: Reading,
    *,
    student: str | None = None,
    unit: str | None = None,
    group: str | None = None,
    until: date | None = None,
) -> list[ItemResult]:
    """Answers by evening, name, sheet and item; of an item logged twice, the later entry's alone.

    All of them, or those of a student, of a unit, of the students now in a group, or of
    evenings up to and including `until`. Raises CoachbookError for an unknown student or group.
    """
    found = _all_answers().where(answer_holds(), *is_of(book, col(AnswerRow.student_id), student, group))
    if unit is not None:
        found = found.where(col(SheetItemRow.unit) == unit)
    if until is not None:
        found = found.where(col(AnswerRow.evening) <= until)
    return [
        ItemResult(name, code, item_unit, item, evening, written, is_right, slip)
        for name, code, item_unit, item, evening, written, is_right, slip in book.session.execute(found)
    ]


def logged_students(book: Reading, code: str) -> frozenset[str]:
    """Those of whom an answer to a sheet is logged. Raises CoachbookError for an unknown sheet."""
    answered = select(AnswerRow.student_id).where(AnswerRow.sheet_id == sheet_row(book, code).id)
    return frozenset(book.session.exec(select(StudentRow.name).where(col(StudentRow.id).in_(answered))))


def wholly_logged_students(book: Reading, code: str) -> frozenset[str]:
    """Those of whom an answer to every item of a sheet is logged. Raises CoachbookError for an unknown
    sheet."""
    sheet = sheet_row(book, code)
    items = select(func.count()).where(SheetItemRow.sheet_id == sheet.id).scalar_subquery()
    answered = (
        select(AnswerRow.student_id)
        .where(AnswerRow.sheet_id == sheet.id)
        .group_by(col(AnswerRow.student_id))
        .having(func.count(distinct(col(AnswerRow.item))) == items)
    )
    return frozenset(book.session.exec(select(StudentRow.name).where(col(StudentRow.id).in_(answered))))


def attendance(
    book: Reading, *, on: date | None = None, student: str | None = None, group: str | None = None
) -> list[Attendance]:
    """Who was there, by evening and name; of an evening logged twice, the later entry's word.

    All of it, or that of an evening, of a student, or of the students now in a group. Raises
    CoachbookError for an unknown student or group.
    """
    later = aliased(AttendanceRow)
    found = (
        select(StudentRow.name, col(AttendanceRow.evening), AttendanceRow.present)
        .join(StudentRow)
        .where(
            ~exists().where(
                col(later.student_id) == AttendanceRow.student_id,
                col(later.evening) == AttendanceRow.evening,
                col(later.entry_id) > AttendanceRow.entry_id,
            ),
            *is_of(book, col(AttendanceRow.student_id), student, group),
        )
    )
    if on is not None:
        found = found.where(AttendanceRow.evening == on)
    marks = [Attendance(name, evening, present) for name, evening, present in book.session.exec(found)]
    return sorted(marks, key=lambda mark: (mark.on, in_order(mark.student)))


def answer_holds() -> ColumnElement[bool]:
    """Whether no later entry says something else of the same answer; for the other parts of the club."""
    later = aliased(AnswerRow)
    return ~exists().where(
        col(later.student_id) == AnswerRow.student_id,
        col(later.sheet_id) == AnswerRow.sheet_id,
        col(later.item) == AnswerRow.item,
        col(later.entry_id) > AnswerRow.entry_id,
    )


def is_of(
    book: Reading, student_id: Mapped[int], student: str | None, group: str | None
) -> list[ColumnElement[bool]]:
    """Whether a fact is of this student, and of the students now in this group, where they are
    named; for the other parts of the club. Raises CoachbookError for an unknown one."""
    conditions = []
    if student is not None:
        conditions.append(student_id == roll_of_students(book).id_of(student))
    if group is not None:
        group_id = roll_of_groups(book).id_of(group)
        members = select(MembershipRow.student_id).where(MembershipRow.group_id == group_id)
        conditions.append(student_id.in_(members))
    return conditions


def _all_answers() -> Select[str, str, str, int, date, str, bool, str]:
    return (
        select_columns(
            col(StudentRow.name),
            col(SheetRow.code),
            col(SheetItemRow.unit),
            col(AnswerRow.item),
            col(AnswerRow.evening),
            col(AnswerRow.written),
            col(AnswerRow.is_right),
            col(AnswerRow.slip),
        )
        .select_from(AnswerRow)
        .join(SheetItemRow)
        .join(SheetRow)
        .join(StudentRow, col(StudentRow.id) == AnswerRow.student_id)
        .order_by(col(AnswerRow.evening), col(StudentRow.name), col(SheetRow.code), col(AnswerRow.item))
    )
