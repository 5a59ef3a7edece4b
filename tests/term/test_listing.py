"""A plan is a table that any spreadsheet reads."""

import csv
from dataclasses import replace
from io import StringIO

from coachbook.term.calendar import COLUMNS, csv_text
from coachbook.term.planner import plan_term
from tests.term.samples import SHIPPED, TITLES, all_slots, request

PLAN = replace(plan_term(SHIPPED, request(3)), at="18:30")


def test_each_slot_of_each_group_is_a_row() -> None:
    read = list(csv.DictReader(StringIO(csv_text([("Foxes", PLAN), ("Owls", PLAN)], TITLES))))
    assert tuple(read[0]) == COLUMNS
    assert len(read) == 2 * len(all_slots(PLAN))
    assert read[1] == {
        "group": "Foxes",
        "date": "2026-09-10",
        "starts": "18:55",
        "minutes": "20",
        "for": "practice",
        "unit": "mate-or-stalemate",
        "title": "Is the game over?",
        "with coach": "no",
        "why": "worksheet on what is new",
    }


def test_without_a_time_of_day_the_minutes_are_told() -> None:
    rows = list(csv.DictReader(StringIO(csv_text([("Foxes", replace(PLAN, at=""))], TITLES))))
    assert [row["starts"] for row in rows[:3]] == ["0", "25", "45"]


def test_an_evening_may_go_past_midnight() -> None:
    rows = list(csv.DictReader(StringIO(csv_text([("Foxes", replace(PLAN, at="23:40"))], TITLES))))
    assert rows[1]["starts"] == "00:05"


def test_it_says_who_needs_the_coach_and_a_unit_without_a_title_is_told_by_its_code() -> None:
    rows = list(csv.DictReader(StringIO(csv_text([("Foxes", PLAN)], {}))))
    assert [(row["with coach"], row["title"]) for row in rows[:2]] == [
        ("yes", "mate-or-stalemate"),
        ("no", "mate-or-stalemate"),
    ]
