"""An evening at a glance, student by student: who is there, each answer, each card, each note; one item
with its board and what is right; and what a touch keeps. Every touch is one entry of the log, and one that
is sent again does not count again."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum, auto
from typing import TypeVar

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.groups import groups_with_plan
from coachbook.club.log import log_answers, log_attendance, log_observation
from coachbook.club.results import answers, attendance, observations, play_outs
from coachbook.club.sheets import prepared_for, sizes_of, students_given
from coachbook.club.students import group_numbered, in_order, list_students, student_named, student_numbered
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance, Impression, ItemResult, Observation, PlayOutResult, Student
from coachbook.model.syllabus import Syllabus
from coachbook.model.worksheet import Exercise, Worksheet
from coachbook.paper.text import notated
from coachbook.wording.exercises import answer_in_short
from coachbook.wording.reasons import said_in_key
from coachbook.workflows.evening_log import TICK, guest_of, mark_sheet
from coachbook.workflows.kept_once import Touch, keep_once
from coachbook.workflows.members import planned_session
from coachbook.workflows.playing import check_note, unit_of_note
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
class GridSheet:
    """A sheet that a student was given and that is not the evening's own, with what is logged of it."""

    code: str
    cells: tuple[GridCell, ...]


@dataclass(frozen=True, slots=True)
class GridRow:
    """A student on an evening. `attendance` is None as long as nothing is logged; `sheet` is "" for none;
    `beside` are other sheets that are to be marked then."""

    student: Student
    attendance: Attendance | None
    sheet: str
    cells: tuple[GridCell, ...]
    cards: tuple[GridCard, ...]
    notes: tuple[Observation, ...]
    beside: tuple[GridSheet, ...] = ()

    def cells_of(self, sheet: str) -> tuple[GridCell, ...]:
        """What is logged of a sheet; () of one that is not the student's on this evening."""
        if sheet and sheet == self.sheet:
            return self.cells
        return next((each.cells for each in self.beside if each.code == sheet), ())


def evening_rows(book: Book, group: int, on: date, beside: Sequence[str] = ()) -> tuple[GridRow, ...]:
    """The students of a group (by its id), by name, with the sheets `beside` the evening's own. Raises
    CoachbookError for an unknown group."""
    with book.reading() as tx:
        return rows_of(tx, group_numbered(tx, group).name, on, beside)


def rows_of(tx: Reading, group: str, on: date, beside: Sequence[str] = ()) -> tuple[GridRow, ...]:
    """The students of a group by name, then its guests of that evening: those of other groups who have a
    sheet in it, those who were there as its guests, and, where nobody said whose, those who were there though
    none of their own groups meets. Raises CoachbookError for an
    unknown group."""
    own = list_students(tx, group)
    rows = _rows(tx, group, on, own, beside)
    for guest in _guests(tx, group, on, own):
        rows += _rows(tx, group, on, [guest], beside)
    return tuple(rows)


def students_of_evening(tx: Reading, group: str, on: date) -> list[Student]:
    """Who has a row there, in the same order. Raises CoachbookError for an unknown group."""
    own = list_students(tx, group)
    return [*own, *_guests(tx, group, on, own)]


def groups_meeting(tx: Reading, on: date) -> frozenset[str]:
    """The groups that have planned an evening on a day."""
    return frozenset(name for name in groups_with_plan(tx) if planned_session(tx, name, on) is not None)


def _guests(tx: Reading, group: str, on: date, own: Sequence[Student]) -> list[Student]:
    members = {student.name for student in own}
    present = [mark for mark in attendance(tx, on=on) if mark.present]
    given = prepared_for(tx, group, on).keys() | {each.student for each in present if each.guest_of == group}
    there = {each.student for each in present if not each.guest_of}
    others = [student_named(tx, name) for name in sorted((given | there) - members, key=in_order)]
    meeting = groups_meeting(tx, on) if others else frozenset()
    return [each for each in others if each.name in given or meeting.isdisjoint(each.groups)]


def evening_row(book: Book, group: int, on: date, student: int, beside: Sequence[str] = ()) -> GridRow:
    """One student (by id) on an evening of a group. Raises CoachbookError for an unknown one."""
    with book.reading() as tx:
        return row_of(tx, group_numbered(tx, group).name, on, student_numbered(tx, student), beside)


def row_of(tx: Reading, group: str, on: date, student: Student, beside: Sequence[str] = ()) -> GridRow:
    """The same within a transaction."""
    return _rows(tx, group, on, [student], beside)[0]


def touch_attendance(
    book: Book, touch: Touch, group: int, student: int, on: date, *, present: bool, late: bool = False
) -> None:
    """Log whether a student was there, on the evening of a group (both by id). Raises CoachbookError for an
    unknown one."""

    def keep(tx: Writing) -> None:
        name = student_numbered(tx, student).name
        mark = Attendance(name, on, present, late, guest_of(tx, name, group_numbered(tx, group).name))
        if mark not in attendance(tx, on=on, student=name):
            log_attendance(tx, [mark], touch.at)

    keep_once(book, touch, keep)


def touch_guest(book: Book, touch: Touch, group: int, student: int, on: date) -> None:
    """Log that a student of another group was there on a group's evening (both by id). Raises
    CoachbookError for an unknown one, and for one whose own group meets on that day."""

    def keep(tx: Writing) -> None:
        guest = student_numbered(tx, student)
        if met := sorted(groups_meeting(tx, on).intersection(guest.groups)):
            raise CoachbookError(
                f"{guest.name} is in {met[0]}, which meets on that day.",
                f"Log it on the page of {met[0]}.",
            )
        own = guest_of(tx, guest.name, group_numbered(tx, group).name)
        log_attendance(tx, [Attendance(guest.name, on, present=True, guest_of=own)], touch.at)

    keep_once(book, touch, keep)


def touch_note(
    book: Book,
    syllabus: Syllabus,
    touch: Touch,
    student: int,
    on: date,
    note: str,
    *,
    unit: str = "",
    impression: Impression = Impression.NONE,
) -> None:
    """Log what the coach saw of a student (by id): in a unit, or on the evening as such. Raises
    CoachbookError for an unknown student or unit, for an impression of no unit, and for a note that cannot be
    kept (see `check_note`)."""
    text = check_note(note)
    with book.reading() as tx:
        name = student_numbered(tx, student).name
    code = unit_of_note(book, syllabus, name, unit or None, impression, on)

    def keep(tx: Writing) -> None:
        log_observation(tx, Observation(name, code, on, text, impression), touch.at)

    keep_once(book, touch, keep)


def touch_all_here(book: Book, touch: Touch, group: int, on: date) -> None:
    """Log that all students of a group (by its id) were there of whom nothing is logged on that evening.
    Raises CoachbookError for an unknown group."""

    def keep(tx: Writing) -> None:
        name = group_numbered(tx, group).name
        marked = {mark.student for mark in attendance(tx, on=on, group=name)}
        left = [each.name for each in list_students(tx, name) if each.name not in marked]
        if left:
            log_attendance(tx, [Attendance(each, on, present=True) for each in left], touch.at)

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


def _rows(
    tx: Reading, group: str, on: date, students: Sequence[Student], beside: Sequence[str]
) -> list[GridRow]:
    one = students[0].name if len(students) == 1 else None
    prepared = prepared_for(tx, group, on)
    marks = {mark.student: mark for mark in attendance(tx, on=on, student=one)}
    played = _by_student(play_outs(tx, student=one, group=None if one else group), on)
    notes = _by_student(observations(tx, student=one, group=None if one else group), on)
    given_beside = students_given(tx, beside)
    codes = {prepared[each.name].sheet for each in students if each.name in prepared} - {""} | {*beside}
    sizes, logged = sizes_of(tx, codes), _logged(tx, codes, one)
    rows = []
    for student in students:
        name, given = student.name, prepared.get(student.name)
        code, cards = (given.sheet, given.cards) if given else ("", ())
        others = [each for each in beside if each != code and name in given_beside.get(each, ())]
        rows.append(
            GridRow(
                student,
                marks.get(name),
                code,
                _cells(sizes.get(code, 0), logged.get((name, code), {})),
                tuple(GridCard(card, _last_of(played.get(name, []), card)) for card in cards),
                tuple(notes.get(name, ())),
                tuple(GridSheet(each, _cells(sizes[each], logged.get((name, each), {}))) for each in others),
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


def _cells(items: int, logged: Mapping[int, ItemResult]) -> tuple[GridCell, ...]:
    return tuple(_cell(item, logged.get(item)) for item in range(1, items + 1))


def _cell(item: int, result: ItemResult | None) -> GridCell:
    if result is None:
        return GridCell(item)
    if not result.written:
        return GridCell(item, CellMark.BLANK)
    return GridCell(item, CellMark.RIGHT if result.right else CellMark.WRONG, result.written, result.slip)


@dataclass(frozen=True, slots=True)
class ItemView:
    """An item of a sheet, with `task`, `answer` and `reasons` in words; `items` is how many the sheet has,
    and `title` is the unit's."""

    student: Student
    sheet: str
    title: str
    items: int
    exercise: Exercise
    task: str
    answer: str
    reasons: tuple[str, ...]
    cell: GridCell


def item_view(
    book: Book, group: int, on: date, student: int, item: int, men: str, beside: str = ""
) -> ItemView:
    """An item of the sheet that a student (by id) has on an evening of a group, or of one `beside` it, its
    moves with these letters for the men. Raises CoachbookError for an unknown one."""
    with book.reading() as tx:
        row = row_of(
            tx, group_numbered(tx, group).name, on, student_numbered(tx, student), [beside] if beside else ()
        )
        cells = row.cells_of(beside or row.sheet)
        if not 1 <= item <= len(cells):
            raise CoachbookError("This student has no such item.", "Load tonight's page again.")
        sheet = sound_sheet(tx, beside or row.sheet)
    exercise = sheet.items[item - 1]
    return ItemView(
        student=row.student,
        sheet=sheet.code,
        title=sheet.title_of(exercise.unit),
        items=len(sheet.items),
        exercise=exercise,
        task=notated(exercise.task.words, men),
        answer=notated(answer_in_short(exercise.answer), men),
        reasons=tuple(notated(each, men) for each in said_in_key(exercise)),
        cell=cells[item - 1],
    )
