"""Closing an evening: what is still to be logged of it, and what moves to the next one."""

import pytest

from coachbook.club.book import Book
from coachbook.club.log import log_observation
from coachbook.club.prepared import Prepared, keep_prepared
from coachbook.model.club import Impression, Observation
from coachbook.workflows.closing import move_on, to_close
from tests.workflows.foxes import FIRST, NOW, SECOND, START, SYLLABUS, answered, given, logged, planned, week


@pytest.fixture
def book(foxes: Book) -> Book:
    planned(foxes)
    return foxes


def saw(book: Book, impression: Impression, unit: str) -> None:
    with book.writing() as page:
        log_observation(page, Observation("Ana", unit, week(-30), "asks at each step", impression), NOW)


def prepared(book: Book, **sheets: str) -> None:
    with book.writing() as page:
        keep_prepared(page, "Foxes", START, {name: Prepared(code, "", ()) for name, code in sheets.items()})


def test_who_had_trouble_is_brought_back_though_every_answer_was_right(book: Book) -> None:
    answered(book, "Ana", SECOND, week(-30))
    saw(book, Impression.CAN, SECOND)
    told = move_on(book, SYLLABUS, "Foxes", START, ())
    assert (told.bring_back, told.all_right) == ((), ("Ana",))
    saw(book, Impression.TROUBLE, SECOND)
    told = move_on(book, SYLLABUS, "Foxes", START, ())
    assert [each.student for each in told.bring_back] == ["Ana"]
    assert told.all_right == ()


def test_answers_on_one_sheet_say_nothing_of_another_sheet_of_the_student(book: Book) -> None:
    answered(book, "Ana", FIRST, week(-1))
    waiting, begun = given(book, "Ana", FIRST, START), given(book, "Bo", FIRST, START)
    logged(book, "Bo", begun, FIRST, START, "++")
    prepared(book, Ana=waiting, Bo=begun)
    left = to_close(book, SYLLABUS, "Foxes", START)
    assert [(sheet.code, students) for sheet, students in left.sheets] == [
        (waiting, ("Ana",)),
        (begun, ("Bo",)),
    ]
    assert [(each.student, each.sheet, each.items) for each in left.half] == [("Bo", begun, (3, 4, 5, 6))]
