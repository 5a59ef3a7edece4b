"""An evening at a glance, student by student: who is there, each answer, each card, each note; and what a
touch on it keeps. Every touch is one entry of the log, and one that is sent again does not count again."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum, auto
from typing import TypeVar

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.results import answers, attendance, observations, play_outs
from coachbook.club.sheets import prepared_for, sizes_of
from coachbook.club.students import group_numbered, list_students, student_named, student_numbered
from coachbook.club.touches import is_kept, remember
from coachbook.model.facts import Attendance, ItemResult, Observation, PlayOutResult, Student
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.care import before_logging
from coachbook.workflows.evening_log import TICK, mark_sheet
from coachbook.workflows.printed_sheets import sound_sheet

Fact = TypeVar("Fact", PlayOutResult, Observation)


class CellMark(StrEnum):
    """What is logged of an item of a student's sheet."""

    NOTHING = auto()
    RIGHT = auto()
    WRONG = auto()
    BLANK = auto()


@dataclass(frozen=True, slots=True)
class GridCell:
    """An item (from 1): what is logged of it, what was written, and the code of the slip, "" for none."""

    item: int
    mark: CellMark = CellMark.NOTHING
    written: str = ""
    slip: str = ""


@dataclass(frozen=True, slots=True)
class GridCard:
    """A play-out card that was given to a student, and how it was `played` that evening, None if not yet."""

    code: str
    played: PlayOutResult | None = None


@dataclass(frozen=True, slots=True)
class GridRow:
    """A student on an evening. `attendance` is None as long as nothing is logged; `sheet` is "" for none."""

    student: Student
    attendance: Attendance | None
    sheet: str
    cells: tuple[GridCell, ...]
    cards: tuple[GridCard, ...]
    notes: tuple[Observation, ...]


@dataclass(frozen=True, slots=True)
class Touch:
    """What a screen sent: its own number, and when it came."""

    code: str
    at: datetime


def evening_rows(book: Book, group: int, on: date) -> tuple[GridRow, ...]:
    """The students of a group (by its id), by name. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        return rows_of(tx, group_numbered(tx, group).name, on)


def rows_of(tx: Reading, group: str, on: date) -> tuple[GridRow, ...]:
    """The students of a group, and its guests of that evening, by name. Raises CoachbookError for an unknown
    group."""
    own = list_students(tx, group)
    given = {student.name for student in own}
    guests = [student_named(tx, name) for name in prepared_for(tx, group, on) if name not in given]
    return tuple(_rows(tx, group, on, [*own, *guests]))


def evening_row(book: Book, group: int, on: date, student: int) -> GridRow:
    """One student (by id) on an evening of a group. Raises CoachbookError for an unknown one."""
    with book.reading() as tx:
        return row_of(tx, group_numbered(tx, group).name, on, student_numbered(tx, student))


def row_of(tx: Reading, group: str, on: date, student: Student) -> GridRow:
    """The same within a transaction."""
    return _rows(tx, group, on, [student])[0]


def touch_attendance(
    book: Book, touch: Touch, student: int, on: date, *, present: bool, late: bool = False
) -> None:
    """Log whether a student (by id) was there. Raises CoachbookError for an unknown one."""

    def keep(tx: Writing) -> None:
        name = student_numbered(tx, student).name
        mark = Attendance(name, on, present, late)
        if mark not in attendance(tx, on=on, student=name):
            log_attendance(tx, [mark], touch.at)

    keep_once(book, touch, keep)


def touch_answers(
    book: Book, touch: Touch, student: int, sheet: str, written: Mapping[int, str], on: date
) -> None:
    """Log what a student (by id) wrote to items of a sheet, marked by the rules, or the coach's own marks.

    Raises CoachbookError for an unknown student, sheet or item, and for a sheet that was not the student's.
    """

    def keep(tx: Writing) -> None:
        _log_marked(tx, touch, student, sound_sheet(tx, sheet), written, on, book.letters)

    keep_once(book, touch, keep)


def touch_all_right(book: Book, touch: Touch, student: int, sheet: str, on: date) -> None:
    """Log all items of a student's sheet as right that are not logged so yet. Raises as `touch_answers`."""

    def keep(tx: Writing) -> None:
        kept, name = sound_sheet(tx, sheet), student_numbered(tx, student).name
        right = {each.item for each in answers(tx, student=name, sheets=[kept.code]) if each.right}
        left = {item: TICK for item in range(1, len(kept.items) + 1) if item not in right}
        if left:
            _log_marked(tx, touch, student, kept, left, on, book.letters)

    keep_once(book, touch, keep)


def keep_once(book: Book, touch: Touch, keep: Callable[[Writing], object]) -> None:
    """Keep what a touch says, unless it is in the book already: both in one transaction. Raises what `keep`
    raises, and CoachbookError if the backup of the day cannot be made; then nothing is kept."""
    before_logging(book, touch.at)
    with book.writing() as tx:
        if not is_kept(tx, touch.code):
            keep(tx)
            remember(tx, touch.code, touch.at)


def _log_marked(
    tx: Writing,
    touch: Touch,
    student: int,
    sheet: Worksheet,
    written: Mapping[int, str],
    on: date,
    letters: str,
) -> None:
    name = student_numbered(tx, student).name
    log_answers(tx, mark_sheet(sheet, name, written, on, letters), touch.at)


def _rows(tx: Reading, group: str, on: date, students: Sequence[Student]) -> list[GridRow]:
    one = students[0].name if len(students) == 1 else None
    prepared = prepared_for(tx, group, on)
    marks = {mark.student: mark for mark in attendance(tx, on=on, student=one)}
    played = _by_student(play_outs(tx, student=one, group=None if one else group), on)
    notes = _by_student(observations(tx, student=one, group=None if one else group), on)
    codes = {prepared[each.name].sheet for each in students if each.name in prepared} - {""}
    sizes, logged = sizes_of(tx, codes), _logged(tx, codes, one)
    rows = []
    for student in students:
        name, given = student.name, prepared.get(student.name)
        code, cards = (given.sheet, given.cards) if given else ("", ())
        own = logged.get((name, code), {})
        rows.append(
            GridRow(
                student,
                marks.get(name),
                code,
                tuple(_cell(item, own.get(item)) for item in range(1, sizes.get(code, 0) + 1)),
                tuple(GridCard(card, _last_of(played.get(name, []), card)) for card in cards),
                tuple(notes.get(name, ())),
            )
        )
    return rows


def _logged(
    tx: Reading, codes: Collection[str], student: str | None
) -> dict[tuple[str, str], dict[int, ItemResult]]:
    """By student and sheet: what is logged of each item."""
    found: dict[tuple[str, str], dict[int, ItemResult]] = {}
    for each in answers(tx, student=student, sheets=codes) if codes else ():
        found.setdefault((each.student, each.sheet), {})[each.item] = each
    return found


def _by_student(facts: Sequence[Fact], on: date) -> dict[str, list[Fact]]:
    found: dict[str, list[Fact]] = {}
    for fact in facts:
        if fact.on == on:
            found.setdefault(fact.student, []).append(fact)
    return found


def _last_of(played: Sequence[PlayOutResult], card: str) -> PlayOutResult | None:
    return next((each for each in reversed(played) if each.card == card), None)


def _cell(item: int, result: ItemResult | None) -> GridCell:
    if result is None:
        return GridCell(item)
    if not result.written:
        return GridCell(item, CellMark.BLANK)
    return GridCell(item, CellMark.RIGHT if result.right else CellMark.WRONG, result.written, result.slip)
