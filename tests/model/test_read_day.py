"""Days are read as people write them."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.dates import WEEKDAYS, Towards, read_day, read_weekday
from coachbook.model.settings import DateStyle
from coachbook.wording.counting import day_in_words, short_day, show_dates, shown_day

TODAY = date(2027, 1, 13)
"""A Wednesday."""
DAYS = st.dates(date(1900, 1, 1), date(2199, 12, 31))
TOWARDS = st.sampled_from(Towards)


def read(text: str, towards: Towards = Towards.PAST, today: date = TODAY) -> date:
    return read_day(text, today, towards)


@given(DAYS, DAYS, TOWARDS, st.sampled_from(DateStyle))
def test_a_day_that_is_shown_in_any_style_is_read_as_the_same_day(
    day: date, today: date, towards: Towards, style: DateStyle
) -> None:
    show_dates(style)
    try:
        assert read_day(shown_day(day), today, towards) == day
        assert read_day(day_in_words(day), today, towards) == day
    finally:
        show_dates(DateStyle.USUAL)


@given(DAYS, st.integers(-182, 182), TOWARDS, st.sampled_from(DateStyle))
def test_a_day_without_a_year_is_the_nearest_one(
    day: date, away: int, towards: Towards, style: DateStyle
) -> None:
    show_dates(style)
    try:
        assert read_day(short_day(day), day + timedelta(days=away), towards) == day
    finally:
        show_dates(DateStyle.USUAL)


@given(DAYS, st.integers(0, 6), st.sampled_from([2, 3, 20]))
def test_a_weekday_is_the_last_one_for_what_was_and_the_next_one_for_what_comes(
    today: date, weekday: int, letters: int
) -> None:
    name = WEEKDAYS[weekday][:letters]
    past, ahead = (read_day(name, today, towards) for towards in (Towards.PAST, Towards.AHEAD))
    assert past.weekday() == ahead.weekday() == weekday
    assert today - timedelta(days=6) <= past <= today <= ahead <= today + timedelta(days=6)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-01-12", "2027-01-12"),
        (" 12 Jan ", "2027-01-12"),
        ("12 january 2027", "2027-01-12"),
        ("JAN 12", "2027-01-12"),
        ("12. Jan. 2027", "2027-01-12"),
        ("January 12th, 2028", "2028-01-12"),
        ("Tue 12 Jan", "2027-01-12"),
        ("3 Sept", "2026-09-03"),
        ("14 June", "2027-06-14"),
        ("today", "2027-01-13"),
        ("Yesterday", "2027-01-12"),
        ("tomorrow", "2027-01-14"),
        ("w", "2027-01-13"),
        ("29 Feb 2028", "2028-02-29"),
    ],
)
def test_a_day_may_be_written_in_many_ways(text: str, day: str) -> None:
    assert str(read(text)) == day


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("30 Feb", "'30 Feb' is not a date: February has 29 days. Write it like 2027-01-12"),
        ("31 April", "'31 April' is not a date: April has 30 days."),
        ("29 Feb 2027", "'29 Feb 2027' is not a date: February 2027 has 28 days."),
        ("29 Feb", "'29 Feb' needs a year: no year near this one has that day. Write it like 29 Feb"),
        ("0 Jan", "'0 Jan' is not a date: January has 31 days."),
        ("1/2/27", "'1/2/27' does not say which number is the month. Write it like 2027-01-12"),
        ("12.1.2027", "'12.1.2027' does not say which number is the month."),
        ("12 Jan 27", "'12 Jan 27' is not a date. Write it like 2027-01-12"),
        ("12 Ju", "'12 Ju' is not a date."),
        ("t", "'t' could be Tuesday or Thursday."),
        ("Wed 12 Jan 2027", "'Wed 12 Jan 2027' cannot be right: that day is a Tuesday. Check the date."),
        ("12 Jan 0000", "is not a date."),
        ("12 Jan 3000", "'3000-01-12' has a year that cannot be right."),
        ("Jan 2027", "'Jan 2027' is not a date."),
        ("", "'' is not a date."),
        (" . ", "'.' is not a date."),
        (",", "',' is not a date."),
        ("soon", "'soon' is not a date. Write it like 2027-01-12, 12 Jan 2027, 12 Jan, tue or yesterday."),
    ],
)
def test_what_is_no_day_or_could_be_two_is_told_in_one_line(text: str, told: str) -> None:
    with pytest.raises(CoachbookError) as caught:
        read(text)
    assert told in str(caught.value)


@given(st.text(max_size=30) | st.from_regex(r"[a-z0-9 ,./-]{1,20}"), DAYS, TOWARDS)
def test_any_text_is_a_day_or_told_as_none(text: str, today: date, towards: Towards) -> None:
    try:
        assert isinstance(read_day(text, today, towards), date)
    except CoachbookError as error:
        assert "'" in error.message


def test_a_weekday_is_known_by_its_first_letters() -> None:
    assert [read_weekday(text) for text in ("mon", "Tuesday", " su")] == [0, 1, 6]
    with pytest.raises(CoachbookError, match="is not a weekday"):
        read_weekday("")
