"""Reading a day as people write it: 2027-01-12, 12 Jan, Jan 12, 2027, tue, yesterday."""

import re
from calendar import monthrange
from collections.abc import Sequence
from datetime import date, timedelta
from enum import Enum, auto

from coachbook.errors import CoachbookError
from coachbook.model.problem import read_date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
"""In the order of `date.weekday`: 0 is Monday."""
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
HOW_TO_WRITE_IT = "Write it such as 2027-01-12, 12 Jan 2027, 12 Jan, tue or yesterday."
_NEAR = {"yesterday": -1, "today": 0, "tomorrow": 1}
_HALF_A_YEAR = 183
_LEAP_YEAR = 2024
_FEBRUARY = 2
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
    if words == [""] or not words:
        raise _no_date(text)
    if len(words) == 1:
        return _read_word(text.strip(), words[0], today, towards)
    weekdays = _weekdays(words[0])
    day, month, *year = _sorted_out(text, words[1:] if weekdays else words)
    number = _month_of(text, month)
    found = (
        _in_year(text, int(day), number, int(year[0])) if year else _nearest(text, int(day), number, today)
    )
    if weekdays and found.weekday() not in weekdays:
        raise CoachbookError(
            f"'{_short(text)}' cannot be: {found} is a {WEEKDAYS[found.weekday()]}.", "Check the date."
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


def _weekdays(word: str) -> list[int]:
    return [number for number, day in enumerate(WEEKDAYS) if word and day.casefold().startswith(word)]


def _read_word(text: str, word: str, today: date, towards: Towards) -> date:
    if word in _NEAR:
        return today + timedelta(days=_NEAR[word])
    if _weekdays(word):
        ahead = (read_weekday(word) - today.weekday()) % 7
        return today + timedelta(days=ahead if towards is Towards.AHEAD else ahead - 7 if ahead else 0)
    if _NUMBERS_ONLY.fullmatch(text):
        raise CoachbookError(
            f"'{text}' does not say which number is the month.", "Write it such as 2027-01-12 or 12 Jan 2027."
        )
    if text[0].isdecimal() and ("-" in text or len(text) == len("20270112")):
        return read_date(text)
    raise _no_date(text)


def _sorted_out(text: str, words: Sequence[str]) -> tuple[str, ...]:
    """The number of the day, the word for the month, and perhaps the year."""
    if len(words) not in (2, 3):
        raise _no_date(text)
    first, second, *year = words
    day, month = (_DAY.fullmatch(first), second) if _DAY.fullmatch(first) else (_DAY.fullmatch(second), first)
    if day is None or (year and not _YEAR.fullmatch(year[0])):
        raise _no_date(text)
    return (day[1], month, *year)


def _month_of(text: str, word: str) -> int:
    found = [number for number, month in enumerate(MONTHS, start=1) if month.casefold().startswith(word)]
    if len(word) < _FEWEST_LETTERS or not found:
        raise _no_date(text)
    return found[0]


def _in_year(text: str, day: int, month: int, year: int) -> date:
    _check_length(text, day, month, year or _LEAP_YEAR)
    return read_date(f"{year:04}-{month:02}-{day:02}")


def _nearest(text: str, day: int, month: int, today: date) -> date:
    _check_length(text, day, month, _LEAP_YEAR)
    years = (today.year - 1, today.year, today.year + 1)
    days = (date(year, month, day) for year in years if day <= monthrange(year, month)[1])
    nearest = min(days, key=lambda on: abs(on - today), default=None)
    if nearest is None or abs(nearest - today).days > _HALF_A_YEAR:
        raise CoachbookError(
            f"'{_short(text)}' is in no year near this one.",
            f"Write the year, too, such as 29 Feb {_LEAP_YEAR}.",
        )
    return nearest


def _check_length(text: str, day: int, month: int, year: int) -> None:
    length = monthrange(year, month)[1]
    if not 1 <= day <= length:
        of = f"{MONTHS[month - 1]} {year}" if month == _FEBRUARY else MONTHS[month - 1]
        raise CoachbookError(f"'{_short(text)}' is not a date: {of} has {length} days.", HOW_TO_WRITE_IT)


def _no_date(text: str) -> CoachbookError:
    return CoachbookError(f"'{_short(text)}' is not a date.", HOW_TO_WRITE_IT)


def _short(text: str) -> str:
    return text.strip()[:40]
