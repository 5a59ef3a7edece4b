"""A group as a screen shows it: where each student stands, and who could join."""

from dataclasses import dataclass
from datetime import date

from coachbook.club.book import Book
from coachbook.club.results import evenings
from coachbook.club.students import group_numbered, list_students
from coachbook.model.facts import Group, Student
from coachbook.model.progress import Standing
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.progress.standing import overview
from coachbook.workflows.reports import units_to_show


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
