"""Who needs review comes first, with the reason in plain words."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from coachbook.model.club import ItemResult
from coachbook.model.progress import Standing
from coachbook.progress.advice import how_long_ago, review_advice
from coachbook.progress.overview import overview
from coachbook.syllabus.read import read_syllabus

SYLLABUS = read_syllabus(Path(__file__).parents[2] / "curricula")
TONIGHT = date(2026, 10, 8)


def evening(
    days_ago: int, right: int, *slips: str, unit: str = "queen-box", student: str = "Zoë"
) -> list[ItemResult]:
    """`right` right answers, then one wrong answer for each slip."""
    on = TONIGHT - timedelta(days_ago)
    marked = [""] * right + list(slips)
    return [
        ItemResult(student, "A-1", unit, item, on, "x", not slip, slip)
        for item, slip in enumerate(marked, start=1)
    ]


def test_the_reason_says_when_how_much_and_what_went_wrong() -> None:
    results = evening(21, 2, "missed mate", "stalemate", "stalemate", "not tried")
    (advice,) = review_advice(SYLLABUS, {"Zoë": results}, TONIGHT)
    assert advice.reason == (
        "The queen's box: 3 weeks ago, 2 of 6; stalemated twice, missed a mate once, left 1 blank"
    )
    assert (advice.student, advice.unit, advice.unit_title) == ("Zoë", "queen-box", "The queen's box")
    assert advice.due_on == TONIGHT - timedelta(20)


def test_only_the_slips_of_the_last_evening_are_told() -> None:
    results = evening(60, 0, "stalemate") + evening(30, 5)
    (advice,) = review_advice(SYLLABUS, {"Zoë": results}, TONIGHT)
    assert advice.reason == "The queen's box: 4 weeks ago, 5 of 5"


def test_whoever_did_badly_tonight_needs_review_soon() -> None:
    (advice,) = review_advice(SYLLABUS, {"Zoë": evening(0, 2, *["stalemate"] * 4)}, TONIGHT)
    assert advice.reason == "The queen's box: today, 2 of 6; stalemated 4 times"
    assert advice.due_on == TONIGHT + timedelta(1)


def test_whoever_did_well_tonight_needs_none() -> None:
    assert review_advice(SYLLABUS, {"Zoë": evening(0, 5, "stalemate"), "Ana": []}, TONIGHT) == ()


def test_the_worse_and_the_longer_ago_the_more_urgent() -> None:
    results = {
        "Ana": evening(20, 6),
        "Bea": evening(0, 1, *["stalemate"] * 5),
        "Cai": evening(20, 2, *["stalemate"] * 4),
        "Dov": evening(90, 6),
        "Eve": evening(20, 1, *["stalemate"] * 5),
    }
    advice = review_advice(SYLLABUS, results, TONIGHT)
    assert [each.student for each in advice] == ["Eve", "Cai", "Bea", "Dov", "Ana"]
    assert all(0 < each.urgency < 1 for each in advice)


def test_equally_urgent_ones_stand_by_name_and_then_in_the_order_of_the_syllabus() -> None:
    both = evening(30, 3, "stalemate", unit="queen-box") + evening(30, 3, "stalemate", unit="two-majors")
    advice = review_advice(SYLLABUS, {"Zoë": both, "Ana": both}, TONIGHT)
    assert [(each.student, each.unit) for each in advice] == [
        ("Ana", "two-majors"),
        ("Ana", "queen-box"),
        ("Zoë", "two-majors"),
        ("Zoë", "queen-box"),
    ]


def test_answers_in_a_unit_that_is_no_longer_taught_are_left_alone() -> None:
    assert review_advice(SYLLABUS, {"Zoë": evening(30, 0, "stalemate", unit="old-unit")}, TONIGHT) == ()


def test_the_overview_has_every_student_by_name_with_every_unit_in_order() -> None:
    found = overview(SYLLABUS, {"Zoë": evening(0, 6), "Ana": []}, TONIGHT)
    assert [(each.student, each.unit) for each in found] == [
        (student, unit.code) for student in ("Ana", "Zoë") for unit in SYLLABUS.units
    ]
    assert [each.unit for each in found if each.standing is not Standing.NEW] == ["queen-box"]


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "today"),
        (1, "yesterday"),
        (2, "2 days ago"),
        (13, "13 days ago"),
        (14, "2 weeks ago"),
        (27, "3 weeks ago"),
        (69, "9 weeks ago"),
        (70, "2 months ago"),
        (90, "3 months ago"),
    ],
)
def test_time_is_told_in_days_weeks_and_months(days: int, words: str) -> None:
    assert how_long_ago(days) == words
