"""Numbers, plurals, lists and days in English: the one place that knows how they are made.

How a club writes dates is said once, by `show_dates`, when a front end opens its book: all sentences, tables
and papers of that run then have it. It holds in the context (`contextvars`) in which it was said.
"""

from collections.abc import Iterable, Iterator
from contextvars import ContextVar
from datetime import date, datetime

from coachbook.model.dates import WEEKDAYS
from coachbook.model.settings import DateStyle

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")
_STYLE: ContextVar[DateStyle] = ContextVar("how dates are shown", default=DateStyle.USUAL)


def show_dates(style: DateStyle) -> None:
    """Let all days be shown in this style from now on, in this context."""
    _STYLE.set(style)


def shown_day(day: date) -> str:
    """A day in a line or a table, as the club writes it: "2025-01-14", "14 Jan 2025" or "Jan 14, 2025"."""
    return f"{day}" if _STYLE.get() in (DateStyle.USUAL, DateStyle.ISO) else _with_year(day)


def shown_time(at: datetime) -> str:
    """A moment in a line or a table, by its own clock: "2025-01-14 at 19:05"."""
    return f"{shown_day(at.date())} at {at:%H:%M}"


def day_in_words(day: date) -> str:
    """A day on paper, with its weekday: "Tue 14 Jan 2025", "Tue Jan 14, 2025" or "Tue 2025-01-14"."""
    return f"{_weekday(day)} {day if _STYLE.get() is DateStyle.ISO else _with_year(day)}"


def short_day(day: date) -> str:
    """Such as "Tue 14 Jan" or "Tue Jan 14"."""
    return f"{_weekday(day)} {day_and_month(day)}"


def day_and_month(day: date) -> str:
    """Such as "14 Jan" or "Jan 14"; always with the month's name, for "01-14" is no date of ISO 8601."""
    month = _MONTHS[day.month - 1]
    return f"{month} {day.day}" if _STYLE.get() is DateStyle.MONTH_FIRST else f"{day.day} {month}"


def _weekday(day: date) -> str:
    return WEEKDAYS[day.weekday()][:3]


def _with_year(day: date) -> str:
    comma = "," if _STYLE.get() is DateStyle.MONTH_FIRST else ""
    return f"{day_and_month(day)}{comma} {day.year}"


def how_long_ago(days: int) -> str:
    """Days in words: exact below two weeks, then full weeks, and from ten weeks full months."""
    if days == 0:
        return "today"
    if days == 1:
        return "yesterday"
    if days < 14:
        return f"{days} days ago"
    if days < 70:
        return f"{days // 7} weeks ago"
    return f"{days // 30} months ago"


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_TIMES = {1: "once", 2: "twice"}


def number_word(number: int) -> str:
    """Up to ten as a word ("three"), else in figures."""
    return _NUMBERS[number] if 0 < number < len(_NUMBERS) else str(number)


def plural(number: int, one: str, several: str = "") -> str:
    """The noun that goes with a number: `one`, or `several` (by default `one` with an s)."""
    return one if number == 1 else several or f"{one}s"


def counted(number: int, one: str, several: str = "") -> str:
    """Such as "1 evening" or "3 evenings"."""
    return f"{number} {plural(number, one, several)}"


def times(number: int) -> str:
    """Such as "once", "twice" or "3 times"."""
    return _TIMES.get(number, f"{number} times")


def listed(items: Iterable[object], last: str = "and") -> str:
    """Such as "a", "a and b" or "a, b and c"; "" of nothing."""
    words = [str(item) for item in items]
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def capitalised(words: str) -> str:
    """With a capital at its beginning; the rest as it is."""
    return words[:1].upper() + words[1:]


def level_in_words(number: int, title: str) -> str:
    """Such as "The queen's box · level 2": its title says what it is about."""
    return f"{title} \N{MIDDLE DOT} level {number}"


def quoted(title: str) -> str:
    """A title in quotation marks."""
    return f"\N{LEFT DOUBLE QUOTATION MARK}{title}\N{RIGHT DOUBLE QUOTATION MARK}"


def counted_off(what: str, numbers: Iterable[int]) -> str:
    """Such as "item 3", "items 3 to 5", or "lines 2, 4 and 7 to 9"; of at least one number."""
    ordered = sorted(set(numbers))
    return f"{what}{'s' if len(ordered) > 1 else ''} {listed_off(ordered)}"


def listed_off(numbers: Iterable[int]) -> str:
    """Such as "3", "4 and 5", "3 to 5", or "2, 4 and 7 to 9"; of at least one number."""
    *before, last = _runs(sorted(set(numbers)))
    return f"{', '.join(before)} and {last}" if before else last


def _runs(ordered: list[int]) -> Iterator[str]:
    """Three or more in a row as "3 to 5"."""
    start = 0
    for end in range(1, len(ordered) + 1):
        if end < len(ordered) and ordered[end] == ordered[end - 1] + 1:
            continue
        run = ordered[start:end]
        yield from [f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run)
        start = end
