"""Tonight's page: a touch is kept, shown to everybody, and counted once."""

from uuid import uuid4

import pytest

from coachbook.club.book import Book
from coachbook.workflows.evening_grid import CellMark, evening_rows
from coachbook.workflows.evening_log import list_log
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import START, week

BASE = f"/evening/{START}/1"


def marks(book: Book) -> list[CellMark]:
    return [cell.mark for cell in evening_rows(book, 1, START)[0].cells]


def test_the_first_page_is_tonights_evening(coach: Browser) -> None:
    page = words(coach.get("/"))
    assert "Thu 10 Sept 2026" in page
    assert "Ana here late absent" in page


def test_a_touch_on_an_item_is_kept_and_the_page_shows_it(coach: Browser, foxes: Book) -> None:
    sheet = evening_rows(foxes, 1, START)[0].sheet
    page = coach.post(f"{BASE}/mark/1", sheet=sheet, item=2, mark="wrong").text
    assert marks(foxes)[1] is CellMark.WRONG
    assert 'aria-label="Ana, item 2: wrong"' in page


def test_the_same_touch_sent_again_is_kept_once(coach: Browser, foxes: Book) -> None:
    sheet, touch = evening_rows(foxes, 1, START)[0].sheet, str(uuid4())
    for _ in range(2):
        coach.post(f"{BASE}/mark/1", touch=touch, sheet=sheet, item=2, mark="wrong")
    assert len(list_log(foxes, 10)) == 2  # the plan, and one touch


def test_a_script_that_touches_gets_the_row_alone(coach: Browser, foxes: Book) -> None:
    sheet = evening_rows(foxes, 1, START)[0].sheet
    form = {"touch": str(uuid4()), "sheet": sheet}
    headers = {"origin": coach.desk.address, "x-part": "yes"}
    answer = coach.client.post(f"{BASE}/all-right/1", data=form, headers=headers)
    assert answer.text.strip().startswith("<article")
    assert set(marks(foxes)) == {CellMark.RIGHT}


@pytest.mark.parametrize(("state", "told"), [("here", "here"), ("late", "late"), ("absent", "absent")])
def test_the_register_shows_what_was_touched(coach: Browser, state: str, told: str) -> None:
    page = coach.post(f"{BASE}/register/1", state=state).text
    assert f'aria-label="Ana: {told}" aria-pressed="true"' in page


def test_who_is_absent_has_no_answers_to_log(coach: Browser) -> None:
    page = coach.post(f"{BASE}/register/1", state="absent").text
    assert "Ana, item 1" not in page
    assert "Bo, item 1" in page


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("register/1", {"state": "elsewhere"}),
        ("register/99", {"state": "here"}),
        ("mark/1", {"sheet": "NO-SUCH", "item": "1", "mark": "right"}),
        ("mark/1", {"sheet": "", "item": "one", "mark": "right"}),
        ("mark/1", {"item": "1", "mark": "perfect"}),
        ("all-right/1", {"sheet": "NO-SUCH"}),
    ],
)
def test_what_no_page_sends_is_refused_in_words(coach: Browser, path: str, form: dict[str, str]) -> None:
    assert "Not done" in coach.post(f"{BASE}/{path}", status=422, **form).text


def test_a_helper_may_mark_but_not_close(helper: Browser, foxes: Book) -> None:
    sheet = evening_rows(foxes, 1, START)[0].sheet
    page = helper.post(f"{BASE}/mark/1", sheet=sheet, item=1, mark="right").text
    assert marks(foxes)[0] is CellMark.RIGHT
    assert "Close the evening" not in page


def test_all_who_are_not_marked_yet_are_here_at_one_touch(coach: Browser) -> None:
    coach.post(f"{BASE}/register/1", state="absent")
    page = coach.post(f"{BASE}/register-all").text
    assert 'aria-label="Ana: absent" aria-pressed="true"' in page
    assert 'aria-label="Bo: here" aria-pressed="true"' in page
    assert "All are here" not in page


def test_nothing_is_logged_of_an_evening_that_is_to_come(coach: Browser) -> None:
    ahead = f"/evening/{week(1)}/1"
    assert "still to come" in coach.post(f"{ahead}/register/1", status=422, state="here").text
    assert "absent" not in words(coach.get(ahead))
