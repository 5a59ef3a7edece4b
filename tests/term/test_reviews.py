"""Whoever would forget before the next meeting reviews, the most urgent first, or is said not to fit."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.progress import Evening, Standing, UnitProgress
from coachbook.model.term_plan import (
    PlannedReview,
    PlannedSession,
    Reason,
    Slot,
    SlotKind,
    TermPlan,
    TermReviews,
    Why,
)
from coachbook.term.planner import plan_term
from coachbook.term.request import known_units
from coachbook.term.reviews import plan_reviews, with_due, with_students_due
from coachbook.wording.plans import no_time_in_words, reason_in_words
from tests.term.samples import SHIPPED, START, TITLES, request, weekly

DAYS = (3, 10, 30, 90, 200)
BEFORE = START - timedelta(60)
UNITS = tuple(TITLES)


def doubling(evenings: tuple[Evening, ...], dates: tuple[date, ...]) -> date:
    """A memory that holds longer after each practice."""
    practised = (*(each.on for each in evenings), *dates)
    return practised[-1] + timedelta(DAYS[min(len(practised), len(DAYS)) - 1])


def standing(student: str, unit: str, due: date | None, reached: Standing = Standing.FADING) -> UnitProgress:
    evenings = () if due is None else (Evening(BEFORE, 5, 6),)
    return UnitProgress(student, unit, reached, evenings, None if due is None else 0.8, due)


def session(week: int, *units: str, review: int = 10) -> PlannedSession:
    slots = [Slot(SlotKind.REVIEW, "", review)] if review else []
    return PlannedSession(
        START + timedelta(weeks=week), (*slots, *(Slot(SlotKind.PRACTICE, unit, 20) for unit in units))
    )


def rows(reviews: TermReviews) -> list[tuple[str, str, date]]:
    return [(each.student, each.unit, each.on) for each in reviews.planned]


def test_who_falls_below_the_target_by_the_next_meeting_reviews_now() -> None:
    progress = [
        standing("Ana", "a", START + timedelta(7)),
        standing("Bo", "a", START + timedelta(8)),
        standing("Cy", "a", None, Standing.NEW),
    ]
    assert rows(plan_reviews([session(0), session(1)], progress, doubling)) == [
        ("Ana", "a", START),
        ("Bo", "a", START + timedelta(7)),
        ("Ana", "a", START + timedelta(7)),
    ]


def test_what_is_practised_anyway_needs_no_review() -> None:
    progress = [standing("Ana", "a", BEFORE)]
    assert rows(plan_reviews([session(0, "a")], progress, doubling)) == []


def test_an_assessment_reviews_all_that_it_asks_for_and_nothing_else() -> None:
    sessions = [session(0, review=0), session(1), session(2)]
    due = [*[(unit, BEFORE) for unit in "abcd"], ("e", START + timedelta(10))]
    progress = [standing("Ana", unit, on) for unit, on in due]
    asked = {START: ("a", "b", "c", "e")}
    reviews = plan_reviews(sessions, progress, lambda _, dates: dates[-1] + timedelta(90), assessed=asked)
    assert rows(reviews) == [
        *[("Ana", unit, START) for unit in "abc"],
        ("Ana", "d", START + timedelta(7)),
    ]
    assert reviews.unfit == ()


def test_what_is_practised_for_the_first_time_is_reviewed_later() -> None:
    progress = [standing("Ana", "a", None, Standing.NEW)]
    reviews = plan_reviews([session(0, "a"), session(1), session(2)], progress, doubling)
    assert rows(reviews) == [("Ana", "a", START + timedelta(days)) for days in (7, 14)]


def test_two_reviews_fit_into_ten_minutes_and_those_who_waited_longest_come_first() -> None:
    progress = [
        standing("Ana", unit, BEFORE + timedelta(days)) for unit, days in zip("abc", (3, 1, 2), strict=True)
    ]
    reviews = plan_reviews([session(0)], progress, doubling)
    assert rows(reviews) == [("Ana", "b", START), ("Ana", "c", START)]
    assert [(each.unit, no_time_in_words(each)) for each in reviews.unfit] == [
        ("a", "other units come first: 2 reviews are all that fit into an evening")
    ]


def test_each_student_has_a_sheet_of_their_own() -> None:
    progress = [standing(name, unit, BEFORE) for name in ("Ana", "Bo") for unit in "ab"]
    assert len(plan_reviews([session(0)], progress, doubling).planned) == 4


def test_who_finds_no_room_comes_next_evening() -> None:
    progress = [standing("Ana", unit, BEFORE) for unit in "abc"]
    reviews = plan_reviews([session(0), session(1)], progress, lambda _, dates: dates[-1] + timedelta(90))
    assert ("Ana", "c", START + timedelta(7)) in rows(reviews)
    assert reviews.unfit == ()


def test_an_evening_without_review_says_so() -> None:
    (unfit,) = plan_reviews([session(0, review=0)], [standing("Ana", "a", BEFORE)], doubling).unfit
    assert no_time_in_words(unfit) == "the evening of 2026-09-10 has no time for review"


def test_the_meeting_after_may_be_told() -> None:
    progress = [standing("Ana", "a", START + timedelta(10))]
    assert rows(plan_reviews([session(0)], progress, doubling)) == []
    later = START + timedelta(14)
    assert rows(plan_reviews([session(0)], progress, doubling, later)) == [("Ana", "a", START)]


def test_an_evening_that_is_logged_already_is_not_counted_twice() -> None:
    logged = replace(standing("Ana", "a", START + timedelta(3)), evenings=(Evening(START, 5, 6),))
    assert rows(plan_reviews([session(0, "a"), session(1)], [logged], doubling)) == [
        ("Ana", "a", START + timedelta(7))
    ]


def test_a_review_slot_tells_how_many_are_due_in_what_and_nobodys_name() -> None:
    plan = TermPlan(START, START + timedelta(7), 60, (session(0), session(1)))
    names = ("Ana", "Bo", "Cy")
    planned = tuple(
        PlannedReview(name, unit, START, START)
        for unit in UNITS[:4]
        for name in names[: 4 - UNITS.index(unit)]
    )
    told = with_students_due(plan, TermReviews(planned), START)
    assert reason_in_words(told.sessions[0].slots[0].why, TITLES) == (
        "students due before the next evening: Is the game over? (3), Mate in one move (3),"
        " Two big pieces (2) and 1 more"
    )
    assert with_students_due(plan, TermReviews(), START).sessions[0].slots[0].why == Reason(Why.NOBODY_DUE)
    assert with_students_due(plan, TermReviews(), START + timedelta(8)) == plan


def test_the_last_evening_speaks_of_no_next_one() -> None:
    plan = TermPlan(START, START, 60, (session(0),))
    told = with_students_due(plan, TermReviews((PlannedReview("Ana", UNITS[0], START, START),)), START)
    assert reason_in_words(told.sessions[0].slots[0].why, TITLES) == "students due: Is the game over? (1)"


@pytest.mark.parametrize(
    ("standings", "known"),
    [
        ((Standing.SECURE, Standing.NEW), True),
        ((Standing.FADING, Standing.WORKING), True),
        ((Standing.SECURE, Standing.NEW, Standing.WORKING), False),
        ((Standing.NEW,), False),
    ],
)
def test_a_unit_is_known_if_half_of_the_group_once_knew_it(
    standings: tuple[Standing, ...], known: bool
) -> None:
    progress = [standing(f"S{number}", "a", None, each) for number, each in enumerate(standings)]
    assert known_units(progress) == (frozenset("a") if known else frozenset())


def test_a_group_of_nobody_knows_nothing() -> None:
    assert known_units([]) == frozenset()


@st.composite
def groups(draw: st.DrawFn) -> tuple[list[UnitProgress], TermPlan]:
    """Where up to five students stand in the shipped syllabus, and a plan for them."""
    names = [f"S{number}" for number in range(draw(st.integers(1, 5)))]
    dues = st.none() | st.integers(-60, 60)
    progress = []
    for name in names:
        for code in UNITS:
            days = draw(dues)
            due = None if days is None else START + timedelta(days)
            reached = Standing.NEW if due is None else Standing.FADING if due <= START else Standing.SECURE
            progress.append(standing(name, code, due, reached))
    asked = replace(
        request(draw(st.integers(1, 8)), draw(st.integers(60, 120)), known=known_units(progress)),
        has_answers=any(each.evenings for each in progress),
    )
    return progress, plan_term(SHIPPED, asked)


@given(groups())
def test_every_fading_student_gets_a_slot_or_is_listed_as_not_fitting(
    drawn: tuple[list[UnitProgress], TermPlan],
) -> None:
    progress, plan = drawn
    reviews = plan_reviews(plan.sessions, progress, doubling)
    practised = {slot.unit for each in plan.sessions for slot in each.slots if slot.kind is SlotKind.PRACTICE}
    planned = {(each.student, each.unit) for each in reviews.planned}
    unfit = {(each.student, each.unit) for each in reviews.unfit}
    for each in progress:
        if each.standing is Standing.FADING:
            who = (each.student, each.unit)
            assert who in planned or who in unfit or each.unit in practised


@given(groups())
def test_nobody_reviews_more_than_fits_nor_twice_the_same_on_an_evening(
    drawn: tuple[list[UnitProgress], TermPlan],
) -> None:
    progress, plan = drawn
    reviews = plan_reviews(plan.sessions, progress, doubling).planned
    assert len(set(rows(TermReviews(reviews)))) == len(reviews)
    assert {each.on for each in reviews} <= set(weekly(len(plan.sessions)))
    assert all(count <= 2 for count in Counter((each.student, each.on) for each in reviews).values())


@given(groups())
def test_nobody_waits_while_somebody_less_urgent_reviews(
    drawn: tuple[list[UnitProgress], TermPlan],
) -> None:
    progress, plan = drawn
    first = plan.sessions[:1]
    has_review = any(slot.kind is SlotKind.REVIEW for slot in first[0].slots)
    reviews = plan_reviews(first, progress, doubling)
    for late in reviews.unfit:
        own = [each.due_on for each in reviews.planned if each.student == late.student]
        assert len(own) == late.fitting
        assert (late.fitting > 0) == has_review
        assert all(due_on <= late.due_on for due_on in own)


def test_each_practice_makes_a_memory_hold_longer() -> None:
    due = START + timedelta(7)
    sessions = [session(0), session(1), session(2), session(3)]
    planned = plan_reviews(sessions, [standing("Ana", "a", due)], doubling, until=START + timedelta(28))
    assert [(each.on, each.due_on) for each in planned.planned] == [
        (START, due),
        (START + timedelta(7), START + timedelta(10)),
    ]


def test_on_the_last_evening_it_is_the_next_meeting_that_counts() -> None:
    progress = [standing("Ana", "a", START + timedelta(9))]
    assert rows(plan_reviews([session(0)], progress, doubling)) == []
    assert rows(plan_reviews([session(0)], progress, doubling, until=START + timedelta(9))) == [
        ("Ana", "a", START)
    ]
    assert rows(plan_reviews([session(0), session(1)], progress, doubling)) == [
        ("Ana", "a", START + timedelta(7))
    ]


def test_only_review_slots_say_who_is_due() -> None:
    told = with_due(session(0, "a"), Counter({"old": 2}), is_last=True)
    assert [slot.why for slot in told.slots] == [Reason(Why.STUDENTS_DUE, counts=(("old", 2),)), None]


def test_what_the_only_student_of_a_group_knows_is_known() -> None:
    assert known_units([standing("Ana", "a", BEFORE), standing("Ana", "b", None, Standing.NEW)]) == {"a"}
