from datetime import date

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group
from coachbook.club.terms import current_term, save_term
from coachbook.errors import CoachbookError
from coachbook.model.term import PlannedSession, Slot, SlotKind, TermPlan

SLOT = Slot(SlotKind.NEW, "queen-box", 30, "next in the syllabus")
AUTUMN = TermPlan(date(2026, 9, 1), date(2026, 12, 18), 60, (PlannedSession(date(2026, 9, 2), (SLOT,)),))
SPRING = TermPlan(date(2027, 1, 5), date(2027, 4, 2), 45, (), left_over=("rook-box",))


def test_the_newest_plan_of_a_group_is_in_force(evening_book: Book) -> None:
    with evening_book.writing() as w:
        add_group(w, "Beginners")
        save_term(w, SPRING, "Tuesday")
        save_term(w, AUTUMN, "tuesday")
        save_term(w, SPRING, "Beginners")
    with evening_book.reading() as r:
        assert current_term(r, "TUESDAY") == AUTUMN
        assert current_term(r, "Beginners") == SPRING


def test_a_group_may_have_no_plan(evening_book: Book) -> None:
    with evening_book.reading() as r:
        assert current_term(r, "Tuesday") is None


def test_a_plan_is_for_a_known_group(evening_book: Book) -> None:
    with evening_book.writing() as w:
        with pytest.raises(CoachbookError, match="no group 'Monday'"):
            save_term(w, AUTUMN, "Monday")
        with pytest.raises(CoachbookError, match="no group 'Monday'"):
            current_term(w, "Monday")
