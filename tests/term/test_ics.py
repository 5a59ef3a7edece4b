"""A plan goes into calendars, at the right time all year, and a second import updates the first."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar, Event, Timezone

from coachbook.errors import CoachbookError
from coachbook.model.term_plan import PlannedSession, Slot, SlotKind, TermPlan
from coachbook.term.calendar import calendar_text, lines_of, uid_of
from coachbook.term.planner import plan_term
from coachbook.term.replan import rest_of, succeed
from tests.term.samples import SHIPPED, START, TITLES, request, weekly

NOW = datetime(2026, 9, 1, 12, tzinfo=UTC)
PLAN = replace(plan_term(SHIPPED, request(8)), at="18:30", zone="Europe/Dublin")
CHANGE = date(2026, 10, 25)  # the clocks go back in Ireland on the last Sunday of October


def events_of(plan: TermPlan, group: str = "Foxes") -> list[Event]:
    calendar = Calendar.from_ical(calendar_text([(group, plan)], TITLES, "Hill Street", NOW))
    assert isinstance(calendar, Calendar)
    return [event for event in calendar.walk("VEVENT") if isinstance(event, Event)]


def span_of(event: Event) -> tuple[datetime, datetime]:
    start, end = event.start, event.end
    assert isinstance(start, datetime)
    assert isinstance(end, datetime)
    return start, end


def test_every_evening_is_an_event_with_its_units_and_slots() -> None:
    events = events_of(PLAN)
    assert [span_of(event)[0].date() for event in events] == list(weekly(8))
    assert events[0].summary == "Foxes: Is the game over? (new), Mate in one move (new)"
    assert (events[1].description or "").splitlines() == [
        "0-10 min: review",
        "10-25 min: new, Mate in one move",
        "25-45 min: practice, Mate in one move",
        "45-55 min: new, Two big pieces",
        "55-60 min: spare",
    ]


def test_half_past_six_stays_half_past_six_when_the_clocks_change() -> None:
    dublin = ZoneInfo("Europe/Dublin")
    for event in events_of(PLAN):
        start, end = span_of(event)
        assert event["dtstart"].params["TZID"] == "Europe/Dublin"
        assert (start.hour, start.minute) == (18, 30)
        assert end - start == timedelta(minutes=60)
        offset = timedelta(hours=1) if start.date() < CHANGE else timedelta()
        assert start.utcoffset() == start.astimezone(dublin).utcoffset() == offset
    assert {span_of(event)[0].date() < CHANGE for event in events_of(PLAN)} == {True, False}


def test_the_zone_in_the_file_alone_gives_the_right_hours() -> None:
    content = calendar_text([("Foxes", PLAN)], TITLES, "Hill Street", NOW)
    (zone,) = [each for each in Calendar.from_ical(content).walk("VTIMEZONE") if isinstance(each, Timezone)]
    told = zone.to_tz(lookup_tzid=False)
    for on in weekly(8):
        hours = 1 if on < CHANGE else 0
        assert datetime(on.year, on.month, on.day, 18, 30, tzinfo=told).utcoffset() == timedelta(hours=hours)


def test_an_evening_in_the_night_of_the_change_has_its_full_length() -> None:
    night = replace(PLAN.sessions[0], on=CHANGE)
    (event,) = events_of(replace(PLAN, sessions=(night,), at="00:30"))
    start, end = span_of(event)
    assert end.astimezone(UTC) - start.astimezone(UTC) == timedelta(minutes=60)


def test_without_a_zone_it_is_local_time_and_without_a_time_the_whole_day() -> None:
    floating = events_of(replace(PLAN, zone=""))[0]
    assert floating.start == datetime(2026, 9, 10, 18, 30)
    assert "TZID" not in floating["dtstart"].params
    assert (events_of(replace(PLAN, at="", zone=""))[0].start, START) == (START, START)
    assert b"VTIMEZONE" not in calendar_text([("Foxes", replace(PLAN, zone=""))], TITLES, "Hill", NOW)


def test_the_same_evening_has_the_same_uid_in_every_export_and_a_higher_sequence_if_it_changed() -> None:
    first = weekly(3)[2]
    later = succeed(PLAN, plan_term(SHIPPED, rest_of(PLAN, first, cancelled=(first,))))
    before = {event.uid: event for event in events_of(PLAN)}
    after = {event.uid: event for event in events_of(later)}
    assert before.keys() == after.keys()
    assert len(before) == 8
    for uid, event in after.items():
        old = before[uid]
        same = old.description == event.description
        assert event.start == old.start
        assert event.sequence == (0 if same else 1)
    gone = after[uid_of("Hill Street", "Foxes", first)]
    assert (gone.status, gone.summary) == ("CANCELLED", "Foxes: no meeting")


def test_groups_clubs_and_dates_have_uids_of_their_own() -> None:
    uids = {
        uid_of(club, group, on)
        for club in ("Hill Street", "Hill", "Hill Street\nFoxes")
        for group in ("Foxes", "Street Foxes", "2026-09-10")
        for on in weekly(3)
    }
    assert len(uids) == 27


def test_a_uid_never_changes_because_calendars_know_it() -> None:
    told = uid_of("Hill Street", "Foxes", START)
    assert told == "f92ea53c67b6c46c246cb3add88317ff@coachbook"


def test_groups_share_a_file() -> None:
    content = calendar_text([("Foxes", PLAN), ("Owls", PLAN)], TITLES, "Hill Street", NOW)
    calendar = Calendar.from_ical(content)
    assert len(calendar.walk("VEVENT")) == 16
    assert len(calendar.walk("VTIMEZONE")) == 1
    assert len({event.uid for event in calendar.walk("VEVENT")}) == 16


def test_the_file_is_made_of_short_lines_with_a_return_each() -> None:
    content = calendar_text([("Füchse", PLAN)], TITLES, "Hill Street", NOW)
    lines = content.split(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in lines)  # RFC 5545, 3.1
    assert content == calendar_text([("Füchse", PLAN)], TITLES, "Hill Street", NOW)


def test_a_clock_that_is_not_known_is_told() -> None:
    with pytest.raises(CoachbookError, match="no time zone 'Nowhere'"):
        calendar_text([("Foxes", replace(PLAN, zone="Nowhere"))], TITLES, "Hill Street", NOW)


def test_evenings_follow_one_another() -> None:
    starts = [event.start for event in events_of(PLAN)]
    assert all(earlier < later for earlier, later in pairwise(starts))


def test_an_evening_ends_after_its_minutes_or_with_its_day() -> None:
    floating, whole_day = (events_of(replace(PLAN, at=at, zone=""))[0] for at in ("18:30", ""))
    assert (floating.start, floating.end) == (datetime(2026, 9, 10, 18, 30), datetime(2026, 9, 10, 19, 30))
    assert (whole_day.start, whole_day.end) == (START, START + timedelta(days=1))


def test_work_on_no_unit_is_mixed_and_a_unit_without_a_title_is_told_by_its_code() -> None:
    slots = (
        Slot(SlotKind.REVIEW, "", 10),
        Slot(SlotKind.PRACTICE, "", 10),
        Slot(SlotKind.NEW, "old-unit", 20),
        Slot(SlotKind.ASSESSMENT, "rook-box", 20),
    )
    assert list(lines_of(PlannedSession(START, slots), TITLES)) == [
        "0-10 min: review",
        "10-20 min: practice, mixed",
        "20-40 min: new, old-unit",
        "40-60 min: assessment",
    ]


def test_the_file_says_what_it_is_and_when_it_was_made() -> None:
    calendar = Calendar.from_ical(calendar_text([("Foxes", PLAN)], TITLES, "Hill Street", NOW))
    assert (calendar["prodid"], calendar["version"]) == ("-//coachbook//term plan//EN", "2.0")
    east = NOW.astimezone(ZoneInfo("Asia/Tokyo"))
    assert b"DTSTAMP:20260901T120000Z" in calendar_text([("Foxes", PLAN)], TITLES, "Hill Street", east)
