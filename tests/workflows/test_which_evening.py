"""Which evening a sheet belongs to, and which days are doubted."""

from datetime import date, timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.sheets import Prepared, keep_prepared, load_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.model.facts import Doubt
from coachbook.workflows.evening_to_log import Days, doubt_of_groups, doubt_of_students
from tests.workflows.foxes import FIRST, START, answered, given, planned, present, week

FRIDAY = START + timedelta(1)


@pytest.fixture
def book(foxes: Book) -> Book:
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
        add_student(page, "Dee")
    return foxes


def evening_of(book: Book, code: str, today: date, student: str = "Ana") -> date:
    with book.reading() as page:
        return Days(page, today).evening_of(student, load_worksheet(page, code))


def test_a_sheet_belongs_to_the_evening_for_which_it_was_made_ready_for_anybody(book: Book) -> None:
    planned(book)
    code = given(book, "Ana", FIRST, START)
    assert evening_of(book, code, week(3)) == START
    with book.writing() as page:
        keep_prepared(page, "Foxes", week(1), {"Ana": Prepared(code, "", ())})
    assert evening_of(book, code, week(3)) == week(1)
    assert evening_of(book, code, week(3), "Bo") == week(1)
    assert evening_of(book, code, START) == START
    with book.writing() as page:
        keep_prepared(page, "Foxes", week(2), {"Bo": Prepared(code, "", ())})
    assert evening_of(book, code, week(3), "Bo") == week(2)


def test_else_it_belongs_to_the_first_evening_since_it_was_made_that_was_planned_or_held(book: Book) -> None:
    code = given(book, "Ana", FIRST, FRIDAY)
    assert evening_of(book, code, week(3)) == week(3)
    planned(book)
    assert evening_of(book, code, week(3)) == week(1)
    assert evening_of(book, code, FRIDAY + timedelta(2)) == FRIDAY + timedelta(2)
    present(book, FRIDAY, Ana=True)
    assert evening_of(book, code, week(3)) == FRIDAY


def test_a_day_to_come_is_doubted_whoever_it_is_about(book: Book) -> None:
    assert doubt_of_groups(book, FRIDAY, START, ("Owls",)) == Doubt(FRIDAY)
    assert doubt_of_students(book, FRIDAY, START, ("Dee",)) == Doubt(FRIDAY)
    assert doubt_of_groups(book, START, START, ("Owls",)) is None


def test_a_past_day_is_doubted_if_the_group_has_a_plan_and_neither_planned_nor_held_it(book: Book) -> None:
    assert doubt_of_groups(book, FRIDAY, week(2), ("Foxes",)) is None
    planned(book)
    doubt = Doubt(FRIDAY, "Foxes", START, week(2))
    assert doubt_of_groups(book, FRIDAY, week(2), ("Foxes",)) == doubt
    assert doubt_of_students(book, FRIDAY, week(2), ("Dee", "Ana", "Bo")) == doubt
    assert doubt_of_groups(book, FRIDAY, week(2), ("Foxes", "Owls")) is None
    assert doubt_of_groups(book, START, week(2), ("Foxes",)) is None
    present(book, FRIDAY, Ana=True)
    assert doubt_of_groups(book, FRIDAY, week(2), ("Foxes",)) is None
    saturday = FRIDAY + timedelta(1)
    assert doubt_of_groups(book, saturday, week(2), ("Foxes",)) == Doubt(saturday, "Foxes", FRIDAY, week(2))


def test_the_nearest_evening_may_be_to_come_and_the_last_one_is_up_to_today(book: Book) -> None:
    planned(book)
    wednesday, before = week(1) - timedelta(1), START - timedelta(3)
    assert doubt_of_groups(book, wednesday, wednesday, ("Foxes",)) == Doubt(
        wednesday, "Foxes", week(1), START
    )
    assert doubt_of_groups(book, before, before, ("Foxes",)) == Doubt(before, "Foxes", START, None)


def test_an_evening_with_answers_was_held(book: Book) -> None:
    planned(book)
    answered(book, "Ana", FIRST, FRIDAY)
    with book.reading() as page:
        days = Days(page, week(2))
        assert days.held("Foxes") == days.held("Foxes") == {FRIDAY}
        assert days.planned("Owls") == frozenset()
