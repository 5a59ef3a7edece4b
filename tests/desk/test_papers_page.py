"""The page of papers: each button makes what it says, once, and shows it."""

import re
from uuid import uuid4

import pytest
from httpx2 import Response

from coachbook.club.book import Book
from coachbook.workflows.printed_sheets import list_sheets
from coachbook.workflows.sheet_shown import sheets_listed
from tests.desk.conftest import Browser, words

QUEEN = "8/8/8/4k3/8/8/8/KQ6 w - - 0 1"
SHEET = {"unit": "queen-box", "whom": "group-1", "items": "3", "boards": "6"}


def made(coach: Browser, what: str, **form: str) -> Response:
    answer = coach.client.post(
        f"/papers/{what}",
        data={"touch": str(uuid4()), **form},
        headers={"origin": coach.desk.address},
    )
    return coach.wait_for_work(answer)


def frames(answer: Response) -> list[str]:
    assert answer.status_code == 200, answer.text[:500]
    return re.findall(r'<iframe class="paper" src="(/made/\w+/pdf)"', answer.text)


def test_a_unit_may_be_chosen_in_the_address(coach: Browser) -> None:
    page = coach.get("/papers?unit=queen-box")
    assert page.count('value="queen-box" selected') == 3  # of a worksheet, a lesson and cards
    assert "Foxes" in page
    assert "Ana" in page


def test_a_worksheet_is_saved_and_shown_with_its_key(coach: Browser, foxes: Book) -> None:
    before = len(list_sheets(foxes))
    answer = made(coach, "sheet", **SHEET)
    assert len(list_sheets(foxes)) == before + 1
    code = sheets_listed(foxes, None, 1)[0].code
    assert f"{code}: Ana, Bo" in words(answer.text)
    assert len(frames(answer)) == 2
    for address in frames(answer):
        file = coach.client.get(address)
        assert file.content.startswith(b"%PDF")
        assert file.headers["content-disposition"].startswith("inline")


@pytest.mark.parametrize(("way", "sheets"), [("", 1), ("forms", 2), ("each", 2)])
def test_sheets_are_the_same_in_two_forms_or_another_for_each(
    coach: Browser, foxes: Book, way: str, sheets: int
) -> None:
    before = len(list_sheets(foxes))
    made(coach, "sheet", **SHEET, way=way)
    assert len(list_sheets(foxes)) == before + sheets


def test_a_sheet_for_nobody_is_listed_too(coach: Browser, foxes: Book) -> None:
    made(coach, "sheet", **{**SHEET, "whom": ""})
    saved = sheets_listed(foxes, None, 1)[0]
    assert saved.students == ()
    assert f"{saved.code} Thu 10 Sept 2026 The queen&#39;s box 3 nobody" in words(coach.get("/papers"))


def test_the_same_touch_makes_a_sheet_once(coach: Browser, foxes: Book) -> None:
    before, touch = len(list_sheets(foxes)), str(uuid4())
    one, again = (made(coach, "sheet", touch=touch, **SHEET) for _ in range(2))
    assert one.url == again.url
    assert len(list_sheets(foxes)) == before + 1


@pytest.mark.parametrize(
    ("what", "form", "files"),
    [
        ("lesson", {"unit": "queen-box", "whom": "group-1"}, 1),
        ("lesson", {"unit": "queen-box"}, 1),
        ("cards", {"unit": "queen-box", "whom": "student-1"}, 1),
        ("cards", {"unit": "queen-box", "whom": "group-1", "two": "1"}, 1),
        ("poster", {"method": "queen-box"}, 1),
        ("review", {"whom": ""}, 0),
    ],
)
def test_each_button_makes_its_papers(coach: Browser, what: str, form: dict[str, str], files: int) -> None:
    answer = made(coach, what, **form)
    assert len(frames(answer)) == files
    assert files or "Nobody needs review." in answer.text


def test_who_is_due_gets_papers_with_the_reason(coach: Browser, foxes: Book) -> None:
    sheet = list_sheets(foxes, "Ana")[0].code
    for item in range(1, 7):
        coach.post("/evening/2026-09-10/1/mark/1", sheet=sheet, item=item, mark="wrong")
    answer = made(coach, "review", whom="group-1")
    assert "Ana: Is the game over?: today, 0 of" in words(answer.text)
    assert len(frames(answer)) >= 2


def test_own_positions_say_what_they_are_good_for_and_make_a_sheet(coach: Browser, foxes: Book) -> None:
    answer = made(coach, "own", own=f"{QUEEN}\n<b>hello</b>")
    page = answer.text
    assert "the smallest box (right: Qd3)" in words(page)
    assert "It cannot be used: it is neither FEN nor EPD." in words(page)
    assert "&lt;b&gt;hello&lt;/b&gt;" in page
    text = re.search(r'name="own" value="([^"]*)"', page)
    assert text is not None
    assert text[1].startswith(QUEEN)
    made(coach, "sheet", **SHEET, kind="smallest_box", own=f"{QUEEN}\nhello")
    code = sheets_listed(foxes, None, 1)[0].code
    assert "1. The smallest box" in words(coach.get(f"/papers/sheet/{code}"))


@pytest.mark.parametrize(
    ("what", "form", "told"),
    [
        ("sheet", {**SHEET, "unit": "no-such"}, "There is no unit"),
        ("sheet", {**SHEET, "items": "many"}, "no number"),
        ("sheet", {**SHEET, "items": "99"}, "A sheet cannot have 99 exercises."),
        ("sheet", {**SHEET, "boards": "5"}, "There is no page of 5 boards."),
        ("sheet", {**SHEET, "whom": "group-77"}, "no longer in the book"),
        ("sheet", {**SHEET, "whom": "", "way": "forms"}, "Two forms need two students"),
        ("sheet", {**SHEET, "whom": "", "way": "each"}, "Nobody is chosen"),
        ("sheet", {**SHEET, "own": QUEEN, "kind": "mate_in_two"}, "None of your positions suits this."),
        ("cards", {"unit": "mate-or-stalemate"}, "has no position to play out"),
        ("poster", {"method": "no-such"}, "There is no method"),
        ("lesson", {"unit": "", "whom": ""}, "There is no unit"),
        ("review", {"whom": "group-77"}, "no longer in the book"),
        ("own", {"own": ""}, "There is no position"),
    ],
)
def test_what_cannot_be_had_is_refused_in_words(
    coach: Browser, what: str, form: dict[str, str], told: str
) -> None:
    answer = made(coach, what, **form)
    assert answer.status_code == 422
    assert told in words(answer.text)


@pytest.mark.parametrize("path", ["/papers/made/123456789", "/papers/own/123456789"])
def test_what_was_made_a_while_ago_says_so(coach: Browser, path: str) -> None:
    assert "a while ago" in coach.get(path, status=422)


@pytest.mark.parametrize("path", ["/papers", "/papers/sheets", "/papers/sheet/QB-1", "/papers/made/12345678"])
def test_papers_are_the_coachs(helper: Browser, path: str) -> None:
    helper.get(path, status=403)
    helper.post("/papers/sheet", status=403, **SHEET)
