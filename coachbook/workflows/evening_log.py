"""The log of evenings: who was there, what was answered; taking an entry back.

An evening that was held stays as it was planned then: a plan that it followed can be taken back only when
what was logged of it since has been.
"""

import re
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing, rehearsing
from coachbook.club.groups import terms_of
from coachbook.club.log import groups_of_entries, last_entries, log_answers, log_attendance
from coachbook.club.results import answers, attendance
from coachbook.club.students import list_students, roll_of_groups, student_named
from coachbook.club.taken_back import (
    EntryContents,
    bring_back,
    contents_of,
    days_logged_after,
    groups_taken_back,
    numbers_taken_back,
    take_back,
)
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.marking import Mark, mark_answer
from coachbook.files.writing import put_in_place
from coachbook.model.facts import Attendance, EntryFacts, ItemResult, LogEntry
from coachbook.model.term_plan import Closure, Difference, PlanDifference, TermPlan
from coachbook.model.worksheet import Worksheet
from coachbook.term.replan import differences, shape, taken_over
from coachbook.wording.counting import shown_day
from coachbook.wording.people import slip_in_words, slips_in_words
from coachbook.workflows.care import before_logging
from coachbook.workflows.spreadsheet import table_text


@dataclass(frozen=True, slots=True)
class PutRight:
    """The log entry, None if all was logged so already; and who was `there` on the evening, and who
    was `away`, as it holds now."""

    entry: LogEntry | None
    there: tuple[str, ...]
    away: tuple[str, ...]


def put_right(
    book: Book, group: str | None, present: Sequence[str], absent: Sequence[str], on: date, now: datetime
) -> PutRight:
    """Log of these students alone whether they were there; of all others what is logged stays.

    With a `group`, what holds now is returned of its students and these. Raises CoachbookError for an
    unknown name, for one that is given twice, and for an evening of which no attendance is logged: its
    date must be wrong.
    """
    with book.reading() as tx:
        given = _named(tx, present, absent)
        marks = attendance(tx, on=on)
        marked = {mark.student: mark.present for mark in marks}
        guests = {mark.student: mark.guest_of for mark in marks}
        wanted = {student.name for student in list_students(tx, group)} | given.keys()
        if not marked:
            raise _not_logged(tx, on)
        new = [
            Attendance(name, on, here, guest_of=guest_of(tx, name, group) or guests.get(name, ""))
            for name, here in given.items()
            if marked.get(name) is not here
        ]
    entry = _log(book, new, now) if new else None
    marked |= given
    there = tuple(name for name in marked if marked[name] and name in wanted)
    return PutRight(entry, there, tuple(name for name in marked if not marked[name] and name in wanted))


def find_changed(book: Book, given: Mapping[str, bool], on: date) -> tuple[str, ...]:
    """The students of whom something else is logged for an evening than what is given now."""
    with book.reading() as tx:
        marked = {mark.student: mark.present for mark in attendance(tx, on=on)}
    return tuple(name for name, here in given.items() if marked.get(name, here) is not here)


def answers_that_evening(book: Book, names: Sequence[str], on: date) -> dict[str, int]:
    """How many answers of an evening are logged of each of these students, who cannot well have been
    absent then. Raises CoachbookError for an unknown name."""
    with book.reading() as tx:
        students = [student_named(tx, name).name for name in names]
        return {name: sum(each.on == on for each in answers(tx, student=name)) for name in students}


def _named(tx: Reading, present: Sequence[str], absent: Sequence[str]) -> dict[str, bool]:
    there = {student_named(tx, name).name for name in present}
    away = {student_named(tx, name).name for name in absent}
    for name in sorted(there & away):
        raise CoachbookError(f"{name} cannot be both present and absent.", "Keep one of the two.")
    return dict.fromkeys(sorted(there), True) | dict.fromkeys(sorted(away), False)


def _log(book: Book, new: Sequence[Attendance], now: datetime) -> LogEntry:
    before_logging(book, now)
    with book.writing() as tx:
        return log_attendance(tx, new, now)


def _not_logged(tx: Reading, on: date) -> CoachbookError:
    earlier = [mark.on for mark in attendance(tx) if mark.on < on]
    last = Advice(Step.NAME_THE_LAST_EVENING, {"on": str(earlier[-1])}) if earlier else None
    return CoachbookError(
        f"No attendance is logged on {shown_day(on)}, so there is nothing to put right.",
        last or Advice(Step.LOG_ATTENDANCE),
    )


COLUMNS = ("student", "sheet", "item", "answer", "date", "right", "slip")


def write_answers(
    book: Book, path: Path, *, group: str | None, student: str | None, since: date | None, until: date | None
) -> int:
    """Write the answers of a group, a student or all, between two dates, as CSV: how many there are.

    Raises CoachbookError for an unknown name, or if the file cannot be written; then there is none.
    """
    table, count = answers_as_table(book, group=group, student=student, since=since, until=until)
    put_in_place(path, table.encode())
    return count


def answers_as_table(
    book: Book, *, group: str | None, student: str | None, since: date | None, until: date | None
) -> tuple[str, int]:
    """The same as a text, and how many answers it has. Raises CoachbookError for an unknown name."""
    with book.reading() as tx:
        found = [
            result
            for result in answers(tx, group=group, student=student, until=until)
            if since is None or result.on >= since
        ]
    rows = [
        (
            each.student,
            each.sheet,
            each.item,
            each.written,
            each.on,
            "yes" if each.right else "no",
            slip_in_words(each.slip),
        )
        for each in found
    ]
    return table_text([COLUMNS, *rows]), len(found)


GivenSheet = tuple[Worksheet, tuple[str, ...]]
"""A sheet and the students who were given it."""

TICK, CROSS = "\u2713", "\u2717"
"""Written in place of an answer that the coach has marked on paper."""

_LEFT_BLANK = re.compile(r"[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}-]+")
"""A dash means the same wherever a coach types it; that there is no such move is written as a word."""

_COACHS_MARKS = {TICK: Mark(True), CROSS: Mark(False)}


@dataclass(frozen=True, slots=True)
class ListedEntry:
    """An entry of the log, and the `group` that all its students are in, "" if that is not one."""

    id: int
    what: EntryFacts
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
        Tally(name, sum(r.right for r in own), len(own), slips_in_words(r.slip for r in own if r.slip))
        for name in dict.fromkeys(result.student for result in results)
        for own in [[result for result in results if result.student == name]]
    )


def mark_sheet(
    sheet: Worksheet, student: str, written: Mapping[int, str], on: date, letters: str = ""
) -> tuple[ItemResult, ...]:
    """Mark what a student wrote, by item number (from 1), perhaps with the club's own `letters`.

    A tick or a cross is the coach's own mark, a dash stands for what was left blank. Raises
    CoachbookError if there is no such item, or for a day on which there was no such sheet.
    """
    check_made(sheet, on)
    results = []
    for item, text in sorted(written.items()):
        if not 1 <= item <= len(sheet.items):
            raise CoachbookError(
                f"Sheet {sheet.code} has no item {item}.", f"Its items are 1 to {len(sheet.items)}."
            )
        exercise, text = sheet.items[item - 1], text.strip()
        text = "" if _LEFT_BLANK.fullmatch(text) else text
        mark = _COACHS_MARKS.get(text) or mark_answer(exercise, text, letters or None)
        results.append(ItemResult(student, sheet.code, exercise.unit, item, on, text, mark.right, mark.slip))
    return tuple(results)


def check_made(sheet: Worksheet, on: date) -> None:
    """Raises CoachbookError for a day on which there was no such sheet."""
    if on < sheet.made_on:
        raise CoachbookError(
            f"Sheet {sheet.code} was made on {shown_day(sheet.made_on)}:"
            f" nobody can have answered it on {shown_day(on)}.",
            "Check the date.",
        )


def keep_answers(book: Book, results: tuple[ItemResult, ...], now: datetime) -> LogEntry:
    """Log marked answers as one entry, and return it with its evenings. Raises CoachbookError if there are
    none, one does not fit its sheet or stands there twice, or the backup of the day cannot be made; then
    nothing is logged."""
    before_logging(book, now)
    with book.writing() as tx:
        entry = log_answers(tx, results, now)
    evenings = tuple(sorted({each.on for each in results}))
    return replace(entry, what=replace(entry.what, evenings=evenings, with_evenings=True))


def guest_of(tx: Reading, student: str, group: str | None) -> str:
    """The group that a student is a guest of on an evening of it; "" for a group of the student's own, and
    where none is named. Raises CoachbookError for an unknown student or group."""
    own = roll_of_groups(tx).name_of(group) if group is not None else ""
    return "" if own in student_named(tx, student).groups else own


def keep_attendance(
    book: Book, present: Mapping[str, bool], on: date, now: datetime, group: str | None = None
) -> LogEntry:
    """Log who was there as one entry, of a `group` (by its name as it is kept) and its guests. Raises
    CoachbookError if nobody is named, a student is unknown, or the backup of the day cannot be made; then
    nothing is logged."""
    before_logging(book, now)
    with book.writing() as tx:
        marks = [
            Attendance(name, on, here, guest_of=guest_of(tx, name, group)) for name, here in present.items()
        ]
        return log_attendance(tx, marks, now)


def list_log(book: Book, count: int, before: int | None = None) -> list[ListedEntry]:
    """The newest entries of the log, the last one first; of those before the one of a number, if it is given.
    Raises CoachbookError for fewer than one."""
    if count < 1:
        raise CoachbookError(f"{count} entries cannot be listed.", "Ask for 1 or more.")
    with book.reading() as tx:
        entries = last_entries(tx, count, before)
        groups = groups_of_entries(tx, entries[-1].id, entries[0].id) if entries else {}
    return [ListedEntry(each.id, each.what, groups.get(each.id, ""), each.logged_at) for each in entries]


_ALWAYS = Closure(date.min, date.max)


@dataclass(frozen=True, slots=True)
class TakenBack:
    """An entry that was taken back or brought back: what it holds, and what changes in the plans of groups
    (each named)."""

    contents: EntryContents
    changes: tuple[tuple[str, PlanDifference], ...]

    @property
    def entry(self) -> LogEntry:
        return self.contents.entry

    @property
    def is_of_several(self) -> bool:
        """Whether more goes than one student's facts: then the coach is asked first."""
        return len(self.contents.students) > 1 or bool(self.contents.groups)


def what_undo_changes(book: Book, now: datetime, number: int | None) -> TakenBack:
    """The entry that `undo` would take back, and what would change; nothing does. Raises CoachbookError where
    `undo` does."""
    with rehearsing(book) as tx:
        return _undone(tx, number, now)


def undo(book: Book, now: datetime, number: int | None = None) -> TakenBack:
    """Take a log entry back, the last one if no number is given.

    `now` is aware. Raises CoachbookError if there is none, or if an evening that was held would change.
    """
    with book.writing() as tx:
        return _undone(tx, number, now)


def what_redo_changes(book: Book, number: int | None) -> TakenBack:
    """The entry that `redo` would bring back, and what would change; nothing does. Raises CoachbookError
    where `redo` does."""
    with rehearsing(book) as tx:
        return _redone(tx, number)


def redo(book: Book, number: int | None = None) -> TakenBack:
    """Bring back an entry that was taken back, the last one if no number is given.

    Raises CoachbookError if there is none, or if an evening that was held would change.
    """
    with book.writing() as tx:
        return _redone(tx, number)


def list_taken_back(book: Book, count: int) -> list[ListedEntry]:
    """The newest entries that were taken back and can be brought back, the one taken back last first."""
    found = []
    with rehearsing(book) as tx:
        for number in numbers_taken_back(tx)[:count]:
            with suppress(CoachbookError):  # its sheet is gone
                entry = bring_back(tx, number)
                group = groups_of_entries(tx, number, number).get(number, "")
                found.append(ListedEntry(number, entry.what, group, entry.logged_at))
    return found


def _redone(tx: Writing, number: int | None) -> TakenBack:
    before = _plans(tx, groups_taken_back(tx, number))
    entry = bring_back(tx, number)
    changes = _changes(tx, before, entry.id)
    return TakenBack(contents_of(tx, entry.id), changes)


def _undone(tx: Writing, number: int | None, now: datetime) -> TakenBack:
    contents = contents_of(tx, number)
    before = _plans(tx, contents.groups)
    take_back(tx, now, contents.entry.id)
    return TakenBack(contents, _changes(tx, before, contents.entry.id))


def _plans(tx: Reading, groups: Sequence[str]) -> dict[str, TermPlan | None]:
    """All evenings that each group has planned, as one plan."""
    return {group: taken_over([term.plan for term in terms_of(tx, group)], _ALWAYS) for group in groups}


def _changes(
    tx: Reading, before: Mapping[str, TermPlan | None], number: int
) -> tuple[tuple[str, PlanDifference], ...]:
    """What has changed in the plans since an entry was moved. Raises CoachbookError if an evening that was
    logged after it is not as it was."""
    changes = list[tuple[str, PlanDifference]]()
    after = _plans(tx, tuple(before))
    for group, old in before.items():
        new = after[group]
        _check_held(days_logged_after(tx, group, number), group, old, new)
        changes += [(group, each) for each in _differences(old, new)]
    return tuple(changes)


def _differences(old: TermPlan | None, new: TermPlan | None) -> tuple[PlanDifference, ...]:
    if old is not None and new is not None:
        return differences(old, new)
    gone = old is not None
    one = old if gone else new
    if one is None or not one.sessions:
        return ()
    what = Difference.NO_LONGER_PLANNED if gone else Difference.PLANNED_AGAIN
    return (PlanDifference(what, (one.sessions[0].on, one.sessions[-1].on)),)


def _check_held(held: Collection[date], group: str, old: TermPlan | None, new: TermPlan | None) -> None:
    now = {session.on: shape(session) for session in new.sessions} if new is not None else {}
    for session in old.sessions if old is not None else ():
        if session.on in held and now.get(session.on) != shape(session):
            raise CoachbookError(
                f"The evening of {group} on {shown_day(session.on)} was held as it is planned now.",
                "To change that plan, first take back the log of that evening.",
            )
