"""What stands on a student's sheet of an evening, and how much of it."""

import pytest

from coachbook.club.book import Book
from coachbook.exercises.minutes import minutes_of_items
from coachbook.model.term_plan import SlotKind
from coachbook.workflows.evening_needs import Wanted, tonight_of
from coachbook.workflows.sheet_contents import MOST_ITEMS
from tests.workflows.foxes import SYLLABUS, answered, planned, week

ON_PAPER = (SlotKind.REVIEW, SlotKind.PRACTICE, SlotKind.ASSESSMENT)
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


def test_what_is_due_has_the_minutes_of_the_review_and_a_third_of_those_for_practice(book: Book) -> None:
    long_known(book, "queen-walls")
    answered(book, "Bo", "queen-shrink", week(-10))
    due = {unit: count for unit, count in wanted(book, 1).items if unit.startswith("queen")}
    review = sum(minutes_of_items(SYLLABUS.unit(unit), count) for unit, count in due.items())
    assert list(due) == ["queen-walls", "queen-shrink"]
    assert review <= (10 + 20 / 3) * 1.25


def test_a_sheet_has_what_its_minutes_hold_however_much_is_due(book: Book) -> None:
    for unit in CODES[3:9]:
        answered(book, "Bo", unit, week(-1), "+-----")
    for evening in range(8):
        with book.reading() as page:
            tonight = tonight_of(page, SYLLABUS, "Foxes", week(evening))
        minutes = sum(slot.minutes for slot in tonight.session.slots if slot.kind in ON_PAPER)
        items = tonight.wanted["Bo"].items
        taken = sum(minutes_of_items(SYLLABUS.unit(unit), count) for unit, count in items)
        assert sum(count for _, count in items) <= MOST_ITEMS
        assert taken <= minutes * 4 / 3
        assert taken >= minutes * 2 / 3 or sum(count for _, count in items) == MOST_ITEMS
