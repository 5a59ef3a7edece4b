"""Logging an evening, or many, out of tables that a coach has written in a spreadsheet."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path

from coachbook.club.book import Book, Reading, rehearsing
from coachbook.club.log import log_attendance
from coachbook.club.results import answers, attendance
from coachbook.club.sheets import saved_sheet, sheets_of
from coachbook.club.students import student_named
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.dates import Towards, read_day
from coachbook.model.facts import Attendance, ItemResult, LogEntry, Slip
from coachbook.model.problem import Problem
from coachbook.model.worksheet import Worksheet
from coachbook.wording.answer_forms import form_in_words
from coachbook.wording.conversations import in_words
from coachbook.wording.counting import counted_off, shown_day
from coachbook.wording.people import doubt_in_words
from coachbook.workflows.care import before_logging
from coachbook.workflows.evening_log import GivenSheet, keep_answers, mark_sheet
from coachbook.workflows.evening_to_log import Days
from coachbook.workflows.printed_sheets import sound_sheet
from coachbook.workflows.spreadsheet import Row, in_line_order, read_table
from coachbook.workflows.typed_answers import changes

_PRESENT = {"yes": True, "y": True, "x": True, "1": True, "no": False, "n": False, "": False, "0": False}


@dataclass(frozen=True, slots=True)
class Logged:
    """What a table led to: the log entry and what it holds, or the mistakes (then nothing is kept).

    `unreadable` says of each answer that could not be read where it stands and that it counts as wrong;
    `changed` of each that was logged already what was there before.
    """

    entry: LogEntry | None
    results: tuple[ItemResult, ...] = ()
    attendance: tuple[Attendance, ...] = ()
    problems: tuple[Problem, ...] = ()
    unreadable: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()


def answers_from_table(
    book: Book,
    path: Path,
    code: str | None,
    on: date | None,
    today: date,
    now: datetime,
    *,
    preview: bool = False,
    sure: bool = False,
) -> Logged:
    """Log the answers of a table (student, item, answer; sheet and date may be named in each row).

    A row's sheet is the one it names, else `code`, else the newest that the student was given
    by that evening; its date is the one it names, else `on`, else that of the sheet (see
    `Days.evening_of`). A day that is to come, or on which the student's groups had no evening, is a
    mistake, unless the coach is `sure`. Columns right and slip, as in a table that coachbook has
    written, are not looked at: everything is marked anew. All rows are kept, or none; with `preview`
    none in any case.
    """
    rows, problems = read_table(path, ("student", "item", "answer"), ("sheet", "date", "right", "slip"))
    found, results, unreadable = list(problems), list[ItemResult](), list[str]()
    with book.reading() as tx:
        table = _AnswerTable(tx, Days(tx, today), book.letters, code, on, sure)
        for row in rows:
            try:
                result = table.read(row)
                results.append(result)
                if result.slip == Slip.UNREADABLE:
                    unreadable.append(_unreadable_line(row, result, table.form_of(result)))
            except CoachbookError as error:
                found.append(row.refused(path, error))
        if found:
            return Logged(None, problems=_each_once(found))
        changed = tuple(_changed_lines(tx, results))
    entry = None if preview else keep_answers(book, tuple(results), now)
    return Logged(entry, tuple(results), unreadable=tuple(unreadable), changed=changed)


def attendance_from_table(
    book: Book, path: Path, today: date, now: datetime, *, preview: bool = False, sure: bool = False
) -> Logged:
    """Log the attendance of a table (date, student, present: yes or no). All rows are kept, or none; with
    `preview` none in any case.

    A day that is to come, or on which the student's groups had no evening, is a mistake, unless the
    coach is `sure`.
    """
    rows, problems = read_table(path, ("date", "student", "present"))
    found, entries = list(problems), list[Attendance]()
    with book.reading() as tx:
        days = Days(tx, today)
        for row in rows:
            try:
                entry = _attendance(tx, row, today)
                _check_day(days, entry.on, entry.student, sure=sure)
                entries.append(entry)
            except CoachbookError as error:
                found.append(row.refused(path, error))
    if found:
        return Logged(None, problems=_each_once(found))
    if preview:
        with rehearsing(book) as tx:
            log_attendance(tx, entries, now)
        return Logged(None, attendance=tuple(entries))
    before_logging(book, now)
    with book.writing() as tx:
        logged = log_attendance(tx, entries, now)
    logged = replace(logged, what=replace(logged.what, with_evenings=True))
    return Logged(logged, attendance=tuple(entries))


@dataclass(frozen=True, slots=True)
class _AnswerTable:
    """What holds for all rows of a table of answers, and what was found in them so far."""

    tx: Reading
    days: Days
    letters: str
    code: str | None
    on: date | None
    sure: bool
    _sheets: dict[str, GivenSheet] = field(default_factory=dict)
    _evenings: dict[tuple[str, str], date] = field(default_factory=dict)
    _answered: set[tuple[str, str, int]] = field(default_factory=set)

    def read(self, row: Row) -> ItemResult:
        """A row's answer, marked. Raises CoachbookError if a name, sheet, item or day in it cannot be, or the
        same answer was in an earlier row."""
        on = read_day(row["date"], self.days.today, Towards.PAST) if row["date"] else self.on
        student = student_named(self.tx, row["student"]).name
        named = row["sheet"] or self.code or _newest_sheet(self.tx, student, on or self.days.today)
        sheet = self._sheet(named, student)
        if not row["item"].isdecimal():
            raise CoachbookError(f"'{row['item']}' is not an item number.", "Write 1, 2, 3 ...")
        day = on or self._evening(student, sheet)
        (result,) = mark_sheet(sheet, student, {int(row["item"]): row["answer"]}, day, self.letters)
        _check_day(self.days, day, student, sure=self.sure)
        self._check_new(result)
        return result

    def form_of(self, result: ItemResult) -> str:
        """In which form an answer that was read from a row is wanted."""
        sheet = next(sheet for sheet, _ in self._sheets.values() if sheet.code == result.sheet)
        return form_in_words(sheet.items[result.item - 1], self.letters)

    def _sheet(self, named: str, student: str) -> Worksheet:
        if named not in self._sheets:
            students = saved_sheet(self.tx, named).students
            self._sheets[named] = sound_sheet(self.tx, named), students
        sheet, students = self._sheets[named]
        if student not in students:
            raise CoachbookError(
                f"Sheet {sheet.code} was not given to {student}.", "Check the name and the code."
            )
        return sheet

    def _evening(self, student: str, sheet: Worksheet) -> date:
        if (student, sheet.code) not in self._evenings:
            self._evenings[student, sheet.code] = self.days.evening_of(student, sheet)
        return self._evenings[student, sheet.code]

    def _check_new(self, result: ItemResult) -> None:
        """Raises CoachbookError for an answer that an earlier row gave: one of the two must be a mistake."""
        answered = (result.student, result.sheet, result.item)
        if answered in self._answered:
            raise CoachbookError(
                f"Item {result.item} of {result.student} on sheet {result.sheet} stands here twice.",
                "Keep one of the two.",
            )
        self._answered.add(answered)


def _check_day(days: Days, on: date, student: str, *, sure: bool) -> None:
    """Raises CoachbookError for a day that is to come, or that none of the student's groups had."""
    doubt = None if sure else days.doubt_of_student(on, student)
    if doubt:
        raise CoachbookError(doubt_in_words(doubt), Advice(Step.LOG_ALL_THE_SAME))


def _changed_lines(tx: Reading, results: Sequence[ItemResult]) -> Iterator[str]:
    """Of each answer that says something else than what is logged, both."""
    for name in dict.fromkeys(result.student for result in results):
        logged = answers(tx, student=name)
        own = [result for result in results if result.student == name]
        for code in dict.fromkeys(result.sheet for result in own):
            before, now = (
                {each.item: each.written for each in of if each.sheet == code} for of in (logged, own)
            )
            for change in changes(before, now):
                yield f"{name}, sheet {code}: {in_words(change).strip()}"


def _each_once(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The mistakes in line order; one that is the same in several lines, such as a name, comes once."""
    lines: dict[tuple[str, str, Advice | None], list[int]] = {}
    for each in in_line_order(problems):
        lines.setdefault((each.file, each.message, each.advice), []).append(each.line)
    return tuple(
        Problem(file, counted_off("line", found), message, advice)
        for (file, message, advice), found in lines.items()
    )


def _unreadable_line(row: Row, result: ItemResult, form: str) -> str:
    where = f"line {row.line}: {result.student}, item {result.item}"
    return f"{where}: {result.written} cannot be read; it counts as wrong. {form}"


def _newest_sheet(tx: Reading, student: str, on: date) -> str:
    given = [sheet for sheet in sheets_of(tx, student) if sheet.made_on <= on]
    if not given:
        raise CoachbookError(
            f"{student} was given no sheet by {shown_day(on)}.", "Name the sheet in a column 'sheet'."
        )
    return given[-1].code


def _attendance(tx: Reading, row: Row, today: date) -> Attendance:
    on = read_day(row["date"], today, Towards.PAST)
    present = _PRESENT.get(row["present"].lower())
    if present is None:
        raise CoachbookError(f"'{row['present']}' is neither yes nor no.", "Write yes or no.")
    name = student_named(tx, row["student"]).name
    # A table does not say of which group somebody was a guest: what is logged of it stays.
    before = attendance(tx, on=on, student=name)
    return Attendance(name, on, present, guest_of=before[0].guest_of if before else "")
