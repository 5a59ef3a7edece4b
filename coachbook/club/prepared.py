"""What was made ready for an evening: remembered, so that it can be printed again just so."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sqlmodel import col, delete, select

from coachbook.club.book import Reading, Writing
from coachbook.club.rows import PreparedRow, SheetRow, StudentRow
from coachbook.club.sheets import sheet_row
from coachbook.club.students import in_order, roll_of_groups, roll_of_students


@dataclass(frozen=True, slots=True)
class Prepared:
    """A student's papers: the code of a sheet ("" for none) with what was `wanted` on it, and cards."""

    sheet: str
    wanted: str
    cards: tuple[str, ...]


def prepared_for(book: Reading, group: str, on: date) -> dict[str, Prepared]:
    """By student's name, in order: what was made ready for a group. Raises CoachbookError."""
    group_id = roll_of_groups(book).id_of(group)
    found = (
        select(StudentRow.name, PreparedRow, SheetRow.code)
        .select_from(PreparedRow)
        .join(StudentRow)
        .join(SheetRow, isouter=True)
        .where(PreparedRow.group_id == group_id, PreparedRow.evening == on)
    )
    rows = sorted(book.session.exec(found), key=lambda row: in_order(row[0]))
    return {name: Prepared(code or "", row.wanted, tuple(row.cards.split())) for name, row, code in rows}


def prepared_codes(book: Reading, on: date) -> dict[str, set[str]]:
    """By student's name: the codes of the sheets that were made ready for an evening."""
    found = (
        select(StudentRow.name, SheetRow.code)
        .select_from(PreparedRow)
        .join(StudentRow)
        .join(SheetRow)
        .where(PreparedRow.evening == on)
    )
    codes: dict[str, set[str]] = {}
    for name, code in book.session.exec(found):
        codes.setdefault(name, set()).add(code)
    return codes


def evenings_of_sheet(book: Reading, code: str) -> dict[str, frozenset[date]]:
    """By student's name: the evenings for which a sheet was made ready. Raises CoachbookError for an
    unknown sheet."""
    found = (
        select(StudentRow.name, col(PreparedRow.evening))
        .select_from(PreparedRow)
        .join(StudentRow)
        .where(PreparedRow.sheet_id == sheet_row(book, code).id)
    )
    days: dict[str, frozenset[date]] = {}
    for name, evening in book.session.exec(found):
        days[name] = days.get(name, frozenset()) | {evening}
    return days


def keep_prepared(book: Writing, group: str, on: date, papers: Mapping[str, Prepared]) -> None:
    """Remembers what was made ready for a group, in place of what was before. Raises CoachbookError."""
    group_id, students = roll_of_groups(book).id_of(group), roll_of_students(book)
    old = (col(PreparedRow.group_id) == group_id, col(PreparedRow.evening) == on)
    book.session.exec(delete(PreparedRow).where(*old))
    for name, each in papers.items():
        book.session.add(
            PreparedRow(
                student_id=students.id_of(name),
                group_id=group_id,
                evening=on,
                sheet_id=sheet_row(book, each.sheet).id if each.sheet else None,
                wanted=each.wanted,
                cards=" ".join(each.cards),
            )
        )
    book.session.flush()
