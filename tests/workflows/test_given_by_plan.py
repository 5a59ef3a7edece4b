"""What is given on an evening follows from what its slots are for, and from what was known before it."""

from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.exercises.minutes import items_for, minutes_of_items
from coachbook.model.term_plan import NotDone, PlannedSession, Reason, Slot, SlotKind, TermPlan, Why
from coachbook.workflows.evening_needs import Tonight, tonight_of
from coachbook.workflows.sheet_contents import MOST_ITEMS
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
    """By a plan of one evening, and one three weeks before on which all that is worked on now was
    explained."""
    units = dict.fromkeys(each.unit for each in slots if each.unit and each.kind is not SlotKind.NEW)
    lessons = PlannedSession(week(-3), tuple(slot(SlotKind.NEW, unit) for unit in units))
    with book.writing() as page:
        plan = TermPlan(week(-3), START, 60, (lessons, PlannedSession(START, slots)))
        keep_plan(page, plan, "Foxes")
        return tonight_of(page, SYLLABUS, "Foxes", START)


def items(book: Book, *slots: Slot) -> tuple[tuple[str, int], ...]:
    return tonight(book, *slots).wanted["Bo"].items


@pytest.fixture
def begun(foxes: Book) -> Book:
    """Bo has begun two units just now; the second went badly."""
    answered(foxes, "Bo", FIRST, START - timedelta(2), "++++++")
    answered(foxes, "Bo", SECOND, START - timedelta(1), "+++---")
    return foxes


def test_the_minutes_of_review_are_for_what_was_begun_where_nothing_is_due(begun: Book) -> None:
    assert items(begun, slot(SlotKind.REVIEW, minutes=10)) == ((SECOND, 5),)
    answered(begun, "Bo", FIRST, START - timedelta(1), "++++++")
    answered(begun, "Ana", FOURTH, START - timedelta(1), "++++++")
    assert items(begun, slot(SlotKind.REVIEW, minutes=20)) == ((SECOND, 5), (FIRST, 5))


def test_where_nothing_is_to_be_written_there_is_no_sheet(begun: Book) -> None:
    assert items(begun, slot(SlotKind.PLAY_OUT)) == ()
    assert items(begun, slot(SlotKind.NEW, "queen-box")) == ()


def test_mixed_practice_is_of_what_a_student_has_begun_the_weakest_first(begun: Book) -> None:
    assert items(begun, slot(SlotKind.PRACTICE)) == ((SECOND, 5), (FIRST, 5))
    assert items(begun, slot(SlotKind.PRACTICE), slot(SlotKind.PRACTICE, FIRST)) == ((FIRST, 11), (SECOND, 5))


def test_each_unit_that_is_practised_is_there_and_what_is_due_takes_a_third_of_the_time(foxes: Book) -> None:
    three = [slot(SlotKind.PRACTICE, unit, 10) for unit in (FIRST, SECOND, FOURTH)]
    assert items(foxes, *three) == ((FIRST, 5), (SECOND, 5), (FOURTH, 5))
    answered(foxes, "Bo", "queen-walls", week(-1), "++----")
    assert items(foxes, *three)[0] == ("queen-walls", 5)
    minutes = sum(minutes_of_items(SYLLABUS.unit(unit), count) for unit, count in items(foxes, *three))
    assert minutes <= 30 * 4 / 3


def test_what_is_explained_tonight_may_be_practised_after_it_and_else_it_is_not_on_the_sheet(
    foxes: Book,
) -> None:
    assert items(foxes, slot(SlotKind.NEW, FIRST)) == ()
    with foxes.writing() as page:
        again = PlannedSession(START, (slot(SlotKind.NEW, FIRST), slot(SlotKind.PRACTICE, FIRST)))
        keep_plan(page, TermPlan(START, START, 60, (again,)), "Foxes")
        assert tonight_of(page, SYLLABUS, "Foxes", START).wanted["Bo"].items == ((FIRST, 11),)


@pytest.mark.parametrize("minutes", [10, 20, 35, 60])
def test_of_what_is_practised_there_are_as_many_items_as_its_minutes_hold_within_what_a_sheet_has(
    foxes: Book, minutes: int
) -> None:
    holds = items_for(SYLLABUS.unit(FIRST), minutes)
    assert items(foxes, slot(SlotKind.PRACTICE, FIRST, minutes)) == ((FIRST, min(holds, MOST_ITEMS)),)


def test_what_is_due_keeps_its_place_and_is_not_given_more(foxes: Book) -> None:
    answered(foxes, "Bo", "queen-walls", week(-1), "++----")
    assert items(foxes, slot(SlotKind.PRACTICE, FIRST, 60)) == (("queen-walls", 5), (FIRST, 15))


def test_what_was_not_done_is_not_practised_before_it_is_explained_again(foxes: Book) -> None:
    answered(foxes, "Bo", FIRST, week(-2), "++----")
    sessions = (
        PlannedSession(week(-2), (slot(SlotKind.NEW, FIRST), slot(SlotKind.PRACTICE, FIRST))),
        PlannedSession(START, (slot(SlotKind.REVIEW), slot(SlotKind.PRACTICE, FIRST))),
    )
    plan = TermPlan(week(-2), START, 60, sessions, not_done=(NotDone(FIRST, week(-1)),))
    with foxes.writing() as page:
        keep_plan(page, plan, "Foxes")
        told = tonight_of(page, SYLLABUS, "Foxes", START)
    assert told.advice == ()
    assert all(FIRST not in dict(each.items) for each in told.wanted.values())


def test_where_the_term_has_taught_nothing_an_assessment_is_of_what_was_begun(begun: Book) -> None:
    assert items(begun, slot(SlotKind.ASSESSMENT)) == ((FIRST, 5), (SECOND, 5))


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
    assert tonight(foxes, slot(SlotKind.NEW, FIRST)).catch_ups == ()


def test_the_review_slot_counts_the_same_students_as_the_list_of_those_who_are_due(foxes: Book) -> None:
    for name in ("Ana", "Bo"):
        answered(foxes, name, SECOND, week(-2), "++----")
    review = slot(SlotKind.REVIEW)
    due, practised = (
        tonight(foxes, review, *more).session.slots[0].why
        for more in ((), (slot(SlotKind.PLAY_OUT, SECOND),))
    )
    assert due == practised == Reason(Why.STUDENTS_DUE, counts=((SECOND, 2),))


def test_nobody_is_due_only_where_nobody_is_listed_to_bring_something_back(foxes: Book) -> None:
    told = tonight(foxes, slot(SlotKind.REVIEW))
    assert told.session.slots[0].why == Reason(Why.NOBODY_DUE)
    assert told.advice == ()
