"""Taking an entry of the log back, and bringing it back again.

What was taken back is kept for thirty days, so that a slip can be mended, and no longer: it was not meant to
be in the book. Erasing a student empties it.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from sqlalchemy import Date, inspect
from sqlmodel import col, delete, insert, select

from coachbook.club.book import Reading, Writing
from coachbook.club.log import MOST_NUMBER, Fact, entry_of
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    GroupRow,
    HandoutRow,
    LogEntryRow,
    MembershipRow,
    ObservationRow,
    PlayOutRow,
    SheetRow,
    StudentRow,
    TakenBackRow,
    TermPlanRow,
)
from coachbook.club.students import in_order, roll_of_groups
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import LogEntry

KEPT = timedelta(days=30)
_KEPT_FOR = f"What is taken back is kept for {KEPT.days} days, or until a student is erased."

_OF_STUDENTS = (AttendanceRow, AnswerRow, PlayOutRow, ObservationRow)
_FACTS: dict[str, type[Fact]] = {str(table.__tablename__): table for table in (*_OF_STUDENTS, TermPlanRow)}


@dataclass(frozen=True, slots=True)
class EntryContents:
    """An entry with the students that its facts are about, the evenings, and the groups whose plans it
    changes; each () if there are none."""

    entry: LogEntry
    students: tuple[str, ...]
    evenings: tuple[date, ...]
    groups: tuple[str, ...]


def contents_of(tx: Reading, number: int | None = None) -> EntryContents:
    """What an entry holds, the last one if no `number` is given. Raises CoachbookError if there is none."""
    row = _row_of(tx, number)
    names, evenings = set[str](), set[date]()
    for table in _OF_STUDENTS:
        facts = select(StudentRow.name, col(table.evening)).join_from(
            table, StudentRow, col(StudentRow.id) == table.student_id
        )
        for name, evening in tx.session.exec(facts.where(table.entry_id == row.id)):
            names.add(name)
            evenings.add(evening)
    groups = select(GroupRow.name).join(TermPlanRow).where(TermPlanRow.entry_id == row.id)
    return EntryContents(
        entry_of(tx, row),
        tuple(sorted(names, key=in_order)),
        tuple(sorted(evenings)),
        tuple(sorted(tx.session.exec(groups), key=in_order)),
    )


def take_back(tx: Writing, now: datetime, number: int | None = None) -> LogEntry:
    """Takes an entry back, the last one if no `number` is given, with all that it said, and returns it.

    What it replaced holds again. `now` is aware. Raises CoachbookError if there is none.
    """
    row = _row_of(tx, number)
    entry = entry_of(tx, row)
    _forget_old(tx, now)
    for name, table in _FACTS.items():
        for fact in tx.session.exec(select(table).where(table.entry_id == row.id)):
            values = fact.model_dump(mode="json")
            tx.session.add(
                TakenBackRow(
                    entry_id=row.id,
                    logged_at=row.logged_at,
                    taken_back_at=now.astimezone(UTC),
                    student_id=values.get("student_id"),
                    group_id=values.get("group_id"),
                    fact=name,
                    body=json.dumps(values, ensure_ascii=False),
                )
            )
    tx.session.flush()
    tx.session.exec(delete(LogEntryRow).where(col(LogEntryRow.id) == entry.id))
    tx.session.expire_all()
    return entry


def bring_back(tx: Writing, number: int | None = None) -> LogEntry:
    """Brings back an entry that was taken back, the one taken back last if no `number` is given.

    It stands where it stood: what was logged later about the same thing still holds. Raises CoachbookError
    if there is none, or if what it is about is no longer in the book.
    """
    rows = _taken_back(tx, number)
    _check_still_there(tx, rows)
    first = rows[0]
    tx.session.add(LogEntryRow(id=first.entry_id, logged_at=first.logged_at))
    tx.session.flush()
    groups = set(tx.session.exec(select(GroupRow.id)))
    for name, table in _FACTS.items():
        facts = [_columns(table, row.body) for row in rows if row.fact == name]
        for fact in facts if table is AttendanceRow else ():
            # As if it had been in the book when the group was removed.
            fact["guest_of"] = fact["guest_of"] if fact["guest_of"] in groups else None
        if facts:
            tx.session.exec(insert(table), params=facts)
    entry_id = first.entry_id
    tx.session.exec(delete(TakenBackRow).where(col(TakenBackRow.entry_id) == entry_id))
    tx.session.expire_all()
    return entry_of(tx, _row_of(tx, entry_id))


def groups_taken_back(tx: Reading, number: int | None = None) -> tuple[str, ...]:
    """The groups whose plans an entry that was taken back changes. Raises CoachbookError if there is none."""
    ids = {row.group_id for row in _taken_back(tx, number) if row.group_id is not None}
    names = tx.session.exec(select(GroupRow.name).where(col(GroupRow.id).in_(ids)))
    return tuple(sorted(names, key=in_order))


def numbers_taken_back(tx: Reading) -> tuple[int, ...]:
    """The numbers of the entries that were taken back, the one taken back last first."""
    newest_first = select(TakenBackRow.entry_id).order_by(col(TakenBackRow.id).desc())
    return tuple(dict.fromkeys(tx.session.exec(newest_first)))


def is_anything_taken_back(tx: Reading) -> bool:
    """Whether there is something to bring back."""
    return tx.session.exec(select(TakenBackRow.id)).first() is not None


def days_logged_after(tx: Reading, group: str, number: int) -> frozenset[date]:
    """The evenings of which something was logged in later entries: that a student of a group was there, or
    did something. Raises CoachbookError for an unknown group."""
    members = select(MembershipRow.student_id).where(
        MembershipRow.group_id == roll_of_groups(tx).id_of(group)
    )
    found = set[date]()
    for table in _OF_STUDENTS:
        days = select(col(table.evening)).where(
            col(table.student_id).in_(members), col(table.entry_id) > number
        )
        if table is AttendanceRow:
            days = days.where(col(AttendanceRow.present))
        found |= set(tx.session.exec(days))
    return frozenset(found)


def _forget_old(tx: Writing, now: datetime) -> None:
    since = (now - KEPT).astimezone(UTC)
    tx.session.exec(delete(TakenBackRow).where(col(TakenBackRow.taken_back_at) < since))


def _taken_back(tx: Reading, number: int | None) -> list[TakenBackRow]:
    """The facts of an entry that was taken back. Raises CoachbookError if there is none."""
    found = select(TakenBackRow).order_by(col(TakenBackRow.id))
    if number is None:
        last = select(TakenBackRow).order_by(col(TakenBackRow.id).desc())
        newest = tx.session.exec(last).first()
        if newest is None:
            raise CoachbookError("There is nothing to bring back.", _KEPT_FOR)
        number = newest.entry_id
    rows = list(tx.session.exec(found.where(TakenBackRow.entry_id == min(max(number, 0), MOST_NUMBER))))
    if not rows:
        raise CoachbookError(f"There is no entry {number} to bring back.", _KEPT_FOR)
    return rows


def _check_still_there(tx: Reading, rows: Iterable[TakenBackRow]) -> None:
    """Raises CoachbookError if a sheet is no longer that of the student."""
    for row in rows:
        if row.fact != AnswerRow.__tablename__:
            continue
        sheet_id = _columns(AnswerRow, row.body)["sheet_id"]
        of_student = HandoutRow.student_id == row.student_id, HandoutRow.sheet_id == sheet_id
        if tx.session.exec(select(HandoutRow).where(*of_student)).first() is None:
            sheet = tx.session.exec(select(SheetRow.code).where(SheetRow.id == sheet_id)).first()
            raise CoachbookError(
                f"Entry {row.entry_id} cannot be brought back: its sheet {sheet or ''} is gone."
            )


def _columns(table: type[Fact], body: str) -> dict[str, object]:
    """A row as it was. Its number is left out where it is only its order on disk. Raises CoachbookError if it
    is damaged."""
    try:
        values = json.loads(body)
        return {
            column.name: date.fromisoformat(values[column.name])
            if isinstance(column.type, Date)
            else values[column.name]
            for column in inspect(table).columns
            if column.name != "id"
        }
    except (ValueError, KeyError, TypeError) as error:
        raise CoachbookError(
            "What was taken back is damaged in the book.", "Bring back a backup of it."
        ) from error


def _row_of(tx: Reading, number: int | None) -> LogEntryRow:
    wanted = select(LogEntryRow)
    if number is not None:
        wanted = wanted.where(LogEntryRow.id == min(max(number, 0), MOST_NUMBER))
    row = tx.session.exec(wanted.order_by(col(LogEntryRow.id).desc())).first()
    if row is None and number is not None:
        raise CoachbookError(f"There is no entry {number} in the log.", Advice(Step.LIST_THE_LOG))
    if row is None:
        raise CoachbookError("There is nothing to take back.", "The log is empty.")
    return row
