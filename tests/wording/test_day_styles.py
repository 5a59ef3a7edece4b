"""Days in the style that a club has chosen."""

from collections.abc import Iterator
from contextvars import copy_context
from datetime import date

import pytest

from coachbook.model.settings import DateStyle
from coachbook.wording.counting import day_and_month, day_in_words, short_day, show_dates, shown_day

DAY = date(2027, 1, 12)


@pytest.fixture(autouse=True)
def usual_afterwards() -> Iterator[None]:
    yield
    show_dates(DateStyle.USUAL)


@pytest.mark.parametrize(
    ("style", "shown", "on_paper", "short"),
    [
        (DateStyle.USUAL, "2027-01-12", "Tue 12 Jan 2027", "Tue 12 Jan"),
        (DateStyle.ISO, "2027-01-12", "Tue 2027-01-12", "Tue 12 Jan"),
        (DateStyle.DAY_FIRST, "12 Jan 2027", "Tue 12 Jan 2027", "Tue 12 Jan"),
        (DateStyle.MONTH_FIRST, "Jan 12, 2027", "Tue Jan 12, 2027", "Tue Jan 12"),
    ],
)
def test_a_day_is_shown_in_each_style(style: DateStyle, shown: str, on_paper: str, short: str) -> None:
    show_dates(style)
    assert (shown_day(DAY), day_in_words(DAY), short_day(DAY)) == (shown, on_paper, short)
    assert f"Tue {day_and_month(DAY)}" == short


def test_two_clubs_at_once_have_each_its_own_style() -> None:
    other = copy_context()
    other.run(show_dates, DateStyle.MONTH_FIRST)
    assert (other.run(shown_day, DAY), shown_day(DAY)) == ("Jan 12, 2027", "2027-01-12")
