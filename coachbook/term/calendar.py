"""The dates on which a club meets, days off out of files, and a plan as a calendar file or a table.

An evening has the same UID in every export, and a SEQUENCE that rises when it changes, so that a
calendar that reads the file again updates what it has (RFC 5545, 3.8.4.7 and 3.8.7.4).
"""

import csv
import hashlib
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from io import StringIO
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from dateutil.rrule import rruleset, rrulestr
from icalendar import Calendar, Event, vRecur

from coachbook.errors import CoachbookError
from coachbook.model.dates import WEEKDAYS
from coachbook.model.term_plan import Closure, PlannedSession, TermPlan, clock
from coachbook.term.layout import WORK
from coachbook.term.replan import topics_by_evening
from coachbook.wording.counting import shown_day
from coachbook.wording.plans import kind_in_words, reason_in_words, subject, topics_in_words

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
            f"{shown_day(wrong[0])} cannot be skipped: it is a {WEEKDAYS[wrong[0].weekday()]}, without a"
            " meeting.",
            f"The club meets on {named} from {shown_day(start)} to {shown_day(end)}.",
        )
    closed = tuple(closures)
    dates = tuple(
        day for day in meetings if day not in skipped and not any(day in closure for closure in closed)
    )
    if not dates:
        some = " or ".join(WEEKDAYS[day] for day in sorted(set(weekdays)))
        raise CoachbookError(
            f"From {shown_day(start)} to {shown_day(end)} there is no {some} left to meet on.",
            "Choose a longer term or skip fewer dates.",
        )
    return dates


def zone_named(name: str) -> ZoneInfo:
    """A zone of the time zone database. Raises CoachbookError for an unknown one."""
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
        raise CoachbookError(
            f"The term ends on {shown_day(end)}, before it starts on {shown_day(start)}.",
            "Swap the two dates.",
        )
    if (end - start).days >= _LONGEST_DAYS:
        raise CoachbookError(
            f"From {shown_day(start)} to {shown_day(end)} is more than a year.", "Look at the years again."
        )


_PRODUCT = "-//coachbook//term plan//EN"
_A_YEAR = timedelta(days=366)


def calendar_text(
    plans: Sequence[tuple[str, TermPlan]], titles: Mapping[str, str], club: str, now: datetime
) -> bytes:
    """The evenings of the plans of groups (at least one), and those that were cancelled, as a calendar file.

    With a starting time an evening has its minutes, in the plan's zone or else in local time wherever
    it is read; without one it is a whole day. `now` (aware) is when the file is made. Raises
    CoachbookError for a zone that is not known here.
    """
    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    for group, plan in plans:
        for event in _events(plan, titles, club, group, now):
            calendar.add_component(event)
    # The rules of the zone a year before and after: a calendar needs no more, and a file stays small.
    first = min(plan.starts_on for _, plan in plans) - _A_YEAR
    last = max(plan.ends_on for _, plan in plans) + _A_YEAR
    calendar.add_missing_timezones(first, last)
    return bytes(calendar.to_ical())


def _events(
    plan: TermPlan, titles: Mapping[str, str], club: str, group: str, now: datetime
) -> Iterator[Event]:
    topics = topics_by_evening(plan)
    for session in plan.sessions:
        event = _event(plan, club, group, session.on, session.sequence, now)
        event.add("summary", f"{group}: {topics_in_words(topics[session.on], titles)}")
        event.add("description", "\n".join(lines_of(session, titles)))
        yield event
    for gone in plan.cancelled:
        event = _event(plan, club, group, gone.on, gone.sequence, now)
        event.add("summary", f"{group}: no meeting")
        event.add("status", "CANCELLED")
        yield event


def uid_of(club: str, group: str, on: date) -> str:
    """What an evening of a group is called in calendars, for good. It gives away nobody's name."""
    identity = "\n".join((club, group, on.isoformat()))
    return f"{hashlib.sha256(identity.encode()).hexdigest()[:32]}@coachbook"


def lines_of(session: PlannedSession, titles: Mapping[str, str]) -> Iterator[str]:
    """What a session is for, one line for each slot, such as "10-35 min: new, The queen's box"."""
    for start, slot in session.timed:
        about = f", {subject(slot, titles)}" if slot.kind in WORK else ""
        yield f"{start}-{start + slot.minutes} min: {kind_in_words(slot.kind)}{about}"


def _event(plan: TermPlan, club: str, group: str, on: date, sequence: int, now: datetime) -> Event:
    event = Event()
    event.add("uid", uid_of(club, group, on))
    event.add("dtstamp", now.astimezone(UTC))
    event.add("sequence", sequence)
    start, end = _span(plan, on)
    event.add("dtstart", start)
    event.add("dtend", end)
    return event


def _span(plan: TermPlan, on: date) -> tuple[date, date]:
    """Start and end of an evening: two days, two local times, or two times in the plan's zone."""
    if not plan.at:
        return on, on + timedelta(days=1)
    start = datetime.combine(on, time.fromisoformat(plan.at))
    length = timedelta(minutes=plan.minutes)
    if not plan.zone:
        return start, start + length
    zone = zone_named(plan.zone)
    start = start.replace(tzinfo=zone)
    # Added in UTC: an evening on which the clocks change is as long as any other.
    return start, (start.astimezone(UTC) + length).astimezone(zone)


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
    # Imported here because it brings the calendars of all countries, and few terms ask for one.
    import holidays

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
        by_days = vRecur({key: value for key, value in rule.items() if key not in _WITHIN_A_DAY})
        if until := rule.get("UNTIL"):
            by_days["UNTIL"] = [datetime.combine(_day(until[0]), time())]
        text = by_days.to_ical().decode()  # type: ignore[no-untyped-call]  # the library leaves it untyped
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


COLUMNS = ("group", "date", "starts", "minutes", "for", "unit", "title", "with coach", "why")


def csv_text(plans: Sequence[tuple[str, TermPlan]], titles: Mapping[str, str]) -> str:
    """One row for each slot of the plans of groups (RFC 4180). `starts` is the time of day, or else the
    minutes since the start of the evening."""
    text = StringIO()
    rows = csv.writer(text)
    rows.writerow(COLUMNS)
    for group, plan in plans:
        for session in plan.sessions:
            for start, slot in session.timed:
                starts = clock(plan.at, start) if plan.at else start
                title = titles.get(slot.unit, slot.unit)
                coach = "yes" if slot.with_coach else "no"
                what = (slot.minutes, kind_in_words(slot.kind), slot.unit, title, coach)
                rows.writerow((group, session.on, starts, *what, reason_in_words(slot.why, titles)))
    return text.getvalue()
