"""The log in a browser: in words, the newest first; taken back and brought back after a look."""

from uuid import uuid4

import pytest

from coachbook.club.book import Book
from coachbook.workflows.evening_grid import evening_rows
from coachbook.workflows.evening_log import list_log, list_taken_back, undo
from coachbook.workflows.replanning import replan_terms
from tests.desk.conftest import NOW, Browser, told, words
from tests.workflows.foxes import FIRST, START, SYLLABUS, answered, present, week


def test_the_log_says_who_what_and_of_which_evening(coach: Browser, foxes: Book) -> None:
    present(foxes, START, Ana=True, Bo=False)
    answered(foxes, "Ana", FIRST, START)
    page = words(coach.get("/log"))
    assert "6 answers of Ana on sheet" in page
    assert f"Attendance on {told(START)}: 1 of 2 there Take back Ana, Bo Thu 10 Sept 2026" in page
    assert page.index("6 answers") < page.index("Attendance") < page.index("A term plan for Foxes")


def test_older_entries_are_on_pages_of_their_own(coach: Browser, foxes: Book) -> None:
    for number in range(30):
        present(foxes, week(-number), Ana=True)
    first = coach.get("/log")
    assert (first.count("/undo"), "A term plan" in first) == (25, False)
    oldest = list_log(foxes, 25)[-1].id
    assert f'href="/log?before={oldest}"' in first
    second = coach.get(f"/log?before={oldest}")
    assert (second.count("/undo"), "A term plan" in second, "Older" in second) == (6, True, False)
    assert 'href="/log">Newest' in second
    assert "There is nothing older." in coach.get("/log?before=1")


def test_what_would_be_taken_back_is_shown_first(coach: Browser, foxes: Book) -> None:
    present(foxes, START, Ana=True, Bo=False)
    entry = list_log(foxes, 1)[0].id
    page = words(coach.get(f"/log/{entry}/undo"))
    assert f"Take it back? Attendance on {told(START)}: 1 of 2 there Logged on" in page
    assert "Ana and Bo" in page
    assert list_log(foxes, 1)[0].id == entry
    done = words(coach.post(f"/log/{entry}/undo").text)
    assert "Taken back Attendance on" in done
    assert evening_rows(foxes, 1, START)[0].attendance is None


def test_a_plan_is_taken_back_after_what_changes_was_shown(coach: Browser, foxes: Book) -> None:
    replan_terms(foxes, SYLLABUS, ("Foxes",), START, cancel=[week(2)])
    entry = list_log(foxes, 1)[0].id
    for page in (coach.get(f"/log/{entry}/undo"), coach.post(f"/log/{entry}/undo").text):
        assert f"{told(week(2))}: now " in words(page)


def test_a_plan_that_another_one_has_replaced_changes_no_evening(coach: Browser, foxes: Book) -> None:
    for on in (week(2), week(3)):
        replan_terms(foxes, SYLLABUS, ("Foxes",), START, cancel=[on])
    entry = list_log(foxes, 2)[1].id
    assert "No evening changes: a later plan has replaced this one." in coach.get(f"/log/{entry}/undo")


def test_what_was_taken_back_can_be_brought_back(coach: Browser, foxes: Book) -> None:
    assert "What was taken back" not in coach.get("/log")
    present(foxes, START, Ana=True)
    entry = list_log(foxes, 1)[0].id
    undo(foxes, NOW, entry)
    assert "What was taken back" in coach.get("/log")
    page = words(coach.get("/log/taken-back"))
    assert f"Attendance of Ana on {told(START)}: there Bring back Ana Thu 10 Sept 2026" in page
    assert "Bring it back?" in coach.get(f"/log/{entry}/redo")
    assert evening_rows(foxes, 1, START)[0].attendance is None
    assert "Brought back" in coach.post(f"/log/{entry}/redo").text
    assert evening_rows(foxes, 1, START)[0].attendance is not None
    assert "There is nothing to bring back." in coach.get("/log/taken-back")


def test_a_button_that_was_pressed_twice_takes_one_entry_back(coach: Browser, foxes: Book) -> None:
    present(foxes, START, Ana=True)
    entry, touch = list_log(foxes, 1)[0].id, str(uuid4())
    pages = {coach.post(f"/log/{entry}/undo", touch=touch).text for _ in range(2)}
    assert len(pages) == 1
    assert len(list_taken_back(foxes, 10)) == 1


def test_the_plan_of_an_evening_that_was_held_stays(coach: Browser, foxes: Book) -> None:
    present(foxes, START, Ana=True)
    entry = list_log(foxes, 2)[1].id
    assert "was held as it is planned now" in coach.get(f"/log/{entry}/undo", status=422)
    assert "was held as it is planned now" in coach.post(f"/log/{entry}/undo", status=422).text


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/log?before=never", 422),
        ("/log?before=-1", 422),
        ("/log/99/undo", 422),
        ("/log/99/redo", 422),
        ("/log/99999999999999999999/undo", 422),
        ("/log/one/undo", 404),
        ("/log/done/0123456789", 422),
    ],
)
def test_an_address_that_leads_nowhere_is_answered_in_words(coach: Browser, path: str, status: int) -> None:
    assert coach.get(path, status=status)


def test_a_form_without_its_number_takes_nothing_back(coach: Browser, foxes: Book) -> None:
    entry = list_log(foxes, 1)[0].id
    assert "Not done" in coach.post(f"/log/{entry}/undo", status=422, touch="").text
    assert list_log(foxes, 1)[0].id == entry


def test_the_log_is_not_for_a_helpers_tablet(helper: Browser) -> None:
    for path in ("/log", "/log/taken-back", "/log/1/undo", "/log/1/redo"):
        helper.get(path, status=403)
    for path in ("/log/1/undo", "/log/1/redo"):
        helper.post(path, status=403)
