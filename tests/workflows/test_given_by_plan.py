"""What is given on an evening follows from what its slots are for, and from what was known before it."""

from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.exercises.minutes import items_for
from coachbook.model.term_plan import PlannedSession, Reason, Slot, SlotKind, TermPlan, Why
from coachbook.workflows.evening_needs import MOST_ITEMS, Tonight, tonight_of
from tests.club.plans import keep_plan
from tests.workflows.foxes import (
    FIRST,
    FOURTH,
    SECOND,
    START,
    SYLLABUS,
    THIRD,
    answered,
    played,
    present,
    week,
)

CARDS = [f"PLAY-TWO-MAJORS-{number}" for number in (1, 2, 3)]


def slot(kind: SlotKind, unit: str = "", minutes: int = 20) -> Slot:
    return Slot(kind, unit, minutes)


def tonight(book: Book, *slots: Slot) -> Tonight:
    """By a plan of one evening."""
    with book.writing() as page:
        keep_plan(page, TermPlan(START, START, 60, (PlannedSession(START, slots),)), "Foxes")
        return tonight_of(page, SYLLABUS, "Foxes", START)


def items(book: Book, *slots: Slot) -> tuple[tuple[str, int], ...]:
    return tonight(book, *slots).wanted["Bo"].items


@pytest.fixture
def begun(foxes: Book) -> Book:
    """Bo has begun two units just now; the second went badly."""
    answered(foxes, "Bo", FIRST, START - timedelta(2), "++++++")
    answered(foxes, "Bo", SECOND, START - timedelta(1), "+++---")
    return foxes


def test_with_nothing_to_practise_or_to_bring_back_the_sheet_is_of_the_unit_begun_last(begun: Book) -> None:
    assert items(begun, slot(SlotKind.REVIEW)) == ((SECOND, 5),)
    answered(begun, "Bo", FIRST, START - timedelta(1), "++++++")
    answered(begun, "Ana", FOURTH, START - timedelta(1), "++++++")
    assert items(begun, slot(SlotKind.PLAY_OUT)) == ((SECOND, 5),)


def test_mixed_practice_is_of_what_a_student_has_begun_the_weakest_first(begun: Book) -> None:
    assert items(begun, slot(SlotKind.PRACTICE)) == ((SECOND, 5), (FIRST, 5))
    assert items(begun, slot(SlotKind.PRACTICE), slot(SlotKind.PRACTICE, FIRST)) == ((FIRST, 5), (SECOND, 5))


def test_the_last_two_units_are_practised_and_one_where_something_else_is_due(foxes: Book) -> None:
    three = [slot(SlotKind.PRACTICE, unit) for unit in (FIRST, SECOND, FOURTH)]
    assert items(foxes, *three) == ((SECOND, 5), (FOURTH, 5))
    answered(foxes, "Bo", "queen-walls", week(-1), "++----")
    assert items(foxes, *three) == (("queen-walls", 5), (FOURTH, 5))


def test_what_is_new_is_on_the_sheet_where_nothing_is_practised(foxes: Book) -> None:
    assert items(foxes, slot(SlotKind.NEW, FIRST)) == ((FIRST, 5),)
    assert items(foxes, slot(SlotKind.NEW, SECOND), slot(SlotKind.PRACTICE, FIRST, 5)) == ((FIRST, 5),)


@pytest.mark.parametrize("minutes", [5, 10, 20])
def test_of_what_is_practised_there_are_as_many_items_as_its_minutes_hold_within_what_a_sheet_has(
    foxes: Book, minutes: int
) -> None:
    holds = items_for(SYLLABUS.unit(FIRST), minutes)
    expected = max(SYLLABUS.unit(FIRST).secure.items, min(holds, MOST_ITEMS))
    assert items(foxes, slot(SlotKind.PRACTICE, FIRST, minutes)) == ((FIRST, expected),)


def test_what_is_due_keeps_its_place_and_is_not_given_more(foxes: Book) -> None:
    answered(foxes, "Bo", "queen-walls", week(-1), "++----")
    assert items(foxes, slot(SlotKind.PRACTICE, FIRST, 60)) == (("queen-walls", 5), (FIRST, 5))


def test_an_assessment_asks_for_the_two_units_of_the_term_that_are_least_shown(foxes: Book) -> None:
    taught = PlannedSession(
        week(-1), tuple(slot(SlotKind.PRACTICE, unit) for unit in (FIRST, SECOND, FOURTH))
    )
    ahead = PlannedSession(week(1), (slot(SlotKind.PRACTICE, "queen-walls"),))
    assessed = PlannedSession(START, (slot(SlotKind.ASSESSMENT),))
    with foxes.writing() as page:
        keep_plan(page, TermPlan(week(-1), week(1), 60, (taught, assessed, ahead)), "Foxes")
    answered(foxes, "Bo", FOURTH, START - timedelta(1))
    answered(foxes, "Bo", "queen-box", START - timedelta(1))
    with foxes.reading() as page:
        told = tonight_of(page, SYLLABUS, "Foxes", START).wanted
    assert told["Ana"].items == ((FOURTH, 5), (SECOND, 5))
    assert told["Bo"].items == ((SECOND, 5), (FIRST, 5))


def test_where_the_term_has_taught_nothing_an_assessment_is_of_what_was_begun(begun: Book) -> None:
    assert items(begun, slot(SlotKind.ASSESSMENT)) == ((SECOND, 5), (FIRST, 5))


def test_the_card_played_least_often_before_the_evening_is_given(foxes: Book) -> None:
    to_play = slot(SlotKind.PLAY_OUT, THIRD)
    assert tonight(foxes, to_play).wanted["Bo"].cards == (CARDS[1],)
    played(foxes, "Bo", CARDS[1], START)
    assert tonight(foxes, to_play).wanted["Bo"].cards == (CARDS[1],)
    played(foxes, "Bo", CARDS[1], START - timedelta(1))
    assert tonight(foxes, to_play).wanted["Bo"].cards == (CARDS[2],)
    assert tonight(foxes, slot(SlotKind.PLAY_OUT, FIRST)).wanted["Bo"].cards == ()


def test_only_those_of_the_group_are_given_something(foxes: Book) -> None:
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    assert list(tonight(foxes, slot(SlotKind.NEW, FIRST)).wanted) == ["Ana", "Bo"]


def test_who_is_absent_tonight_has_not_missed_what_is_new_tonight(foxes: Book) -> None:
    present(foxes, START, Ana=True, Bo=False)
    assert tonight(foxes, slot(SlotKind.NEW, FIRST)).missed == ()


def test_the_review_slot_counts_who_is_due_in_what_is_not_practised_anyway(foxes: Book) -> None:
    for name in ("Ana", "Bo"):
        answered(foxes, name, SECOND, week(-2), "++----")
    review = slot(SlotKind.REVIEW)
    due, practised = (
        tonight(foxes, review, *more).session.slots[0].why
        for more in ((), (slot(SlotKind.PLAY_OUT, SECOND),))
    )
    assert due == Reason(Why.STUDENTS_DUE, counts=((SECOND, 2),))
    assert practised == Reason(Why.DUE_PRACTISED)


def test_nobody_is_due_only_where_nobody_is_listed_to_bring_something_back(foxes: Book) -> None:
    told = tonight(foxes, slot(SlotKind.REVIEW))
    assert told.session.slots[0].why == Reason(Why.NOBODY_DUE)
    assert told.advice == ()
