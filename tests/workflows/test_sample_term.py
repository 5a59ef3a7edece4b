"""The sample club's terms can be planned as they stand, as far as the syllabus fits into them."""

from datetime import date
from pathlib import Path

import pytest

from coachbook.model.dates import WEEKDAYS
from coachbook.model.term_plan import SlotKind
from coachbook.syllabus import read_syllabus
from coachbook.term.calendar import meeting_dates
from coachbook.term.planner import plan_term
from coachbook.term.request import TermRequest
from coachbook.workflows.spreadsheet import Row, read_table

ROOT = Path(__file__).parents[2]
TERMS, _ = read_table(
    ROOT / "sample_club" / "term.csv", ["group", "from", "to", "weekday", "minutes", "skip"]
)


@pytest.mark.parametrize("row", TERMS, ids=lambda row: str(row["group"]))
def test_a_term_begins_with_the_first_unit_and_does_two_levels_and_more(row: Row) -> None:
    start, end = date.fromisoformat(row["from"]), date.fromisoformat(row["to"])
    skip = [date.fromisoformat(day) for day in row["skip"].split()]
    dates = meeting_dates(start, end, [WEEKDAYS.index(row["weekday"])], skip)
    syllabus = read_syllabus(ROOT / "curricula")
    plan = plan_term(syllabus, TermRequest(dates, int(row["minutes"]), start, end))
    first = plan.sessions[0].slots[0]
    assert (first.kind, first.unit) == (SlotKind.NEW, syllabus.units[0].code)
    assert all(unit.level > 2 for unit in syllabus.units if unit.code in plan.left_over)
    assert plan.shortfalls[0].unit == plan.left_over[0]
    assert len(plan.sessions) == 14 - len(skip)
