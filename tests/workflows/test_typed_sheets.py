"""Sheets while they are typed: each is a student's own, and so are its evening and its lines."""

from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed
from coachbook.club.sheets import load_worksheet
from coachbook.workflows.evening_to_log import Days
from coachbook.workflows.typed_sheets import TypedSheet, sheets_to_type, with_drafts
from tests.workflows.foxes import FIRST, START, answered, given, logged, planned, week


def typed(book: Book, *codes: str) -> tuple[TypedSheet, ...]:
    with book.reading() as page:
        sheets = [(load_worksheet(page, code), ("Ana",)) for code in codes]
    return sheets_to_type(book, sheets, None, week(3))


def test_what_was_put_aside_of_one_sheet_is_not_taken_for_another_of_the_same_student(foxes: Book) -> None:
    early, late = (given(foxes, "Ana", FIRST, week(number)) for number in (0, 1))
    line = DraftLine(Typed.ANSWERS, week(1), late, "Ana", ((1, "Qg7"), (2, "")))
    resumed = with_drafts(typed(foxes, early, late), [line], "", dated=False)
    assert [each.typed for each in resumed] == [{}, {1: "Qg7", 2: ""}]


def test_the_evening_of_a_sheet_is_its_own_and_not_that_of_another_with_answers(foxes: Book) -> None:
    planned(foxes)
    answered(foxes, "Ana", FIRST, START)
    late = given(foxes, "Ana", FIRST, week(1))
    assert [each.on for each in typed(foxes, late)] == [week(1)]
    logged(foxes, "Ana", late, FIRST, week(2), "+")
    with foxes.reading() as page:
        assert Days(page, week(3)).evening_of("Ana", load_worksheet(page, late)) == week(2)
