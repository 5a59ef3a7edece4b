"""What holds according to the log: answers, attendance, play-outs, and who was last seen when.

Answers are summed up by the database, so that the time it takes grows with the answers of the
students asked about, and not with the whole log.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from functools import cache

from sqlalchemy import ColumnElement, Select, func
from sqlalchemy import select as select_columns
from sqlalchemy.orm import Mapped, aliased
from sqlmodel import col, exists, select

from coachbook.club.book import Reading
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    GroupRow,
    MembershipRow,
    ObservationRow,
    PlayOutRow,
    SheetItemRow,
    SheetRow,
    StudentRow,
)
from coachbook.club.sheets import sheet_row
from coachbook.club.stored import stored_as, stored_date, stored_numbers
from coachbook.club.students import id_of_student, in_order, list_students, roll_of_groups, student_named
from coachbook.model.facts import Attendance, Impression, ItemResult, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import Evening
from coachbook.model.syllabus import Goal


def answers(
    tx: Reading,
    *,
    student: str | None = None,
    unit: str | None = None,
    group: str | None = None,
    sheets: Iterable[str] | None = None,
    until: date | None = None,
) -> list[ItemResult]:
    """Answers by evening, name, sheet and item; of an item logged twice, the later entry's alone.

    All of them, or those of a student, of a unit, of the students now in a group, to some sheets (by their
    codes as they are kept), or of evenings up to and including `until`. Raises CoachbookError for an unknown
    student or group.
    """
    found = _all_answers().where(answer_holds(), *is_of(tx, col(AnswerRow.student_id), student, group))
    if unit is not None:
        found = found.where(col(SheetItemRow.unit) == unit)
    if sheets is not None:
        found = found.where(col(SheetRow.code).in_(tuple(sheets)))
    if until is not None:
        found = found.where(col(AnswerRow.evening) <= until)
    return [
        ItemResult(name, code, item_unit, item, evening, written, is_right, slip)
        for name, code, item_unit, item, evening, written, is_right, slip in tx.session.execute(found)
    ]


def logged_students(tx: Reading, code: str) -> frozenset[str]:
    """Those of whom an answer to a sheet is logged. Raises CoachbookError for an unknown sheet."""
    answered = select(AnswerRow.student_id).where(AnswerRow.sheet_id == sheet_row(tx, code).id)
    return frozenset(tx.session.exec(select(StudentRow.name).where(col(StudentRow.id).in_(answered))))


def attendance(
    tx: Reading, *, on: date | None = None, student: str | None = None, group: str | None = None
) -> list[Attendance]:
    """Who was there, by evening and name; of an evening logged twice, the later entry's word.

    All of it, or that of an evening, of a student, or of the students now in a group. Raises
    CoachbookError for an unknown student or group.
    """
    found = (
        select_columns(
            col(StudentRow.name),
            col(AttendanceRow.evening),
            col(AttendanceRow.present),
            col(AttendanceRow.late),
            func.coalesce(GroupRow.name, ""),
        )
        .select_from(AttendanceRow)
        .join(StudentRow)
        .join(GroupRow, isouter=True)
        .where(attendance_holds(), *is_of(tx, col(AttendanceRow.student_id), student, group))
    )
    if on is not None:
        found = found.where(col(AttendanceRow.evening) == on)
    marks = [Attendance(*mark) for mark in tx.session.execute(found)]
    return sorted(marks, key=lambda mark: (mark.on, in_order(mark.student)))


@cache
def attendance_holds() -> ColumnElement[bool]:
    """Whether no later entry says something else of the same student and evening; for the other parts of the
    club."""
    later = aliased(AttendanceRow)
    return ~exists().where(
        col(later.student_id) == AttendanceRow.student_id,
        col(later.evening) == AttendanceRow.evening,
        col(later.entry_id) > AttendanceRow.entry_id,
    )


@cache
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
    tx: Reading, student_id: Mapped[int], student: str | None, group: str | None
) -> list[ColumnElement[bool]]:
    """Whether a fact is of this student, and of the students now in this group, where they are
    named; for the other parts of the club. Raises CoachbookError for an unknown one."""
    conditions = []
    if student is not None:
        conditions.append(student_id == id_of_student(tx, student))
    if group is not None:
        group_id = roll_of_groups(tx).id_of(group)
        members = select(MembershipRow.student_id).where(MembershipRow.group_id == group_id)
        conditions.append(student_id.in_(members))
    return conditions


@cache
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


def play_outs(
    tx: Reading, *, student: str | None = None, group: str | None = None, until: date | None = None
) -> list[PlayOutResult]:
    """Play-outs in the order of evenings, then of logging.

    All of them, or those of a student, of the students now in a group, or of evenings up to and
    including `until`. Raises CoachbookError for an unknown student or group.
    """
    found = (
        select(StudentRow.name, PlayOutRow)
        .join(StudentRow)
        .where(*is_of(tx, col(PlayOutRow.student_id), student, group))
        .order_by(col(PlayOutRow.evening), col(PlayOutRow.entry_id))
    )
    if until is not None:
        found = found.where(col(PlayOutRow.evening) <= until)
    return [_played(name, row) for name, row in tx.session.exec(found)]


def play_out_of_entry(tx: Reading, entry: int) -> PlayOutResult | None:
    """The play-out that an entry of the log holds, by its number; None if it holds none."""
    of_entry = select(StudentRow.name, PlayOutRow).join(StudentRow).where(PlayOutRow.entry_id == entry)
    found = tx.session.exec(of_entry).first()
    return _played(*found) if found is not None else None


def _played(name: str, row: PlayOutRow) -> PlayOutResult:
    return PlayOutResult(
        student=name,
        unit=row.unit,
        on=row.evening,
        fen=row.fen,
        goal=stored_as(Goal, row.goal, "goal"),
        allowance=row.allowance,
        end=stored_as(PlayOutEnd, row.end, "end of a play-out"),
        used=row.used,
        card=row.card,
        moves=tuple(row.moves.split()),
        slip=row.slip,
        against_coachbook=row.against_coachbook,
        clocks=stored_numbers(row.clocks),
    )


def last_play_out(tx: Reading, student: int, card: str, on: date) -> int | None:
    """The number of the log entry of a student's (by id) last play-out from a card on an evening; None if
    there is none."""
    of_card = (
        PlayOutRow.student_id == student,
        PlayOutRow.card == card,
        PlayOutRow.evening == on,
    )
    entries = select(PlayOutRow.entry_id).where(*of_card).order_by(col(PlayOutRow.entry_id).desc())
    return tx.session.exec(entries).first()


def observations(
    tx: Reading, *, student: str | None = None, group: str | None = None, until: date | None = None
) -> list[Observation]:
    """What the coach saw, in the order of evenings, then of logging; chosen as with `play_outs`."""
    found = (
        select(StudentRow.name, ObservationRow)
        .join(StudentRow)
        .where(*is_of(tx, col(ObservationRow.student_id), student, group))
        .order_by(col(ObservationRow.evening), col(ObservationRow.entry_id))
    )
    if until is not None:
        found = found.where(col(ObservationRow.evening) <= until)
    return [
        Observation(
            name, row.unit, row.evening, row.note, stored_as(Impression, row.impression, "impression")
        )
        for name, row in tx.session.exec(found)
    ]


EveningsByUnit = dict[str, tuple[Evening, ...]]
"""One student's evenings by unit code, in order of date."""


@dataclass(slots=True)
class _Gathered:
    """An evening while it is put together."""

    right: int = 0
    tried: int = 0
    slips: list[str] = field(default_factory=list)
    play_outs: list[PlayOutResult] = field(default_factory=list)
    observations: list[Observation] = field(default_factory=list)


def evenings(
    tx: Reading, *, student: str | None = None, group: str | None = None, until: date | None = None
) -> dict[str, EveningsByUnit]:
    """By name: every student of the club, the students now in a group, or the one named; each
    with the evenings up to and including `until`, and with none if there was nothing.

    All sheets of a unit on one date are one evening. A blank answer counts as tried and not
    right: it costs at most one review too many, while leaving it out could call a unit secure
    that is not. Raises CoachbookError for an unknown student or group.
    """
    gathered: defaultdict[tuple[str, str, date], _Gathered] = defaultdict(_Gathered)
    for name, unit, on, slip, right, tried in tx.session.execute(_sums(tx, student, group, until)):
        evening = gathered[name, unit, on]
        evening.right += right
        evening.tried += tried
        evening.slips += [slip] * tried if slip else []
    for played in play_outs(tx, student=student, group=group, until=until):
        gathered[played.student, played.unit, played.on].play_outs.append(played)
    for seen in observations(tx, student=student, group=group, until=until):
        if seen.unit:
            gathered[seen.student, seen.unit, seen.on].observations.append(seen)
    students = list_students(tx, group) if student is None else [student_named(tx, student)]
    return _by_student(gathered, (each.name for each in students))


def _by_student(
    gathered: dict[tuple[str, str, date], _Gathered], names: Iterable[str]
) -> dict[str, EveningsByUnit]:
    found: dict[str, EveningsByUnit] = {name: {} for name in names}
    for (name, unit, on), each in sorted(gathered.items(), key=lambda item: item[0]):
        evening = Evening(
            on, each.right, each.tried, tuple(each.slips), tuple(each.play_outs), tuple(each.observations)
        )
        found[name][unit] = (*found[name].get(unit, ()), evening)
    return found


def _sums(
    tx: Reading, student: str | None, group: str | None, until: date | None
) -> Select[str, str, date, str, int, int]:
    """Name, unit, evening, slip ("" for none), how many such answers are right, and how many there are: the
    most frequent first, then by slip."""
    parts = (col(StudentRow.name), col(SheetItemRow.unit), col(AnswerRow.evening), col(AnswerRow.slip))
    found = (
        select_columns(*parts, func.count().filter(col(AnswerRow.is_right)), func.count())
        .select_from(AnswerRow)
        .join(SheetItemRow)
        .join(StudentRow, col(StudentRow.id) == AnswerRow.student_id)
        .where(answer_holds(), *is_of(tx, col(AnswerRow.student_id), student, group))
        .group_by(*parts)
        .order_by(func.count().desc(), col(AnswerRow.slip))
    )
    return found if until is None else found.where(col(AnswerRow.evening) <= until)


def last_seen(tx: Reading) -> dict[str, date | None]:
    """By name, in order: the newest evening on which a student was there, answered, played or was
    seen, or date of a sheet that was given out; None if there is nothing.

    It looks through every table of facts, also one that is still to come: a date in the table
    itself, else the date of the sheet that it names.
    """
    connection = tx.session.connection()
    newest: dict[int, date] = {}
    for query in _queries(tx):
        for student_id, text in connection.exec_driver_sql(query):
            seen = stored_date(text)
            newest[student_id] = max(seen, newest.get(student_id, seen))
    students = connection.exec_driver_sql("SELECT id, name FROM student").all()
    return {
        name: newest.get(row_id)
        for row_id, name in sorted(students, key=lambda student: in_order(student[1]))
    }


def _queries(tx: Reading) -> list[str]:
    """Each gives the ids of students and the newest date in one column of one table."""
    queries = []
    for table, columns in _columns_of_facts(tx).items():
        dates = [f'"{table}"."{name}"' for name, kind in columns.items() if kind == "DATE"]
        source = f'"{table}"'
        if not dates and "sheet_id" in columns:
            dates, source = ["made_on"], f'"{table}" JOIN sheet ON sheet.id = sheet_id'
        there = " AND present" if "present" in columns else ""
        queries += [
            f"SELECT student_id, max({day}) FROM {source}"  # noqa: S608 - names from the schema
            f" WHERE {day} IS NOT NULL{there} GROUP BY student_id"
            for day in dates
        ]
    return queries


def _columns_of_facts(tx: Reading) -> dict[str, dict[str, str]]:
    """The columns of each table that belongs to students, with their types."""
    columns = tx.session.connection().exec_driver_sql(
        "SELECT t.name, c.name, c.type FROM sqlite_master t, pragma_table_info(t.name) c"
        " WHERE t.type = 'table'"
    )
    found: dict[str, dict[str, str]] = {}
    for table, name, kind in columns:
        found.setdefault(table, {})[name] = kind
    return {table: names for table, names in found.items() if "student_id" in names}
