"""Logging an evening: who was there, what was answered and played.

Nothing is overwritten: an entry that says something else about the same thing holds from
then on, and taking it back lets the earlier one hold again.
"""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from datetime import UTC, datetime

from sqlmodel import col, func, insert, select

from coachbook.club.book import Reading, Writing
from coachbook.club.log_words import entry_in_words
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    HandoutRow,
    LogEntryRow,
    ObservationRow,
    PlayOutRow,
    SheetItemRow,
    TakenBackRow,
    TermPlanRow,
)
from coachbook.club.sheets import sheet_row
from coachbook.club.students import roll_of_students
from coachbook.errors import CoachbookError
from coachbook.model.club import Attendance, ItemResult, LogEntry, Observation, PlayOutResult

MOST_NUMBER = 2**63 - 1
"""SQLite's integers have 64 bits; no book has so many entries."""

Fact = AttendanceRow | AnswerRow | PlayOutRow | ObservationRow | TermPlanRow
"""What an entry of the log holds."""


def log_attendance(book: Writing, entries: Sequence[Attendance], logged_at: datetime) -> LogEntry:
    """Logs who was there, as one entry; `logged_at` is aware.

    Raises CoachbookError, and keeps nothing, if there is nothing to log, a student is
    unknown, or one student's evening is told twice.
    """
    roll = roll_of_students(book)
    facts = [
        {"student_id": roll.id_of(entry.student), "evening": entry.on, "present": entry.present}
        for entry in entries
    ]
    _check_told_once(
        ((fact["student_id"], entry.on), f"{entry.student} on {entry.on}")
        for fact, entry in zip(facts, entries, strict=True)
    )
    return add_entry(book, AttendanceRow, facts, logged_at)


def log_answers(book: Writing, results: Sequence[ItemResult], logged_at: datetime) -> LogEntry:
    """Logs marked answers, as one entry; `logged_at` is aware.

    Raises CoachbookError, and keeps nothing, if there is nothing to log, a student, sheet
    or item is unknown, a student was not given the sheet, a result's unit is not the
    item's, or one answer is told twice.
    """
    roll = roll_of_students(book)
    sheets: dict[str, _GivenSheet] = {}
    facts = []
    for result in results:
        if result.sheet not in sheets:
            sheets[result.sheet] = _GivenSheet(book, result.sheet)
        student_id = roll.id_of(result.student)
        facts.append(sheets[result.sheet].answered(student_id, result))
    _check_told_once(
        (
            (fact["student_id"], fact["sheet_id"], fact["item"]),
            f"{result.student}, sheet {result.sheet}, item {result.item}",
        )
        for fact, result in zip(facts, results, strict=True)
    )
    return add_entry(book, AnswerRow, facts, logged_at)


def log_play_out(book: Writing, result: PlayOutResult, logged_at: datetime) -> LogEntry:
    """Logs a play-out, as one entry; `logged_at` is aware. Raises CoachbookError for an unknown student."""
    fact = {
        "student_id": roll_of_students(book).id_of(result.student),
        "unit": result.unit,
        "evening": result.on,
        "fen": result.fen,
        "goal": str(result.goal),
        "allowance": result.allowance,
        "end": str(result.end),
        "used": result.used,
        "card": result.card,
        "moves": " ".join(result.moves),
        "slip": result.slip,
    }
    return add_entry(book, PlayOutRow, [fact], logged_at)


def log_observation(book: Writing, seen: Observation, logged_at: datetime) -> LogEntry:
    """Logs what the coach saw, as one entry; `logged_at` is aware.

    Raises CoachbookError for an unknown student.
    """
    fact = {
        "student_id": roll_of_students(book).id_of(seen.student),
        "unit": seen.unit,
        "evening": seen.on,
        "note": seen.note,
        "impression": str(seen.impression),
    }
    return add_entry(book, ObservationRow, [fact], logged_at)


def last_entries(book: Reading, count: int) -> list[LogEntry]:
    """The newest entries, the last one first."""
    newest = select(LogEntryRow).order_by(col(LogEntryRow.id).desc()).limit(min(count, MOST_NUMBER))
    return [entry_of(book, row) for row in book.session.exec(newest).all()]


class _GivenSheet:
    """The items of a sheet, and the students who were given it."""

    def __init__(self, book: Reading, code: str) -> None:
        row = sheet_row(book, code)
        self.code = row.code
        self.sheet_id = row.id
        items = select(SheetItemRow.item, SheetItemRow.unit).where(SheetItemRow.sheet_id == self.sheet_id)
        self.units = dict(book.session.exec(items).all())
        handouts = select(HandoutRow.student_id).where(HandoutRow.sheet_id == self.sheet_id)
        self.student_ids = frozenset(book.session.exec(handouts))

    def answered(self, student_id: int, result: ItemResult) -> dict[str, object]:
        """The columns of an answer. Raises CoachbookError if it does not fit the sheet."""
        if student_id not in self.student_ids:
            raise CoachbookError(
                f"Sheet {self.code} was not given to {result.student}.",
                "Check the name and the code, or give it out first.",
            )
        if result.item not in self.units:
            raise CoachbookError(
                f"Sheet {self.code} has no item {result.item}.", f"Its items are 1 to {len(self.units)}."
            )
        if result.unit != self.units[result.item]:
            raise CoachbookError(
                f"Item {result.item} of sheet {self.code} is of unit '{self.units[result.item]}',"
                f" not '{result.unit}'."
            )
        return {
            "student_id": student_id,
            "sheet_id": self.sheet_id,
            "item": result.item,
            "evening": result.on,
            "written": result.written,
            "is_right": result.right,
            "slip": result.slip,
        }


def _check_told_once(told: Iterable[tuple[Hashable, str]]) -> None:
    seen = set()
    for fact, words in told:
        if fact in seen:
            raise CoachbookError(f"This is told twice: {words}.", "Keep one of the two.")
        seen.add(fact)


def add_entry(
    book: Writing, table: type[Fact], facts: Sequence[Mapping[str, object]], logged_at: datetime
) -> LogEntry:
    """Logs facts, as rows of their table without the number of the entry, as one entry.

    Raises CoachbookError if there is none.
    """
    if logged_at.tzinfo is None:
        raise ValueError("The time of an entry needs a time zone.")
    if not facts:
        raise CoachbookError("There is nothing to log.")
    row = LogEntryRow(id=_next_number(book), logged_at=logged_at.astimezone(UTC))
    book.session.add(row)
    book.session.flush()
    book.session.exec(insert(table), params=[{**fact, "entry_id": row.id} for fact in facts])
    return entry_of(book, row)


def entry_of(book: Reading, row: LogEntryRow) -> LogEntry:
    """An entry with what it says in words."""
    return LogEntry(row.id, entry_in_words(book, row.id), row.logged_at)


def _next_number(book: Reading) -> int:
    """One that no entry has, nor one that was taken back and may be brought back."""
    numbers = (LogEntryRow.id, TakenBackRow.entry_id)
    highest = (book.session.exec(select(func.coalesce(func.max(number), 0))).one() for number in numbers)
    return max(highest) + 1
