"""Days without a meeting: out of a calendar file, or the public holidays of a country."""

from datetime import date, datetime, time, timedelta

import holidays
from dateutil.rrule import rruleset, rrulestr
from icalendar import Calendar, Event, vRecur

from coachbook.errors import CoachbookError
from coachbook.model.term import Closure

_FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_WITHIN_A_DAY = ("BYHOUR", "BYMINUTE", "BYSECOND")


def closures_in(content: bytes, name: str, start: date, end: date) -> tuple[Closure, ...]:
    """The days of all events in a calendar file (RFC 5545) that touch the days from `start` to `end`,
    in order; repeated events are followed, cancelled ones not looked at.

    `name` is what the file is called in messages. Raises CoachbookError if it is no calendar.
    """
    try:
        events = [event for event in Calendar.from_ical(content).walk("VEVENT") if isinstance(event, Event)]
        moved = {(str(event.get("uid")), _day(each)) for event in events if (each := _replaced(event))}
        found = [
            closure
            for event in events
            if str(event.get("status", "")).upper() != "CANCELLED"
            for closure in _days_of(event, start, end, moved)
        ]
    except (ValueError, KeyError, AttributeError, TypeError, OverflowError) as error:
        raise CoachbookError(
            f"{name} cannot be read as a calendar: {' '.join(str(error).split())[:80]}.",
            "Export it as an .ics file again.",
        ) from error
    return tuple(sorted(found, key=lambda each: (each.first, each.last)))


def public_holidays(place: str, start: date, end: date) -> tuple[Closure, ...]:
    """The public holidays of a country ("IE") or a part of one ("DE-BY") from `start` to `end`.

    Source: the package `holidays`. Raises CoachbookError for a place that it does not know.
    """
    country, _, part = place.strip().upper().partition("-")
    try:
        days = holidays.country_holidays(country, subdiv=part or None, years=range(start.year, end.year + 1))
    except NotImplementedError as error:
        raise CoachbookError(
            f"No public holidays are known for '{place[:20]}'.",
            "Give a country's two letters, such as IE, or those and a part, such as DE-BY.",
        ) from error
    return tuple(Closure(on, on) for on in sorted(days) if start <= on <= end)


def _days_of(event: Event, start: date, end: date, moved: set[tuple[str, date]]) -> list[Closure]:
    first, last = _day(event.start), _day(event.end)
    ends = event.end
    # An end at the start of a day belongs to the day before (RFC 5545, 3.6.1: the end is not included).
    if ends > event.start and (not isinstance(ends, datetime) or ends.time() == time()):
        last -= timedelta(days=1)
    length = last - first
    days = [first]
    if event.rrules or event.rdates:
        days = _repeats(event, first, start - length, end)
        days = [on for on in days if (str(event.get("uid")), on) not in moved]
    return [Closure(on, on + length) for on in days if on <= end and on + length >= start]


def _repeats(event: Event, first: date, start: date, end: date) -> list[date]:
    """The first days of a repeated event's occurrences from `start` to `end`."""
    begins = datetime.combine(first, time())
    days = rruleset()
    days.rdate(begins)
    for rule in event.rrules:
        if rule.get("FREQ") and rule["FREQ"][0] not in _FREQUENCIES:
            raise ValueError(f"an event is repeated {str(rule['FREQ'][0]).lower()}")
        if any(interval < 1 for interval in rule.get("INTERVAL", ())):
            raise ValueError("an event is repeated every 0 days, or fewer")
        told = vRecur({key: value for key, value in rule.items() if key not in _WITHIN_A_DAY})
        if until := rule.get("UNTIL"):
            told["UNTIL"] = [datetime.combine(_day(until[0]), time())]
        text = told.to_ical().decode()  # type: ignore[no-untyped-call]  # the library leaves it untyped
        days.rrule(rrulestr(text, dtstart=begins))
    for each, _ in event.rdates:
        days.rdate(datetime.combine(_day(each), time()))
    for each in event.exdates:
        days.exdate(datetime.combine(_day(each), time()))
    found = days.between(datetime.combine(start, time()), datetime.combine(end, time()), inc=True)
    return [each.date() for each in found]


def _replaced(event: Event) -> date | None:
    """Which occurrence of a repeated event this one stands for, if it does."""
    return event.decoded("recurrence-id") if "recurrence-id" in event else None


def _day(when: date) -> date:
    return when.date() if isinstance(when, datetime) else when
