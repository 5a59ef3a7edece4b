"""The terms of all groups as a wall, and an evening of them whole."""

from dataclasses import replace

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.term_plan import Closure, SlotKind
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.replanning import lock_session, pin_unit, plan_again
from coachbook.workflows.term_view import term_evening, term_wall, terms_on_wall
from tests.workflows.foxes import FIRST, SECOND, START, SYLLABUS, THIRD, answered, present, week

WISH = TermWish(START, week(5), weekdays=(3,), minutes=60, skip=(week(2),))
SPRING = replace(WISH, starts_on=week(20), ends_on=week(22), skip=())


@pytest.fixture
def book(foxes: Book) -> Book:
    """Two groups that share a room, with a term."""
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    plan_terms(foxes, SYLLABUS, ("Foxes", "Owls"), WISH)
    return foxes


def test_a_club_without_a_plan_has_no_wall(foxes: Book) -> None:
    assert term_wall(foxes, START) is None
    assert terms_on_wall(foxes, SYLLABUS, START, START) == ()


def test_the_wall_has_a_column_a_group_and_the_evenings_and_days_off_of_all(book: Book) -> None:
    wall = term_wall(book, START)
    assert wall is not None
    assert [column.group.name for column in wall.columns] == ["Foxes", "Owls"]
    assert wall.evenings == (START, week(1), week(3), week(4), week(5))
    assert wall.off == (week(2),)
    first = wall.columns[0].cells[START]
    assert next(others for _, slot, others in first.slots if slot.kind is SlotKind.NEW) == ("Owls",)
    assert wall.columns[0].together[START, 0] == ("Owls",)


def test_terms_that_do_not_overlap_have_walls_of_their_own(book: Book) -> None:
    plan_terms(book, SYLLABUS, ("Owls",), SPRING, today=START)
    autumn, spring = Closure(START, week(5)), Closure(week(20), week(22))
    shown = {}
    for on in (START, week(10), week(21), week(40)):
        wall = term_wall(book, on)
        assert wall is not None
        assert wall.terms == (autumn, spring)
        shown[on] = (wall.days, [column.group.name for column in wall.columns])
    assert shown[START] == (autumn, ["Foxes", "Owls"])
    assert {shown[on] == (spring, ["Owls"]) for on in (week(10), week(21), week(40))} == {True}


def test_an_evening_is_told_as_held_locked_pinned_and_not_done(book: Book) -> None:
    present(book, START, Ana=True)
    lock_session(book, SYLLABUS, "Foxes", week(3), locked=True)
    pin_unit(book, SYLLABUS, "Foxes", THIRD, week(4), week(1))
    plan_again(book, SYLLABUS, "Owls", (FIRST,), START, START)
    wall = term_wall(book, START)
    assert wall is not None
    ours, theirs = (column.cells for column in wall.columns)
    assert [on for on, cell in ours.items() if cell.was_held] == [START]
    assert [on for on, cell in theirs.items() if cell.was_held] == []
    assert [on for on, cell in ours.items() if cell.session.locked] == [week(3)]
    assert {on: cell.pinned for on, cell in ours.items() if cell.pinned} == {week(4): (THIRD,)}
    assert {on: cell.not_done for on, cell in theirs.items() if cell.not_done} == {START: (FIRST,)}


def test_an_evening_ahead_says_who_reviews_what_and_what_can_be_pinned_to_it(book: Book) -> None:
    answered(book, "Ana", FIRST, START, "+-----")
    evening = term_evening(book, SYLLABUS, week(1), week(1))
    assert (evening.before, evening.after) == (START, week(3))
    ours, theirs = evening.groups
    assert {(each.student, each.unit) for each in ours.reviews} == {("Ana", FIRST)}
    assert theirs.reviews == ()
    assert FIRST not in ours.may_begin
    assert THIRD in ours.may_begin


def test_an_evening_that_was_held_can_get_no_pin_and_has_nothing_ahead(book: Book) -> None:
    answered(book, "Ana", FIRST, START, "+-----")
    ours = term_evening(book, SYLLABUS, START, START).groups[0]
    assert (ours.may_begin, ours.reviews, ours.cell.was_held) == ((), (), True)
    assert SECOND in ours.cell.session.units(*SlotKind)


def test_an_evening_of_a_later_term_can_be_looked_at(book: Book) -> None:
    plan_terms(book, SYLLABUS, ("Owls",), SPRING, today=START)
    (theirs,) = term_evening(book, SYLLABUS, week(21), START).groups
    assert theirs.may_begin


def test_a_day_without_an_evening_is_refused(book: Book) -> None:
    with pytest.raises(CoachbookError, match="No evening is planned for this day"):
        term_evening(book, SYLLABUS, week(2), START)


def test_the_terms_on_the_wall_say_who_reviews_what(book: Book) -> None:
    answered(book, "Ana", FIRST, START, "+-----")
    ours, theirs = terms_on_wall(book, SYLLABUS, START, week(1))
    assert (ours.group, theirs.group) == ("Foxes", "Owls")
    assert ours.reviews.planned[0].student == "Ana"
