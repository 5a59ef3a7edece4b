"""The dates on which a club meets, and the clock that it goes by."""

from collections.abc import Collection, Iterable
from datetime import date, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from coachbook.errors import CoachbookError
from coachbook.model.term import Closure

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_LONGEST_DAYS = 366


def meeting_dates(
    start: date,
    end: date,
    weekdays: Collection[int],
    skip: Iterable[date] = (),
    closures: Iterable[Closure] = (),
) -> tuple[date, ...]:
    """Every date from `start` to `end`, both included, that falls on one of `weekdays` (0 is Monday,
    6 is Sunday), except those to `skip` and those within `closures`.

    A date to skip must be a meeting; a closure need not touch any (school holidays have days of
    their own). Raises CoachbookError if the end is before the start, the term is longer than a year
    (surely a slip of the pen), a date to skip is no meeting, or no date is left.
    """
    _check(start, end, weekdays)
    days = [start + timedelta(number) for number in range((end - start).days + 1)]
    meetings = [day for day in days if day.weekday() in weekdays]
    named = " and ".join(f"{WEEKDAYS[day]}s" for day in sorted(set(weekdays)))
    skipped = set(skip)
    if wrong := sorted(skipped - set(meetings)):
        raise CoachbookError(
            f"{wrong[0]} cannot be skipped: it is a {WEEKDAYS[wrong[0].weekday()]}, and no meeting.",
            f"The club meets on {named} from {start} to {end}.",
        )
    closed = tuple(closures)
    dates = tuple(
        day for day in meetings if day not in skipped and not any(day in closure for closure in closed)
    )
    if not dates:
        some = " or ".join(WEEKDAYS[day] for day in sorted(set(weekdays)))
        raise CoachbookError(
            f"From {start} to {end} there is no {some} left to meet on.",
            "Choose a longer term or skip fewer dates.",
        )
    return dates


def zone_named(name: str) -> ZoneInfo:
    """A zone of the time zone database. Raises CoachbookError."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise CoachbookError(
            f"There is no time zone '{name[:40]}'.", "Give continent and city, such as Europe/Dublin."
        ) from error


def _check(start: date, end: date, weekdays: Collection[int]) -> None:
    if not weekdays:
        raise CoachbookError("There is no weekday to meet on.", "Give at least one.")
    for weekday in weekdays:
        if not 0 <= weekday <= 6:
            raise CoachbookError(
                f"{weekday} is not a weekday.", "Give a number from 0 (Monday) to 6 (Sunday)."
            )
    if end < start:
        raise CoachbookError(f"The term ends on {end}, before it starts on {start}.", "Swap the two dates.")
    if (end - start).days >= _LONGEST_DAYS:
        raise CoachbookError(f"From {start} to {end} is more than a year.", "Look at the years again.")
