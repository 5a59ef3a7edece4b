from datetime import date

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.problem import read_date


def test_days_are_read_as_iso_8601_writes_them() -> None:
    assert read_date("2026-09-10") == date(2026, 9, 10)
    assert [read_date(text).year for text in ("1900-01-01", "2199-12-31")] == [1900, 2199]


@pytest.mark.parametrize("text", ["soon", "2026-02-30", "10.9.2026", ""])
def test_what_is_no_day_is_told(text: str) -> None:
    with pytest.raises(CoachbookError, match=f"'{text}' is not a date. Write year, month and day"):
        read_date(text)


@pytest.mark.parametrize("text", ["0001-01-01", "1899-12-31", "2200-01-01", "9999-12-31"])
def test_a_year_far_from_ours_is_a_slip(text: str) -> None:
    with pytest.raises(
        CoachbookError, match=f"'{text}' has a year that cannot be right. Write a year from 1900 to 2199."
    ):
        read_date(text)
