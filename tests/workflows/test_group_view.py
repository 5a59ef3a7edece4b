"""A group on a screen: levels with their units, each student's standings, and who could join."""

import pytest

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.model.progress import Standing
from coachbook.workflows.group_view import group_view
from coachbook.workflows.members import add_member, add_teaching_group
from tests.workflows.foxes import FIRST, SYLLABUS, answered, week


def test_each_student_has_a_standing_in_every_unit_that_is_shown(foxes: Book) -> None:
    answered(foxes, "Bo", FIRST, week(0))
    view = group_view(foxes, SYLLABUS, 1, week(0))
    assert [(level.title, len(level.units)) for level in view.levels] == [("Mate, not stalemate", 2)]
    told = {row.student.name: [standing for _, standing in row.standings] for row in view.rows}
    new, working = Standing.NEW, Standing.WORKING
    assert told == {"Ana": [new, new], "Bo": [working, new]}
    assert [row.student.id for row in view.rows] == [1, 2]


def test_every_unit_stands_below_its_level(foxes: Book) -> None:
    view = group_view(foxes, SYLLABUS, 1, week(0), every_unit=True)
    assert [level.title for level in view.levels] == [level.title for level in SYLLABUS.levels]
    assert sum(len(level.units) for level in view.levels) == len(SYLLABUS.units)


def test_others_are_those_who_are_not_in_the_group(foxes: Book) -> None:
    add_teaching_group(foxes, "Owls")
    add_member(foxes, "Cy", ["Owls"])
    add_member(foxes, "Dee", [])
    assert [student.name for student in group_view(foxes, SYLLABUS, 1, week(0)).others] == ["Cy", "Dee"]


def test_a_group_that_is_gone_is_told(foxes: Book) -> None:
    with pytest.raises(CoachbookError, match="no longer in the book"):
        group_view(foxes, SYLLABUS, 9, week(0))
