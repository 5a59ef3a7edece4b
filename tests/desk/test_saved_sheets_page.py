"""Saved sheets: found in a list, read item by item, and printed again."""

import re
from datetime import date, timedelta

import pytest

from coachbook.club.book import Book
from coachbook.desk.sessions import Role
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.members import add_member
from coachbook.workflows.printed_sheets import list_sheets, make_sheets
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.sheet_shown import shown_items
from tests.desk.conftest import Browser, browser_of, words
from tests.workflows.foxes import FIRST, START, SYLLABUS

BASE = f"/evening/{START}/1"


def sheet_of(book: Book, student: str, made_on: date = START) -> str:
    """A sheet that was made by itself: its code."""
    asked = SheetRequest(SYLLABUS.unit(FIRST), (student,), 4, 7, made_on)
    ((sheet, _),) = make_sheets(book, SYLLABUS, asked, book.path.parent, PaperOptions()).handed_out
    return sheet.code


def codes_in(page: str) -> set[str]:
    return set(re.findall(r'href="/papers/sheet/([^"]+)"', page))


def test_the_list_has_all_sheets_or_those_of_a_student(coach: Browser, foxes: Book) -> None:
    assert codes_in(coach.get("/papers/sheets")) == {sheet.code for sheet in list_sheets(foxes)}
    own = {sheet.code for sheet in list_sheets(foxes, "Bo")}
    assert codes_in(coach.get("/papers/sheets?student=2")) == own


def test_a_sheet_has_its_items_with_answers_and_reasons(coach: Browser, foxes: Book) -> None:
    sheet = list_sheets(foxes, "Ana")[0]
    page = coach.get(f"/papers/sheet/{sheet.code}")
    told = words(page)
    assert "Given to Ana" in told
    items = shown_items(foxes, sheet.code, "KQRBN")
    for item in items:
        assert f"{item.number}. " in told
        assert item.task.replace("'", "&#39;") in told
    assert page.count("Show the answer") in (len(items), len(items) + 1)  # with the example


def test_a_sheet_is_printed_again(coach: Browser, foxes: Book) -> None:
    sheet = list_sheets(foxes, "Ana")[0]
    answer = coach.wait_for_work(coach.post(f"/papers/sheet/{sheet.code}/print", boards="4", large="1"))
    assert "To print" in words(answer.text)
    assert answer.text.count("<iframe") == 2
    assert len(list_sheets(foxes)) == len({each.code for each in list_sheets(foxes)})


def test_a_sheet_is_marked_on_the_page_of_the_evening_that_the_coach_chooses(
    coach: Browser, helper: Browser, foxes: Book
) -> None:
    code = sheet_of(foxes, "Ana")
    page = coach.get(f"/papers/sheet/{code}")
    assert "Foxes: Ana" in words(page)
    assert f'name="on" value="{START}"' in page
    assert f"Sheet {code}" not in words(coach.get(BASE))
    evening = coach.post(f"/papers/sheet/{code}/mark", group=1, on=START)
    assert evening.url.path == BASE
    assert words(evening.text).count(f"Sheet {code}") == 1
    row = coach.post(f"{BASE}/mark/1", sheet=code, item=2, mark="wrong").text
    assert f"Ana, sheet {code}, item 2: wrong" in row
    coach.post(f"{BASE}/all-right/1", sheet=code)
    assert f"Ana, sheet {code}, item 2: right" in coach.get(BASE)
    item = f"{BASE}/item/1/2/of/{code}"
    assert f'href="{item}"' in coach.get(BASE)
    assert f"{BASE}/item/1/3/of/{code}" in coach.get(item)
    assert coach.post(item, mark="-", sheet=code).url.path == item
    assert f"Ana, sheet {code}, item 2: left blank" in coach.get(BASE)
    coach.get(f"{BASE}/item/2/2/of/{code}", 422)
    own = browser_of(coach.desk, Role.HELPER)
    assert f"Sheet {code}" in words(own.get(BASE))
    own.post(f"{BASE}/mark/1", sheet=code, item=3, mark="right")
    own.get(item)
    own.post(f"{BASE}/mark/2", 403, sheet=code, item=3, mark="right")
    helper.post(f"{BASE}/mark/1", 403, sheet=code, item=3, mark="right")
    helper.get(item, 403)


def test_a_sheet_is_not_marked_on_a_day_on_which_nobody_met_unless_it_is_meant(
    coach: Browser, foxes: Book
) -> None:
    code, day = sheet_of(foxes, "Ana", START - timedelta(3)), START - timedelta(2)
    told = words(coach.post(f"/papers/sheet/{code}/mark", 422, group=1, on=day).text)
    assert "No evening is planned on" in told
    assert "tick that it is meant" in told
    coach.post(f"/papers/sheet/{code}/mark", group=1, on=day, sure="1")


def test_a_sheet_that_nobody_of_a_group_has_is_not_offered_to_be_marked(coach: Browser, foxes: Book) -> None:
    add_member(foxes, "Cy", [])
    code = sheet_of(foxes, "Cy")
    assert "is in no group" in words(coach.get(f"/papers/sheet/{code}"))


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/papers/sheet/NO-SUCH", 422),
        ("/papers/sheets?student=99", 422),
        ("/papers/sheets?student=Ana", 422),
        ("/papers/sheets?student=²", 422),
    ],
)
def test_what_is_not_there_is_refused_in_words(coach: Browser, path: str, status: int) -> None:
    assert "Not done" in coach.get(path, status=status)


def test_an_unknown_sheet_is_not_printed(coach: Browser) -> None:
    answer = coach.client.post(
        "/papers/sheet/NO-SUCH/print", data={"boards": "6"}, headers={"origin": coach.desk.address}
    )
    answer = coach.wait_for_work(answer)
    assert answer.status_code == 422
    assert "There is no sheet" in words(answer.text)
