from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.results import answers, attendance
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance, ItemResult

MakeResult = Callable[..., ItemResult]
WEEK = timedelta(days=7)


@pytest.fixture
def results(evening_book: Book, make_result: MakeResult, now: datetime, evening: date) -> list[ItemResult]:
    """Logged in this order, which is not the order in which they are read."""
    logged = [
        make_result("Noor", "RB-1", 1, unit="rook-box", on=evening + WEEK),
        make_result("Tom", "RB-1", 2, unit="rook-box"),
        make_result("Tom", "QB-1", 3, slip="not tried", written=""),
        make_result("Mina", "QB-1", 2),
        make_result("Mina", "QB-1", 1, slip="stalemate", written="Qg6\x00 \u265b"),
    ]
    with evening_book.writing() as w:
        log_answers(w, logged, now)
    return logged


def test_answers_come_back_as_they_were_logged_in_order(
    evening_book: Book, results: list[ItemResult]
) -> None:
    noor, tom_rook, tom_queen, mina_2, mina_1 = results
    with evening_book.reading() as r:
        assert answers(r) == [mina_1, mina_2, tom_queen, tom_rook, noor]


def test_answers_are_chosen_by_student_unit_group_and_evening(
    evening_book: Book, results: list[ItemResult], evening: date
) -> None:
    noor, tom_rook, tom_queen, mina_2, mina_1 = results
    with evening_book.reading() as r:
        assert answers(r, student="tom") == [tom_queen, tom_rook]
        assert answers(r, unit="rook-box") == [tom_rook, noor]
        assert answers(r, group="tuesday") == [mina_1, mina_2, tom_queen, tom_rook]
        assert answers(r, until=evening) == [mina_1, mina_2, tom_queen, tom_rook]
        assert answers(r, until=evening + WEEK) == [mina_1, mina_2, tom_queen, tom_rook, noor]
        assert answers(r, until=evening - WEEK) == []
        assert answers(r, student="Tom", unit="rook-box", group="Tuesday", until=evening) == [tom_rook]
        assert answers(r, unit="no-such-unit") == []


def test_answers_of_an_unknown_student_or_group_are_refused(evening_book: Book) -> None:
    with evening_book.reading() as r:
        with pytest.raises(CoachbookError, match="no student 'Mira'"):
            answers(r, student="Mira")
        with pytest.raises(CoachbookError, match="no group 'Monday'"):
            answers(r, group="Monday")


def test_a_correction_holds_for_all_time(
    evening_book: Book, make_result: MakeResult, now: datetime, evening: date
) -> None:
    """An answer logged under a wrong date is not found there once it was put right."""
    with evening_book.writing() as w:
        log_answers(w, [make_result(on=evening)], now)
        log_answers(w, [make_result(on=evening + WEEK)], now)
        assert answers(w, until=evening) == []
        assert answers(w, until=evening + WEEK) == [make_result(on=evening + WEEK)]


def test_attendance_comes_by_evening_and_name(evening_book: Book, now: datetime, evening: date) -> None:
    earlier = evening - WEEK
    logged = [
        Attendance("Tom", evening, present=False),
        Attendance("Noor", evening, present=True),
        Attendance("Mina", evening, present=True),
        Attendance("Tom", earlier, present=True),
    ]
    tom, noor, mina, tom_earlier = logged
    with evening_book.writing() as w:
        log_attendance(w, logged, now)
    with evening_book.reading() as r:
        assert attendance(r) == [tom_earlier, mina, noor, tom]
        assert attendance(r, on=evening) == [mina, noor, tom]
        assert attendance(r, group="Tuesday") == [tom_earlier, mina, tom]
        assert attendance(r, on=earlier, group="tuesday") == [tom_earlier]
        assert attendance(r, on=date(1999, 1, 1)) == []
        with pytest.raises(CoachbookError, match="no group 'Monday'"):
            attendance(r, group="Monday")
