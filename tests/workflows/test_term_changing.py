"""A change of a plan is looked at first, and then done just so."""

from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.groups import terms_of
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.term_change import TermChange, TermStep
from coachbook.model.term_plan import Closure, Difference, PlanDifference, TermPlan
from coachbook.workflows.evening_log import list_log
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.term_changing import days_off, keep_change, look_at_change
from tests.workflows.foxes import FIRST, START, SYLLABUS, THIRD, answered, week

STEPS = (
    TermChange(TermStep.CANCEL, (1, 2), week(2)),
    TermChange(TermStep.DAYS_OFF, (1, 2), week(1), days=(Closure(week(2), week(3)),)),
    TermChange(TermStep.LOCK, (1,), week(2)),
    TermChange(TermStep.PIN, (1,), week(3), (THIRD,)),
    TermChange(TermStep.NOT_DONE, (1,), START, (FIRST,)),
)


@pytest.fixture
def book(foxes: Book) -> Book:
    """Two groups that share a room, with a term of nine evenings of which the first was held."""
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    plan_terms(foxes, SYLLABUS, ("Foxes", "Owls"), TermWish(START, week(8), weekdays=(3,), minutes=60))
    for name in ("Ana", "Bo", "Cy"):
        answered(foxes, name, FIRST, START)
    return foxes


def plans(book: Book) -> list[TermPlan]:
    with book.reading() as page:
        return [term.plan for group in ("Foxes", "Owls") for term in terms_of(page, group)]


@pytest.mark.parametrize("change", STEPS, ids=lambda change: str(change.step))
def test_what_was_looked_at_is_what_is_kept_as_one_entry(book: Book, change: TermChange) -> None:
    before, entries = plans(book), len(list_log(book, 50))
    seen = look_at_change(book, SYLLABUS, change, week(1))
    assert (plans(book), len(list_log(book, 50))) == (before, entries)
    assert (seen.is_empty, seen.made.entry) == (False, None)
    kept = keep_change(book, SYLLABUS, seen)
    assert kept.made.terms == seen.made.terms
    assert plans(book) != before
    assert len(list_log(book, 50)) == entries + 1


@pytest.mark.parametrize("change", STEPS, ids=lambda change: str(change.step))
def test_what_has_changed_since_it_was_looked_at_is_not_kept(book: Book, change: TermChange) -> None:
    seen = look_at_change(book, SYLLABUS, change, week(1))
    other = TermChange(TermStep.CANCEL, (1, 2), week(4))
    keep_change(book, SYLLABUS, look_at_change(book, SYLLABUS, other, week(1)))
    before = plans(book)
    with pytest.raises(CoachbookError, match="has changed while you looked"):
        keep_change(book, SYLLABUS, seen)
    assert plans(book) == before


def test_a_pin_and_a_lock_can_be_taken_away_again(book: Book) -> None:
    for step, back, units in (
        (TermStep.LOCK, TermStep.UNLOCK, ()),
        (TermStep.PIN, TermStep.UNPIN, (THIRD,)),
    ):
        for each in (step, back):
            change = TermChange(each, (1,), week(3), units)
            keep_change(book, SYLLABUS, look_at_change(book, SYLLABUS, change, week(1)))
    plan = plans(book)[0]
    assert (plan.pins, [session.on for session in plan.sessions if session.locked]) == ((), [])


def test_a_lock_is_told_as_a_change(book: Book) -> None:
    seen = look_at_change(book, SYLLABUS, STEPS[2], week(1))
    assert seen.made.terms[0].changes == (PlanDifference(Difference.LOCKED, (week(2),)),)


def test_planning_anew_what_is_as_it_was_keeps_nothing(book: Book) -> None:
    anew = TermChange(TermStep.REPLAN, (1,), week(1))
    keep_change(book, SYLLABUS, look_at_change(book, SYLLABUS, anew, week(1)))
    friday = week(2) + timedelta(1)
    free = TermChange(TermStep.DAYS_OFF, (1,), week(1), days=(Closure(friday, friday),))
    assert look_at_change(book, SYLLABUS, free, week(1)).is_empty


def test_an_evening_that_fell_out_is_cancelled_afterwards(book: Book) -> None:
    change = TermChange(TermStep.CANCEL, (1, 2), week(1))
    keep_change(book, SYLLABUS, look_at_change(book, SYLLABUS, change, week(2)))
    assert {session.on for plan in plans(book) for session in plan.sessions}.isdisjoint({week(1)})


def test_after_the_last_evening_what_was_not_done_finds_none(book: Book) -> None:
    last = plans(book)[0].sessions[-1]
    unit = next(slot.unit for session in plans(book)[0].sessions[::-1] for slot in session.slots if slot.unit)
    seen = look_at_change(book, SYLLABUS, TermChange(TermStep.NOT_DONE, (1,), last.on, (unit,)), last.on)
    assert seen.made.terms[0].changes == (PlanDifference(Difference.NO_EVENING_LEFT, units=(unit,)),)


@pytest.mark.parametrize(
    ("change", "refused"),
    [
        (TermChange(TermStep.CANCEL, (), week(2)), "No group is chosen"),
        (TermChange(TermStep.CANCEL, (99,), week(2)), "no longer in the book"),
        (TermChange(TermStep.CANCEL, (1,), START), "it was held"),
        (TermChange(TermStep.PIN, (1,), week(2)), "No unit is chosen"),
        (TermChange(TermStep.PIN, (1,), week(2), ("no-such-unit",)), "no-such-unit"),
        (TermChange(TermStep.UNPIN, (1,), week(2), (THIRD,)), "is not pinned"),
        (TermChange(TermStep.LOCK, (1,), week(2) + timedelta(1)), "has no evening on"),
        (TermChange(TermStep.NOT_DONE, (1,), START), "No unit is chosen"),
        (TermChange(TermStep.NOT_DONE, (1,), week(2), (FIRST,)), "still to come"),
    ],
)
def test_what_cannot_be_changed_so_is_refused(book: Book, change: TermChange, refused: str) -> None:
    with pytest.raises(CoachbookError, match=refused):
        look_at_change(book, SYLLABUS, change, week(1))


def test_days_off_are_read_in_order() -> None:
    assert days_off([START, week(1)], [None, week(2)]) == (Closure(START, START), Closure(week(1), week(2)))
    with pytest.raises(CoachbookError, match="end before they begin"):
        days_off([week(1)], [START])
    with pytest.raises(CoachbookError, match="No day off is named"):
        days_off([], [])
