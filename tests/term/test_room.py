"""In a room with several groups the coach explains to one at a time, and each has its turn."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import Pin, PlannedSession, Slot, SlotKind, TermPlan, Why, learning_together
from coachbook.term.replan import rest_of
from coachbook.term.request import CoachTime, TermRequest
from coachbook.term.together import coach_times, parties_of, plan_together
from coachbook.wording.plans import reason_in_words
from tests.term.samples import (
    SHIPPED,
    START,
    all_slots,
    check_evenings,
    check_prerequisites,
    request,
    syllabus_of,
    syllabuses,
    told,
    unit,
    weekly,
    work_in,
)

ROOM = ("Foxes", "Owls", "Bears")
FIRST_UNITS = [unit.code for unit in SHIPPED.units[:3]]
Requests = dict[str, TermRequest]
Room = tuple[Syllabus, Requests, dict[str, TermPlan]]


def shipped(groups: int, evenings: int = 12, minutes: int = 60) -> dict[str, TermPlan]:
    """Groups each of which is a unit ahead of the one before it."""
    names = ROOM[:groups]
    return plan_together(
        SHIPPED,
        {
            name: request(evenings, minutes, room=names, known=frozenset(FIRST_UNITS[:ahead]))
            for ahead, name in enumerate(names)
        },
    )


def check_coach(plans: dict[str, TermPlan]) -> None:
    """Fails if the coach is to be with two groups at once, other than to explain the same to both."""
    times = [coach_times(group, plan.sessions) for group, plan in plans.items()]
    for one, other in combinations(times, 2):
        for on in one.keys() & other.keys():
            for mine in one[on]:
                assert all(
                    mine.end <= theirs.start
                    or theirs.end <= mine.start
                    or (mine.start, mine.unit) == (theirs.start, theirs.unit)
                    for theirs in other[on]
                )


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
    return syllabus, asked, plan_together(syllabus, asked)


def test_groups_that_begin_together_learn_everything_together() -> None:
    asked = {name: request(12, room=ROOM) for name in ROOM}
    plans = plan_together(SHIPPED, asked)
    alone = plan_together(SHIPPED, {"Foxes": request(12)})["Foxes"]
    assert parties_of(SHIPPED, asked) == (ROOM,)
    assert all(plan.sessions == alone.sessions for plan in plans.values())
    assert all(plan.room == ROOM for plan in plans.values())


def test_who_is_explained_the_same_at_once_is_told_of_the_others() -> None:
    plans = plan_together(SHIPPED, {name: request(2, room=ROOM[:2]) for name in ROOM[:2]})
    together = learning_together({name: plan.sessions for name, plan in plans.items()})
    assert together["Foxes", START, 0] == ("Owls",)
    assert {who for who, _, _ in together} == {"Foxes", "Owls"}
    assert not learning_together({"Foxes": plans["Foxes"].sessions})


def test_a_group_waits_a_few_minutes_to_hear_what_another_is_explained_anyway() -> None:
    syllabus = syllabus_of(unit("base", 20), unit("more", 30, "base"), unit("apart", 20))
    names = ("Foxes", "Owls")
    asked = {
        "Foxes": request(3, 60, room=names, known=frozenset({"base", "apart"})),
        "Owls": request(3, 60, room=names, known=frozenset({"base"})),
    }
    plans = plan_together(syllabus, asked)
    together = learning_together({name: plan.sessions for name, plan in plans.items()})
    shared = {slot for (_, on, start) in together for slot in _explained(plans["Foxes"], on, start)}
    assert "more" in shared


def _explained(plan: TermPlan, on: date, start: int) -> list[str]:
    session = plan.session_on(on)
    assert session is not None
    return [slot.unit for begin, slot in session.timed if begin == start]


def test_a_past_that_differs_joins_when_what_is_to_come_is_the_same() -> None:
    begun = plan_together(SHIPPED, {name: request(6, room=ROOM[:2]) for name in ROOM[:2]})
    again = {name: rest_of(plan, weekly(3)[2]) for name, plan in begun.items()}
    assert parties_of(SHIPPED, again) == (ROOM[:2],)
    unlike = {**again, "Owls": rest_of(begun["Owls"], weekly(3)[2], not_done=frozenset(FIRST_UNITS[:1]))}
    assert parties_of(SHIPPED, unlike) == (("Foxes",), ("Owls",))
    plans = plan_together(SHIPPED, again)
    assert all(plans[name].sessions[:2] == begun[name].sessions[:2] for name in begun)


def test_the_first_evening_of_three_groups_that_are_apart() -> None:
    firsts = [told(plan)[0] for plan in shipped(3).values()]
    assert firsts == [
        ["new mate-or-stalemate 15", "practice mate-or-stalemate 30", "play-out mixed 10"],
        ["review mixed 15", "new mate-in-one 15", "practice mate-in-one 20"],
        ["review mixed 10", "practice mixed 20", "new two-majors 15", "play-out mixed 10"],
    ]


def test_who_waits_is_told_for_whom() -> None:
    whys = [slot.why for slot in all_slots(shipped(3)["Bears"]) if slot.why]
    words = {reason_in_words(why) for why in whys if why.why is Why.QUIET_SHEET}
    assert "a quiet sheet on what the group knows while the coach is with Foxes and Owls" in words


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
        {
            "Foxes": rest_of(plans["Foxes"], weekly(1)[0]),
            "Owls": rest_of(owls, weekly(1)[0], known=frozenset(owls.known)),
        },
    )
    check_coach(again)
    assert again["Owls"].sessions[0] == moved
    assert told(again["Foxes"])[0][:2] == ["new mate-or-stalemate 10", "practice mate-or-stalemate 20"]


@given(rooms())
def test_the_coach_is_never_with_two_groups_and_no_group_is_short_of_its_evening(drawn: Room) -> None:
    syllabus, _, plans = drawn
    check_coach(plans)
    for plan in plans.values():
        check_evenings(plan, tuple(session.on for session in plan.sessions))
        check_prerequisites(syllabus, plan)


@given(rooms())
def test_no_group_has_the_coach_for_longer_than_its_turn(drawn: Room) -> None:
    syllabus, asked, plans = drawn
    together = learning_together({group: plan.sessions for group, plan in plans.items()})
    parties = len(parties_of(syllabus, asked))
    for group, plan in plans.items():
        turn = replace(asked[group], parties=parties).turn or plan.minutes
        for session in plan.sessions:
            alone = (
                slot.minutes
                for start, slot in session.timed
                if slot.with_coach and (group, session.on, start) not in together
            )
            assert sum(alone) <= turn


@given(rooms())
def test_every_unit_that_is_begun_is_done_in_full_and_explained_first(drawn: Room) -> None:
    syllabus, _, plans = drawn
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
    assert min(start for start, slot in first.timed if slot.with_coach) == 40


@given(rooms())
def test_what_is_joined_breaks_no_prerequisite_and_takes_no_group_from_another_lesson(drawn: Room) -> None:
    syllabus, _, plans = drawn
    together = learning_together({group: plan.sessions for group, plan in plans.items()})
    for (group, on, start), others in together.items():
        units = {code for name in (group, *others) for code in _explained(plans[name], on, start)}
        assert len(units) == 1
    for plan in plans.values():
        check_prerequisites(syllabus, plan)
