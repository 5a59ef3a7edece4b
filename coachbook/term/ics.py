"""A plan as an iCalendar file (RFC 5545), and closures out of one.

An evening has the same UID in every export, and a SEQUENCE that rises when it changes, so that a
calendar that reads the file again updates what it has (RFC 5545, 3.8.4.7 and 3.8.7.4).
"""

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta

from icalendar import Calendar, Event

from coachbook.model.term import PlannedSession, TermPlan
from coachbook.term.calendar import zone_named
from coachbook.term.told import told_evenings
from coachbook.term.work import WORK

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
    told = told_evenings(plan, titles)
    for session in plan.sessions:
        event = _event(plan, club, group, session.on, session.sequence, now)
        event.add("summary", f"{group}: {told[session.on]}")
        event.add("description", "\n".join(lines_of(session, titles)))
        yield event
    for gone in plan.cancelled:
        event = _event(plan, club, group, gone.on, gone.sequence, now)
        event.add("summary", f"{group}: no meeting")
        event.add("status", "CANCELLED")
        yield event


def uid_of(club: str, group: str, on: date) -> str:
    """What an evening of a group is called in calendars, for good. It tells nobody's name."""
    told = "\n".join((club, group, on.isoformat()))
    return f"{hashlib.sha256(told.encode()).hexdigest()[:32]}@coachbook"


def lines_of(session: PlannedSession, titles: Mapping[str, str]) -> Iterator[str]:
    """What a session is for, one line for each slot, such as "10-35 min: new, The queen's box"."""
    for start, slot in zip(session.starts, session.slots, strict=True):
        what = titles.get(slot.unit, slot.unit) if slot.kind in WORK else ""
        mixed = ", mixed" if slot.kind in WORK and not slot.unit else ""
        about = f", {what}" if what else mixed
        yield f"{start}-{start + slot.minutes} min: {slot.kind}{about}"


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
