"""A term is planned anew from a day on: the past stays, the rest moves, and the difference is told."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.progress import Evening, Standing, UnitProgress
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import (
    CancelledSession,
    Difference,
    EveningTopics,
    NotDone,
    Pin,
    PlanDifference,
    PlannedSession,
    Progression,
    Slot,
    SlotKind,
    TermPlan,
    Why,
)
from coachbook.term.planner import plan_term
from coachbook.term.replan import differences, rest_of, succeed, without_answers
from coachbook.wording.plans import differences_in_words
from tests.term.samples import (
    SHIPPED,
    START,
    TITLES,
    check_evenings,
    minutes_of_evenings,
    request,
    syllabuses,
    told,
    weekly,
    work_in,
)

PLAN = plan_term(SHIPPED, request(8))
THIRD = weekly(3)[2]


def again(
    plan: TermPlan, first: date, *, cancelled: tuple[date, ...] = (), not_done: frozenset[str] = frozenset()
) -> TermPlan:
    return succeed(plan, plan_term(SHIPPED, rest_of(plan, first, cancelled=cancelled, not_done=not_done)))


@st.composite
def replans(draw: st.DrawFn) -> tuple[Syllabus, TermPlan, date, TermPlan]:
    """A plan, and the one that follows after some evenings of it are cancelled or locked, or did not help."""
    syllabus = draw(syllabuses())
    evenings = draw(st.integers(2, 7))
    try:
        old = plan_term(syllabus, request(evenings, draw(minutes_of_evenings)))
    except CoachbookError as error:
        assume("No unit fits" not in error.message)
        raise
    first = weekly(evenings)[draw(st.integers(0, evenings - 1))]
    locks = draw(st.sets(st.sampled_from(weekly(evenings))))
    old = replace(
        old, sessions=tuple(replace(session, locked=session.on in locks) for session in old.sessions)
    )
    to_come = [on for on in weekly(evenings) if on >= first]
    cancelled = draw(st.sets(st.sampled_from(to_come), max_size=len(to_come) - 1))
    past = sorted({slot.unit for on, slot in work_in(old.sessions) if on < first})
    not_done = frozenset(draw(st.sets(st.sampled_from(past))) if past else ())
    try:
        new = plan_term(syllabus, rest_of(old, first, cancelled=cancelled, not_done=not_done))
    except CoachbookError as error:
        assume("is locked with" not in error.message and "No unit fits" not in error.message)
        raise
    return syllabus, old, first, succeed(old, new)


def in_words(old: TermPlan, new: TermPlan) -> list[str]:
    return differences_in_words(differences(old, new), TITLES)


def test_without_a_change_nothing_changes() -> None:
    """But that the rest of a term may leave another time for what did not fit: the past is settled."""
    for first in (START, THIRD, weekly(8)[-1]):
        new = again(PLAN, first)
        assert replace(new, shortfalls=PLAN.shortfalls) == PLAN
        assert differences(PLAN, new) == ()
        assert [each.unit for each in new.shortfalls] == [each.unit for each in PLAN.shortfalls]


def test_after_a_cancelled_evening_its_work_goes_on_at_the_next() -> None:
    new = again(PLAN, THIRD, cancelled=(THIRD,))
    assert [session.on for session in new.sessions] == [on for on in weekly(8) if on != THIRD]
    assert told(new)[2] == told(PLAN)[2]
    assert new.sessions[:2] == PLAN.sessions[:2]


def test_the_difference_is_told_evening_by_evening() -> None:
    lines = in_words(PLAN, again(PLAN, THIRD, cancelled=(THIRD,)))
    assert lines[0] == "2026-09-24: was Two big pieces (goes on), now cancelled"
    assert lines[1] == (
        "2026-10-01: was Two big pieces (goes on), The stalemate trap (new), now Two big pieces (goes on)"
    )


def test_an_assessment_stands_where_it_comes_in_the_evening() -> None:
    slots = (Slot(SlotKind.ASSESSMENT, "", 20), Slot(SlotKind.NEW, "rook-box", 20))
    first, then = (
        replace(PLAN, sessions=(PlannedSession(START, order),)) for order in (slots, tuple(reversed(slots)))
    )
    assert in_words(first, then) == [
        f"{START}: was assessment, The rook's box (new), now The rook's box (new), assessment"
    ]


def test_what_fits_no_longer_or_fits_now_is_told() -> None:
    short = again(PLAN, THIRD, cancelled=weekly(5)[2:])
    units = "Enough to mate?, A box made by a queen, Make the box smaller."
    assert in_words(PLAN, short)[-1] == f"No longer fits: {units}"
    assert in_words(short, PLAN)[-1] == f"Fits now: {units}"


def test_a_unit_that_was_not_done_comes_again_in_full_and_only_once() -> None:
    new = again(PLAN, THIRD, not_done=frozenset({"mate-in-one"}))
    assert new.not_done == (NotDone("mate-in-one", THIRD),)
    after = [slot for on, slot in work_in(new.sessions) if slot.unit == "mate-in-one" and on >= THIRD]
    assert sum(slot.minutes for slot in after) == SHIPPED.unit("mate-in-one").minutes
    assert after[0].why and after[0].why.why is Why.AGAIN
    assert any("Mate in one move (again)" in line for line in in_words(PLAN, new))
    fifth = weekly(5)[4]
    assert again(new, fifth) == new
    twice = again(new, fifth, not_done=frozenset({"mate-in-one"}))
    assert twice.sessions[:4] == new.sessions[:4]
    assert differences(new, twice)[0].evenings == (fifth,)


def test_a_unit_that_was_never_planned_cannot_be_not_done() -> None:
    with pytest.raises(CoachbookError, match="rook-box was not planned before"):
        again(PLAN, THIRD, not_done=frozenset({"rook-box"}))


def test_what_the_group_learned_elsewhere_is_known_but_what_was_begun_is_ended() -> None:
    asked = rest_of(PLAN, THIRD, known=frozenset({"two-majors", "rook-box"}))
    assert asked.known == {"rook-box"}


@pytest.mark.parametrize(
    ("first", "cancelled", "message"),
    [
        (THIRD, START + timedelta(1), "there is no evening on it"),
        (THIRD, START, "only evenings from 2026-09-24 on are replanned"),
        (date(2027, 1, 1), None, "No evening is left from 2027-01-01 on"),
        (weekly(8)[-1], weekly(8)[-1], "No evening is left"),
    ],
)
def test_what_cannot_be_planned_anew_is_told(first: date, cancelled: date | None, message: str) -> None:
    with pytest.raises(CoachbookError, match=message):
        again(PLAN, first, cancelled=(cancelled,) if cancelled else ())


def test_evenings_that_change_count_up_and_cancelled_ones_are_kept() -> None:
    new = again(PLAN, THIRD, cancelled=(THIRD,))
    sequences = {session.on: session.sequence for session in new.sessions}
    assert [sequences[on] for on in weekly(8)[:2]] == [0, 0]
    assert sequences[weekly(4)[3]] == 1
    assert new.cancelled == (CancelledSession(THIRD, 1),)
    later = again(new, weekly(4)[3], cancelled=(weekly(4)[3],))
    assert later.cancelled == (CancelledSession(THIRD, 1), CancelledSession(weekly(4)[3], 2))


def test_an_evening_that_takes_place_after_all_goes_on_counting() -> None:
    without = again(PLAN, THIRD, cancelled=(THIRD,))
    back = succeed(without, PLAN)
    assert back.cancelled == ()
    assert {session.on: session.sequence for session in back.sessions}[THIRD] == 2


def test_a_new_time_of_day_changes_every_evening() -> None:
    assert {session.sequence for session in succeed(PLAN, replace(PLAN, at="18:30")).sessions} == {1}


def test_the_next_term_cancels_nothing_of_the_last_one() -> None:
    moved = tuple(replace(session, on=session.on + timedelta(weeks=20)) for session in PLAN.sessions)
    spring = replace(PLAN, starts_on=START + timedelta(weeks=20), sessions=moved)
    assert succeed(PLAN, spring) == spring


def seen(unit: str, *dates: date) -> UnitProgress:
    evenings = tuple(Evening(on, 5, 6) for on in dates)
    return UnitProgress("Ana", unit, Standing.WORKING, evenings, 0.9, START)


def test_a_unit_in_which_nobody_did_anything_was_not_done() -> None:
    progress = [seen("mate-or-stalemate", START), seen("mate-in-one")]
    assert without_answers(PLAN, THIRD, progress) == {"mate-in-one"}
    assert without_answers(PLAN, weekly(2)[1], progress) == frozenset()


def test_what_was_answered_in_an_earlier_term_does_not_count_for_this_one() -> None:
    progress = [seen("mate-or-stalemate", START), seen("mate-in-one", START - timedelta(90))]
    assert without_answers(PLAN, THIRD, progress) == {"mate-in-one"}


def test_where_nothing_was_logged_the_plan_is_taken_at_its_word() -> None:
    assert without_answers(PLAN, weekly(8)[-1], [seen("mate-or-stalemate")]) == frozenset()


def test_what_was_planned_again_counts_from_then_on() -> None:
    new = again(PLAN, THIRD, not_done=frozenset({"mate-in-one"}))
    progress = [seen("mate-or-stalemate", START), seen("mate-in-one"), seen("two-majors", THIRD)]
    assert "mate-in-one" not in without_answers(new, THIRD, progress)
    assert "mate-in-one" in without_answers(new, weekly(8)[-1], progress)


@given(replans())
def test_the_past_and_locked_evenings_never_move(
    drawn: tuple[Syllabus, TermPlan, date, TermPlan],
) -> None:
    _, old, first, new = drawn
    now = {session.on: session for session in new.sessions}
    for session in old.sessions:
        if session.on < first:
            assert now[session.on] == session
        elif session.locked and session.on in now:
            assert replace(now[session.on], sequence=session.sequence) == session


@given(replans())
def test_no_evening_is_overfilled_and_none_used_that_is_cancelled(
    drawn: tuple[Syllabus, TermPlan, date, TermPlan],
) -> None:
    _, old, _, new = drawn
    gone = {each.on for each in new.cancelled}
    check_evenings(new, tuple(session.on for session in old.sessions if session.on not in gone))


@given(replans())
def test_from_the_day_on_no_prerequisite_is_broken(
    drawn: tuple[Syllabus, TermPlan, date, TermPlan],
) -> None:
    syllabus, _, first, new = drawn
    void = {each.unit for each in new.not_done if each.before == first}
    done, left = set(new.known), {unit.code: unit.minutes for unit in syllabus.units}
    for on, slot in work_in(new.sessions):
        if on < first and slot.unit in void:
            continue
        if on >= first:
            assert done.issuperset(syllabus.unit(slot.unit).prerequisites), (on, slot)
        left[slot.unit] -= slot.minutes
        if left[slot.unit] <= 0:
            done.add(slot.unit)


@given(replans())
def test_every_evening_that_differs_is_told_and_counts_up_and_no_other(
    drawn: tuple[Syllabus, TermPlan, date, TermPlan],
) -> None:
    _, old, _, new = drawn
    told = {on: each for each in differences(old, new) for on in each.evenings}
    for session in old.sessions:
        same = session.on in _dates(new) and _shape(old, session.on) == _shape(new, session.on)
        difference = told.get(session.on)
        if same and difference:  # what goes on may have become what is new
            assert difference.was != difference.now
        assert same or difference
    changed = {session.on for session in new.sessions if session.sequence}
    assert changed | {each.on for each in new.cancelled} == told.keys()


def _dates(plan: TermPlan) -> set[date]:
    return {session.on for session in plan.sessions}


def _shape(plan: TermPlan, on: date) -> list[tuple[SlotKind, str, int]]:
    session = next(session for session in plan.sessions if session.on == on)
    return [(slot.kind, slot.unit, slot.minutes) for slot in session.slots]


def test_a_lock_that_is_put_on_or_taken_off_is_told() -> None:
    locked = replace(PLAN, sessions=(replace(PLAN.sessions[0], locked=True), *PLAN.sessions[1:]))
    assert differences(PLAN, locked) == (PlanDifference(Difference.LOCKED, (START,)),)
    assert differences(locked, PLAN) == (PlanDifference(Difference.UNLOCKED, (START,)),)
    assert differences(locked, locked) == ()
    shorter = replace(PLAN, sessions=PLAN.sessions[1:])
    assert Difference.UNLOCKED not in {each.what for each in differences(shorter, PLAN)}


def test_an_evening_that_is_new_is_told_with_what_it_is_about() -> None:
    about = EveningTopics((("mate-or-stalemate", Progression.NEW), ("mate-in-one", Progression.NEW)))
    (added,) = differences(replace(PLAN, sessions=()), replace(PLAN, sessions=PLAN.sessions[:1]))
    assert added == PlanDifference(Difference.ADDED, (START,), now=about)


def test_evenings_with_other_minutes_alone_are_told_together() -> None:
    def longer(session: PlannedSession) -> PlannedSession:
        return replace(
            session, slots=tuple(replace(slot, minutes=slot.minutes + 5) for slot in session.slots)
        )

    later = replace(PLAN, sessions=(*map(longer, PLAN.sessions[:2]), *PLAN.sessions[2:]))
    assert differences(PLAN, later) == (PlanDifference(Difference.OTHER_MINUTES, weekly(2)),)


def test_only_what_fits_no_longer_or_fits_now_is_told_of_what_was_left_over() -> None:
    short = replace(PLAN, left_over=(*PLAN.left_over, "old"))
    assert differences(PLAN, short) == (PlanDifference(Difference.FITS_NO_LONGER, units=("old",)),)
    assert differences(short, PLAN) == (PlanDifference(Difference.FITS_NOW, units=("old",)),)
    assert differences(short, replace(PLAN, known=("old",))) == ()


def test_the_rest_of_a_term_is_asked_for_as_the_term_was() -> None:
    asked = replace(
        PLAN,
        goal=2,
        room=("Foxes", "Owls"),
        pins=(Pin("a", weekly(2)[1]), Pin("b", THIRD)),
        known=("k",),
        at="18:30",
    )
    rest = rest_of(asked, THIRD, known=frozenset({"mate-or-stalemate", "new"}), has_answers=True)
    assert (rest.goal, rest.sharing, rest.pins) == (2, ("Foxes", "Owls"), (Pin("b", THIRD),))
    assert (rest.has_answers, rest.at, rest.minutes) == (True, "18:30", 60)
    assert rest.known == {"k", "new"}
    assert rest_of(asked, START, known=frozenset({"new"})).known == {"new"}


def test_of_what_was_planned_again_twice_the_last_time_counts() -> None:
    unit, days = "mate-or-stalemate", weekly(8)
    sessions = tuple(
        PlannedSession(on, (Slot(SlotKind.PRACTICE, unit, 20),)) for on in (days[0], days[2], days[4])
    )
    plan = replace(PLAN, sessions=sessions, not_done=(NotDone(unit, days[4]), NotDone(unit, days[2])))
    assert without_answers(plan, days[7], [seen("rook-box", days[1]), seen(unit, days[3])]) == {unit}
    assert without_answers(plan, days[7], [seen(unit, days[3], days[5])]) == frozenset()
