"""What a column cannot hold is told as damage, and is no bug."""

from collections.abc import Callable
from datetime import date, datetime

import pytest

from coachbook.club.book import Book
from coachbook.club.log import last_entries
from coachbook.club.results import attendance, last_seen, observations
from coachbook.club.stored import DamagedValueError, stored_as, stored_date
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import Impression, ItemResult
from tests.club.copies import log_evening


@pytest.mark.parametrize(
    "value", ["soon", "2026-02-30", "20260910", "9999-12-31", "0001-01-01", "", 7, 2.5, b"x", None]
)
def test_what_is_no_day_of_a_club_is_damaged(value: object) -> None:
    assert stored_date("2026-09-10") == date(2026, 9, 10)
    with pytest.raises(DamagedValueError, match=r"is no date$"):
        stored_date(value)


def test_a_word_that_is_none_of_those_there_are_is_damaged() -> None:
    assert stored_as(Impression, "can do it", "impression") is Impression.CAN
    with pytest.raises(DamagedValueError, match=r"^'can do is' is no impression$"):
        stored_as(Impression, "can do is", "impression")


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("UPDATE attendance SET evening = 'soon'", "is damaged: 'soon' is no date"),
        ("UPDATE attendance SET present = 7", "is damaged: '7' is neither yes nor no"),
        ("UPDATE log_entry SET logged_at = 'soon'", "is damaged: 'soon' is not a date and time"),
        ("UPDATE observation SET note = x'ff'", "is no text"),
        ("UPDATE sheet SET made_on = '2026-02-30'", "is damaged: '2026-02-30' is no date"),
    ],
)
def test_a_list_that_meets_damage_says_so_with_what_to_do(
    evening_book: Book,
    make_result: Callable[..., ItemResult],
    now: datetime,
    statement: str,
    told: str,
) -> None:
    log_evening(evening_book, make_result, now)
    with evening_book.writing() as w:
        run = w.session.connection().exec_driver_sql
        run("INSERT INTO observation VALUES (1, 1, 'queen-box', '2026-11-25', 'waited', '')")
        run(statement)
    with pytest.raises(CoachbookError, match=told) as found, evening_book.reading() as r:
        attendance(r)
        last_entries(r, 9)
        observations(r)
        last_seen(r)
    assert found.value.hint == Advice(Step.RESTORE_THE_BOOK)
