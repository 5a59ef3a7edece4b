"""Several days in a row, and a time of day, as people write them."""

from datetime import date

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.dates import Towards, read_clock, read_stretch

TODAY = date(2026, 9, 10)


@pytest.mark.parametrize(
    "text",
    [
        "2026-12-24..2027-01-06",
        "24 Dec to 6 Jan 2027",
        " 24 Dec 2026 - 6 Jan 2027 ",
        "24 Dec\N{EN DASH}6 Jan 2027",
    ],
)
def test_the_first_and_the_last_day_are_read(text: str) -> None:
    assert read_stretch(text, TODAY, Towards.AHEAD) == (date(2026, 12, 24), date(2027, 1, 6))


def test_a_day_alone_is_the_first_and_the_last() -> None:
    assert read_stretch("tomorrow", TODAY, Towards.AHEAD) == (date(2026, 9, 11), date(2026, 9, 11))


@pytest.mark.parametrize("text", ["", "Christmas", "24 Dec to", "24 Dec to 6 Jan to 8 Jan", "12 to 14 Oct"])
def test_what_is_no_day_is_told(text: str) -> None:
    with pytest.raises(CoachbookError, match="is not a date"):
        read_stretch(text, TODAY, Towards.AHEAD)


def test_days_that_end_before_they_begin_are_told() -> None:
    with pytest.raises(CoachbookError, match="ends before it begins"):
        read_stretch("14 Oct to 12 Oct", TODAY, Towards.AHEAD)


def test_a_time_of_day_has_hours_and_minutes() -> None:
    assert [read_clock(text) for text in ("18:30", "9:05")] == ["18:30", "09:05"]
    for text in ("half past six", "25:00", "18.30", ""):
        with pytest.raises(CoachbookError, match="is not a time of day"):
            read_clock(text)
