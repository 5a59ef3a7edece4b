"""A student on a screen: evening by evening, unit by unit, what is due and what was missed."""

import pytest

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.model.progress import Standing
from coachbook.workflows.members import add_member, add_teaching_group, move_member
from coachbook.workflows.student_view import group_view, student_view
from tests.workflows.foxes import FIRST, SECOND, SYLLABUS, answered, planned, played, present, week


def test_the_newest_evening_comes_first_with_all_that_is_logged_of_it(foxes: Book) -> None:
    present(foxes, week(0), Ana=True, Bo=False)
    answered(foxes, "Ana", FIRST, week(0), "++s-")
    answered(foxes, "Ana", FIRST, week(1))
    played(foxes, "Ana", "PLAY-TWO-MAJORS-1", week(1), used=5)
    last, first = student_view(foxes, SYLLABUS, 1, week(1)).days
    assert (last.on, last.attendance, len(last.sheets), len(last.play_outs)) == (week(1), None, 1, 1)
    assert first.attendance is not None
    assert first.attendance.present
    sheet = first.sheets[0]
    assert (sheet.units, sheet.right, sheet.tried) == ((FIRST,), 2, 4)
    assert sheet.slips == ("stalemate", "not tried")


def test_every_unit_has_its_standing_below_its_level(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, week(0))
    view = student_view(foxes, SYLLABUS, 1, week(0))
    assert [level.title for level in view.levels] == [level.title for level in SYLLABUS.levels]
    assert [level.is_begun for level in view.levels[:2]] == [True, False]
    assert [each.standing for each in view.levels[0].units[:2]] == [Standing.WORKING, Standing.NEW]


def test_what_is_due_comes_in_the_order_in_which_it_became_due(foxes: Book) -> None:
    answered(foxes, "Ana", SECOND, week(0), "------")
    answered(foxes, "Ana", FIRST, week(1), "------")
    assert [each.unit for each in student_view(foxes, SYLLABUS, 1, week(4)).due] == [SECOND, FIRST]
    assert student_view(foxes, SYLLABUS, 2, week(4)).due == ()


def test_slips_are_those_of_the_student_alone(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, week(0), "ss")
    answered(foxes, "Bo", FIRST, week(0), "--")
    assert [slip.slip for slip in student_view(foxes, SYLLABUS, 1, week(0)).slips] == ["stalemate"]


def test_a_lesson_that_was_missed_is_to_be_caught_up(foxes: Book) -> None:
    planned(foxes)
    present(foxes, week(0), Ana=True, Bo=False)
    assert FIRST in student_view(foxes, SYLLABUS, 2, week(0)).missed
    assert student_view(foxes, SYLLABUS, 1, week(0)).missed == ()


def test_a_student_is_moved_between_groups(foxes: Book) -> None:
    owls = add_teaching_group(foxes, "Owls").id
    assert move_member(foxes, 1, [owls]).groups == ("Owls",)
    assert move_member(foxes, 1, [1, owls]).groups == ("Foxes", "Owls")
    with pytest.raises(CoachbookError, match="group is no longer in the book"):
        move_member(foxes, 1, [9])
    assert [group.name for group in student_view(foxes, SYLLABUS, 1, week(0)).groups] == ["Foxes", "Owls"]
    assert move_member(foxes, 1, []).groups == ()


def test_a_student_who_is_gone_is_told(foxes: Book) -> None:
    with pytest.raises(CoachbookError, match="no longer in the book"):
        student_view(foxes, SYLLABUS, 9, week(0))


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
