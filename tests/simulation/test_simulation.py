"""The simulated students do what is said of them, and every coach has the same ones."""

import itertools
from collections import Counter
from datetime import date, timedelta
from pathlib import Path
from statistics import mean

from coachbook.workflows.standings import load_syllabus
from tests.simulation.club import GROUPS, new_club
from tests.simulation.coaches import MINUTES, Coachbook, WithoutReview, units_in_order
from tests.simulation.students import ABSENCE, SimulatedStudent

SYLLABUS = load_syllabus()
FIRST = date(2026, 9, 10)
UNIT = "queen-box"


def week(number: int) -> date:
    return FIRST + timedelta(weeks=number)


def a_class() -> list[SimulatedStudent]:
    return [SimulatedStudent(f"Student {number}", seed=1) for number in range(200)]


def test_what_was_met_fades_day_by_day_and_what_was_not_is_unknown() -> None:
    student = SimulatedStudent("Ana", seed=1)
    assert student.recall(UNIT, FIRST) == 0
    student.meets(UNIT, FIRST, explained=True)
    recalls = [student.recall(UNIT, FIRST + timedelta(days=day)) for day in range(60)]
    assert recalls[0] == 1
    assert all(earlier > later > 0 for earlier, later in itertools.pairwise(recalls))


def test_practice_on_several_evenings_makes_a_memory_last() -> None:
    once, often = a_class(), a_class()
    for student in once:
        student.meets(UNIT, week(3), explained=True)
    for student in often:
        for number in range(4):
            student.meets(UNIT, week(number), explained=number == 0)
    recall_once, recall_often = (mean(s.recall(UNIT, week(10)) for s in each) for each in (once, often))
    assert recall_often > recall_once + 0.1


def test_who_knows_a_unit_answers_better_and_the_explanation_helps() -> None:
    def share_right(*, explained: bool) -> float:
        evenings = [student.meets(UNIT, FIRST, explained=explained) for student in a_class()]
        return mean(evening.is_right() for evening in evenings for _ in range(10))

    assert share_right(explained=True) > share_right(explained=False) + 0.1


def test_about_one_in_ten_is_absent_and_it_is_the_same_ones_each_time() -> None:
    there = [[student.is_there(week(number)) for number in range(40)] for student in a_class()]
    assert abs(1 - mean(map(mean, there)) - ABSENCE) < 0.02
    assert there == [[student.is_there(week(number)) for number in range(40)] for student in a_class()]


def test_the_naive_plan_gives_each_unit_its_minutes_in_order() -> None:
    dates = [week(number) for number in range(60)]
    sessions = units_in_order(SYLLABUS, ["Owls"], dates)
    slots = [slot for on in dates for slot in sessions["Owls", on].slots]
    assert {sessions["Owls", on].minutes for on in dates} == {MINUTES - 5}
    begun = list(dict.fromkeys(slot.unit for slot in slots))
    assert begun == [unit.code for unit in SYLLABUS.units]
    first_round = sum(unit.minutes for unit in SYLLABUS.units)
    minutes, spent = Counter[str](), 0
    for slot in slots:
        spent += slot.minutes
        if spent <= first_round:
            minutes[slot.unit] += slot.minutes
    assert all(minutes[unit.code] == unit.minutes for unit in SYLLABUS.units)


def test_students_are_the_same_whoever_coaches_them(tmp_path: Path) -> None:
    dates = [week(0), week(1)]
    ours, naive = (new_club(tmp_path / name, SYLLABUS, seed=1) for name in ("a.book", "b.book"))
    ours.live(Coachbook(SYLLABUS), [dates])
    items = {
        (name, on): sum(count for _, count in wanted.items)
        for (_, on), given in ours.given.items()
        for name, wanted in given.papers.items()
    }
    naive.live(
        WithoutReview(SYLLABUS, units_in_order(SYLLABUS, GROUPS, dates), items, naive.members), [dates]
    )
    one, other = (club.outcome(dates[-1]) for club in (ours, naive))
    assert one.answers == other.answers > 0
    assert 0 < one.recall_of_taught <= one.recall_of_met <= 1
    assert one.secure <= one.rule_met <= one.met
