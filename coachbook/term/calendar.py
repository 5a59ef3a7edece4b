"""The dates on which a club meets."""

from collections.abc import Iterable
from datetime import date, timedelta

from coachbook.errors import CoachbookError

_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_LONGEST_DAYS = 366


def meeting_dates(start: date, end: date, weekday: int, skip: Iterable[date] = ()) -> tuple[date, ...]:
    """Every `weekday` (0 is Monday, 6 is Sunday) from `start` to `end`, both included, except `skip`.

    Raises CoachbookError if the end is before the start, the term is longer than a year (surely
    a slip of the pen), a date to skip is no meeting, or no date is left.
    """
    if not 0 <= weekday <= 6:
        raise CoachbookError(f"{weekday} is not a weekday.", "Give a number from 0 (Monday) to 6 (Sunday).")
    if end < start:
        raise CoachbookError(f"The term ends on {end}, before it starts on {start}.", "Swap the two dates.")
    if (end - start).days >= _LONGEST_DAYS:
        raise CoachbookError(f"From {start} to {end} is more than a year.", "Look at the years again.")
    skipped = set(skip)
    first = start + timedelta((weekday - start.weekday()) % 7)
    meetings = [first + timedelta(days) for days in range(0, (end - first).days + 1, 7)]
    wrong = sorted(skipped - set(meetings))
    if wrong:
        raise CoachbookError(
            f"{wrong[0]} cannot be skipped: it is a {_WEEKDAYS[wrong[0].weekday()]}, and no meeting.",
            f"The club meets on {_WEEKDAYS[weekday]}s from {start} to {end}.",
        )
    dates = tuple(meeting for meeting in meetings if meeting not in skipped)
    if not dates:
        raise CoachbookError(
            f"From {start} to {end} there is no {_WEEKDAYS[weekday]} left to meet on.",
            "Choose a longer term or skip fewer dates.",
        )
    return dates
