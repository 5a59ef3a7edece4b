"""Saved sheets: found in a list, read item by item, and printed again."""

import re

import pytest

from coachbook.club.book import Book
from coachbook.workflows.printed_sheets import list_sheets
from coachbook.workflows.sheet_shown import shown_items
from tests.desk.conftest import Browser, words


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
