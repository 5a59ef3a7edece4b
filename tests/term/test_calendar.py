"""A club meets on its weekday, inside the term, and never on a date that it skips."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.term_plan import Closure
from coachbook.term.calendar import meeting_dates, zone_named

THURSDAY = 3
START, END = date(2026, 9, 10), date(2026, 10, 8)  # both Thursdays


def test_the_first_and_the_last_day_of_a_term_count() -> None:
    assert [each.day for each in meeting_dates(START, END, [THURSDAY])] == [10, 17, 24, 1, 8]


def test_a_term_may_start_on_any_day() -> None:
    assert meeting_dates(START + timedelta(1), START + timedelta(7), [THURSDAY]) == (date(2026, 9, 17),)


def test_a_term_may_be_one_day_long() -> None:
    assert meeting_dates(START, START, [THURSDAY]) == (START,)


def test_skipped_dates_are_left_out() -> None:
    assert date(2026, 9, 24) not in meeting_dates(START, END, [THURSDAY], [date(2026, 9, 24)])


def test_summer_time_and_the_turn_of_the_year_change_nothing() -> None:
    dates = meeting_dates(date(2026, 10, 1), date(2027, 4, 15), [THURSDAY])
    assert {later - earlier for earlier, later in pairwise(dates)} == {timedelta(7)}


def test_a_club_may_meet_on_several_weekdays() -> None:
    dates = meeting_dates(START, START + timedelta(7), [THURSDAY, 0])
    assert [(each.day, each.weekday()) for each in dates] == [(10, 3), (14, 0), (17, 3)]


def test_no_meeting_falls_into_a_closure_and_a_closure_may_hit_none() -> None:
    half_term = Closure(date(2026, 9, 21), date(2026, 10, 1))
    friday = Closure(date(2026, 9, 11), date(2026, 9, 11))
    assert [each.day for each in meeting_dates(START, END, [THURSDAY], closures=[half_term, friday])] == [
        10,
        17,
        8,
    ]


@pytest.mark.parametrize(
    ("start", "end", "weekdays", "skip", "message"),
    [
        (END, START, [3], [], "before it starts"),
        (START, date(2062, 10, 8), [3], [], "more than a year"),
        (START, END, [7], [], "not a weekday"),
        (START, END, [], [], "no weekday to meet on"),
        (START, END, [3], [date(2026, 9, 25)], "2026-09-25 cannot be skipped: it is a Friday"),
        (START, END, [3], [date(2026, 12, 24)], "2026-12-24 cannot be skipped: it is a Thursday"),
        (START, START, [3], [START], "there is no Thursday left"),
        (START, START, [4, 1], [], "there is no Tuesday or Friday left"),
    ],
)
def test_what_cannot_be_a_term_is_told(
    start: date, end: date, weekdays: list[int], skip: list[date], message: str
) -> None:
    with pytest.raises(CoachbookError, match=message):
        meeting_dates(start, end, weekdays, skip)


@given(
    st.dates(date(2000, 1, 1), date(2100, 1, 1)),
    st.integers(7, 365),
    st.sets(st.integers(0, 6), min_size=1),
    st.data(),
)
def test_meetings_are_exactly_the_weekdays_that_are_neither_skipped_nor_closed(
    start: date, days: int, weekdays: set[int], data: st.DataObject
) -> None:
    end = start + timedelta(days)
    every_day = [start + timedelta(number) for number in range(days + 1)]
    meetings = [day for day in every_day if day.weekday() in weekdays]
    skip = data.draw(st.lists(st.sampled_from(meetings), max_size=5, unique=True))
    first = data.draw(st.sampled_from(every_day))
    closure = Closure(first, first + timedelta(data.draw(st.integers(0, 20))))
    left = [day for day in meetings if day not in skip and not closure.first <= day <= closure.last]
    assume(left)
    assert list(meeting_dates(start, end, weekdays, skip, [closure])) == left


@pytest.mark.parametrize("name", ["", "Atlantis/Poseidonis", "../../etc/passwd", "Europe", "x" * 300])
def test_a_clock_that_nobody_knows_is_told(name: str) -> None:
    with pytest.raises(CoachbookError, match="There is no time zone"):
        zone_named(name)
