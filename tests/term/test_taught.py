"""What a group was taught, and what a student of it missed."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.term_plan import NotDone, PlannedSession, Reason, Slot, SlotKind, TermPlan, Why
from coachbook.term.taught import (
    CATCH_UP_MINUTES,
    assessed_units,
    coach_is_needed,
    free_for_catch_up,
    lessons_before,
    missed_units,
    to_be_taught_again,
)
from tests.term.samples import syllabus_of, unit

START = date(2026, 9, 10)
LEVELS = syllabus_of(unit("a", 10), unit("b", 10, level=2), unit("c", 10, level=2), unit("d", 10, level=3))


def week(number: int) -> date:
    return START + timedelta(weeks=number)


def evening(number: int, *new: str) -> PlannedSession:
    return PlannedSession(week(number), tuple(Slot(SlotKind.NEW, unit, 20, None, True) for unit in new))


def plan(
    *sessions: PlannedSession, known: tuple[str, ...] = (), not_done: tuple[NotDone, ...] = ()
) -> TermPlan:
    return TermPlan(START, week(9), 60, sessions, known=known, not_done=not_done)


def practised(number: int, unit: str, *more: Slot) -> PlannedSession:
    return PlannedSession(week(number), (*more, Slot(SlotKind.PRACTICE, unit, 20)))


@pytest.mark.parametrize("why", [Why.LEVEL_DONE, Why.LAST_EVENING])
def test_an_assessment_asks_for_the_whole_level_that_is_done(why: Why) -> None:
    tonight = practised(2, "c", Slot(SlotKind.ASSESSMENT, "", 20, Reason(why, 2)))
    assert assessed_units(LEVELS, [practised(1, "a"), tonight], tonight) == ("b", "c")


def test_where_no_level_is_done_an_assessment_asks_for_what_was_practised_by_then() -> None:
    tonight = practised(2, "c", Slot(SlotKind.ASSESSMENT, "", 20, Reason(Why.LAST_EVENING)))
    sessions = [practised(0, "b"), practised(1, "a"), tonight, practised(3, "d")]
    assert assessed_units(LEVELS, sessions, tonight) == ("a", "b", "c")


def test_where_there_is_no_assessment_nothing_is_asked_for() -> None:
    assert assessed_units(LEVELS, [practised(0, "b")], practised(0, "b")) == ()


def test_a_unit_was_taught_on_each_evening_before_on_which_it_was_new() -> None:
    term = plan(evening(0, "a"), evening(1, "a", "b"), evening(2, "c"), known=("z",))
    assert lessons_before([term], week(2)) == {"z": (), "a": (week(0), week(1)), "b": (week(1),)}


def test_what_was_not_done_is_to_be_taught_again_until_it_is() -> None:
    term = plan(evening(0, "a"), evening(2, "a"), not_done=(NotDone("a", week(1)),))
    assert to_be_taught_again([term], week(0)) == frozenset()
    assert lessons_before([term], week(2)) == {}
    assert to_be_taught_again([term], week(2)) == {"a"}
    assert lessons_before([term], week(3)) == {"a": (week(2),)}
    assert to_be_taught_again([term], week(3)) == frozenset()


def test_who_was_away_for_a_part_of_a_unit_has_missed_something_until_it_is_worked_in() -> None:
    lessons = {"a": (week(0), week(1)), "b": (week(1),)}
    held = {week(0), week(1)}
    assert missed_units(lessons, held, {week(0)}, ()) == ("a", "b")
    assert missed_units(lessons, held, {week(1)}, ()) == ("a",)
    assert missed_units(lessons, held, {week(1)}, ("a",)) == ()
    assert missed_units(lessons, held, held, ()) == ()


def test_an_evening_of_which_nothing_is_logged_is_taken_at_the_plan_s_word() -> None:
    assert missed_units({"a": (week(0),)}, (), (), ()) == ()
    assert missed_units({"a": (week(0), week(1))}, {week(1)}, {week(1)}, ()) == ()


def test_what_the_group_knew_before_is_missed_by_whoever_has_not_begun_it() -> None:
    assert missed_units({"a": ()}, (), {week(0)}, ()) == ("a",)


slots = st.lists(
    st.builds(Slot, st.just(SlotKind.NEW), st.just("a"), st.integers(5, 30), st.none(), st.booleans()),
    max_size=6,
)


@given(st.lists(slots, min_size=1, max_size=3), st.integers(0, 120))
def test_a_catch_up_with_the_coach_is_never_while_a_group_needs_the_coach(
    evenings: list[list[Slot]], until: int
) -> None:
    sessions = [PlannedSession(START, tuple(each)) for each in evenings]
    needed = [each for session in sessions for each in coach_is_needed(session)]
    starts = free_for_catch_up(needed, 0, until)
    for begin in starts:
        assert begin + CATCH_UP_MINUTES <= until
        for session in sessions:
            for start, slot in session.timed:
                ends = start + slot.minutes
                assert not slot.with_coach or ends <= begin or begin + CATCH_UP_MINUTES <= start
    assert all(later - earlier >= CATCH_UP_MINUTES for earlier, later in pairwise(starts))
