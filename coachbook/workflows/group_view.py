"""A group as a screen shows it: where each student stands, what goes wrong most, and who could join."""

from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book
from coachbook.model.facts import Group, Student
from coachbook.model.printed import GroupOverview, UnitColumn
from coachbook.model.progress import Standing
from coachbook.model.syllabus import Syllabus
from coachbook.workflows.members import group_with, students_of
from coachbook.workflows.reports import group_overview


@dataclass(frozen=True, slots=True)
class LevelColumns:
    """A level by its title, with those of its units that are shown, in order."""

    title: str
    units: tuple[UnitColumn, ...]


@dataclass(frozen=True, slots=True)
class MatrixRow:
    """A student, with the standing in each unit that is shown."""

    student: Student
    standings: tuple[tuple[UnitColumn, Standing], ...]


@dataclass(frozen=True, slots=True)
class GroupView:
    """A group on a day. `others` are the students who are not in it, `seen` is the same on paper."""

    group: Group
    levels: tuple[LevelColumns, ...]
    rows: tuple[MatrixRow, ...]
    others: tuple[Student, ...]
    seen: GroupOverview


def group_view(
    book: Book, syllabus: Syllabus, number: int, on: date, *, every_unit: bool = False
) -> GroupView:
    """The group with this id. Units are those that the overview has. Raises CoachbookError if there is
    none."""
    group = group_with(book, number)
    seen = group_overview(book, syllabus, group.name, on, every_unit=every_unit)
    students = students_of(book)
    by_name = {student.name: student for student in students}
    levels = (
        LevelColumns(level.title, tuple(unit for unit in seen.units if unit.level == level.number))
        for level in syllabus.levels
    )
    return GroupView(
        group=group,
        levels=tuple(level for level in levels if level.units),
        rows=tuple(
            MatrixRow(by_name[name], tuple(zip(seen.units, standings, strict=True)))
            for name, standings in seen.rows
        ),
        others=tuple(student for student in students if group.name not in student.groups),
        seen=seen,
    )
