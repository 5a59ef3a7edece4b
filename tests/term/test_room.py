"""In a room with several groups the coach explains to one at a time, and each has its turn."""

from dataclasses import replace
from datetime import timedelta
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import Pin, PlannedSession, Slot, SlotKind, TermPlan, Why
from coachbook.term.planner import coach_times, plan_together
from coachbook.term.replan import rest_of
from coachbook.term.request import CoachTime
from coachbook.wording.plans import reason_in_words
from tests.term.samples import (
    SHIPPED,
    START,
    all_slots,
    check_evenings,
    check_prerequisites,
    request,
    syllabuses,
    told,
    weekly,
    work_in,
)

ROOM = ("Foxes", "Owls", "Bears")
Room = tuple[Syllabus, dict[str, TermPlan]]


def shipped(groups: int, evenings: int = 12, minutes: int = 60) -> dict[str, TermPlan]:
    names = ROOM[:groups]
    return plan_together(SHIPPED, {name: request(evenings, minutes, room=names) for name in names})


def check_coach(plans: dict[str, TermPlan]) -> None:
    """Fails if the coach is to be with two groups at once."""
    times = [coach_times(group, plan.sessions) for group, plan in plans.items()]
    for one, other in combinations(times, 2):
        for on in one.keys() & other.keys():
            for mine in one[on]:
                assert all(mine.end <= theirs.start or theirs.end <= mine.start for theirs in other[on])


@st.composite
def rooms(draw: st.DrawFn) -> Room:
    syllabus = draw(syllabuses())
    names = ROOM[: draw(st.integers(2, 3))]
    codes = [unit.code for unit in syllabus.units]
    evenings, minutes = draw(st.integers(1, 6)), draw(st.integers(45, 150))
    asked = {
        name: request(
            evenings, minutes, room=names, known=frozenset(draw(st.sets(st.sampled_from(codes), min_size=1)))
        )
        for name in names
    }
    return syllabus, plan_together(syllabus, asked)


def test_the_first_evening_of_three_groups_that_begin() -> None:
    firsts = [told(plan)[0] for plan in shipped(3).values()]
    assert firsts == [
        ["new mate-or-stalemate 15", "practice mate-or-stalemate 30", "play-out mixed 10"],
        ["play-out mixed 15", "new mate-or-stalemate 15", "practice mate-or-stalemate 20"],
        ["play-out mixed 30", "new mate-or-stalemate 15", "practice mate-or-stalemate 10"],
    ]


def test_who_waits_is_told_for_whom() -> None:
    plans = shipped(3)
    assert reason_in_words(plans["Bears"].sessions[0].slots[0].why) == (
        "games among themselves while the coach is with Foxes and Owls"
    )
    whys = [slot.why for slot in all_slots(plans["Owls"]) if slot.why and slot.why.why is Why.QUIET_SHEET]
    assert reason_in_words(whys[0]) == "a quiet sheet on what the group knows while the coach is with Foxes"


def test_the_last_group_works_on_last_weeks_unit_before_the_coach_comes() -> None:
    assert told(shipped(3)["Bears"])[2] == [
        "review mixed 10",
        "practice mate-in-one 30",
        "new two-majors 15",
    ]


def test_a_group_that_waits_for_its_assessment_finishes_a_unit_meanwhile() -> None:
    asked = request(13, 60, room=ROOM)
    plans = plan_together(SHIPPED, {name: replace(asked, goal=2) for name in ROOM})
    assert told(plans["Bears"])[-1] == [
        "review mixed 10",
        "play-out queen-box 20",
        "practice mixed 10",
        "assessment mixed 15",
    ]
    assert all("queen-box" not in plan.left_over for plan in plans.values())


def test_a_group_knows_who_is_in_its_room() -> None:
    assert {plan.room for plan in shipped(2).values()} == {("Foxes", "Owls")}


@pytest.mark.parametrize(("groups", "minutes"), [(2, 34), (3, 44)])
def test_an_evening_too_short_for_all_groups_is_refused(groups: int, minutes: int) -> None:
    with pytest.raises(CoachbookError, match=f"too short for {groups} groups in one room"):
        shipped(groups, 3, minutes)


@pytest.mark.parametrize(("groups", "minutes"), [(2, 35), (3, 45), (3, 60), (3, 90)])
def test_every_group_is_explained_something_on_the_first_evening_and_assessed_on_the_last(
    groups: int, minutes: int
) -> None:
    for plan in shipped(groups, 12, minutes).values():
        first, *_, last = plan.sessions
        assert any(slot.kind is SlotKind.NEW for slot in first.slots)
        assert any(slot.kind is SlotKind.ASSESSMENT for slot in last.slots)


def test_an_evening_that_one_group_has_locked_is_heeded_by_the_others() -> None:
    plans = shipped(2)
    kept = plans["Owls"].sessions[0]
    moved = replace(kept, slots=kept.slots[1:], locked=True)  # now the Owls begin with the coach
    owls = replace(plans["Owls"], sessions=(moved, *plans["Owls"].sessions[1:]))
    again = plan_together(
        SHIPPED,
        {"Foxes": rest_of(plans["Foxes"], weekly(1)[0]), "Owls": rest_of(owls, weekly(1)[0])},
    )
    check_coach(again)
    assert again["Owls"].sessions[0] == moved
    assert told(again["Foxes"])[0][0] == "play-out mixed 20"


@given(rooms())
def test_the_coach_is_never_with_two_groups_and_no_group_is_short_of_its_evening(drawn: Room) -> None:
    syllabus, plans = drawn
    check_coach(plans)
    for plan in plans.values():
        check_evenings(plan, tuple(session.on for session in plan.sessions))
        check_prerequisites(syllabus, plan)


@given(rooms())
def test_no_group_has_the_coach_for_longer_than_its_turn(drawn: Room) -> None:
    for plan in drawn[1].values():
        turn = request(1, plan.minutes, room=plan.room).turn or 0
        for session in plan.sessions:
            assert sum(slot.minutes for slot in session.slots if slot.with_coach) <= turn


@given(rooms())
def test_every_unit_that_is_begun_is_done_in_full_and_explained_first(drawn: Room) -> None:
    syllabus, plans = drawn
    for plan in plans.values():
        work = [slot for _, slot in work_in(plan.sessions)]
        for code in {slot.unit for slot in work}:
            own = [slot for slot in work if slot.unit == code]
            assert own[0].kind is SlotKind.NEW
            assert sum(slot.minutes for slot in own) >= syllabus.unit(code).minutes


def test_in_a_room_a_pin_gives_way_only_if_it_may() -> None:
    wrong = {"Foxes": request(4, pins=(Pin("two-majors", START - timedelta(1)),))}
    with pytest.raises(CoachbookError, match="does not meet then"):
        plan_together(SHIPPED, wrong)
    assert plan_together(SHIPPED, wrong, giving_way=True)["Foxes"].pins == ()


def test_in_a_room_a_lock_gives_way_unless_it_is_to_be_kept() -> None:
    days = weekly(4)
    locked = PlannedSession(days[0], (Slot(SlotKind.PRACTICE, "two-majors", 20),), locked=True)
    wrong = {"Foxes": replace(request(4), dates=days[1:], locked=(locked,))}
    assert not plan_together(SHIPPED, wrong, giving_way=True)["Foxes"].sessions[0].locked
    with pytest.raises(CoachbookError, match="is locked with"):
        plan_together(SHIPPED, wrong, giving_way=True, keeping_locks=True)


def test_groups_heed_what_the_coach_is_busy_with_besides() -> None:
    busy = {START: (CoachTime(0, 40, "Hares"),)}
    (plan,) = plan_together(SHIPPED, {"Foxes": replace(request(4), busy=busy)}).values()
    first = plan.sessions[0]
    assert min(start for start, slot in zip(first.starts, first.slots, strict=True) if slot.with_coach) == 40
