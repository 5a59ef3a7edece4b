"""Worksheets: saving one, finding it again, who was given which exercises, and what was prepared."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement, case
from sqlalchemy import select as select_columns
from sqlmodel import col, delete, func, select
from sqlmodel.sql.expression import SelectOfScalar

from coachbook.club.book import Reading, Writing
from coachbook.club.names import no_such
from coachbook.club.rows import HandoutRow, PreparedRow, SheetItemRow, SheetRow, StudentRow
from coachbook.club.stored import damaged_sheet, is_sealed, worksheet_from, worksheet_text
from coachbook.club.students import id_of_student, in_order, roll_of_groups, roll_of_students
from coachbook.errors import CoachbookError
from coachbook.model.facts import SavedSheet
from coachbook.model.worksheet import Worksheet

_CODE = re.compile(r"[A-Z0-9]+(-[A-Z0-9]+)*")
# In the text of a sheet: reading all of a student's sheets whole would take as long as making one.
_KIND = re.compile(r'"kind":"(\w+)"')
_LOOK_ALIKES = str.maketrans("OIL", "011")


def save_worksheet(tx: Writing, worksheet: Worksheet, students: Iterable[str]) -> None:
    """Saves a new worksheet, given to these students.

    Raises CoachbookError for a code that is none or is taken, and for an unknown student.
    """
    code = worksheet.code
    if _CODE.fullmatch(code) is None:
        raise CoachbookError(
            f"'{code}' is not a sheet code.", "Use capital letters and digits, with hyphens between them."
        )
    if is_taken(tx, code):
        raise CoachbookError(f"There is already a sheet {code}.", "Give this one another code.")
    student_ids = _ids_of(tx, students)
    row = SheetRow(code=code, unit=worksheet.unit, made_on=worksheet.made_on, body=worksheet_text(worksheet))
    tx.session.add(row)
    tx.session.flush()
    for number, exercise in enumerate(worksheet.items, start=1):
        tx.session.add(SheetItemRow(sheet_id=row.id, item=number, unit=exercise.unit, key=exercise.key))
    tx.session.flush()
    _give(tx, row.id, student_ids)


def is_taken(tx: Reading, code: str) -> bool:
    """Whether a sheet of this code is in the book."""
    return tx.session.exec(_of_code(code)).first() is not None


def load_worksheet(tx: Reading, code: str) -> Worksheet:
    """The worksheet exactly as it was saved; `code` as it is typed: in any case, with spaces, without
    hyphens, or with signs that look alike. Raises CoachbookError for an unknown or a damaged one."""
    row = sheet_row(tx, code)
    return worksheet_from(row.body, row.code)


def has_checksum(tx: Reading, code: str) -> bool:
    """Whether a sheet carries one: those of coachbook 0.1.0 do not. Raises CoachbookError for an unknown
    sheet."""
    return is_sealed(sheet_row(tx, code).body)


def saved_sheet(tx: Reading, code: str) -> SavedSheet:
    """The list entry of a sheet, with those who were given it. Raises CoachbookError for an unknown or a
    damaged one."""
    row = sheet_row(tx, code)
    found = _listed(tx, col(SheetRow.id) == row.id)
    if not found:
        raise damaged_sheet(row.code)
    return found[0]


def sheets_of(tx: Reading, student: str) -> list[SavedSheet]:
    """All sheets that a student was given, by date and code. Raises CoachbookError for an unknown one."""
    student_id = id_of_student(tx, student)
    given = select(HandoutRow.sheet_id).where(HandoutRow.student_id == student_id)
    return _listed(tx, col(SheetRow.id).in_(given))


def sizes_of(tx: Reading, codes: Iterable[str]) -> dict[str, int]:
    """By code, as it is kept: how many items each of these sheets has."""
    sizes = (
        select_columns(col(SheetRow.code), func.count())
        .select_from(SheetItemRow)
        .join(SheetRow)
        .where(col(SheetRow.code).in_(tuple(codes)))
        .group_by(col(SheetRow.code))
    )
    return dict(tx.session.execute(sizes).all())


def students_given(tx: Reading, codes: Iterable[str]) -> dict[str, frozenset[str]]:
    """By code, as it is kept: who was given each of these sheets; nobody of one that is not there."""
    wanted = tuple(codes)
    given = select(SheetRow.code, StudentRow.name).select_from(HandoutRow).join(SheetRow).join(StudentRow)
    found: dict[str, frozenset[str]] = {}
    for code, name in tx.session.exec(given.where(col(SheetRow.code).in_(wanted))) if wanted else ():
        found[code] = found.get(code, frozenset()) | {name}
    return found


def latest_sheets(tx: Reading, most: int) -> list[SavedSheet]:
    """The sheets that were made last, whoever was given them: the newest first."""
    newest = select(SheetRow.id).order_by(col(SheetRow.made_on).desc(), col(SheetRow.id).desc()).limit(most)
    return _listed(tx, col(SheetRow.id).in_(newest))[::-1]


def used_keys(tx: Reading, student: str) -> frozenset[str]:
    """The `Exercise.key` of all exercises that a student was given, those of examples, too. Raises
    CoachbookError for an unknown student."""
    student_id = id_of_student(tx, student)
    keys = (
        select(SheetItemRow.key)
        .join(HandoutRow, col(HandoutRow.sheet_id) == SheetItemRow.sheet_id)
        .where(HandoutRow.student_id == student_id)
    )
    # Of what is no JSON any more nothing can be read: checking the book tells that.
    key = case((func.json_valid(SheetRow.body), func.json_extract(SheetRow.body, "$.example.key")))
    shown = select_columns(key).join(HandoutRow).where(col(HandoutRow.student_id) == student_id)
    return frozenset(tx.session.exec(keys)) | frozenset(filter(None, tx.session.execute(shown).scalars()))


def kinds_given(tx: Reading, students: Iterable[str], before: date) -> frozenset[str]:
    """The kinds of exercise that any of these students was given on a sheet made before a day. Raises
    CoachbookError for an unknown student."""
    given = select(HandoutRow.sheet_id).where(col(HandoutRow.student_id).in_(_ids_of(tx, students)))
    bodies = select(SheetRow.body).where(SheetRow.made_on < before, col(SheetRow.id).in_(given))
    return frozenset(kind for body in tx.session.exec(bodies) for kind in _KIND.findall(body))


def sheet_row(tx: Reading, code: str) -> SheetRow:
    """The row of a sheet, for the other parts of the club. Raises CoachbookError, with the nearest code, for
    an unknown code."""
    asked = "".join(code.split()).upper()
    row = tx.session.exec(_of_code(asked)).first() if _CODE.fullmatch(asked) else None
    if row is not None:
        return row
    known = list(tx.session.exec(select(SheetRow.code)))
    alike = [each for each in known if _as_read(each) == _as_read(asked)]
    if len(alike) != 1:
        raise no_such("sheet", code, known)
    return tx.session.exec(_of_code(alike[0])).one()


def _as_read(code: str) -> str:
    """What a code comes to if hyphens are left out and signs that look alike are one."""
    return "".join(sign for sign in code if sign.isalnum()).translate(_LOOK_ALIKES)


def _ids_of(tx: Reading, students: Iterable[str]) -> set[int]:
    roll = roll_of_students(tx)
    return {roll.id_of(student) for student in students}


def _give(tx: Writing, sheet_id: int, student_ids: Iterable[int]) -> None:
    for student_id in student_ids:
        tx.session.merge(HandoutRow(student_id=student_id, sheet_id=sheet_id))
    tx.session.flush()


def _of_code(code: str) -> SelectOfScalar[SheetRow]:
    return select(SheetRow).where(SheetRow.code == code)


def _listed(tx: Reading, condition: ColumnElement[bool]) -> list[SavedSheet]:
    handouts = select(HandoutRow.sheet_id, StudentRow.name).join(StudentRow).join(SheetRow).where(condition)
    students: dict[int, list[str]] = {}
    for sheet_id, name in tx.session.exec(handouts):
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
        for sheet_id, code, unit, made_on, items in tx.session.execute(sheets)
    ]


@dataclass(frozen=True, slots=True)
class Prepared:
    """A student's papers: the code of a sheet ("" for none) with what was `wanted` on it, and cards."""

    sheet: str
    wanted: str
    cards: tuple[str, ...]


def prepared_for(tx: Reading, group: str, on: date) -> dict[str, Prepared]:
    """By student's name, in order: what was made ready for a group. Raises CoachbookError for an unknown
    group."""
    group_id = roll_of_groups(tx).id_of(group)
    found = (
        select(StudentRow.name, PreparedRow, SheetRow.code)
        .select_from(PreparedRow)
        .join(StudentRow)
        .join(SheetRow, isouter=True)
        .where(PreparedRow.group_id == group_id, PreparedRow.evening == on)
    )
    rows = sorted(tx.session.exec(found), key=lambda row: in_order(row[0]))
    return {name: Prepared(code or "", row.wanted, tuple(row.cards.split())) for name, row, code in rows}


def prepared_codes(tx: Reading, on: date) -> dict[str, set[str]]:
    """By student's name: the codes of the sheets that were made ready for an evening."""
    found = (
        select(StudentRow.name, SheetRow.code)
        .select_from(PreparedRow)
        .join(StudentRow)
        .join(SheetRow)
        .where(PreparedRow.evening == on)
    )
    codes: dict[str, set[str]] = {}
    for name, code in tx.session.exec(found):
        codes.setdefault(name, set()).add(code)
    return codes


def evenings_of_sheet(tx: Reading, code: str) -> dict[str, frozenset[date]]:
    """By student's name: the evenings for which a sheet was made ready. Raises CoachbookError for an
    unknown sheet."""
    found = (
        select(StudentRow.name, col(PreparedRow.evening))
        .select_from(PreparedRow)
        .join(StudentRow)
        .where(PreparedRow.sheet_id == sheet_row(tx, code).id)
    )
    days: dict[str, frozenset[date]] = {}
    for name, evening in tx.session.exec(found):
        days[name] = days.get(name, frozenset()) | {evening}
    return days


def keep_prepared(tx: Writing, group: str, on: date, papers: Mapping[str, Prepared]) -> None:
    """Remembers what was made ready for a group, in place of what was before. Raises CoachbookError for an
    unknown group, student or sheet."""
    group_id, students = roll_of_groups(tx).id_of(group), roll_of_students(tx)
    old = (col(PreparedRow.group_id) == group_id, col(PreparedRow.evening) == on)
    tx.session.exec(delete(PreparedRow).where(*old))
    for name, each in papers.items():
        tx.session.add(
            PreparedRow(
                student_id=students.id_of(name),
                group_id=group_id,
                evening=on,
                sheet_id=sheet_row(tx, each.sheet).id if each.sheet else None,
                wanted=each.wanted,
                cards=" ".join(each.cards),
            )
        )
    tx.session.flush()
