"""The term in a browser: the wall, an evening of it, who reviews what, and files to take away."""

from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.replanning import lock_session, pin_unit, plan_again
from tests.desk.conftest import Browser, browser_of, desk_of, told, words
from tests.workflows.conftest import club_of
from tests.workflows.foxes import FIRST, START, SYLLABUS, THIRD, TITLES, answered, week


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Two groups that share a room, with a term; the first evening was held."""
    made = club_of(tmp_path, ("Ana", "Bo"), "Foxes", name="Hill Street")
    with made.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    wish = TermWish(START, week(5), weekdays=(3,), minutes=60, skip=(week(2),), goal=2, at="18:30")
    plan_terms(made, SYLLABUS, ("Foxes", "Owls"), wish)
    answered(made, "Ana", FIRST, START, "+-----")
    return made


@pytest.fixture
def browser(book: Book) -> Browser:
    return browser_of(desk_of(book.path, week(1)))


def test_a_club_without_a_term_is_led_to_planning_one(tmp_path: Path) -> None:
    page = browser_of(desk_of(club_of(tmp_path, ("Ana",), "Foxes").path)).get("/term")
    assert "No term is planned yet." in page
    assert 'href="/term/new"' in page


def test_the_wall_says_what_is_new_and_with_whom(browser: Browser) -> None:
    page = words(browser.get("/term"))
    assert "Evening Foxes Owls Thu 10 Sept 2026 held " in page
    assert f"18:30 New: {TITLES[FIRST]} (with Owls)" in page
    assert "Thu 24 Sept 2026 No club" in page
    assert "Thu 17 Sept 2026 today" in page
    assert "nothing logged" in page  # the Owls' first evening
    assert f"Foxes and Owls: 5 evenings, {told(START)} to {told(week(5))}, 18:30" in page
    assert "more evening" in page


def test_locked_and_pinned_evenings_are_marked(browser: Browser, book: Book) -> None:
    pin_unit(book, SYLLABUS, "Foxes", THIRD, week(3), week(1))
    lock_session(book, SYLLABUS, "Foxes", week(5), locked=True)
    page = words(browser.get("/term"))
    assert "Thu 15 Oct 2026 locked" in page
    assert "Thu 1 Oct 2026 pinned" in page
    evening = words(browser.get(f"/term/{week(3)}"))
    assert f"{TITLES[THIRD]} (pinned)" in evening
    assert f"Take the pin of {TITLES[THIRD]} away" in evening
    assert "Unlock it" in words(browser.get(f"/term/{week(5)}"))


def test_each_term_can_be_chosen(browser: Browser, book: Book) -> None:
    assert 'aria-label="Terms"' not in browser.get("/term")
    plan_terms(book, SYLLABUS, ("Owls",), TermWish(week(20), week(22), weekdays=(3,), minutes=60))
    page = browser.get("/term")
    assert f'href="/term?on={week(20)}"' in page
    spring = words(browser.get(f"/term?on={week(20)}"))
    assert "Owls: 3 evenings" in spring
    assert "Foxes" not in spring


def test_an_evening_is_shown_minute_by_minute_with_its_reasons(browser: Browser) -> None:
    page = words(browser.get(f"/term/{week(1)}"))
    assert "Starts Min For Unit Why Coach 18:30" in page
    assert f"Who reviews what {TITLES[FIRST]}: Ana" in page
    assert "yes, with Owls" in page
    assert "Pin a unit to this evening" in page
    assert "Cancel this evening" in page


def test_an_evening_that_was_held_can_only_be_told_as_not_done(browser: Browser, book: Book) -> None:
    page = words(browser.get(f"/term/{START}"))
    assert "This evening was held." in page
    assert "Say what was not done" in page
    assert "Nothing is logged of this evening." in page  # the Owls
    for absent in ("Pin a unit", "Cancel this evening", "Lock it"):
        assert absent not in page
    plan_again(book, SYLLABUS, "Foxes", (FIRST,), START, week(1))
    assert f"Planned again already: {TITLES[FIRST]}." in words(browser.get(f"/term/{START}"))


def test_who_reviews_what_is_told_evening_by_evening(browser: Browser) -> None:
    page = words(browser.get("/term/reviews"))
    assert f"Thu 17 Sept 2026 {TITLES[FIRST]} Ana" in page
    assert "Owls Reviews" in page


def test_reviews_that_find_no_room_are_told_with_the_reason(tmp_path: Path) -> None:
    names = tuple("ABCDEFGHIJKL")
    made = club_of(tmp_path, names, "Foxes")
    plan_terms(made, SYLLABUS, ("Foxes",), TermWish(START, week(3), weekdays=(3,), minutes=60))
    for name in names:
        for number, unit in enumerate(SYLLABUS.units[:6]):
            answered(made, name, unit.code, week(-number - 1), "++----")
    page = words(browser_of(desk_of(made.path)).get("/term/reviews"))
    assert "No room for these reviews Students Unit Why" in page


@pytest.mark.parametrize("group", ["", "/1"])
def test_the_plan_is_given_as_a_page_and_as_a_calendar(browser: Browser, group: str) -> None:
    paper = browser.client.get(f"/term/wall{group}")
    assert paper.content.startswith(b"%PDF")
    assert paper.headers["content-disposition"].startswith("inline")
    calendar = browser.client.get(f"/term/calendar{group}")
    assert calendar.headers["content-type"].startswith("text/calendar")
    assert b"BEGIN:VEVENT" in calendar.content
    assert (b"Owls" in calendar.content) == (not group)


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/term?on=never", 422),
        ("/term/never", 422),
        (f"/term/{week(2)}", 422),
        ("/term/wall/99", 422),
        ("/term/wall/one", 404),
        ("/term/calendar/99", 422),
        ("/term/reviews?on=1", 422),
    ],
)
def test_an_address_that_leads_nowhere_is_answered_in_words(browser: Browser, path: str, status: int) -> None:
    assert browser.get(path, status=status)


def test_the_term_is_not_for_a_helpers_tablet(helper: Browser) -> None:
    for path in ("/term", f"/term/{START}", "/term/reviews", "/term/wall", "/term/calendar"):
        helper.get(path, status=403)
