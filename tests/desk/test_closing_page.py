"""Closing an evening: what is missing is said, what was not finished comes again, and once only."""

from datetime import timedelta
from pathlib import Path
from uuid import uuid4

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_student
from coachbook.workflows.evening_grid import evening_rows, touch_answers
from coachbook.workflows.evening_log import list_log
from coachbook.workflows.kept_once import Touch
from tests.desk.conftest import NOW as DESK_NOW
from tests.desk.conftest import Browser, browser_of, desk_of, told, words
from tests.workflows.conftest import club_of
from tests.workflows.foxes import FIRST, NOW, SECOND, START, TITLES, planned, present, week

BASE = f"/evening/{START}/1"


def closed(browser: Browser, base: str = BASE, **form: object) -> str:
    """The page of what moves on, in words."""
    return words(browser.wait_for_work(browser.send(f"{base}/close", form)).text)


def refused(browser: Browser, path: str, **form: object) -> str:
    """The page that says why a form was not done, now or by the work that it began."""
    sent = {"touch": str(uuid4()), **form}
    answer = browser.wait_for_work(
        browser.client.post(path, data=sent, headers={"origin": browser.desk.address})
    )
    assert answer.status_code == 422
    return words(answer.text)


def test_all_that_is_missing_is_said(coach: Browser, foxes: Book) -> None:
    present(foxes, START, Ana=True)
    ana, bo = evening_rows(foxes, 1, START)
    touch_answers(foxes, Touch(str(uuid4()), NOW), bo.student.id, bo.sheet, {1: "\u2713"}, START)
    page = words(coach.get(f"{BASE}/close"))
    assert "Was there, or absent? Bo " in page
    assert f"Not logged: sheet {ana.sheet} of Ana." in page
    assert f"Half logged: items 2 to {len(bo.cells)} of sheet {bo.sheet} of Bo are missing." in page
    assert [f"{row.student.name}: {card.code}" in page for row in (ana, bo) for card in row.cards] == [
        True for row in (ana, bo) for _ in row.cards
    ]


def test_who_was_absent_is_missed_nothing_of(coach: Browser, foxes: Book) -> None:
    present(foxes, START, Ana=False, Bo=False)
    page = words(coach.get(f"{BASE}/close"))
    assert "Nothing: all of it is logged." in page


def test_the_page_of_the_evening_leads_to_closing(coach: Browser) -> None:
    assert f'href="{BASE}/close"' in coach.get(BASE)


def test_an_evening_on_which_all_was_done_changes_no_plan(coach: Browser, foxes: Book) -> None:
    present(foxes, START, Ana=False, Bo=True)
    before = len(list_log(foxes, 10))
    page = closed(coach)
    assert f"Foxes: closed; next on {told(week(1))}." in page
    assert f"To catch up: Ana missed {TITLES[FIRST]}" in page.replace("\u201c", "").replace("\u201d", "")
    assert "Not logged: sheet" in page
    assert "can still be logged" in page
    assert len(list_log(foxes, 10)) == before


def test_what_was_not_finished_is_planned_again_and_the_page_says_what_changes(coach: Browser) -> None:
    page = closed(coach, not_done=FIRST)
    assert f"{told(week(1))}: was " in page
    assert f"{TITLES[FIRST]} (again)" in page
    again = words(coach.get(f"{BASE}/close"))
    assert f"Planned again already: {TITLES[FIRST]}." in again
    assert f'value="{FIRST}"' not in coach.get(f"{BASE}/close")


def test_a_button_that_was_pressed_twice_closes_once_and_shows_the_same(coach: Browser, foxes: Book) -> None:
    touch, before = str(uuid4()), len(list_log(foxes, 10))
    pages = {closed(coach, touch=touch, not_done=FIRST) for _ in range(2)}
    assert len(pages) == 1
    assert len(list_log(foxes, 10)) == before + 1


def test_an_older_page_that_closes_again_plans_nothing_twice(coach: Browser, foxes: Book) -> None:
    closed(coach, not_done=FIRST)
    before = len(list_log(foxes, 10))
    page = closed(coach, not_done=FIRST)
    assert "was " not in page
    assert len(list_log(foxes, 10)) == before


def test_a_closed_evening_says_so_with_what_was_said_then_and_touches_still_work(
    coach: Browser, helper: Browser
) -> None:
    assert "Closed on" not in coach.get(BASE)
    coach.get(f"{BASE}/closed", 422)
    then = closed(coach, not_done=FIRST)
    line = f"Closed on {told(START)} at {DESK_NOW.astimezone():%H:%M}."
    for path in (BASE, f"{BASE}/close"):
        assert line in words(coach.get(path))
        assert f'href="{BASE}/closed"' in coach.get(path)
    assert line in words(helper.get(BASE))
    assert f'href="{BASE}/closed"' not in helper.get(BASE)
    assert words(coach.get(f"{BASE}/closed")) == then
    coach.post(f"{BASE}/register/1", state="here")
    assert line in words(coach.get(BASE))


def test_another_desk_says_what_moves_on_of_a_closed_evening_as_things_stand(
    coach: Browser, foxes: Book
) -> None:
    closed(coach, not_done=FIRST)
    page = words(browser_of(desk_of(foxes.path)).get(f"{BASE}/closed"))
    assert f"Foxes: closed; next on {told(week(1))}." in page
    assert f"Planned again: {TITLES[FIRST]}." in page
    assert "What moves on, as things stand today" in page


def test_what_was_said_of_a_closed_evening_does_not_name_a_child_who_was_erased_since(
    coach: Browser, foxes: Book
) -> None:
    present(foxes, START, Ana=False, Bo=True)
    assert "Ana" in closed(coach)
    coach.wait_for_work(coach.post("/student/1/erase", name="Ana"))
    assert "Ana" not in words(coach.get(f"{BASE}/closed"))


def test_a_day_without_an_evening_says_so(coach: Browser) -> None:
    friday = START - timedelta(6)
    page = words(coach.get(f"/evening/{friday}/1/close"))
    assert f"No evening is planned on {told(friday)} for Foxes (the nearest is {told(START)})." in page
    assert "No unit was planned." in page


def test_a_group_without_a_plan_is_led_to_one(tmp_path: Path) -> None:
    coach = browser_of(desk_of(club_of(tmp_path, ("Ana",), "Foxes").path))
    page = coach.get(f"{BASE}/close")
    assert "Nothing is planned for Foxes yet." in page
    assert "<button" not in page


def test_an_evening_that_is_to_come_is_not_closed(coach: Browser) -> None:
    base = f"/evening/{week(1)}/1"
    page = coach.get(f"{base}/close")
    assert "is still to come" in page
    assert "<button" not in page
    assert "This evening is still to come." in refused(coach, f"{base}/close")


def test_after_the_last_evening_nothing_is_next(tmp_path: Path) -> None:
    book = club_of(tmp_path, ("Ana", "Bo"), "Foxes")
    planned(book)
    coach = browser_of(desk_of(book.path, week(4)))
    page = closed(coach, f"/evening/{week(4)}/1")
    assert "the last evening of the plan" in page
    assert "Make the papers" not in page


@pytest.mark.parametrize("form", [{"not_done": "no-such-unit"}, {"touch": "no number"}])
def test_a_form_that_no_page_sends_is_refused(coach: Browser, foxes: Book, form: dict[str, str]) -> None:
    before = len(list_log(foxes, 10))
    assert "Not done" in refused(coach, f"{BASE}/close", **{"not_done": FIRST} | form)
    assert len(list_log(foxes, 10)) == before


@pytest.mark.parametrize(
    ("path", "status"),
    [
        (f"/evening/{START}/99/close", 422),
        ("/evening/2026-99-10/1/close", 422),
        (f"/evening/{START}/one/close", 404),
        (f"{BASE}/closed/0123456789", 422),
    ],
)
def test_an_address_that_leads_nowhere_is_answered_in_words(coach: Browser, path: str, status: int) -> None:
    assert coach.get(path, status=status)


def test_closing_is_not_for_a_helpers_tablet(helper: Browser) -> None:
    for path in (f"{BASE}/close", f"{BASE}/closed/0123456789"):
        helper.get(path, status=403)
    for path in ("close", "note", "guest"):
        helper.post(f"{BASE}/{path}", status=403)


def test_a_note_on_the_grid_is_kept_once_and_shown(coach: Browser, foxes: Book) -> None:
    touch = str(uuid4())
    form: dict[str, object] = {
        "student": 1,
        "unit": SECOND,
        "impression": "CAN",
        "note": "saw <b>all</b> of it",
    }
    for _ in range(2):
        page = coach.send(f"{BASE}/note", {"touch": touch, **form}).text
    assert "can do it: saw &lt;b&gt;all&lt;/b&gt; of it" in page
    assert len(evening_rows(foxes, 1, START)[0].notes) == 1


@pytest.mark.parametrize(
    "form",
    [
        {"student": 1, "note": ""},
        {"student": 1, "note": "fine", "impression": "PERFECT"},
        {"student": 1, "note": "fine", "unit": "no-such-unit"},
        {"student": 99, "note": "fine"},
        {"student": 1, "note": "fine", "touch": ""},
    ],
)
def test_a_note_that_cannot_be_kept_is_refused(coach: Browser, foxes: Book, form: dict[str, object]) -> None:
    assert "Not done" in coach.send(f"{BASE}/note", form, 422).text
    assert evening_rows(foxes, 1, START)[0].notes == ()


def test_a_guest_gets_a_row(tmp_path: Path) -> None:
    book = club_of(tmp_path, ("Ana",), "Foxes")
    planned(book)
    with book.writing() as page:
        add_student(page, "Cy")
    coach = browser_of(desk_of(book.path))
    assert '<option value="2">Cy</option>' in coach.get(f"{BASE}/guest")
    assert 'id="row-2"' in coach.post(f"{BASE}/guest", student=2).text
    assert "Not done" in coach.post(f"{BASE}/guest", status=422, student="x").text
