"""A club meets on its weekday, inside the term, and never on a date that it skips."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.term.calendar import meeting_dates

THURSDAY = 3
START, END = date(2026, 9, 10), date(2026, 10, 8)  # both Thursdays


def test_the_first_and_the_last_day_of_a_term_count() -> None:
    assert [each.day for each in meeting_dates(START, END, THURSDAY)] == [10, 17, 24, 1, 8]


def test_a_term_may_start_on_any_day() -> None:
    assert meeting_dates(START + timedelta(1), START + timedelta(7), THURSDAY) == (date(2026, 9, 17),)


def test_a_term_may_be_one_day_long() -> None:
    assert meeting_dates(START, START, THURSDAY) == (START,)


def test_skipped_dates_are_left_out() -> None:
    assert date(2026, 9, 24) not in meeting_dates(START, END, THURSDAY, [date(2026, 9, 24)])


def test_summer_time_and_the_turn_of_the_year_change_nothing() -> None:
    dates = meeting_dates(date(2026, 10, 1), date(2027, 4, 15), THURSDAY)
    assert {later - earlier for earlier, later in pairwise(dates)} == {timedelta(7)}


@pytest.mark.parametrize(
    ("start", "end", "weekday", "skip", "message"),
    [
        (END, START, 3, [], "before it starts"),
        (START, date(2062, 10, 8), 3, [], "more than a year"),
        (START, END, 7, [], "not a weekday"),
        (START, END, 3, [date(2026, 9, 25)], "2026-09-25 cannot be skipped: it is a Friday"),
        (START, END, 3, [date(2026, 12, 24)], "2026-12-24 cannot be skipped: it is a Thursday"),
        (START, START, 3, [START], "there is no Thursday left"),
        (START, START, 4, [], "there is no Friday left"),
    ],
)
def test_what_cannot_be_a_term_is_told(
    start: date, end: date, weekday: int, skip: list[date], message: str
) -> None:
    with pytest.raises(CoachbookError, match=message):
        meeting_dates(start, end, weekday, skip)


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(7, 365), st.integers(0, 6), st.data())
def test_meetings_are_exactly_the_weekdays_that_are_not_skipped(
    start: date, days: int, weekday: int, data: st.DataObject
) -> None:
    end = start + timedelta(days)
    every_day = [start + timedelta(number) for number in range(days + 1)]
    weekdays = [day for day in every_day if day.weekday() == weekday]
    skip = data.draw(st.lists(st.sampled_from(weekdays), max_size=len(weekdays) - 1))
    assert list(meeting_dates(start, end, weekday, skip)) == [day for day in weekdays if day not in skip]
