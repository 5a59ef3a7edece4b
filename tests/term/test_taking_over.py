"""What a new plan takes over from the plans before it, what they promise, and which wishes give way."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.term_plan import (
    CancelledSession,
    Closure,
    NotDone,
    Pin,
    PlannedSession,
    Slot,
    SlotKind,
    TermPlan,
)
from coachbook.term.planner import plan_term, plan_term_giving_way
from coachbook.term.replan import promised, taken_over
from tests.term.samples import START, request, syllabus_of, unit, weekly

DAYS = weekly(8)
NEW, PRACTICE = SlotKind.NEW, SlotKind.PRACTICE


def session(number: int, *units: str, kind: SlotKind = PRACTICE, locked: bool = False) -> PlannedSession:
    return PlannedSession(DAYS[number], tuple(Slot(kind, code, 20) for code in units), locked)


def plan(*sessions: PlannedSession, minutes: int = 60) -> TermPlan:
    return TermPlan(sessions[0].on, sessions[-1].on, minutes, sessions)


AUTUMN = plan(session(0, "a"), session(1, "a", "b"), session(2, "b"), session(3, "c"))
WINTER = plan(session(4, "c"), session(5, "d"), minutes=90)


def test_of_the_plans_before_it_a_plan_takes_over_what_is_on_its_days() -> None:
    autumn = replace(
        AUTUMN,
        cancelled=(CancelledSession(DAYS[2] + timedelta(1), 3), CancelledSession(DAYS[0] + timedelta(1), 1)),
        pins=(Pin("a", DAYS[0]), Pin("c", DAYS[3])),
        not_done=(NotDone("a", DAYS[1]), NotDone("b", DAYS[3])),
    )
    winter = replace(WINTER, pins=(Pin("d", DAYS[5]),), not_done=(NotDone("c", DAYS[4]),))
    taken = taken_over([winter, autumn], Closure(DAYS[2], DAYS[4]))
    assert taken is not None
    assert (taken.starts_on, taken.ends_on) == (DAYS[2], DAYS[4])
    assert taken.sessions == (AUTUMN.sessions[2], AUTUMN.sessions[3], WINTER.sessions[0])
    assert taken.cancelled == (CancelledSession(DAYS[2] + timedelta(1), 3),)
    assert taken.pins == (Pin("c", DAYS[3]),)
    assert set(taken.not_done) == {NotDone("b", DAYS[3]), NotDone("c", DAYS[4])}
    assert taken.minutes == AUTUMN.minutes


def test_a_cancelled_evening_alone_is_taken_over_too_and_nothing_is_not() -> None:
    gone = CancelledSession(DAYS[1] + timedelta(1), 2)
    taken = taken_over([replace(AUTUMN, cancelled=(gone,)), WINTER], Closure(gone.on, gone.on))
    assert taken is not None
    assert (taken.sessions, taken.cancelled, taken.minutes) == ((), (gone,), AUTUMN.minutes)
    assert taken_over([AUTUMN, WINTER], Closure(DAYS[6], DAYS[7])) is None


def test_cancelled_evenings_are_taken_over_in_order() -> None:
    late, early = CancelledSession(DAYS[3] + timedelta(1), 1), CancelledSession(DAYS[1] + timedelta(1), 5)
    taken = taken_over([replace(AUTUMN, cancelled=(late, early))], Closure(DAYS[0], DAYS[7]))
    assert taken is not None
    assert taken.cancelled == (early, late)


def test_a_term_under_way_promises_what_it_ends_before_a_day() -> None:
    today = DAYS[1]
    assert promised([AUTUMN], DAYS[7], (), today) == {"a", "b", "c"}
    assert promised([AUTUMN], DAYS[3], (), today) == {"a", "b"}
    assert promised([AUTUMN], DAYS[2], (), today) == {"a"}
    assert promised([AUTUMN], DAYS[3], (), DAYS[3]) == frozenset()
    assert promised([AUTUMN, WINTER], DAYS[7], (), today) == {"a", "b", "c", "d"}


def test_a_term_of_which_every_evening_was_held_promises_nothing_more() -> None:
    assert promised([AUTUMN], DAYS[7], DAYS[:4], DAYS[3]) == frozenset()
    assert promised([AUTUMN], DAYS[7], DAYS[:3], DAYS[3]) == {"a", "b", "c"}
    assert promised([AUTUMN], DAYS[7], (), DAYS[3]) == {"a", "b", "c"}
    assert promised([AUTUMN], DAYS[7], (), DAYS[3] + timedelta(1)) == frozenset()
    assert promised([AUTUMN, WINTER], DAYS[7], DAYS[:4], DAYS[4]) == {"c", "d"}


def test_what_was_not_done_is_promised_only_if_it_is_planned_again() -> None:
    lost = replace(AUTUMN, not_done=(NotDone("a", DAYS[2]),))
    assert promised([lost], DAYS[7], (), DAYS[1]) == {"b", "c"}
    twice = replace(AUTUMN, not_done=(NotDone("b", DAYS[2]), NotDone("b", DAYS[1])))
    assert promised([twice], DAYS[7], (), DAYS[1]) == {"a", "b", "c"}
    latest = replace(AUTUMN, not_done=(NotDone("b", DAYS[3]), NotDone("b", DAYS[1])))
    assert promised([latest], DAYS[7], (), DAYS[1]) == {"a", "c"}


THREE = syllabus_of(unit("one", 40), unit("two", 40), unit("three", 40))


def test_a_pin_that_cannot_be_kept_gives_way_and_the_others_stay() -> None:
    early, late = Pin("three", DAYS[0]), Pin("two", DAYS[2])
    asked = request(5, pins=(Pin("one", START + timedelta(1)), early, late))
    with pytest.raises(CoachbookError, match="does not meet then"):
        plan_term(THREE, asked)
    kept = plan_term_giving_way(THREE, asked)
    assert kept.pins == (early, late)
    assert kept.sessions[0].slots[0].unit == "three"


def locked_too_early(number: int) -> tuple[PlannedSession, ...]:
    return (session(number, "one", kind=PRACTICE, locked=True),)


def test_a_lock_that_cannot_be_kept_gives_way_and_its_evening_is_planned_in_its_place() -> None:
    asked = replace(request(5), dates=(DAYS[1], *DAYS[2:5]), locked=locked_too_early(0))
    made = plan_term_giving_way(THREE, asked)
    assert [each.on for each in made.sessions] == list(DAYS[:5])
    assert not made.sessions[0].locked
    assert made.sessions[0].slots[0].kind is NEW
    kept = replace(request(5), dates=DAYS[:4], locked=(*locked_too_early(4),))
    assert plan_term_giving_way(THREE, kept).sessions[-1].locked


def test_locks_do_not_give_way_if_they_are_to_be_kept_but_pins_do() -> None:
    asked = replace(request(5), dates=(DAYS[1], *DAYS[2:5]), locked=locked_too_early(0))
    with pytest.raises(CoachbookError, match="is locked with practice"):
        plan_term_giving_way(THREE, asked, keeping_locks=True)
    wrong = request(5, pins=(Pin("one", date(2027, 1, 1)),))
    assert plan_term_giving_way(THREE, wrong, keeping_locks=True).pins == ()
