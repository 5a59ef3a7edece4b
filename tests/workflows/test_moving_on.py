"""Closing an evening: what is still to be logged of it, and what moves to the next one."""

from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.log import log_observation
from coachbook.club.sheets import Prepared, keep_prepared
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.facts import Doubt, Impression, Observation
from coachbook.model.term_plan import Difference, PlanDifference, PlannedSession, SlotKind
from coachbook.term.replan import shape
from coachbook.workflows.closing import doubt_of_closing, groups_to_close, move_on, to_close
from coachbook.workflows.members import planned_session
from coachbook.workflows.planning import TermWish, plan_terms
from tests.workflows.foxes import (
    FIRST,
    NOW,
    SECOND,
    START,
    SYLLABUS,
    THIRD,
    TITLES,
    answered,
    given,
    logged,
    planned,
    played,
    present,
    week,
)

CARD, OTHER = "PLAY-TWO-MAJORS-2", "PLAY-TWO-MAJORS-3"


@pytest.fixture
def book(foxes: Book) -> Book:
    planned(foxes)
    return foxes


def saw(book: Book, impression: Impression, unit: str) -> None:
    with book.writing() as page:
        log_observation(page, Observation("Ana", unit, week(-30), "asks at each step", impression), NOW)


def prepared(book: Book, **sheets: str) -> None:
    with book.writing() as page:
        keep_prepared(page, "Foxes", START, {name: Prepared(code, "", ()) for name, code in sheets.items()})


def test_who_had_trouble_is_brought_back_though_every_answer_was_right(book: Book) -> None:
    answered(book, "Ana", SECOND, week(-30))
    saw(book, Impression.CAN, SECOND)
    told = move_on(book, SYLLABUS, "Foxes", START, ())
    assert (told.bring_back, told.all_right) == ((), ("Ana",))
    saw(book, Impression.TROUBLE, SECOND)
    told = move_on(book, SYLLABUS, "Foxes", START, ())
    assert [each.student for each in told.bring_back] == ["Ana"]
    assert told.all_right == ()


def test_answers_on_one_sheet_say_nothing_of_another_sheet_of_the_student(book: Book) -> None:
    answered(book, "Ana", FIRST, week(-1))
    waiting, begun = given(book, "Ana", FIRST, START), given(book, "Bo", FIRST, START)
    logged(book, "Bo", begun, FIRST, START, "++")
    prepared(book, Ana=waiting, Bo=begun)
    left = to_close(book, SYLLABUS, "Foxes", START)
    assert [(sheet.code, students) for sheet, students in left.sheets] == [
        (waiting, ("Ana",)),
        (begun, ("Bo",)),
    ]
    assert [(each.student, each.sheet, each.items) for each in left.half] == [("Bo", begun, (3, 4, 5, 6))]


def test_while_attendance_is_open_everybodys_papers_are_to_be_logged(book: Book) -> None:
    sheets = {name: given(book, name, FIRST, START) for name in ("Ana", "Bo")}
    prepared(book, **sheets)
    left = to_close(book, SYLLABUS, "Foxes", START)
    assert (left.group, left.on, left.students, left.present) == ("Foxes", START, ("Ana", "Bo"), None)
    assert [sheet.code for sheet, _ in left.sheets] == list(sheets.values())
    assert left.units == ((FIRST, TITLES[FIRST]), (SECOND, TITLES[SECOND]))
    present(book, START, Ana=True)
    assert to_close(book, SYLLABUS, "Foxes", START).present is None
    present(book, START, Bo=False)
    left = to_close(book, SYLLABUS, "Foxes", START)
    assert left.present == frozenset({"Ana"})
    assert [students for _, students in left.sheets] == [("Ana",)]


def test_cards_are_to_be_logged_until_they_are_on_that_evening(book: Book) -> None:
    with book.writing() as page:
        keep_prepared(page, "Foxes", week(2), {"Ana": Prepared("", "", (CARD, OTHER))})
    played(book, "Ana", CARD, week(1))
    left = to_close(book, SYLLABUS, "Foxes", week(2))
    assert (left.cards, left.playable) == ((("Ana", CARD), ("Ana", OTHER)), ("PLAY-TWO-MAJORS-1",))
    played(book, "Ana", CARD, week(2))
    assert to_close(book, SYLLABUS, "Foxes", week(2)).cards == (("Ana", OTHER),)


def test_what_moves_on_names_who_was_absent_what_was_new_and_which_sheets_are_open(book: Book) -> None:
    open_sheet, half = given(book, "Ana", FIRST, START), given(book, "Bo", FIRST, START)
    logged(book, "Bo", half, FIRST, START, "+++")
    prepared(book, Ana=open_sheet, Bo=half)
    told = move_on(book, SYLLABUS, "Foxes", START, ())
    assert (told.on, told.changes, told.absent) == (week(1), (), ())
    assert told.missed == (TITLES[FIRST], TITLES[SECOND])
    assert told.open_sheets == (("Ana", open_sheet),)
    assert [(each.student, each.items) for each in told.half] == [("Bo", (4, 5, 6))]
    present(book, START, Ana=False, Bo=True)
    told = move_on(book, SYLLABUS, "Foxes", START, ())
    assert (told.absent, told.open_sheets) == (("Ana",), ())


def test_what_was_not_done_comes_again_and_nobody_missed_it(book: Book) -> None:
    told = move_on(book, SYLLABUS, "Foxes", START, (FIRST,))
    assert told.changes
    assert told.missed == (TITLES[SECOND],)
    assert to_close(book, SYLLABUS, "Foxes", START).not_done == (TITLES[FIRST],)
    again = move_on(book, SYLLABUS, "Foxes", START, ())
    assert (again.changes, again.missed) == ((), (TITLES[SECOND],))


def test_after_the_last_evening_nothing_is_due_by_another(book: Book) -> None:
    answered(book, "Ana", FIRST, week(4), "s-----")
    told = move_on(book, SYLLABUS, "Foxes", week(4), ())
    assert (told.on, told.bring_back, told.all_right) == (None, (), ())
    lost = move_on(book, SYLLABUS, "Foxes", week(4), (FIRST,))
    assert lost.changes == (PlanDifference(Difference.NO_EVENING_LEFT, units=(FIRST,)),)
    following = TermWish(week(5), week(9), weekdays=(3,), minutes=60)
    plan_terms(book, SYLLABUS, ("Foxes",), following, today=week(3))
    (change, *_) = move_on(book, SYLLABUS, "Foxes", week(4), (SECOND,)).changes
    assert (change.what, change.evenings) == (Difference.CHANGED, (week(6),))
    assert change.now is not None
    assert [unit for unit, _ in change.now.units] == [SECOND]


def test_who_is_due_in_several_units_is_named_once_with_what_went_wrong_first(book: Book) -> None:
    answered(book, "Bo", SECOND, START, "s+++++")
    answered(book, "Ana", FIRST, START, "ss----")
    answered(book, "Ana", SECOND, week(-9), "++++++")
    answered(book, "Ana", THIRD, START, "-----+")
    told = move_on(book, SYLLABUS, "Foxes", START, ())
    assert [(each.student, [unit.unit_title for unit in each.units]) for each in told.bring_back] == [
        ("Ana", [TITLES[FIRST], TITLES[THIRD]]),
        ("Bo", [TITLES[SECOND]]),
    ]
    assert told.all_right == ()


def test_the_groups_to_close_are_those_that_have_the_evening(book: Book) -> None:
    assert groups_to_close(book, START, ()) == ("Foxes",)
    with book.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    assert groups_to_close(book, START, ()) == ("Foxes",)
    friday = START + timedelta(1)
    plan_terms(book, SYLLABUS, ("Owls",), TermWish(START, week(4), weekdays=(4,), minutes=60))
    assert groups_to_close(book, START, ()) == ("Foxes",)
    assert groups_to_close(book, friday, ()) == ("Owls",)
    assert groups_to_close(book, friday, ("Foxes",)) == ("Foxes",)
    wednesday = START - timedelta(1)
    with pytest.raises(CoachbookError, match="Several groups have a plan"):
        groups_to_close(book, wednesday, ())
    answered(book, "Cy", FIRST, wednesday)
    assert groups_to_close(book, wednesday, ()) == ("Owls",)


def test_a_day_that_no_group_had_is_doubted_with_the_evening_nearest_to_it(book: Book) -> None:
    friday, today = START + timedelta(1), week(2)
    assert doubt_of_closing(book, START, today, ()) is None
    assert doubt_of_closing(book, friday, today, ()) == Doubt(friday, "Foxes", START, week(2))
    assert doubt_of_closing(book, week(3), today, ()) == Doubt(week(3))
    with book.writing() as page:
        add_group(page, "Owls")
    assert doubt_of_closing(book, friday, today, ("Foxes", "Owls")) == Doubt(friday, "Foxes", START, week(2))
    with pytest.raises(CoachbookError, match="No evening is planned"):
        doubt_of_closing(book, friday, today, ("Owls",))
    tuesday = TermWish(START, week(4), weekdays=(1,), minutes=60)
    plan_terms(book, SYLLABUS, ("Owls",), tuesday)
    assert doubt_of_closing(book, START, today, ()) is None
    saturday = START + timedelta(2)
    assert doubt_of_closing(book, saturday + timedelta(1), today, ()) == Doubt(
        saturday + timedelta(1), "Foxes or Owls", START + timedelta(5), week(2)
    )


@pytest.fixture
def room(foxes: Book) -> Book:
    """Foxes and Owls share a room, and had their first lesson together."""
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    wish = TermWish(START, week(8), weekdays=(START.weekday(),), minutes=60)
    plan_terms(foxes, SYLLABUS, ("Foxes", "Owls"), wish)
    for name in ("Ana", "Bo", "Cy"):
        answered(foxes, name, FIRST, START)
    return foxes


def test_a_lesson_that_one_group_did_not_finish_another_that_had_it_too_did_not_finish_either(
    room: Book,
) -> None:
    told = move_on(room, SYLLABUS, "Foxes", START, (FIRST,))
    assert (told.also, told.apart) == (("Owls",), ())
    for group in ("Foxes", "Owls"):
        assert to_close(room, SYLLABUS, group, START).not_done == (TITLES[FIRST],)
        plan = second_evening(room, group)
        assert FIRST in plan.units(SlotKind.NEW)
    assert shape(second_evening(room, "Foxes")) == shape(second_evening(room, "Owls"))


def test_a_room_in_which_another_group_was_closed_as_done_learns_apart_until_it_says_the_same(
    room: Book,
) -> None:
    present(room, START, Cy=True)
    told = move_on(room, SYLLABUS, "Foxes", START, (FIRST,))
    assert (told.also, told.apart) == (("Owls",), ("Owls",))
    again = move_on(room, SYLLABUS, "Owls", START, (FIRST,))
    assert again.apart == ()
    assert again.also == ("Foxes",)


def second_evening(book: Book, group: str) -> PlannedSession:
    """What the group has planned for the second evening."""
    with book.reading() as page:
        session = planned_session(page, group, week(1))
    assert session is not None
    return session
