"""What belongs to an evening: its groups, their students and guests, and the sheets given for it."""

from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.evening_grid import evening_rows
from coachbook.workflows.evening_view import is_of_evening
from coachbook.workflows.members import add_member, add_teaching_group
from coachbook.workflows.preparing import prepare_evening
from tests.workflows.foxes import START, SYLLABUS, planned, week

FOXES, OWLS, ANA, ZOE = 1, 2, 1, 3


@pytest.fixture
def evening(foxes: Book, tmp_path: Path) -> Book:
    """The first evening of the Foxes, with its papers; the Owls have none."""
    planned(foxes)
    add_teaching_group(foxes, "Owls")
    add_member(foxes, "Zoe", ("Owls",))
    prepare_evening(
        foxes, SYLLABUS, START, (), tmp_path / "papers", START, PaperOptions(), in_words=lambda _: ""
    )
    return foxes


def test_a_group_is_there_on_its_own_evenings(evening: Book) -> None:
    assert is_of_evening(evening, FOXES, START)
    assert not is_of_evening(evening, OWLS, START)
    assert not is_of_evening(evening, 99, START)


def test_on_a_day_that_no_group_has_planned_all_are_there(evening: Book) -> None:
    assert is_of_evening(evening, OWLS, week(40))


def test_a_student_is_there_with_the_group(evening: Book) -> None:
    assert is_of_evening(evening, FOXES, START, ANA)
    assert not is_of_evening(evening, FOXES, START, ZOE)
    assert not is_of_evening(evening, FOXES, START, 99)


def test_a_sheet_is_of_the_student_to_whom_it_was_given_for_the_evening(evening: Book) -> None:
    sheet = evening_rows(evening, FOXES, START)[0].sheet
    assert is_of_evening(evening, FOXES, START, ANA, sheet)
    assert not is_of_evening(evening, FOXES, START, ANA, "")
    assert not is_of_evening(evening, FOXES, START, None, sheet)
    assert not is_of_evening(evening, FOXES, week(1), ANA, sheet)
