"""A term is planned, changed and exported with the commands a coach types."""

import csv
import json
import re
from pathlib import Path

import pytest
from icalendar import Calendar, Event

from tests.cli.conftest import Club
from tests.cli.drive import done, run

DAYS = ("--from", "2026-09-10", "--until", "2026-11-12", "--weekday", "thu", "--minutes", "60")
PLAN = ("term", "plan", "--group", "Owls", *DAYS)
NO_MEETING = """BEGIN:VCALENDAR
VERSION:2.0
PRODID:school
BEGIN:VEVENT
UID:1
DTSTAMP:20260101T000000Z
DTSTART;VALUE=DATE:20261026
DTEND;VALUE=DATE:20261031
END:VEVENT
END:VCALENDAR
"""

pytestmark = pytest.mark.usefixtures("club")


def dates_of(group: str = "Owls") -> list[str]:
    plan = json.loads(done("term", "show", "--group", group, "--json", "--date", "2026-09-10"))["plan"]
    return [session["on"] for session in plan["sessions"]]


def events_in(path: Path) -> dict[str, Event]:
    events = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    return {event.uid: event for event in events if isinstance(event, Event)}


def test_closures_come_from_dates_ranges_files_and_holidays(club: Club) -> None:
    (club.folder / "school.ics").write_text(NO_MEETING, encoding="utf-8")
    skip = ("--skip", "2026-09-17", "--skip", "2026-10-07..2026-10-09")
    done(*PLAN, *skip, "--closed", "school.ics", "--holidays", "ie", "--weekday", "mon")
    dates = dates_of()
    assert dates[:3] == ["2026-09-10", "2026-09-14", "2026-09-21"]
    for day in ("2026-09-17", "2026-10-08", "2026-10-26", "2026-10-29"):
        assert day not in dates
    assert "2026-10-22" in dates


def test_a_goal_is_told_to_be_reached_or_how_much_is_missing() -> None:
    assert "“Mate, not stalemate” (level 1) is done by the end of the term." in done(*PLAN, "--goal", "1")
    short = done(*PLAN[:4], *DAYS[:2], "--until", "2026-09-17", *DAYS[4:], "--goal", "2", "--yes")
    assert "Did not fit: The queen's box." in short
    assert "“The queen's box” needs two more evenings than you have." in short


def test_a_room_shows_when_the_coach_is_with_whom_and_what_learning_together_frees() -> None:
    brief = done("term", "plan", *DAYS, "--all", "--at", "18:30", "--skip", "2026-10-08", "--to", "room.pdf")
    lines = brief.splitlines()
    assert lines[:2] == ["9 evenings, 2026-09-10 to 2026-11-12, 18:30", "No club on 2026-10-08."]
    assert lines[3].split() == ["New", "on", "Foxes", "Owls"]
    assert lines[4].split("  ")[0] == "2026-09-10" and lines[4].count("Two big pieces") == 2
    assert "Foxes and Owls: Every unit fits." in brief
    assert re.search(r"lessons are for Foxes and Owls together: that frees \d+ minutes of yours\.", brief)
    assert "reviews: coachbook term show --group NAME\nWritten: room.pdf\nNext: " in brief
    assert Path("room.pdf").read_bytes().startswith(b"%PDF")
    told = done("term", "show", "--all", "--date", "2026-09-10")
    assert "Foxes: 9 evenings, 2026-09-10 to 2026-11-12, 18:30" in told
    assert "Owls: 9 evenings" in told
    assert "Evening     Starts  Min  For         Unit             Why" in told
    assert told.count("yes, with Foxes") == told.count("yes, with Owls") > 5


def test_the_plans_of_all_groups_are_shown_one_after_the_other() -> None:
    done("term", "plan", *DAYS, "--all")
    told = done("term", "show", "--all", "--date", "2026-09-10", "--to", "room.pdf")
    owls = done("term", "show", "--group", "Owls", "--date", "2026-09-10")
    foxes = done("term", "show", "--group", "Foxes", "--date", "2026-09-10")
    assert told.endswith(f"\n\n{foxes}\n{owls}Written: room.pdf\n")
    both = json.loads(done("term", "show", "--all", "--date", "2026-09-10", "--json"))
    assert [each["group"] for each in both] == ["Foxes", "Owls"]


def test_a_cancelled_evening_is_planned_around_and_the_difference_told() -> None:
    done(*PLAN)
    told = done("term", "replan", "--group", "Owls", "--from", "2026-09-24", "--skip", "2026-09-24")
    assert told.splitlines()[0] == "Owls:"
    assert told.splitlines()[1].startswith("  2026-09-24: was ")
    assert told.splitlines()[1].endswith(", now cancelled")
    assert "2026-09-24" not in dates_of()
    again = done("term", "replan", "--group", "Owls", "--from", "2026-09-25")
    assert again == "Owls: nothing changes.\n"


def test_a_pin_and_a_lock_are_shown_and_taken_away() -> None:
    done(*PLAN)
    day = ("--from", "2026-09-10", "--group", "Owls")
    assert "now " in done("term", "pin", "queen-box", "2026-10-08", *day)
    assert done("term", "lock", "2026-10-15", "--group", "Owls") == (
        "Owls: 2026-10-15 stays as it is.\nTo take it back: coachbook log undo 3\n"
    )
    shown = done("term", "show", "--group", "Owls", "--date", "2026-09-10")
    assert "The queen's box (pinned)" in shown
    assert "2026-10-15 (locked)" in shown
    assert done("term", "unlock", "2026-10-15", "--group", "Owls") == (
        "Owls: 2026-10-15 may change.\nTo take it back: coachbook log undo 4\n"
    )
    assert "now " in done("term", "unpin", "queen-box", *day)
    shown = done("term", "show", "--group", "Owls", "--date", "2026-09-10")
    assert "(pinned)" not in shown
    assert "(locked)" not in shown


def test_a_calendar_that_is_exported_again_updates_the_first_one(club: Club) -> None:
    done(*PLAN, "--at", "18:30", "--zone", "Europe/Dublin")
    told = done("term", "export", "--group", "Owls", "--to", "a.ics", "--to", "a.csv", "--to", "a.pdf")
    assert told == "Written: a.ics\nWritten: a.csv\nWritten: a.pdf\n"
    done("term", "replan", "--group", "Owls", "--from", "2026-09-24", "--skip", "2026-09-24")
    done("term", "export", "--group", "Owls", "--to", "b.ics")
    before, after = events_in(club.folder / "a.ics"), events_in(club.folder / "b.ics")
    assert before.keys() == after.keys()
    changed = [uid for uid in before if after[uid].sequence > before[uid].sequence]
    assert changed
    assert [event.status for event in after.values()].count("CANCELLED") == 1
    with (club.folder / "a.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["group"] for row in rows} == {"Owls"}
    assert rows[0]["starts"] == "18:30"


@pytest.mark.parametrize(
    ("files", "told"),
    [
        (("--to", "out.pdf", "--to", "club.book"), "club.book is a database, such as a book"),
        (("--to", "out.pdf", "--to", "none/out.csv"), "none/out.csv cannot be written"),
        (("--to", "out.pdf", "--to", "./out.pdf"), "out.pdf is named for two files."),
    ],
)
def test_if_one_file_cannot_be_written_none_is(club: Club, files: tuple[str, ...], told: str) -> None:
    done(*PLAN)
    ran = run("term", "export", "--group", "Owls", *files)
    assert ran.code == 2
    assert told in ran.err
    assert not (club.folder / "out.pdf").exists()


def test_reviews_are_shown_by_evening() -> None:
    told = done(*PLAN)
    assert "Who reviews what, as things stand today:" in told
    assert "everybody" in told


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((*PLAN, "--minutes", "601"), "An evening of 601 minutes is too long to plan."),
        ((*PLAN, "--skip", "2026-09-11..2026-09-01"), "ends before it begins"),
        ((*PLAN, "--skip", "2026-09-11"), "2026-09-11 cannot be skipped"),
        ((*PLAN, "--skip", "soon..later"), "'soon' is not a date."),
        ((*PLAN, "--closed", "none.ics"), "none.ics cannot be read"),
        ((*PLAN, "--holidays", "Atlantis"), "No public holidays are known for 'Atlantis'."),
        ((*PLAN, "--goal", "7"), "The syllabus has no level 7."),
        ((*PLAN, "--at", "half past six"), "'half past six' is not a time of day."),
        ((*PLAN, "--at", "25:00"), "'25:00' is not a time of day."),
        ((*PLAN, "--at", "18:30", "--zone", "Dublin"), "There is no time zone 'Dublin'."),
        ((*PLAN, "--zone", "Europe/Dublin"), "A time zone alone says nothing."),
        ((*PLAN, "--all"), "not both"),
        ((*PLAN, "--group", "Foxes", "--minutes", "30"), "too short for 2 groups in one room"),
        (("term", "replan", "--group", "Owls"), "The group Owls has no term plan."),
        (("term", "lock", "2026-09-10", "--group", "Owls"), "The group Owls has no term plan."),
        (("term", "export", "--group", "Owls"), "Missing option '--to'"),
        (("term", "export", "--group", "Owls", "--to", "a.txt"), "What is a.txt to be? End its name in .ics"),
        (("term", "export", "--group", "Owls", "--to", "a.ics"), "The group Owls has no term plan."),
    ],
)
def test_what_cannot_be_is_told_in_one_line(club: Club, arguments: tuple[str, ...], told: str) -> None:
    before = club.book.read_bytes()
    ran = run(*arguments)
    assert ran.code == 2
    assert len(ran.problems) == 1
    assert told in ran.err
    assert club.book.read_bytes() == before
