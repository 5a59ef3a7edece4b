"""An evening before it is closed on one page, and what one press on it changes."""

from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group
from coachbook.errors import CoachbookError
from coachbook.model.facts import Doubt
from coachbook.workflows.closing import to_close
from coachbook.workflows.closing_view import close_evening, closing_view, what_moved
from coachbook.workflows.evening_log import list_log
from coachbook.workflows.evening_to_log import evening_still_open
from tests.workflows.foxes import FIRST, NOW, START, SYLLABUS, THIRD, TITLES, planned, present, week


@pytest.fixture
def book(foxes: Book) -> Book:
    planned(foxes)
    return foxes


def test_the_students_of_whom_nobody_said_whether_they_were_there_are_named(book: Book) -> None:
    view = closing_view(book, SYLLABUS, 1, START, START)
    assert (view.left.unmarked, view.is_complete) == (("Ana", "Bo"), False)
    present(book, START, Bo=False)
    assert closing_view(book, SYLLABUS, 1, START, START).left.unmarked == ("Ana",)
    present(book, START, Ana=True)
    view = closing_view(book, SYLLABUS, 1, START, START)
    assert (view.left.unmarked, view.is_complete) == ((), True)


def test_a_day_of_no_plan_is_doubted(book: Book) -> None:
    view = closing_view(book, SYLLABUS, 1, START - timedelta(1), START)
    assert (view.has_plan, view.is_planned) == (True, False)
    assert view.doubt == Doubt(START - timedelta(1), "Foxes", START, START)
    with book.writing() as page:
        add_group(page, "Owls")
    view = closing_view(book, SYLLABUS, 2, START, START)
    assert (view.has_plan, view.is_planned, view.left.units) == (False, False, ())


def test_what_was_not_finished_is_planned_again_once(book: Book) -> None:
    group, moves = close_evening(book, SYLLABUS, 1, START, (FIRST,), START, NOW)
    assert (group.name, moves.on, bool(moves.changes)) == ("Foxes", week(1), True)
    assert to_close(book, SYLLABUS, "Foxes", START).not_done == (TITLES[FIRST],)
    entries = len(list_log(book, 10))
    _, moves = close_evening(book, SYLLABUS, 1, START, (FIRST,), START, NOW)
    assert moves.changes == ()
    assert len(list_log(book, 10)) == entries


def test_an_evening_that_the_coach_has_closed_is_not_open_any_more(book: Book) -> None:
    assert evening_still_open(book, START, ("Foxes",)) == START
    with pytest.raises(CoachbookError, match="was not closed"):
        what_moved(book, SYLLABUS, 1, START)
    _, moves = close_evening(book, SYLLABUS, 1, START, (), START, NOW)
    assert evening_still_open(book, START, ("Foxes",)) is None
    assert closing_view(book, SYLLABUS, 1, START, START).closed_at == NOW
    group, again, titles = what_moved(book, SYLLABUS, 1, START)
    assert (group.name, again, titles) == ("Foxes", moves, ())


def test_only_units_of_the_evening_and_only_past_evenings_can_be_closed(book: Book) -> None:
    with pytest.raises(CoachbookError, match=f"The unit {THIRD} was not planned for that evening"):
        close_evening(book, SYLLABUS, 1, START, (THIRD,), START, NOW)
    with pytest.raises(CoachbookError, match="still to come"):
        close_evening(book, SYLLABUS, 1, week(1), (), START, NOW)
