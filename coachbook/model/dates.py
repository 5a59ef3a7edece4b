"""Reading a day as a coach writes it."""

from datetime import date

from coachbook.errors import CoachbookError

_YEARS = range(1900, 2200)
"""A year beyond is a slip of the keyboard."""


def read_date(text: str) -> date:
    """A date such as 2026-09-10 (ISO 8601). Raises CoachbookError, also for a year far from ours."""
    try:
        read = date.fromisoformat(text)
    except ValueError as error:
        raise CoachbookError(
            f"'{text}' is not a date.", "Write year, month and day, such as 2026-09-10."
        ) from error
    if read.year not in _YEARS:
        raise CoachbookError(
            f"'{text}' is in no year of a club.", f"Write a year from {_YEARS[0]} to {_YEARS[-1]}."
        )
    return read
