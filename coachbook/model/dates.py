"""Reading a day as people write it: 2027-01-12, 12 Jan, Jan 12, 2027, tue, yesterday."""

import re
from calendar import monthrange
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from enum import Enum, auto

from coachbook.errors import CoachbookError
from coachbook.model.problem import read_date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
"""In the order of `date.weekday`: 0 is Monday."""
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
HOW_TO_WRITE_IT = "Write it like 2027-01-12, 12 Jan 2027, 12 Jan, tue or yesterday."
_NEAR = {"yesterday": -1, "today": 0, "tomorrow": 1}
_HALF_A_YEAR = 183
_LEAP_YEAR = 2024
_FEWEST_LETTERS = 3
"""Of a month: "ma" and "ju" are two."""
_NUMBERS_ONLY = re.compile(r"[0-9]{1,2}[./-][0-9]{1,2}([./-]([0-9]{2}|[0-9]{4})?)?")
_DAY = re.compile(r"([0-9]{1,2})(st|nd|rd|th)?")
_YEAR = re.compile(r"[0-9]{4}")


class Towards(Enum):
    """Which day a weekday's name means: the last or the next one; today, if it is that weekday."""

    PAST = auto()
    AHEAD = auto()


def read_day(text: str, today: date, towards: Towards) -> date:
    """The day that is meant, seen from `today`: a date of ISO 8601, a day and a month in either order,
    perhaps with a weekday before and a year behind, a weekday alone (its name or its first letters), or
    today, yesterday, tomorrow. Without a year it is the day nearest to today.

    Raises CoachbookError for anything else, and for what could be two days.
    """
    words = [word.rstrip(".") for word in text.casefold().replace(",", " ").split()]
    weekdays = _weekdays(words[0]) if len(words) > 1 else []
    match words[1:] if weekdays else words:
        case [word] if word:
            found = _read_word(text, word, today, towards)
        case [_, _] | [_, _, _] as parts:
            found = _read_parts(text, parts, today)
        case _:
            raise _no_date(text)
    if weekdays and found.weekday() not in weekdays:
        raise CoachbookError(
            f"'{_short(text)}' cannot be right: that day is a {WEEKDAYS[found.weekday()]}.", "Check the date."
        )
    return found


def read_weekday(text: str) -> int:
    """A weekday by its English name or first letters, as a number: 0 is Monday. Raises CoachbookError
    if it is none, or could be several."""
    begun = _weekdays(text.strip().casefold())
    if len(begun) == 1:
        return begun[0]
    what = f"could be {' or '.join(WEEKDAYS[day] for day in begun)}" if begun else "is not a weekday"
    raise CoachbookError(f"'{_short(text)}' {what}.", "Write a name such as Thursday, or thu.")


_BETWEEN = re.compile(r"\.\.|\s+to\s+|\s+[-\N{EN DASH}]\s+|\N{EN DASH}")


def read_stretch(text: str, today: date, towards: Towards) -> tuple[date, date]:
    """The first and the last of some days, with "..", "to" or a dash between them; a day alone is both.

    Raises CoachbookError for what is no day, and if they end before they begin.
    """
    first, *last = _BETWEEN.split(text.strip(), maxsplit=1)
    begins = read_day(first, today, towards)
    ends = read_day(last[0], today, towards) if last else begins
    if ends < begins:
        raise CoachbookError(f"'{_short(text)}' ends before it begins.", "Swap the two dates.")
    return begins, ends


def read_clock(text: str) -> str:
    """A time of day such as 18:30, or 9:05. Raises CoachbookError for anything else."""
    try:
        return f"{datetime.strptime(text, '%H:%M'):%H:%M}"
    except ValueError as error:
        raise CoachbookError(
            f"'{text[:20]}' is not a time of day.", "Write hours and minutes, such as 18:30."
        ) from error


def _weekdays(word: str) -> list[int]:
    return [number for number, day in enumerate(WEEKDAYS) if word and day.casefold().startswith(word)]


def _read_word(text: str, word: str, today: date, towards: Towards) -> date:
    if word in _NEAR:
        return today + timedelta(days=_NEAR[word])
    if _weekdays(word):
        ahead = (read_weekday(word) - today.weekday()) % 7
        return today + timedelta(days=ahead if towards is Towards.AHEAD else ahead - 7 if ahead else 0)
    if _NUMBERS_ONLY.fullmatch(word):
        raise CoachbookError(
            f"'{_short(text)}' does not say which number is the month.",
            "Write it like 2027-01-12 or 12 Jan 2027.",
        )
    if word[0].isdecimal() and ("-" in word or len(word) == len("20270112")):
        return read_date(word.upper())
    raise _no_date(text)


def _read_parts(text: str, parts: Sequence[str], today: date) -> date:
    """Of the number of the day, the word for the month, in either order, and perhaps the year."""
    first, second, *year = parts
    day, month = (_DAY.fullmatch(first), second) if _DAY.fullmatch(first) else (_DAY.fullmatch(second), first)
    if day is None or (year and not _YEAR.fullmatch(year[0])):
        raise _no_date(text)
    number, month_number = int(day[1]), _month_of(text, month)
    if year:
        return _in_year(text, number, month_number, int(year[0]))
    return _nearest(text, number, month_number, today)


def _month_of(text: str, word: str) -> int:
    found = [number for number, month in enumerate(MONTHS, start=1) if month.casefold().startswith(word)]
    if len(word) < _FEWEST_LETTERS or not found:
        raise _no_date(text)
    return found[0]


def _in_year(text: str, day: int, month: int, year: int) -> date:
    if not year:
        raise _no_date(text)
    length = monthrange(year, month)[1]
    if not 1 <= day <= length:
        raise _no_such_day(text, f"{MONTHS[month - 1]} {year}", length)
    return read_date(f"{year:04}-{month:02}-{day:02}")


def _nearest(text: str, day: int, month: int, today: date) -> date:
    length = monthrange(_LEAP_YEAR, month)[1]
    if not 1 <= day <= length:
        raise _no_such_day(text, MONTHS[month - 1], length)
    years = (today.year - 1, today.year, today.year + 1)
    days = (date(year, month, day) for year in years if day <= monthrange(year, month)[1])
    nearest = min(days, key=lambda on: abs(on - today), default=None)
    if nearest is None or abs(nearest - today).days > _HALF_A_YEAR:
        raise CoachbookError(
            f"'{_short(text)}' needs a year: no year near this one has that day.",
            f"Write it like 29 Feb {_LEAP_YEAR}.",
        )
    return nearest


def _no_such_day(text: str, month: str, length: int) -> CoachbookError:
    return CoachbookError(f"'{_short(text)}' is not a date: {month} has {length} days.", HOW_TO_WRITE_IT)


def _no_date(text: str) -> CoachbookError:
    return CoachbookError(f"'{_short(text)}' is not a date.", HOW_TO_WRITE_IT)


def _short(text: str) -> str:
    return text.strip()[:40]
