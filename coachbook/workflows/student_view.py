"""A student as a screen shows it: what happened evening by evening, where the student stands, what is due and
what was missed. And a group: where each of its students stands, and who could join."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from coachbook.club.book import Book
from coachbook.club.results import answers, attendance, evenings, observations, play_outs
from coachbook.club.students import group_numbered, list_groups, list_students, student_numbered
from coachbook.model.facts import Attendance, Group, ItemResult, Observation, PlayOutResult, Student
from coachbook.model.printed import FrequentSlip
from coachbook.model.progress import Standing, UnitProgress
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.progress.standing import overview
from coachbook.workflows.catching_up import missed_by
from coachbook.workflows.reports import frequent_slips, units_to_show


@dataclass(frozen=True, slots=True)
class SheetOfDay:
    """What a student answered on a sheet: of which units, how many right, and the slips with repeats."""

    code: str
    units: tuple[str, ...]
    right: int
    tried: int
    slips: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StudentDay:
    """What is logged of a student on a day; `attendance` is None if nothing is said of it."""

    on: date
    attendance: Attendance | None
    sheets: tuple[SheetOfDay, ...]
    play_outs: tuple[PlayOutResult, ...]
    notes: tuple[Observation, ...]


@dataclass(frozen=True, slots=True)
class LevelStanding:
    """A level by its number and title, with the standing in each of its units."""

    number: int
    title: str
    units: tuple[UnitProgress, ...]

    @property
    def is_begun(self) -> bool:
        return any(each.standing is not Standing.NEW for each in self.units)


@dataclass(frozen=True, slots=True)
class StudentView:
    """A student on a day. `days` have the newest first; `due` are the units to be reviewed by then, the
    longest due first; `missed` the codes of units to catch up."""

    student: Student
    groups: tuple[Group, ...]
    on: date
    days: tuple[StudentDay, ...]
    levels: tuple[LevelStanding, ...]
    due: tuple[UnitProgress, ...]
    missed: tuple[str, ...]
    slips: tuple[FrequentSlip, ...]


@dataclass
class _Day:
    attendance: Attendance | None = None
    sheets: defaultdict[str, list[ItemResult]] = field(default_factory=lambda: defaultdict(list))
    play_outs: list[PlayOutResult] = field(default_factory=list)
    notes: list[Observation] = field(default_factory=list)


def student_view(book: Book, syllabus: Syllabus, number: int, on: date) -> StudentView:
    """The student with this id. Raises CoachbookError if there is none."""
    with book.reading() as tx:
        student = student_numbered(tx, number)
        name = student.name
        seen = evenings(tx, student=name, until=on)[name]
        days = _days(
            attendance(tx, student=name),
            answers(tx, student=name),
            play_outs(tx, student=name),
            observations(tx, student=name),
        )
        groups = tuple(group for group in list_groups(tx) if group.name in student.groups)
        tomorrow = on + timedelta(days=1)
        missed = [missed_by(tx, syllabus, group.name, name, seen, tomorrow) for group in groups]
    progress = overview(syllabus, {name: seen}, on)
    by_unit = {each.unit: each for each in progress}
    return StudentView(
        student=student,
        groups=groups,
        on=on,
        days=days,
        levels=tuple(
            LevelStanding(level.number, level.title, tuple(by_unit[unit.code] for unit in level.units))
            for level in syllabus.levels
        ),
        due=tuple(sorted((each for each in progress if each.is_due(on)), key=_due_since)),
        missed=tuple(dict.fromkeys(unit for units in missed for unit in units)),
        slips=frequent_slips(syllabus, {name: seen}, date.min),
    )


def _due_since(progress: UnitProgress) -> date:
    return progress.due_on or date.max


def _days(
    marks: Iterable[Attendance],
    results: Iterable[ItemResult],
    played: Iterable[PlayOutResult],
    notes: Iterable[Observation],
) -> tuple[StudentDay, ...]:
    days: defaultdict[date, _Day] = defaultdict(_Day)
    for mark in marks:
        days[mark.on].attendance = mark
    for result in results:
        days[result.on].sheets[result.sheet].append(result)
    for each in played:
        days[each.on].play_outs.append(each)
    for note in notes:
        days[note.on].notes.append(note)
    return tuple(
        StudentDay(
            on,
            day.attendance,
            tuple(_sheet(code, own) for code, own in day.sheets.items()),
            tuple(day.play_outs),
            tuple(day.notes),
        )
        for on, day in sorted(days.items(), reverse=True)
    )


def _sheet(code: str, results: Sequence[ItemResult]) -> SheetOfDay:
    return SheetOfDay(
        code,
        tuple(dict.fromkeys(each.unit for each in results)),
        sum(each.right for each in results),
        len(results),
        tuple(each.slip for each in results if each.slip),
    )


@dataclass(frozen=True, slots=True)
class LevelColumns:
    """A level by its title, with those of its units that are shown, in order."""

    title: str
    units: tuple[Unit, ...]


@dataclass(frozen=True, slots=True)
class MatrixRow:
    """A student, with the standing in each unit that is shown."""

    student: Student
    standings: tuple[tuple[Unit, Standing], ...]


@dataclass(frozen=True, slots=True)
class GroupView:
    """A group on a day, its students by name. `others` are those who are not in it."""

    group: Group
    on: date
    levels: tuple[LevelColumns, ...]
    rows: tuple[MatrixRow, ...]
    others: tuple[Student, ...]


def group_view(
    book: Book, syllabus: Syllabus, number: int, on: date, *, every_unit: bool = False
) -> GroupView:
    """The group with this id. Units are those that its overview on paper has, or every one. Raises
    CoachbookError if there is none."""
    with book.reading() as tx:
        group = group_numbered(tx, number)
        students = list_students(tx)
        by_student = evenings(tx, group=group.name, until=on)
    progress = overview(syllabus, by_student, on)
    units = syllabus.units if every_unit else units_to_show(syllabus, progress)
    levels = (
        LevelColumns(level.title, tuple(unit for unit in units if unit.level == level.number))
        for level in syllabus.levels
    )
    found = {(each.student, each.unit): each.standing for each in progress}
    return GroupView(
        group=group,
        on=on,
        levels=tuple(level for level in levels if level.units),
        rows=tuple(
            MatrixRow(student, tuple((unit, found[student.name, unit.code]) for unit in units))
            for student in students
            if student.name in by_student
        ),
        others=tuple(student for student in students if student.name not in by_student),
    )
