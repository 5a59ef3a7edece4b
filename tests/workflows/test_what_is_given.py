"""What stands on a student's sheet of an evening, and how much of it."""

import pytest

from coachbook.club.book import Book
from coachbook.workflows.evening_needs import MOST_ITEMS, Wanted, tonight_of
from tests.workflows.foxes import SYLLABUS, answered, planned, week

CODES = [unit.code for unit in SYLLABUS.units]


@pytest.fixture
def book(foxes: Book) -> Book:
    planned(foxes, weeks=8)
    return foxes


def wanted(book: Book, evening: int, name: str = "Bo") -> Wanted:
    with book.reading() as page:
        return tonight_of(page, SYLLABUS, "Foxes", week(evening)).wanted[name]


def long_known(book: Book, unit: str) -> None:
    for number in (-90, -89):
        answered(book, "Bo", unit, week(number))


def test_what_is_due_and_does_not_fit_whole_is_given_in_small(book: Book) -> None:
    long_known(book, "queen-walls")
    answered(book, "Bo", "queen-shrink", week(-10))
    assert wanted(book, 0).items == (("queen-walls", 3), ("queen-shrink", 2), (CODES[0], 5))


def test_a_sheet_has_ten_items_at_most_however_much_is_due(book: Book) -> None:
    for unit in CODES[3:9]:
        answered(book, "Bo", unit, week(-1), "+-----")
    counts = [sum(count for _, count in wanted(book, evening).items) for evening in range(8)]
    assert counts == [MOST_ITEMS] * 8 == [10] * 8
