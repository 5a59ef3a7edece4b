"""The sample club's terms can be planned as they stand, as far as the syllabus fits into them."""

from datetime import date
from pathlib import Path

import pytest

from coachbook.syllabus.read import read_syllabus
from coachbook.term.calendar import meeting_dates
from coachbook.term.planner import plan_term
from coachbook.workflows.tables import Row, read_table

ROOT = Path(__file__).parents[2]
WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
TERMS, _ = read_table(
    ROOT / "sample_club" / "term.csv", ["group", "from", "to", "weekday", "minutes", "skip"]
)


@pytest.mark.parametrize("row", TERMS, ids=lambda row: str(row["group"]))
def test_a_term_starts_at_the_first_unit_and_leaves_over_what_comes_last(row: Row) -> None:
    start, end = date.fromisoformat(row["from"]), date.fromisoformat(row["to"])
    skip = [date.fromisoformat(day) for day in row["skip"].split()]
    dates = meeting_dates(start, end, WEEKDAYS.index(row["weekday"]), skip)
    syllabus = read_syllabus(ROOT / "curricula")
    plan = plan_term(syllabus, dates, int(row["minutes"]), starts_on=start, ends_on=end)
    codes = [unit.code for unit in syllabus.units]
    taught = codes[: len(codes) - len(plan.left_over)]
    assert {slot.unit for session in plan.sessions for slot in session.slots} - {""} == set(taught)
    assert plan.left_over == tuple(codes[len(taught) :])
    assert len(taught) >= 8
    assert len(plan.sessions) == 14 - len(skip)
