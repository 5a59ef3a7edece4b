"""Logging an evening: who was there, what was answered and played; and the log as a list.

Nothing is overwritten: an entry that says something else about the same thing holds from
then on, and taking it back lets the earlier one hold again.
"""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from datetime import UTC, datetime
from functools import cache, partial

from sqlmodel import col, insert, select

from coachbook.club.book import Reading, Writing
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    GroupRow,
    HandoutRow,
    LogEntryRow,
    MembershipRow,
    ObservationRow,
    PlayOutRow,
    SheetItemRow,
    SheetRow,
    StudentRow,
    TermPlanRow,
)
from coachbook.club.sheets import sheet_row
from coachbook.club.stored import stored_as, term_plan_from
from coachbook.club.students import id_of_student, roll_of_groups
from coachbook.errors import CoachbookError
from coachbook.model.facts import (
    Attendance,
    EntryFacts,
    EntryKind,
    ItemResult,
    LogEntry,
    Observation,
    PlayOutResult,
)
from coachbook.model.term_plan import PlanChange
from coachbook.wording.counting import shown_day


def groups_of_entries(tx: Reading, first: int, last: int) -> dict[int, str]:
    """The group that all students of an entry are in, or whose plan it changes, for entries from `first`
    to `last`; those with no such group, or with several, are not among the keys."""
    named = select(MembershipRow.student_id, GroupRow.name).join(GroupRow)
    groups_of: dict[int, set[str]] = {}
    for student_id, name in tx.session.exec(named):
        groups_of.setdefault(student_id, set()).add(name)
    common: dict[int, set[str]] = {}
    for table in (AttendanceRow, AnswerRow, PlayOutRow, ObservationRow):
        entries = (
            select(table.entry_id, table.student_id)
            .where(col(table.entry_id).between(first, last))
            .distinct()
        )
        for entry_id, student_id in tx.session.exec(entries):
            own = groups_of.get(student_id, set())
            common[entry_id] = common.get(entry_id, own) & own
    planned = select(TermPlanRow.entry_id, GroupRow.name).join(GroupRow)
    plans: dict[int, set[str]] = {}
    for entry, name in tx.session.exec(planned.where(col(TermPlanRow.entry_id).between(first, last))):
        plans.setdefault(entry or 0, set()).add(name)
    common |= plans
    return {entry_id: next(iter(names)) for entry_id, names in common.items() if len(names) == 1}


def entry_facts(tx: Reading, entry_id: int) -> EntryFacts:
    """What an entry holds, found from its facts: no name is kept in a second place."""
    found = (each(tx, entry_id) for each in (_attendance, _answers, _play_out, _observation, _plans))
    return next(filter(None, found), EntryFacts(EntryKind.NOTHING))


def _attendance(tx: Reading, entry_id: int) -> EntryFacts | None:
    columns = (col(AttendanceRow.evening), AttendanceRow.present, AttendanceRow.late)
    marks = select(StudentRow.name, *columns).join(StudentRow)
    found = tx.session.exec(marks.where(AttendanceRow.entry_id == entry_id)).all()
    if not found:
        return None
    return EntryFacts(
        EntryKind.ATTENDANCE,
        tuple(dict.fromkeys(name for name, _, _, _ in found)),
        tuple(sorted({evening for _, evening, _, _ in found})),
        len(found),
        present=sum(present for _, _, present, _ in found),
        late=sum(late for _, _, _, late in found),
    )


def _answers(tx: Reading, entry_id: int) -> EntryFacts | None:
    written = (
        select(StudentRow.name, SheetRow.code)
        .select_from(AnswerRow)
        .join(StudentRow, col(StudentRow.id) == AnswerRow.student_id)
        .join(SheetRow, col(SheetRow.id) == AnswerRow.sheet_id)
        .where(AnswerRow.entry_id == entry_id)
        .group_by(StudentRow.name, SheetRow.code)
    )
    found = tx.session.exec(written).all()
    if not found:
        return None
    rows = tx.session.exec(select(AnswerRow).where(AnswerRow.entry_id == entry_id)).all()
    single = rows[0] if len(rows) == 1 else None
    return EntryFacts(
        EntryKind.ANSWERS,
        tuple(dict.fromkeys(name for name, _ in found)),
        tuple(sorted({row.evening for row in rows})),
        len(rows),
        sheets=tuple(dict.fromkeys(code for _, code in found)),
        item=single.item if single else None,
        right=single is not None and single.is_right,
        slip=single.slip if single else "",
    )


def _play_out(tx: Reading, entry_id: int) -> EntryFacts | None:
    played = select(StudentRow.name, PlayOutRow).join(StudentRow)
    found = tx.session.exec(played.where(PlayOutRow.entry_id == entry_id)).first()
    if found is None:
        return None
    name, row = found
    return EntryFacts(
        EntryKind.PLAY_OUT, (name,), (row.evening,), 1, unit=row.unit, end=row.end, used=row.used
    )


def _observation(tx: Reading, entry_id: int) -> EntryFacts | None:
    seen = select(StudentRow.name, ObservationRow.unit, col(ObservationRow.evening)).join(StudentRow)
    found = tx.session.exec(seen.where(ObservationRow.entry_id == entry_id)).first()
    return EntryFacts(EntryKind.NOTE, (found[0],), (found[2],), 1, unit=found[1]) if found else None


def _plans(tx: Reading, entry_id: int) -> EntryFacts | None:
    changed = select(TermPlanRow, GroupRow.name).join(GroupRow).where(TermPlanRow.entry_id == entry_id)
    found = tx.session.exec(changed.order_by(col(TermPlanRow.id))).all()
    if not found:
        return None
    row, group = found[0]
    return EntryFacts(
        EntryKind.PLAN,
        count=len(found),
        change=stored_as(PlanChange, row.change, "change of a plan"),
        groups=tuple(name for _, name in found),
        days=term_plan_from(row.body, group).days,
    )


MOST_NUMBER = 2**63 - 1
"""SQLite's integers have 64 bits; no book has so many entries."""

Fact = AttendanceRow | AnswerRow | PlayOutRow | ObservationRow | TermPlanRow
"""What an entry of the log holds."""


def log_attendance(tx: Writing, entries: Sequence[Attendance], logged_at: datetime) -> LogEntry:
    """Logs who was there, as one entry; `logged_at` is aware.

    Raises CoachbookError, and keeps nothing, if there is nothing to log, a student or a group is
    unknown, or one student's evening is given twice.
    """
    id_of, groups = cache(partial(id_of_student, tx)), roll_of_groups(tx)
    facts = [
        {
            "student_id": id_of(entry.student),
            "evening": entry.on,
            "present": entry.present,
            "late": entry.present and entry.late,
            "guest_of": groups.id_of(entry.guest_of) if entry.guest_of else None,
        }
        for entry in entries
    ]
    _check_given_once(
        ((fact["student_id"], entry.on), f"{entry.student} on {shown_day(entry.on)}")
        for fact, entry in zip(facts, entries, strict=True)
    )
    return add_entry(tx, AttendanceRow, facts, logged_at)


def log_answers(tx: Writing, results: Sequence[ItemResult], logged_at: datetime) -> LogEntry:
    """Logs marked answers, as one entry; `logged_at` is aware.

    Raises CoachbookError, and keeps nothing, if there is nothing to log, a student, sheet
    or item is unknown, a student was not given the sheet, a result's unit is not the
    item's, or one answer is given twice.
    """
    id_of = cache(partial(id_of_student, tx))
    sheets: dict[str, _GivenSheet] = {}
    facts = []
    for result in results:
        if result.sheet not in sheets:
            sheets[result.sheet] = _GivenSheet(tx, result.sheet)
        student_id = id_of(result.student)
        facts.append(sheets[result.sheet].answered(student_id, result))
    _check_given_once(
        (
            (fact["student_id"], fact["sheet_id"], fact["item"]),
            f"{result.student}, sheet {result.sheet}, item {result.item}",
        )
        for fact, result in zip(facts, results, strict=True)
    )
    return add_entry(tx, AnswerRow, facts, logged_at)


def log_play_out(tx: Writing, result: PlayOutResult, logged_at: datetime) -> LogEntry:
    """Logs a play-out, as one entry; `logged_at` is aware. Raises CoachbookError for an unknown student."""
    fact = {
        "student_id": id_of_student(tx, result.student),
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
        "against_coachbook": result.against_coachbook,
        "clocks": " ".join(map(str, result.clocks)),
    }
    return add_entry(tx, PlayOutRow, [fact], logged_at)


def log_observation(tx: Writing, seen: Observation, logged_at: datetime) -> LogEntry:
    """Logs what the coach saw, as one entry; `logged_at` is aware.

    Raises CoachbookError for an unknown student.
    """
    fact = {
        "student_id": id_of_student(tx, seen.student),
        "unit": seen.unit,
        "evening": seen.on,
        "note": seen.note,
        "impression": str(seen.impression),
    }
    return add_entry(tx, ObservationRow, [fact], logged_at)


def last_entries(tx: Reading, count: int, before: int | None = None) -> list[LogEntry]:
    """The newest entries, the last one first; of those with a smaller number than `before`, if that is
    given."""
    newest = select(LogEntryRow).order_by(col(LogEntryRow.id).desc()).limit(min(count, MOST_NUMBER))
    if before is not None:
        newest = newest.where(col(LogEntryRow.id) < before)
    return [entry_of(tx, row) for row in tx.session.exec(newest).all()]


class _GivenSheet:
    """The items of a sheet, and the students who were given it."""

    def __init__(self, tx: Reading, code: str) -> None:
        row = sheet_row(tx, code)
        self.code = row.code
        self.sheet_id = row.id
        items = select(SheetItemRow.item, SheetItemRow.unit).where(SheetItemRow.sheet_id == self.sheet_id)
        self.units = dict(tx.session.exec(items).all())
        handouts = select(HandoutRow.student_id).where(HandoutRow.sheet_id == self.sheet_id)
        self.student_ids = frozenset(tx.session.exec(handouts))

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


def _check_given_once(facts: Iterable[tuple[Hashable, str]]) -> None:
    seen = set()
    for fact, words in facts:
        if fact in seen:
            raise CoachbookError(f"This is given twice: {words}.", "Keep one of the two.")
        seen.add(fact)


def add_entry(
    tx: Writing, table: type[Fact], facts: Sequence[Mapping[str, object]], logged_at: datetime
) -> LogEntry:
    """Logs facts, as rows of their table without the number of the entry, as one entry.

    Raises CoachbookError if there is none.
    """
    if logged_at.tzinfo is None:
        raise ValueError("The time of an entry needs a time zone.")
    if not facts:
        raise CoachbookError("There is nothing to log.")
    row = LogEntryRow(logged_at=logged_at.astimezone(UTC))
    tx.session.add(row)
    tx.session.flush()
    tx.session.exec(insert(table), params=[{**fact, "entry_id": row.id} for fact in facts])
    return entry_of(tx, row)


def entry_of(tx: Reading, row: LogEntryRow) -> LogEntry:
    """An entry with what it holds."""
    return LogEntry(row.id, entry_facts(tx, row.id), row.logged_at)
