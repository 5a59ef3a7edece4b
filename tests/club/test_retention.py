"""A student was last seen on the newest date of anything that the book holds of them."""

from collections.abc import Callable
from datetime import date, datetime

import pytest

from coachbook.club.book import Book, Writing
from coachbook.club.log import log_answers, log_attendance, log_observation, log_play_out
from coachbook.club.results import last_seen
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_student
from coachbook.model.facts import Attendance, ItemResult, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.syllabus import Goal
from coachbook.model.worksheet import Worksheet

FEN = "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"
DAY = date(2027, 3, 4)


def seen(book: Book) -> dict[str, date | None]:
    with book.reading() as r:
        return last_seen(r)


def test_one_of_whom_nothing_is_logged_was_never_seen(book: Book) -> None:
    with book.writing() as w:
        for name in ("zoe", "Ada"):
            add_student(w, name)
    assert seen(book) == {"Ada": None, "zoe": None}
    assert list(seen(book)) == ["Ada", "zoe"]


def test_a_sheet_counts_from_the_day_of_the_sheet(evening_book: Book, evening: date) -> None:
    assert seen(evening_book) == dict.fromkeys(("Mina", "Noor", "Tom"), evening)


def _there(w: Writing, now: datetime) -> None:
    log_attendance(w, [Attendance("Mina", DAY, present=True)], now)


def _answered(w: Writing, now: datetime) -> None:
    log_answers(w, [ItemResult("Mina", "QB-1", "queen-box", 1, DAY, "Qg7", right=True)], now)


def _played(w: Writing, now: datetime) -> None:
    log_play_out(w, PlayOutResult("Mina", "queen-box", DAY, FEN, Goal.WIN, 9, PlayOutEnd.MATE), now)


def _noted(w: Writing, now: datetime) -> None:
    log_observation(w, Observation("Mina", "queen-box", DAY, "waited"), now)


def _table_to_come(w: Writing, _now: datetime) -> None:
    run = w.session.connection().exec_driver_sql
    run("CREATE TABLE trophy (student_id INTEGER, won DATE, handed DATE)")
    run("INSERT INTO trophy VALUES (1, '2026-01-01', '2027-03-04')")


@pytest.mark.parametrize("log", [_there, _answered, _played, _noted, _table_to_come])
def test_whatever_is_logged_counts(
    evening_book: Book, now: datetime, evening: date, log: Callable[[Writing, datetime], None]
) -> None:
    with evening_book.writing() as w:
        log(w, now)
    assert seen(evening_book) == {"Mina": DAY, "Noor": evening, "Tom": evening}


def test_an_absence_does_not_count(evening_book: Book, now: datetime, evening: date) -> None:
    with evening_book.writing() as w:
        log_attendance(w, [Attendance("Mina", DAY, present=False)], now)
    assert seen(evening_book)["Mina"] == evening


def test_a_later_sheet_counts(
    evening_book: Book, make_sheet: Callable[..., Worksheet], evening: date
) -> None:
    with evening_book.writing() as w:
        save_worksheet(w, make_sheet("QB-9", keys=("k9",), made_on=DAY), ["Noor"])
    assert seen(evening_book) == {"Mina": evening, "Noor": DAY, "Tom": evening}
