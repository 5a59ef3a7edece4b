"""Logging an evening: who was there and what was answered, typed or from tables."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from coachbook.club.book import Book, Reading
from coachbook.club.log import (
    Answered,
    find_answered,
    last_entries,
    log_answers,
    log_attendance,
    undo,
)
from coachbook.club.log_groups import groups_of_entries
from coachbook.club.results import answers
from coachbook.club.sheets import saved_sheet, sheets_of
from coachbook.club.students import student_named
from coachbook.errors import CoachbookError
from coachbook.exercises.mark import Mark, mark_answer
from coachbook.model.club import Attendance, ItemResult, LogEntry
from coachbook.model.dates import read_date
from coachbook.model.problem import Problem
from coachbook.model.slips import Slip, tell_slips
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.care import before_logging
from coachbook.workflows.number_list import counted_off
from coachbook.workflows.sound_sheets import sound_sheet
from coachbook.workflows.tables import Row, in_line_order, read_table

GivenSheet = tuple[Worksheet, tuple[str, ...]]
"""A sheet and the students who were given it."""

TICK, CROSS = "\u2713", "\u2717"
"""Written in place of an answer that the coach has marked on paper."""

_COACHS_MARKS = {TICK: Mark(True), CROSS: Mark(False)}
_PRESENT = {"yes": True, "y": True, "x": True, "1": True, "no": False, "n": False, "": False, "0": False}


@dataclass(frozen=True, slots=True)
class Logged:
    """What a table led to: the log entry and what it holds, or the mistakes (then nothing is kept).

    `unreadable` says of each answer that could not be read where it stands and that it counts as wrong.
    """

    entry: LogEntry | None
    results: tuple[ItemResult, ...] = ()
    attendance: tuple[Attendance, ...] = ()
    problems: tuple[Problem, ...] = ()
    unreadable: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ListedEntry:
    """An entry of the log, and the `group` that all its students are in, "" if that is not one."""

    id: int
    what: str
    group: str
    logged_at: datetime


@dataclass(frozen=True, slots=True)
class Tally:
    """How a student did: `right` of `tried` answers, and the slips in words."""

    student: str
    right: int
    tried: int
    slips: str


def tally(results: tuple[ItemResult, ...]) -> tuple[Tally, ...]:
    """How each student did, in the order in which they come first."""
    return tuple(
        Tally(name, sum(r.right for r in own), len(own), tell_slips(r.slip for r in own if r.slip))
        for name in dict.fromkeys(result.student for result in results)
        for own in [[result for result in results if result.student == name]]
    )


def mark_sheet(
    sheet: Worksheet, student: str, written: Mapping[int, str], on: date, letters: str = ""
) -> tuple[ItemResult, ...]:
    """Mark what a student wrote, by item number (from 1), perhaps with the club's own `letters`.

    A tick or a cross is the coach's own mark. Raises CoachbookError if there is no such item, or for
    a day on which there was no such sheet.
    """
    if on < sheet.made_on:
        raise CoachbookError(
            f"Sheet {sheet.code} was made on {sheet.made_on}: nobody answered it on {on}.", "Check the date."
        )
    results = []
    for item, text in sorted(written.items()):
        if not 1 <= item <= len(sheet.items):
            raise CoachbookError(
                f"Sheet {sheet.code} has no item {item}.", f"Its items are 1 to {len(sheet.items)}."
            )
        exercise = sheet.items[item - 1]
        mark = _COACHS_MARKS.get(text) or mark_answer(exercise, text, letters or None)
        results.append(
            ItemResult(student, sheet.code, exercise.unit, item, on, text.strip(), mark.right, mark.slip)
        )
    return tuple(results)


def keep_answers(
    book: Book, results: tuple[ItemResult, ...], now: datetime, *, dated: bool = True
) -> LogEntry:
    """Log marked answers as one entry. Raises CoachbookError.

    If the coach has not said the date (not `dated`), what a student has answered on a sheet of which
    something is logged already belongs to the same evening: it is a correction.
    """
    before_logging(book, now)
    with book.writing() as page:
        if not dated:
            known = {
                (each.student, each.sheet): each.on
                for name in {result.student for result in results}
                for each in answers(page, student=name)
            }
            results = tuple(
                replace(each, on=known.get((each.student, each.sheet), each.on)) for each in results
            )
        return log_answers(page, results, now)


def keep_attendance(book: Book, present: Mapping[str, bool], on: date, now: datetime) -> LogEntry:
    """Log who was there as one entry. Raises CoachbookError."""
    before_logging(book, now)
    with book.writing() as page:
        return log_attendance(page, [Attendance(name, on, here) for name, here in present.items()], now)


def to_take_back(book: Book, number: int | None = None) -> Answered:
    """The entry that `take_back` would take back, and whose answers it holds. Raises CoachbookError."""
    with book.reading() as page:
        return find_answered(page, number)


def take_back(book: Book, number: int | None = None) -> LogEntry:
    """Take a log entry back, the last one if no number is given. Raises CoachbookError if there is none."""
    with book.writing() as page:
        return undo(page, number)


def list_log(book: Book, count: int) -> list[ListedEntry]:
    """The newest entries of the log, the last one first. Raises CoachbookError for fewer than one."""
    if count < 1:
        raise CoachbookError(f"{count} entries cannot be listed.", "Ask for 1 or more.")
    with book.reading() as page:
        entries = last_entries(page, count)
        groups = groups_of_entries(page, entries[-1].id) if entries else {}
    return [ListedEntry(each.id, each.what, groups.get(each.id, ""), each.logged_at) for each in entries]


def answers_from_table(
    book: Book,
    path: Path,
    code: str | None,
    on: date,
    now: datetime,
    *,
    preview: bool = False,
    dated: bool = True,
) -> Logged:
    """Log the answers of a table (student, item, answer; sheet and date may be named in each row).

    A row's sheet is the one it names, else `code`, else the newest that the student was given
    by that evening; its date is the one it names, else `on`. Columns right and slip, as in a table
    that coachbook has written, are not looked at: everything is marked anew. All rows are kept, or
    none; with `preview` none in any case.
    """
    rows, problems = read_table(path, ("student", "item", "answer"), ("sheet", "date", "right", "slip"))
    found, results, unreadable = list(problems), list[ItemResult](), list[str]()
    with book.reading() as page:
        sheets: dict[str, GivenSheet] = {}
        told = set[tuple[str, str, int]]()
        for row in rows:
            try:
                result = _answer(page, row, code, on, sheets, book.letters)
                _check_new(result, told)
                results.append(result)
                if result.slip == Slip.UNREADABLE:
                    unreadable.append(_told_unreadable(row, result))
            except CoachbookError as error:
                found.append(row.problem(path, str(error)))
    if found:
        return Logged(None, problems=_each_once(found))
    dated = dated or any(row["date"] for row in rows)
    entry = None if preview else keep_answers(book, tuple(results), now, dated=dated)
    return Logged(entry, tuple(results), unreadable=tuple(unreadable))


def attendance_from_table(book: Book, path: Path, now: datetime) -> Logged:
    """Log the attendance of a table (date, student, present: yes or no). All rows are kept, or none."""
    rows, problems = read_table(path, ("date", "student", "present"))
    found, entries = list(problems), list[Attendance]()
    with book.reading() as page:
        for row in rows:
            try:
                entries.append(_attendance(page, row))
            except CoachbookError as error:
                found.append(row.problem(path, str(error)))
    if found:
        return Logged(None, problems=_each_once(found))
    before_logging(book, now)
    with book.writing() as page:
        return Logged(log_attendance(page, entries, now), attendance=tuple(entries))


def _each_once(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The mistakes in line order; one that is the same in several lines, such as a name, is told once."""
    lines: dict[tuple[str, str], list[int]] = {}
    for each in in_line_order(problems):
        lines.setdefault((each.file, each.message), []).append(int(each.where.removeprefix("line ")))
    return tuple(
        Problem(file, counted_off("line", found), message) for (file, message), found in lines.items()
    )


def _told_unreadable(row: Row, result: ItemResult) -> str:
    where = f"line {row.line}: {result.student}, item {result.item}"
    return f"{where}: {result.written} cannot be read; it counts as wrong"


def _answer(
    page: Reading, row: Row, code: str | None, on: date, sheets: dict[str, GivenSheet], letters: str
) -> ItemResult:
    on = read_date(row["date"]) if row["date"] else on
    student = student_named(page, row["student"]).name
    named = row["sheet"] or code or _newest_sheet(page, student, on)
    if named not in sheets:
        sheets[named] = sound_sheet(page, named), saved_sheet(page, named).students
    sheet, students = sheets[named]
    if student not in students:
        raise CoachbookError(
            f"Sheet {sheet.code} was not given to {student}.", "Check the name and the code."
        )
    if not row["item"].isdecimal():
        raise CoachbookError(f"'{row['item']}' is not an item number.", "Write 1, 2, 3 ...")
    return mark_sheet(sheet, student, {int(row["item"]): row["answer"]}, on, letters)[0]


def _check_new(result: ItemResult, told: set[tuple[str, str, int]]) -> None:
    """Raises CoachbookError for an answer that was told before: one of the two must be a mistake."""
    answered = (result.student, result.sheet, result.item)
    if answered in told:
        raise CoachbookError(
            f"Item {result.item} of {result.student} on sheet {result.sheet} stands here twice.",
            "Keep one of the two.",
        )
    told.add(answered)


def _newest_sheet(page: Reading, student: str, on: date) -> str:
    given = [sheet for sheet in sheets_of(page, student) if sheet.made_on <= on]
    if not given:
        raise CoachbookError(f"{student} was given no sheet by {on}.", "Name the sheet in a column 'sheet'.")
    return given[-1].code


def _attendance(page: Reading, row: Row) -> Attendance:
    on = read_date(row["date"])
    present = _PRESENT.get(row["present"].lower())
    if present is None:
        raise CoachbookError(f"'{row['present']}' is neither yes nor no.", "Write yes or no.")
    return Attendance(student_named(page, row["student"]).name, on, present)
