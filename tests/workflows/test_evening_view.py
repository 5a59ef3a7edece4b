"""A saved sheet can be marked on the evenings of the groups of those who were given it."""

from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.workflows.evening_grid import CellMark, evening_rows, item_view, touch_answers
from coachbook.workflows.evening_view import check_to_mark, groups_to_mark, is_of_evening
from tests.workflows.foxes import FIRST, START, given, planned, week
from tests.workflows.test_evening_grid import touch


@pytest.fixture
def code(foxes: Book) -> str:
    """A sheet of Ana's, made a day before the second evening."""
    planned(foxes)
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    return given(foxes, "Ana", FIRST, week(1) - timedelta(1))


def test_the_groups_of_those_who_have_it_are_offered_with_their_evening(foxes: Book, code: str) -> None:
    (found,) = groups_to_mark(foxes, code, week(2))
    assert (found.group.name, found.students, found.on) == ("Foxes", ("Ana",), week(1))
    assert groups_to_mark(foxes, code, week(1) - timedelta(1))[0].on == week(1) - timedelta(1)


def test_it_stands_beside_the_evenings_own_sheet_for_those_who_have_it_alone(foxes: Book, code: str) -> None:
    ana, bo = evening_rows(foxes, 1, week(1), (code,))
    assert [(each.code, len(each.cells)) for each in ana.beside] == [(code, 6)]
    assert bo.beside == ()
    touch_answers(foxes, touch(), ana.student.id, code, {2: "\u2717"}, week(1))
    ana, _ = evening_rows(foxes, 1, week(1), (code,))
    assert ana.cells_of(code)[1].mark is CellMark.WRONG
    assert ana.cells_of("QB-1") == ()
    assert item_view(foxes, 1, week(1), ana.student.id, 2, "KQRBN", code).cell.mark is CellMark.WRONG


def test_it_is_of_the_evening_only_where_it_was_laid_beside_and_for_whom_it_is(
    foxes: Book, code: str
) -> None:
    ana, bo = (row.student.id for row in evening_rows(foxes, 1, week(1)))
    assert is_of_evening(foxes, 1, week(1), ana, code, (code,))
    assert not is_of_evening(foxes, 1, week(1), ana, code)
    assert not is_of_evening(foxes, 1, week(1), bo, code, (code,))
    with pytest.raises(CoachbookError, match="no such item"):
        item_view(foxes, 1, week(1), bo, 2, "KQRBN", code)


def test_a_day_before_the_sheet_or_to_come_or_without_an_evening_is_refused(foxes: Book, code: str) -> None:
    assert check_to_mark(foxes, code.lower(), 1, week(1), week(1), sure=False) == code
    for on, told in (
        (START, "nobody can have answered it"),
        (week(2), "still to come"),
        (week(1) + timedelta(1), "No evening is planned on 2026-09-18 for Foxes"),
    ):
        with pytest.raises(CoachbookError, match=told):
            check_to_mark(foxes, code, 1, on, week(1) + timedelta(2), sure=False)
    with pytest.raises(CoachbookError, match="still to come"):
        check_to_mark(foxes, code, 1, week(2), week(1), sure=True)
    assert check_to_mark(foxes, code, 1, week(1) + timedelta(1), week(2), sure=True) == code
