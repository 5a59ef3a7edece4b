"""Worksheets: saving one, finding it again, and who was given which exercises."""

import re
from collections.abc import Iterable
from datetime import date

from sqlalchemy import ColumnElement
from sqlalchemy import select as select_columns
from sqlmodel import col, func, select
from sqlmodel.sql.expression import SelectOfScalar

from coachbook.club.book import Reading, Writing
from coachbook.club.names import no_such
from coachbook.club.rows import HandoutRow, SheetItemRow, SheetRow, StudentRow
from coachbook.club.seal import is_sealed
from coachbook.club.stored import damaged_sheet, worksheet_from, worksheet_text
from coachbook.club.students import in_order, roll_of_students
from coachbook.errors import CoachbookError
from coachbook.model.club import SavedSheet
from coachbook.model.worksheet import Worksheet

_CODE = re.compile(r"[A-Z0-9]+(-[A-Z0-9]+)*")
_LOOK_ALIKES = str.maketrans("OIL", "011")


def save_worksheet(book: Writing, worksheet: Worksheet, students: Iterable[str]) -> None:
    """Saves a new worksheet, given to these students.

    Raises CoachbookError for a code that is none or is taken, and for an unknown student.
    """
    code = worksheet.code
    if _CODE.fullmatch(code) is None:
        raise CoachbookError(
            f"'{code}' is not a sheet code.", "Use capital letters and digits, with hyphens between them."
        )
    if is_taken(book, code):
        raise CoachbookError(f"There is already a sheet {code}.", "Give this one another code.")
    student_ids = _ids_of(book, students)
    row = SheetRow(code=code, unit=worksheet.unit, made_on=worksheet.made_on, body=worksheet_text(worksheet))
    book.session.add(row)
    book.session.flush()
    for number, exercise in enumerate(worksheet.items, start=1):
        book.session.add(SheetItemRow(sheet_id=row.id, item=number, unit=exercise.unit, key=exercise.key))
    book.session.flush()
    _give(book, row.id, student_ids)


def is_taken(book: Reading, code: str) -> bool:
    """Whether a sheet of this code is in the book."""
    return book.session.exec(_of_code(code)).first() is not None


def hand_out(book: Writing, code: str, students: Iterable[str]) -> None:
    """Gives a saved sheet to these students too. Raises CoachbookError for an unknown sheet or student."""
    _give(book, sheet_row(book, code).id, _ids_of(book, students))


def load_worksheet(book: Reading, code: str) -> Worksheet:
    """The worksheet exactly as it was saved; `code` as it is typed: in any case, with spaces, without
    hyphens, or with signs that look alike. Raises CoachbookError."""
    row = sheet_row(book, code)
    return worksheet_from(row.body, row.code)


def has_checksum(book: Reading, code: str) -> bool:
    """Whether a sheet carries one: those of coachbook 0.1.0 do not. Raises CoachbookError."""
    return is_sealed(sheet_row(book, code).body)


def saved_sheet(book: Reading, code: str) -> SavedSheet:
    """The list entry of a sheet, with those who were given it. Raises CoachbookError."""
    row = sheet_row(book, code)
    found = _listed(book, col(SheetRow.id) == row.id)
    if not found:
        raise damaged_sheet(row.code)
    return found[0]


def sheets_of(book: Reading, student: str) -> list[SavedSheet]:
    """All sheets that a student was given, by date and code. Raises CoachbookError for an unknown one."""
    student_id = roll_of_students(book).id_of(student)
    given = select(HandoutRow.sheet_id).where(HandoutRow.student_id == student_id)
    return _listed(book, col(SheetRow.id).in_(given))


def sheets_made_on(book: Reading, day: date) -> list[SavedSheet]:
    """All sheets of a day, by code."""
    return _listed(book, col(SheetRow.made_on) == day)


def used_keys(book: Reading, student: str) -> frozenset[str]:
    """The `Exercise.key` of all exercises that a student was given. Raises CoachbookError."""
    student_id = roll_of_students(book).id_of(student)
    keys = (
        select(SheetItemRow.key)
        .join(HandoutRow, col(HandoutRow.sheet_id) == SheetItemRow.sheet_id)
        .where(HandoutRow.student_id == student_id)
    )
    return frozenset(book.session.exec(keys))


def sheet_row(book: Reading, code: str) -> SheetRow:
    """The row of a sheet, for the other parts of the club. Raises CoachbookError with the nearest code."""
    asked = "".join(code.split()).upper()
    row = book.session.exec(_of_code(asked)).first() if _CODE.fullmatch(asked) else None
    if row is not None:
        return row
    known = list(book.session.exec(select(SheetRow.code)))
    alike = [each for each in known if _as_read(each) == _as_read(asked)]
    if len(alike) != 1:
        raise no_such("sheet", code, known)
    return book.session.exec(_of_code(alike[0])).one()


def _as_read(code: str) -> str:
    """What a code comes to if hyphens are left out and signs that look alike are one."""
    return "".join(sign for sign in code if sign.isalnum()).translate(_LOOK_ALIKES)


def _ids_of(book: Reading, students: Iterable[str]) -> set[int]:
    roll = roll_of_students(book)
    return {roll.id_of(student) for student in students}


def _give(book: Writing, sheet_id: int, student_ids: Iterable[int]) -> None:
    for student_id in student_ids:
        book.session.merge(HandoutRow(student_id=student_id, sheet_id=sheet_id))
    book.session.flush()


def _of_code(code: str) -> SelectOfScalar[SheetRow]:
    return select(SheetRow).where(SheetRow.code == code)


def _listed(book: Reading, condition: ColumnElement[bool]) -> list[SavedSheet]:
    handouts = select(HandoutRow.sheet_id, StudentRow.name).join(StudentRow).join(SheetRow).where(condition)
    students: dict[int, list[str]] = {}
    for sheet_id, name in book.session.exec(handouts):
        students.setdefault(sheet_id, []).append(name)
    sheets = (
        select_columns(
            col(SheetItemRow.sheet_id),
            col(SheetRow.code),
            col(SheetRow.unit),
            col(SheetRow.made_on),
            func.count(),
        )
        .join(SheetRow)
        .where(condition)
        .group_by(col(SheetItemRow.sheet_id))
        .order_by(col(SheetRow.made_on), col(SheetRow.code))
    )
    return [
        SavedSheet(code, unit, made_on, items, tuple(sorted(students.get(sheet_id, ()), key=in_order)))
        for sheet_id, code, unit, made_on, items in book.session.execute(sheets)
    ]
