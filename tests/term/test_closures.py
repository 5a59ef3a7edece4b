"""Days without a meeting come out of any calendar file, or are the public holidays of a place."""

from datetime import date

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.term_plan import Closure
from coachbook.term.calendar import closures_in, public_holidays

START, END = date(2026, 9, 1), date(2027, 8, 31)


def calendar(*events: str) -> bytes:
    told = "".join(f"BEGIN:VEVENT\nDTSTAMP:20260101T000000Z\n{event}\nEND:VEVENT\n" for event in events)
    text = f"BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:school\n{told}END:VCALENDAR\n"
    return text.replace("\n", "\r\n").encode()


def closed(*events: str) -> list[tuple[str, str]]:
    found = closures_in(calendar(*events), "school.ics", START, END)
    return [(each.first.isoformat(), each.last.isoformat()) for each in found]


@pytest.mark.parametrize(
    ("event", "days"),
    [
        ("UID:1\nDTSTART;VALUE=DATE:20261026\nDTEND;VALUE=DATE:20261031", ("2026-10-26", "2026-10-30")),
        ("UID:1\nDTSTART;VALUE=DATE:20261026", ("2026-10-26", "2026-10-26")),
        ("UID:1\nDTSTART;VALUE=DATE:20261026\nDURATION:P2D", ("2026-10-26", "2026-10-27")),
        ("UID:1\nDTSTART:20261026T090000\nDTEND:20261027T130000", ("2026-10-26", "2026-10-27")),
        ("UID:1\nDTSTART:20261026T090000\nDTEND:20261027T000000", ("2026-10-26", "2026-10-26")),
        ("UID:1\nDTSTART:20261026T230000Z\nDTEND:20261026T233000Z", ("2026-10-26", "2026-10-26")),
        ("UID:1\nDTSTART:20261026T090000", ("2026-10-26", "2026-10-26")),
        ("UID:1\nDTSTART;VALUE=DATE:20260820\nDTEND;VALUE=DATE:20260902", ("2026-08-20", "2026-09-01")),
    ],
)
def test_an_event_closes_each_day_that_it_touches(event: str, days: tuple[str, str]) -> None:
    assert closed(event) == [days]


def test_events_before_and_after_the_term_do_not_matter() -> None:
    assert closed("UID:1\nDTSTART;VALUE=DATE:20260831", "UID:2\nDTSTART;VALUE=DATE:20270901") == []


def test_cancelled_events_close_nothing() -> None:
    assert closed("UID:1\nSTATUS:CANCELLED\nDTSTART;VALUE=DATE:20261026") == []


@pytest.mark.parametrize(
    ("rule", "days"),
    [
        ("RRULE:FREQ=YEARLY", ["2026-12-24"]),
        ("RRULE:FREQ=WEEKLY;COUNT=54", ["2026-09-03"]),
        ("RRULE:FREQ=YEARLY;UNTIL=20251231T235959Z", []),
        ("RRULE:FREQ=YEARLY\nEXDATE;VALUE=DATE:20261224", []),
        ("RRULE:FREQ=YEARLY;COUNT=1\nRDATE;VALUE=DATE:20261001,20261002", ["2026-10-01", "2026-10-02"]),
    ],
)
def test_repeated_events_are_followed(rule: str, days: list[str]) -> None:
    start = "20251224" if "COUNT=54" not in rule else "20250828"
    assert [first for first, _ in closed(f"UID:1\nDTSTART;VALUE=DATE:{start}\n{rule}")][:2] == days


def test_a_repeated_event_that_was_moved_once_closes_its_new_day() -> None:
    repeated = "UID:1\nDTSTART;VALUE=DATE:20261001\nRRULE:FREQ=WEEKLY;COUNT=2"
    moved = "UID:1\nRECURRENCE-ID;VALUE=DATE:20261008\nDTSTART;VALUE=DATE:20261009"
    assert [first for first, _ in closed(repeated, moved)] == ["2026-10-01", "2026-10-09"]


def test_a_long_event_that_repeats_is_long_each_time() -> None:
    event = "UID:1\nDTSTART:20260101T120000\nDTEND:20260103T110000\nRRULE:FREQ=MONTHLY;COUNT=10;BYHOUR=12"
    assert closed(event) == [("2026-09-01", "2026-09-03"), ("2026-10-01", "2026-10-03")]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"hello",
        b"\xff\xfe\x00",
        b"BEGIN:VCALENDAR\r\n",
        calendar("UID:1\nDTSTART;VALUE=DATE:2026"),
        calendar("UID:1"),
        calendar("UID:1\nDTSTART;VALUE=DATE:20261001\nRRULE:FREQ=SECONDLY"),
        calendar("UID:1\nDTSTART;VALUE=DATE:20261001\nRRULE:FREQ=NEVER"),
        calendar("UID:1\nDTSTART;VALUE=DATE:20261001\nRRULE:FREQ=DAILY;INTERVAL=0"),
        calendar("UID:1\nDTSTART;VALUE=DATE:20261001\nDURATION:P99999999D"),
        calendar("UID:1\nDTSTART;VALUE=DATE:20261001\nDTEND:20261001T100000Z"),
    ],
)
def test_what_is_no_calendar_is_told_in_one_line(content: bytes) -> None:
    with pytest.raises(CoachbookError, match=r"school\.ics cannot be read as a calendar") as told:
        closures_in(content, "school.ics", START, END)
    assert "\n" not in told.value.message


def test_public_holidays_are_those_of_the_country() -> None:
    # Christmas Day and St Stephen's Day, St Patrick's Day: Organisation of Working Time Act 1997 (Ireland).
    irish = public_holidays("ie", START, END)
    for on in (date(2026, 12, 25), date(2026, 12, 26), date(2027, 3, 17)):
        assert Closure(on, on) in irish
    assert all(START <= each.first <= END for each in irish)


def test_a_part_of_a_country_has_its_own() -> None:
    all_saints = Closure(date(2026, 11, 1), date(2026, 11, 1))  # a holiday in Bavaria, not in Berlin
    assert all_saints in public_holidays("DE-BY", START, END)
    assert all_saints not in public_holidays("DE-BE", START, END)


@pytest.mark.parametrize("place", ["", "XX", "DE-QQ", "Ireland", "x" * 500])
def test_a_place_that_is_not_known_is_told(place: str) -> None:
    with pytest.raises(CoachbookError, match="No public holidays are known for"):
        public_holidays(place, START, END)


def test_the_first_and_the_last_day_of_the_term_count() -> None:
    assert closed("UID:1\nDTSTART;VALUE=DATE:20270831") == [("2027-08-31", "2027-08-31")]
    assert closed("UID:1\nDTSTART;VALUE=DATE:20260901") == [("2026-09-01", "2026-09-01")]
    weekly = closed("UID:1\nDTSTART;VALUE=DATE:20260825\nRRULE:FREQ=WEEKLY;INTERVAL=1")
    assert (weekly[0][0], weekly[-1][0]) == ("2026-09-01", "2027-08-31")
    christmas, new_year = date(2026, 12, 25), date(2027, 1, 1)
    assert public_holidays("IE", christmas, christmas) == (Closure(christmas, christmas),)
    found = public_holidays("IE", christmas, new_year)
    assert (found[0].first, found[-1].first) == (christmas, new_year)


def test_an_event_that_is_repeated_every_second_time_closes_every_second_day() -> None:
    rule = "RRULE:FREQ=WEEKLY;INTERVAL=2;COUNT=3"
    assert closed(f"UID:1\nDTSTART;VALUE=DATE:20260901\n{rule}") == [
        (day, day) for day in ("2026-09-01", "2026-09-15", "2026-09-29")
    ]
