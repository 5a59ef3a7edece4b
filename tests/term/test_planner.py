"""A plan never breaks a prerequisite, overfills an evening or cuts a unit short."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Level, Syllabus, Unit
from coachbook.model.term import Slot, SlotKind, TermPlan
from coachbook.syllabus.read import read_syllabus
from coachbook.term.planner import REVIEW_MINUTES, SHORTEST_SESSION, SHORTEST_STRETCH, plan_term

SHIPPED = read_syllabus(Path(__file__).parents[2] / "curricula")
START = date(2026, 9, 10)


def weekly(evenings: int) -> list[date]:
    return [START + timedelta(weeks=week) for week in range(evenings)]


def plan(syllabus: Syllabus, evenings: int, minutes: int, done: frozenset[str] = frozenset()) -> TermPlan:
    end = START + timedelta(weeks=evenings)
    return plan_term(syllabus, weekly(evenings), minutes, starts_on=START, ends_on=end, done=done)


def syllabus_of(*units: Unit) -> Syllabus:
    return Syllabus((Level(1, "One", units),))


def unit(code: str, minutes: int, *prerequisites: str) -> Unit:
    return replace(SHIPPED.units[0], code=code, title=code, minutes=minutes, prerequisites=prerequisites)


FOUR_UNITS = syllabus_of(
    unit("two-majors", 60),
    unit("stalemate-traps", 45, "two-majors"),
    unit("queen-box", 75, "stalemate-traps"),
    unit("rook-box", 90, "queen-box"),
)


def told(plan: TermPlan) -> list[list[str]]:
    return [
        [f"{slot.kind} {slot.unit or 'mixed'} {slot.minutes}" for slot in session.slots]
        for session in plan.sessions
    ]


def all_slots(plan: TermPlan) -> list[Slot]:
    return [slot for session in plan.sessions for slot in session.slots]


@st.composite
def syllabuses(draw: st.DrawFn) -> Syllabus:
    """Up to six units; the file's order need not be the order of the prerequisites."""
    codes = [f"u{number}" for number in range(draw(st.integers(1, 6)))]
    units = [
        unit(
            code,
            draw(st.integers(5, 200)),
            *draw(st.sets(st.sampled_from(codes[:number])) if number else st.just(())),
        )
        for number, code in enumerate(codes)
    ]
    return syllabus_of(*draw(st.permutations(units)))


@st.composite
def plans(draw: st.DrawFn) -> tuple[Syllabus, frozenset[str], TermPlan]:
    syllabus = draw(syllabuses())
    done = frozenset(draw(st.sets(st.sampled_from([unit.code for unit in syllabus.units]))))
    evenings, minutes = draw(st.integers(1, 8)), draw(st.integers(SHORTEST_SESSION, 150))
    try:
        made = plan(syllabus, evenings, minutes, done)
    except CoachbookError as error:
        assume("No unit fits" not in error.message)
        raise
    assert plan(syllabus, evenings, minutes, done) == made
    return syllabus, done, made


def test_four_units_over_six_evenings_of_an_hour() -> None:
    assert told(plan(FOUR_UNITS, 6, 60)) == [
        ["new two-majors 30", "practice two-majors 30"],
        ["review mixed 10", "new stalemate-traps 25", "practice stalemate-traps 20"],
        ["review mixed 10", "new queen-box 40", "practice queen-box 10"],
        ["review mixed 10", "practice queen-box 25", "new rook-box 25"],
        ["review mixed 10", "new rook-box 20", "practice rook-box 30"],
        ["review mixed 10", "practice rook-box 15", "practice mixed 35"],
    ]


def test_each_slot_says_why_it_is_there() -> None:
    first, second, third, fourth, *_ = plan(FOUR_UNITS, 6, 60).sessions
    assert [slot.why for slot in first.slots] == [
        "next in the syllabus",
        "worksheet and play-outs on what is new",
    ]
    assert second.slots[0].why == "review of earlier evenings comes first"
    assert second.slots[1].why == "next in the syllabus; builds on “two-majors”"
    assert fourth.slots[1].why == "goes on: 25 minutes did not fit the evening before"
    assert all(slot.why for slot in third.slots)


def test_what_does_not_fit_into_the_term_is_left_over() -> None:
    made = plan(FOUR_UNITS, 3, 60)
    assert made.left_over == ("queen-box", "rook-box")
    assert told(made)[2] == ["review mixed 10", "practice mixed 50"]


def test_a_shorter_unit_takes_the_place_of_one_that_does_not_fit() -> None:
    syllabus = syllabus_of(unit("long", 100), unit("builds", 10, "long"), unit("short", 40))
    made = plan(syllabus, 1, 60)
    assert told(made) == [["new short 20", "practice short 20", "practice mixed 20"]]
    assert made.left_over == ("long", "builds")


def test_units_that_are_done_are_not_taught_again_and_review_starts_at_once() -> None:
    made = plan(FOUR_UNITS, 1, 60, frozenset({"two-majors", "an-old-one"}))
    assert told(made) == [["review mixed 10", "new stalemate-traps 25", "practice stalemate-traps 20"]]
    assert made.left_over == ("queen-box", "rook-box")


def test_with_everything_done_there_is_review_and_practice() -> None:
    done = frozenset(unit.code for unit in FOUR_UNITS.units)
    assert told(plan(FOUR_UNITS, 2, 60, done)) == [["review mixed 10", "practice mixed 50"]] * 2


def test_a_unit_that_stands_before_its_prerequisite_waits_for_it() -> None:
    made = plan(syllabus_of(unit("later", 20, "sooner"), unit("sooner", 20)), 1, 40)
    assert told(made) == [["new sooner 10", "practice sooner 10", "new later 10", "practice later 10"]]


@pytest.mark.parametrize("minutes", [0, -60, SHORTEST_SESSION - 1])
def test_too_short_an_evening_is_refused(minutes: int) -> None:
    with pytest.raises(CoachbookError, match="too short to plan"):
        plan(FOUR_UNITS, 6, minutes)


def test_a_term_in_which_nothing_fits_is_refused() -> None:
    with pytest.raises(CoachbookError, match=r"No unit fits into this term \(1 times 30 minutes\)"):
        plan(syllabus_of(unit("long", 100)), 1, 30)


@pytest.mark.parametrize(
    ("dates", "message"),
    [
        ([], "no evening to plan"),
        ([START, START], "stands after"),
        ([START + timedelta(7), START], "stands after"),
        ([START - timedelta(1)], "not in the term"),
        ([START, START + timedelta(99)], "not in the term"),
    ],
)
def test_dates_that_make_no_term_are_refused(dates: list[date], message: str) -> None:
    with pytest.raises(CoachbookError, match=message):
        plan_term(FOUR_UNITS, dates, 60, starts_on=START, ends_on=START + timedelta(60))


@given(plans())
def test_no_evening_is_overfilled_and_every_date_is_there_once(
    drawn: tuple[Syllabus, frozenset[str], TermPlan],
) -> None:
    _, _, made = drawn
    assert [session.on for session in made.sessions] == weekly(len(made.sessions))
    assert all(0 <= made.minutes - session.minutes < SHORTEST_STRETCH for session in made.sessions)
    assert all(slot.minutes > 0 for slot in all_slots(made))


@given(plans())
def test_every_unit_is_done_or_planned_in_full_or_left_over(
    drawn: tuple[Syllabus, frozenset[str], TermPlan],
) -> None:
    syllabus, done, made = drawn
    minutes: Counter[str] = Counter()
    for slot in all_slots(made):
        minutes[slot.unit] += slot.minutes
    for each in syllabus.units:
        not_taught = each.code in done or each.code in made.left_over
        assert minutes[each.code] == (0 if not_taught else each.minutes)
    assert not done & set(made.left_over)


@given(plans())
def test_a_unit_starts_only_after_all_that_it_builds_on(
    drawn: tuple[Syllabus, frozenset[str], TermPlan],
) -> None:
    syllabus, done, made = drawn
    codes = [slot.unit for slot in all_slots(made)]
    for code in set(codes) - {""}:
        for needed in set(syllabus.unit(code).prerequisites) - done:
            assert needed in codes
            assert codes.index(code) > len(codes) - 1 - codes[::-1].index(needed)


@given(plans())
def test_new_work_comes_before_practice_and_review_before_both(
    drawn: tuple[Syllabus, frozenset[str], TermPlan],
) -> None:
    _, done, made = drawn
    slots = all_slots(made)
    for code in {slot.unit for slot in slots} - {""}:
        kinds = [slot.kind for slot in slots if slot.unit == code]
        assert kinds == sorted(kinds, key=[SlotKind.NEW, SlotKind.PRACTICE].index)
    reviews = [[slot.kind for slot in session.slots].count(SlotKind.REVIEW) for session in made.sessions]
    assert all(session.slots[0].kind is SlotKind.REVIEW for session in made.sessions[1:])
    assert reviews[1:] == [1] * (len(reviews) - 1)
    assert (reviews[0] == 1) == bool(done)
    assert all(slot.minutes == REVIEW_MINUTES for slot in slots if slot.kind is SlotKind.REVIEW)
