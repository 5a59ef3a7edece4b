"""A group has as many terms as it likes; days that two are planned for belong to the later plan."""

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.club.backup import own_backups
from coachbook.club.book import Book, open_book
from coachbook.club.students import add_group
from coachbook.club.terms import new_term, save_terms, terms_of
from coachbook.errors import CoachbookError
from coachbook.model.term_plan import (
    CancelledSession,
    Closure,
    Pin,
    PlanChange,
    PlannedSession,
    Reason,
    Slot,
    SlotKind,
    TermPlan,
    Why,
)
from tests.club.conftest import NOW
from tests.club.copies import make_third_version
from tests.club.plans import keep_plan

SLOT = Slot(SlotKind.NEW, "queen-box", 60, Reason(Why.NEXT))


def term(first: date, evenings: int, slot: Slot = SLOT) -> TermPlan:
    sessions = tuple(PlannedSession(first + timedelta(weeks=week), (slot,)) for week in range(evenings))
    return TermPlan(first, sessions[-1].on, 60, sessions)


AUTUMN = term(date(2026, 9, 3), 12)
SPRING = term(date(2027, 1, 7), 10)


def plans(book: Book, group: str = "Tuesday") -> list[TermPlan]:
    with book.reading() as page:
        return [each.plan for each in terms_of(page, group)]


def test_a_group_keeps_all_its_terms_in_order_of_their_days(evening_book: Book) -> None:
    with evening_book.writing() as w:
        add_group(w, "Beginners")
        keep_plan(w, SPRING, "Tuesday")
        keep_plan(w, AUTUMN, "tuesday")
        keep_plan(w, AUTUMN, "Beginners")
    assert plans(evening_book, "TUESDAY") == [AUTUMN, SPRING]
    assert plans(evening_book, "Beginners") == [AUTUMN]


def test_a_group_may_have_no_plan(evening_book: Book) -> None:
    assert plans(evening_book) == []


def test_a_plan_is_for_a_known_group(evening_book: Book) -> None:
    with evening_book.writing() as w:
        with pytest.raises(CoachbookError, match="no group 'Monday'"):
            keep_plan(w, AUTUMN, "Monday")
        with pytest.raises(CoachbookError, match="no group 'Monday'"):
            terms_of(w, "Monday")


def test_the_newest_plan_of_a_term_is_in_force(evening_book: Book) -> None:
    with evening_book.writing() as w:
        made = new_term(w, "Tuesday", AUTUMN)
        longer = replace(AUTUMN, minutes=90)
        save_terms(w, [made], PlanChange.PLANNED, NOW)
        keep_plan(w, SPRING, "Tuesday")
        save_terms(w, [replace(made, plan=longer)], PlanChange.REPLANNED, NOW)
    assert plans(evening_book) == [longer, SPRING]


def test_a_later_plan_takes_over_the_days_that_it_is_for_and_no_others(evening_book: Book) -> None:
    december = term(AUTUMN.sessions[8].on, 8)
    with evening_book.writing() as w:
        keep_plan(w, AUTUMN, "Tuesday")
        keep_plan(w, december, "Tuesday")
    left, new = plans(evening_book)
    assert left.sessions == AUTUMN.sessions[:8]
    assert (left.starts_on, left.ends_on) == (AUTUMN.starts_on, december.starts_on - timedelta(days=1))
    assert new == december


def test_days_that_a_later_plan_took_over_in_the_midst_of_a_term_are_no_days_off(evening_book: Book) -> None:
    october = term(AUTUMN.sessions[4].on, 2)
    with evening_book.writing() as w:
        keep_plan(w, AUTUMN, "Tuesday")
        keep_plan(w, october, "Tuesday")
    left, _ = plans(evening_book)
    assert [session.on for session in left.sessions] == [
        session.on for session in AUTUMN.sessions if session.on not in october.days
    ]
    assert left.taken_over == (october.days,)
    assert left.days_off == ()


def test_pins_and_cancelled_evenings_go_with_the_days() -> None:
    on, other = AUTUMN.sessions[3].on, AUTUMN.sessions[6].on
    plan = replace(
        AUTUMN,
        pins=(Pin("rook-box", on), Pin("two-majors", other)),
        cancelled=(CancelledSession(on, 1), CancelledSession(other, 1)),
    )
    left = plan.without(Closure(on, on))
    assert left is not None
    assert [pin.unit for pin in left.pins] == ["two-majors"]
    assert [gone.on for gone in left.cancelled] == [other]
    assert plan.without(plan.days) is None


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 15)), min_size=1, max_size=6))
def test_however_terms_overlap_each_evening_is_that_of_the_last_plan_made_for_its_day(
    spans: list[tuple[int, int]],
) -> None:
    start = date(2026, 9, 3)
    made = [
        term(start + timedelta(weeks=first), count, replace(SLOT, minutes=60 + number))
        for number, (first, count) in enumerate(spans)
    ]
    expected: dict[date, PlannedSession] = {}
    for plan in made:
        expected = {on: each for on, each in expected.items() if on not in plan.days}
        expected |= {session.on: session for session in plan.sessions}
    left: list[TermPlan] = []
    for plan in made:
        left = [rest for each in left if (rest := each.without(plan.days)) is not None] + [plan]
    found = [session for plan in left for session in plan.sessions]
    assert sorted(found, key=lambda each: each.on) == sorted(expected.values(), key=lambda each: each.on)
    assert not any(on in expected for plan in left for on in plan.days_off)


def test_an_older_book_keeps_terms_apart_and_plans_that_took_the_place_of_others(tmp_path: Path) -> None:
    path = tmp_path / "old.book"
    again = replace(SPRING, minutes=90)
    other_days = term(SPRING.starts_on + timedelta(weeks=2), 4)
    make_third_version(path, {"Tuesday": [AUTUMN, SPRING, again], "Friday": [AUTUMN, SPRING, other_days]})
    book = open_book(path)
    assert plans(book) == [AUTUMN, again]
    assert plans(book, "Friday") == [AUTUMN, other_days]
    assert [copy.name for copy in own_backups(path)] == ["before-0003.book"]


def test_a_damaged_plan_of_an_older_book_does_not_stop_the_upgrade(tmp_path: Path) -> None:
    path = tmp_path / "old.book"
    make_third_version(path, {"Tuesday": [AUTUMN]})
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE term_plan SET body = '{'")
    with pytest.raises(CoachbookError, match="term plan of group 'Tuesday' is damaged"):
        plans(open_book(path))
