"""Whether a book is whole: what SQLite says of its file, what can be read back, what is kept twice."""

import sqlite3
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import cast

from sqlalchemy import String
from sqlalchemy import cast as cast_to
from sqlalchemy import select as select_columns
from sqlmodel import col, func, select

from coachbook.club.book import Reading
from coachbook.club.names import name_key
from coachbook.club.results import attendance, observations, play_outs
from coachbook.club.rows import (
    AnswerRow,
    GroupRow,
    LogEntryRow,
    SheetItemRow,
    SheetRow,
    StudentRow,
    TermPlanRow,
)
from coachbook.club.soundness import faults, strange_tables
from coachbook.club.stored import is_sealed, term_plan_from, worksheet_from
from coachbook.errors import CoachbookError
from coachbook.model.facts import ItemResult
from coachbook.model.worksheet import Worksheet

Finding = tuple[str, str]
"""Where something is wrong, and what."""


@dataclass(frozen=True, slots=True)
class Counts:
    """How much a book holds; answers that were logged again count each time."""

    students: int
    sheets: int
    answers: int


@dataclass(frozen=True, slots=True)
class StoredSheet:
    """A sheet as it can be read back, with every answer ever logged to it; None and none if it cannot.
    One of coachbook 0.1.0 has no checksum."""

    code: str
    worksheet: Worksheet | None
    answers: tuple[ItemResult, ...]
    findings: tuple[Finding, ...]
    has_checksum: bool


def count(book: Reading) -> Counts:
    """How much the book holds."""
    numbers = [
        book.session.exec(select(func.count()).select_from(table)).one()
        for table in (StudentRow, SheetRow, AnswerRow)
    ]
    return Counts(*numbers)


def check_file(book: Reading) -> list[Finding]:
    """What SQLite finds wrong with the file. After a finding the rest may not be readable."""
    driver = cast(sqlite3.Connection, book.session.connection().connection.driver_connection)
    found = faults(driver)
    if not found and (strange := strange_tables(driver)):
        found = [f"is damaged (tables that are not as they were made: {', '.join(strange)})"]
    return [("the file", told) for told in found]


def check_facts(book: Reading) -> list[Finding]:
    """Names that count as the same, and plans and log entries that cannot be read back."""
    found = _same_names("student", book.session.exec(select(StudentRow.name)))
    found += _same_names("group", book.session.exec(select(GroupRow.name)))
    plans = select(TermPlanRow.body, GroupRow.name).join(GroupRow)
    for body, group in book.session.exec(plans):
        found += _unreadable(f"group {group}", partial(term_plan_from, body, group))
    found += _unreadable("the log", book.session.exec(select(LogEntryRow)).all)
    for what, read in (("attendance", attendance), ("play-outs", play_outs), ("notes", observations)):
        found += _unreadable(f"the {what}", partial(read, book))
    return found


def stored_sheets(book: Reading) -> Iterator[StoredSheet]:
    """All sheets by code, each compared with the rows that were made from it."""
    items: dict[int, list[tuple[int, str, str]]] = defaultdict(list)
    for sheet_id, *item in book.session.execute(
        select_columns(
            col(SheetItemRow.sheet_id), col(SheetItemRow.item), col(SheetItemRow.unit), col(SheetItemRow.key)
        ).order_by(col(SheetItemRow.item))
    ):
        items[sheet_id].append(tuple(item))
    columns = select_columns(
        col(SheetRow.id),
        col(SheetRow.code),
        col(SheetRow.unit),
        cast_to(SheetRow.made_on, String),
        col(SheetRow.body),
    )
    for sheet_id, code, unit, made_on, body in book.session.execute(columns.order_by(col(SheetRow.code))):
        yield _read_back(book, sheet_id, (code, unit, made_on), body, items[sheet_id])


def _read_back(
    book: Reading, sheet_id: int, listed: tuple[str, str, str], body: str, items: list[tuple[int, str, str]]
) -> StoredSheet:
    code = listed[0]
    where = f"sheet {code}"
    try:
        logged = tuple(_answers_to(book, sheet_id, code))
        sheet = worksheet_from(body, code)
    except (CoachbookError, ValueError) as error:
        return StoredSheet(code, None, (), ((where, f"cannot be read back ({error})"),), is_sealed(body))
    found = []
    if listed != (sheet.code, sheet.unit, sheet.made_on.isoformat()):
        found.append((where, "is listed with another code, unit or date than the sheet has"))
    if items != [(number, item.unit, item.key) for number, item in enumerate(sheet.items, start=1)]:
        found.append((where, "is listed with other items than the sheet has"))
    return StoredSheet(code, sheet, logged, tuple(found), is_sealed(body))


def _answers_to(book: Reading, sheet_id: int, code: str) -> Iterator[ItemResult]:
    found = (
        select(AnswerRow, StudentRow.name, SheetItemRow.unit)
        .join(StudentRow, col(StudentRow.id) == AnswerRow.student_id)
        .join(SheetItemRow)
        .where(AnswerRow.sheet_id == sheet_id)
        .order_by(StudentRow.name, col(AnswerRow.item), col(AnswerRow.entry_id))
    )
    for row, name, unit in book.session.exec(found):
        yield ItemResult(name, code, unit, row.item, row.evening, row.written, row.is_right, row.slip)


def _same_names(what: str, names: Iterable[str]) -> list[Finding]:
    by_key: dict[str, list[str]] = defaultdict(list)
    for name in names:
        by_key[name_key(name)].append(name)
    return [
        (f"{what} {same[0]}", f"has the same name as {' and '.join(same[1:])}")
        for same in by_key.values()
        if len(same) > 1
    ]


def _unreadable(where: str, read: Callable[[], object]) -> list[Finding]:
    try:
        read()
    except (CoachbookError, ValueError) as error:
        return [(where, f"cannot be read back ({error})")]
    return []
