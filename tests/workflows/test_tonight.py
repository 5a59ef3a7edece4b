"""What a student is given on an evening: what was missed, what is due, what is practised; and which card."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.log import log_attendance
from coachbook.club.students import add_group, add_student
from coachbook.model.facts import Attendance
from coachbook.model.term_plan import SlotKind
from coachbook.workflows.evening_needs import Tonight, tonight_of
from coachbook.workflows.members import planned_sessions
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.replanning import replan_terms
from coachbook.workflows.standings import load_syllabus
from tests.club.copies import empty_book
from tests.workflows.test_planning import answered

SYLLABUS = load_syllabus()
START = date(2026, 9, 10)
NAMES = ("Ana", "Bo", "Cy")
NOW = datetime(2026, 9, 10, 20, tzinfo=UTC)
FIRST = "mate-or-stalemate"


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = empty_book(tmp_path / "club.book", "Hill Street")
    with made.writing() as page:
        add_group(page, "Foxes")
        for name in NAMES:
            add_student(page, name, ["Foxes"])
    wish = TermWish(START, START + timedelta(weeks=9), weekdays=(3,), minutes=60)
    plan_terms(made, SYLLABUS, ("Foxes",), wish)
    return made


def held_without(book: Book, absent: str, on: date) -> None:
    with book.writing() as page:
        log_attendance(page, [Attendance(name, on, present=name != absent) for name in NAMES], NOW)
    for name in NAMES:
        if name != absent:
            answered(book, name, FIRST, on)


def evening(book: Book, on: date) -> Tonight:
    with book.reading() as page:
        return tonight_of(page, SYLLABUS, "Foxes", on)


def missed_by_bo(tonight: Tonight) -> tuple[str, ...]:
    return next((each.missed for each in tonight.catch_ups if each.student == "Bo"), ())


def day_with(book: Book, kind: SlotKind, unit: str = "") -> date:
    with book.reading() as page:
        sessions = planned_sessions(page, "Foxes")
    return next(each.on for each in sessions if [code for code in each.units(kind) if unit in ("", code)])


def test_what_was_missed_is_on_the_sheet_until_it_is_begun(book: Book) -> None:
    held_without(book, "Bo", START)
    for week in (1, 2):
        tonight = evening(book, START + timedelta(weeks=week))
        assert [each.student for each in tonight.catch_ups] == ["Bo"]
        assert missed_by_bo(tonight)[0] == tonight.catch_ups[0].tonight == FIRST
        assert tonight.wanted["Bo"].items[0] == (FIRST, SYLLABUS.unit(FIRST).secure.items)
    answered(book, "Bo", FIRST, START + timedelta(weeks=1), right=1)
    assert FIRST not in missed_by_bo(evening(book, START + timedelta(weeks=2)))


def test_what_is_explained_again_tonight_was_not_missed(book: Book) -> None:
    held_without(book, "Bo", START)
    replan_terms(book, SYLLABUS, ("Foxes",), START + timedelta(weeks=1), not_done=(FIRST,))
    tonight = evening(book, START + timedelta(weeks=1))
    assert FIRST in tonight.session.units(SlotKind.NEW)
    assert FIRST not in missed_by_bo(tonight)


def test_neighbours_play_different_cards(book: Book) -> None:
    on = day_with(book, SlotKind.PLAY_OUT)
    cards = [wanted.cards for wanted in evening(book, on).wanted.values()]
    assert all(cards)
    assert len(set(cards)) == len(SYLLABUS.unit("two-majors").play_outs) == 3
